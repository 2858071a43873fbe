//! A market of twelve comps and three own bikes, by hand, on 1 May 2026.
//!
//! Five hybrids, listed on 1 April; days count from there, each under watch from
//! the day it was first seen:
//!
//!   H1  0 to 3, sold     H2  0 to 5, still there     H3  2 to 4, sold
//!   H4  4 to 6, sold     H5  1 to 6, withdrawn
//!
//! Kaplan-Meier, under watch at t are those with entry < t <= exit:
//!
//!   t  under watch          sold  S
//!   3  H1 H2 H3 H5 (4)      1     3/4
//!   4  H2 H3 H5    (3)      1     3/4 · 2/3 = 1/2
//!   6  H4 H5       (2)      1     1/2 · 1/2 = 1/4
//!
//! (H4 is seen from day 4 on: not under watch at 4.) Half are sold by day 4.
//! Log-log limits at 3, 80 %: z = 1.281552 (any table), sum d / (n (n - d)) =
//! 1 / (4 · 3) = 0.0833333, its root 0.2886751, ln S = -0.2876821;
//! z · 0.2886751 / 0.2876821 = 1.285975; e^1.285975 = 3.618195:
//!   low   0.75^3.618195     = e^(-0.2876821 · 3.618195) = e^-1.040890 = 0.353140
//!   high  0.75^(1/3.618195) = e^(-0.2876821 / 3.618195) = e^-0.079510 = 0.923569
//!
//! Not used: H6 (no day of listing), H7 (seen on one day), H8 (over before it
//! was first seen). Asks of the eight: 100 110 120 130 150 160 200 300; with 7
//! steps between them the quartiles lie at steps 1.75, 3.5 and 5.25:
//!   110 + 0.75 · 10 = 117.50,  (130 + 150) / 2 = 140,  160 + 0.25 · 40 = 170
//!
//! Road: R1 is gone, listed and first seen 10 April, last seen on the 12th. Its
//! source was next looked at on the 16th (R2), so it ended half-way, on the 14th:
//! 4 days. A gone comp is a sale with 0.8, so at 4 the curve falls from 1 to
//! 1 - 0.8 = 0.2 (R2, first seen on the 16th with 14 days behind it, is not under
//! watch yet). The other source was looked at on the 13th, which does not matter.
//!
//! Kids: K1 is gone, last seen on 2 January (1 day), next look at its source on
//! 1 March (K2): 58 days later, of which 30 count: 1 + 15 = 16 days.
//!
//! Own bikes: A first ask 200, cut to 180, sold at 171; B first ask 100, sold at
//! 95; C listed 21 April, unsold. A cut of A after its sale does not count.
//!   against the first ask: 171/200 = 0.855, 95/100 = 0.95. The median of two logs
//!   is their mean: sqrt(0.855 · 0.95) - 1 = sqrt(0.81225) - 1 = -0.0987508
//!   against the last ask: A alone, 171/180 - 1 = -0.05

use crate::support::records::{Says as _, comp, in_memory, sale, units};
use crate::support::tolerance::{SAME_NUMBER, assert_near};
use crate::support::workshop::Workshop;
use jiff::ToSpan as _;
use serde_json::Value;
use wheelworth::pricing::Priors;
use wheelworth::pricing::market::haggling::Against;
use wheelworth::pricing::market::takeaways::{Pace, of_days};
use wheelworth::pricing::market::{Market, MarketQuestion, market};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::trade::gone::{Left, LeftAs};
use wheelworth::trade::{AskChange, Comparable, Currency, Day, Outcome, Sale, Style};

const COMPS: &str = "\
listing,source,style,listed_on,first_seen,last_seen,ask,outcome,ended_on
H1,board,hybrid,2026-04-01,2026-04-01,2026-04-06,100,sold,2026-04-04
H2,board,hybrid,2026-04-01,2026-04-01,2026-04-06,110,listed,
H3,board,hybrid,2026-04-01,2026-04-03,2026-04-05,120,sold,
H4,board,hybrid,2026-04-01,2026-04-05,2026-04-07,130,sold,
H5,board,hybrid,2026-04-01,2026-04-02,2026-04-07,150,withdrawn,
H6,board,hybrid,,2026-04-02,2026-04-07,160,sold,
H7,board,hybrid,2026-04-01,2026-04-03,2026-04-03,200,listed,
H8,board,hybrid,2026-04-01,2026-04-05,2026-04-07,300,sold,2026-04-03
R1,wall,road,2026-04-10,2026-04-10,2026-04-12,400,gone,
R2,wall,road,2026-04-02,2026-04-16,2026-04-20,450,listed,
R3,board,road,,2026-04-13,2026-04-13,450,listed,
K1,post,kids,2026-01-01,2026-01-01,2026-01-02,40,gone,
K2,post,kids,,2026-03-01,2026-03-01,50,listed,
";

/// Five decimals in the steps above.
const BY_HAND: f64 = 2e-6;

fn of_style(style: &str) -> Value {
    let workshop = Workshop::new().comps(COMPS);
    let line = [
        "market",
        "--style",
        style,
        "--as-of",
        "2026-05-01",
        "--format",
        "json",
    ];
    workshop.run(&line).done().json()
}

#[test]
fn late_entries_make_the_curve() {
    let answer = of_style("hybrid");
    let comps = &answer["days_on_market"]["comps"];
    let falls: Vec<(f64, f64)> = comps["curve"]
        .as_array()
        .unwrap()
        .iter()
        .map(|fall| {
            (
                fall["day"].as_f64().unwrap(),
                fall["unsold"].as_f64().unwrap(),
            )
        })
        .collect();
    for ((day, unsold), (at, expected)) in falls.iter().zip([(3.0, 0.75), (4.0, 0.5), (6.0, 0.25)])
    {
        assert_eq!(*day, at);
        assert_near("unsold", *unsold, expected, SAME_NUMBER);
    }
    assert_eq!(falls.len(), 3);
    assert_eq!(comps["median"], 4.0);
    assert_eq!(comps["followed"], 5.0);
    let first = &comps["curve"][0];
    assert_near("low", first["low"].as_f64().unwrap(), 0.353140, BY_HAND);
    assert_near("high", first["high"].as_f64().unwrap(), 0.923569, BY_HAND);
    // Followed for six days: nothing is known of a week.
    assert_eq!(comps["within_7"], Value::Null);
    let unused = &answer["days_on_market"]["not_used"];
    assert_eq!(unused["without_listing_day"], 1);
    assert_eq!(unused["seen_once"], 1);
    assert_eq!(unused["ended_before_seen"], 1);
}

#[test]
fn quartiles_lie_on_straight_lines_between_the_asks() {
    let answer = of_style("hybrid");
    let row = &answer["by"]["style"][0];
    assert_eq!(row["comps"], 8);
    let asks = &row["asks"];
    assert_eq!(asks["low"], 117.5);
    assert_eq!(asks["median"], 140.0);
    assert_eq!(asks["high"], 170.0);
    assert_eq!(row["shares"]["sold"], 0.625);
    assert_eq!(row["shares"]["listed"], 0.25);
    assert_eq!(row["shares"]["withdrawn"], 0.125);
    assert_eq!(row["shares"]["gone"], 0.0);
    // Four ended that can be used: too few to tell the days of a group.
    assert_eq!(row["days_on_market"]["comps"], Value::Null);
}

#[test]
fn a_gone_comp_ended_half_way_to_the_next_look() {
    for (style, days) in [("road", 4.0), ("kids", 16.0)] {
        let answer = of_style(style);
        let comps = &answer["days_on_market"]["comps"];
        let falls = comps["curve"].as_array().unwrap();
        assert_eq!(falls.len(), 1, "{style}");
        assert_eq!(falls[0]["day"], days, "{style}");
        assert_near(
            style,
            falls[0]["unsold"].as_f64().unwrap(),
            0.2,
            SAME_NUMBER,
        );
        assert_eq!(comps["gone"], 1.0);
        assert_eq!(comps["median_if_50_percent_of_gone_sold"], days);
    }
}

const fn on(month: i8, day: i8) -> Day {
    Day::constant(2026, month, day)
}

fn own_market(as_of: Day) -> Market {
    let cut = |on, ask: i64| AskChange {
        bike: "A".into(),
        on,
        ask: units(ask),
    };
    let records = InMemory {
        sales: vec![
            sale("A").listed(on(3, 1), 200).sold(on(3, 21), 171),
            sale("B").listed(on(4, 1), 100).sold(on(4, 1), 95),
            sale("C").listed(on(4, 21), 300),
        ],
        comps: Vec::new(),
        asks: vec![cut(on(3, 11), 180), cut(on(3, 25), 150)],
    };
    market_of(&records, as_of)
}

fn market_of(records: &InMemory, as_of: Day) -> Market {
    let question = MarketQuestion {
        as_of,
        currency: Currency::from_code("EUR").unwrap(),
        style: None,
        top: 10,
        level: 0.8,
    };
    market(records, Priors::shipped(), &question).unwrap()
}

/// A bike given away for nothing has a sale price and no gap to its ask.
#[test]
fn a_price_of_nothing_makes_no_gap() {
    let records = in_memory(
        &[
            sale("A").listed("2026-03-01", 200).sold("2026-03-21", 171),
            sale("B").listed("2026-04-01", 100).sold("2026-04-05", 0),
        ],
        &[],
        &[],
    );
    let question = MarketQuestion {
        as_of: Day::constant(2026, 5, 1),
        currency: Currency::from_code("EUR").unwrap(),
        style: None,
        top: 10,
        level: 0.8,
    };
    let first = market(&records, Priors::shipped(), &question).unwrap().gaps[0];
    assert_eq!(first.sales, 1);
    assert_near("first", first.median.unwrap(), 0.855 - 1.0, SAME_NUMBER);
}

#[test]
fn from_ask_to_sale_price() {
    let found = own_market(Day::constant(2026, 5, 1));
    let [first, last, ..] = found.gaps;
    assert_eq!(Against::ALL[..2], [Against::OwnFirst, Against::OwnLast]);
    assert_eq!((first.sales, last.sales), (2, 1));
    assert_near("first", first.median.unwrap(), -0.0987508, 1e-7);
    assert_near("last", last.median.unwrap(), -0.05, SAME_NUMBER);
}

/// A stood 20 days; B was sold on its day of listing, counted as half a day; C
/// stands for 10 days. S: 2/3 at 0.5, 2/3 · 0/1 = 0 at 20.
#[test]
fn own_bikes_count_from_their_listing() {
    let found = own_market(Day::constant(2026, 5, 1));
    let own = found.days.own.unwrap();
    let falls: Vec<(f64, f64)> = own.steps.iter().map(|s| (s.time, s.survival)).collect();
    assert_eq!(falls.len(), 2);
    assert_eq!((falls[0].0, falls[1].0), (0.5, 20.0));
    assert_near("half a day", falls[0].1, 2.0 / 3.0, SAME_NUMBER);
    assert_near("all", falls[1].1, 0.0, SAME_NUMBER);
    assert_eq!(own.median, Some(20.0));
    // Once all are sold, a longer time changes nothing.
    assert_eq!(own.within.map(|share| share.unwrap()).last(), Some(&1.0));
    assert_eq!(found.sales.sold, 2);
    assert_eq!(found.sales.listed, 1);
    // On 20 March A stood for 19 days, and the others were not known.
    let earlier = own_market(Day::constant(2026, 3, 20));
    assert_eq!(earlier.days.own.unwrap().longest, 19.0);
    assert_eq!((earlier.sales.bikes, earlier.sales.not_yet), (1, 2));
}

/// As above, and D was given away after ten days of its listing: it was under watch at
/// half a day, unsold, and is not at 20. S: 2/3, then 2/3 · 0/1 = 0.
#[test]
fn a_bike_that_was_given_away_stood_unsold_until_then() {
    let given = Sale {
        left: Some(Left {
            on: on(4, 11),
            how: LeftAs::Given,
            box_value: None,
            box_item: None,
        }),
        ..sale("D").listed(on(4, 1), 150)
    };
    let records = InMemory {
        sales: vec![
            sale("A").listed(on(3, 1), 200).sold(on(3, 21), 171),
            sale("B").listed(on(4, 1), 100).sold(on(4, 1), 95),
            given,
        ],
        comps: Vec::new(),
        asks: Vec::new(),
    };
    let own = market_of(&records, on(5, 1)).days.own.unwrap();
    let falls: Vec<(f64, f64)> = own.steps.iter().map(|s| (s.time, s.survival)).collect();
    assert_eq!((own.followed, own.sold), (3.0, 2.0));
    assert_eq!((falls[0].0, falls[1].0), (0.5, 20.0));
    assert_near("half a day", falls[0].1, 2.0 / 3.0, SAME_NUMBER);
    assert_near("all", falls[1].1, 0.0, SAME_NUMBER);
}

/// Half of twelve own bikes are sold by a day, half of twelve comps by the fourteenth: a
/// fifth less is quicker, a quarter more slower.
#[test]
fn own_bikes_are_quicker_slower_or_alike() {
    let pace = |days: i64| {
        let until = |day: Day, days: i64| day.saturating_add(days.days());
        let own = (0..12).map(|n| {
            let listed = until(on(2, 1), n);
            sale(format!("O{n}"))
                .listed(listed, 100)
                .sold(until(listed, days), 95)
        });
        let comps = (0..12).map(|n| {
            let listed = until(on(2, 1), n);
            Comparable {
                listed_on: Some(listed),
                first_seen: Some(listed),
                last_seen: Some(until(listed, 14)),
                ended_on: Some(until(listed, 14)),
                outcome: Outcome::Sold,
                ..comp(format!("c{n}"), Style::City, units(120))
            }
        });
        let records = InMemory {
            sales: own.collect(),
            comps: comps.map(|comp| (comp, 1.0)).collect(),
            asks: Vec::new(),
        };
        of_days(&market_of(&records, on(5, 1)))
    };
    // 0.8 and 1.25 times 14 are 11.2 and 17.5.
    for (days, expected) in [
        (11, Pace::Faster(11.0, 14.0)),
        (12, Pace::Alike(12.0, 14.0)),
        (17, Pace::Alike(17.0, 14.0)),
        (18, Pace::Slower(18.0, 14.0)),
    ] {
        assert_eq!(pace(days), expected);
    }
}

/// The market's days and the plan's pace count a comp that is gone alike.
#[test]
fn gone_counts_the_same_in_both() {
    let believed = wheelworth::pricing::Priors::shipped().selling.gone_sold;
    assert_eq!(wheelworth::pricing::market::days::GONE_SOLD, believed);
}
