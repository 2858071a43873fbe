//! What a bike on hand needs next and what is to be doubted of it, case by case, on 2 May
//! 2026: each case is one bike, ready, bought on 1 March and listed on 1 April at 100.

use crate::support::records::{Says as _, sale, units};
use wheelworth::accounts::life::lives;
use wheelworth::accounts::stock::caution::Doubt;
use wheelworth::accounts::{
    Clearance, Inspected, NextStep, Prospect, Stock, StockCaution, on_hand,
};
use wheelworth::trade::{AskChange, Day, Sale};

const TODAY: Day = Day::constant(2026, 5, 2);

fn listed() -> Sale {
    sale("A")
        .condition(3)
        .bought("2026-03-01")
        .purchase(40)
        .listed("2026-04-01", 100)
}

fn may(day: i8) -> Day {
    Day::constant(2026, 5, day)
}

/// A plan: an ask from each day of May on.
fn plan(asks: &[(i8, i64)]) -> Prospect {
    Prospect {
        value: Some(units(95)),
        asks: asks
            .iter()
            .map(|(on, ask)| (may(*on), units(*ask)))
            .collect(),
        brings: Some(units(90)),
    }
}

fn stock(sale: Sale, asks: &[AskChange], inspections: &[Inspected], plan: Prospect) -> Stock {
    let holdings = on_hand(&[sale], &[], asks, inspections, TODAY);
    Stock::of(
        holdings.into_iter().map(|holding| (holding, plan.clone())),
        TODAY,
    )
}

fn next(sale: Sale, asks: &[AskChange], plan: Prospect) -> NextStep {
    stock(sale, asks, &[], plan).lines[0].next
}

fn doubts(stock: &Stock) -> Vec<Doubt> {
    let doubts = stock.cautions.iter().filter_map(|caution| match caution {
        StockCaution::About { doubt, .. } => Some(*doubt),
        _ => None,
    });
    doubts.collect()
}

/// An ask of the plan that is no lower than the one that stands is no cut.
#[test]
fn the_next_cut_is_the_first_lower_ask() {
    let cut = |on, to| NextStep::MarkDown {
        on: may(on),
        from: units(100),
        to: units(to),
    };
    for (asks, expected) in [
        (&[(2, 100), (9, 100), (16, 90)][..], cut(16, 90)),
        (&[(2, 110), (9, 99)], cut(9, 99)),
        (&[(2, 99), (9, 90)], cut(2, 99)),
        (&[(2, 100)], NextStep::Wait),
        (&[], NextStep::Wait),
    ] {
        assert_eq!(next(listed(), &[], plan(asks)), expected, "{asks:?}");
    }
}

/// The last change up to today stands; one to nothing is none.
#[test]
fn the_ask_that_stands_is_the_last_one_above_nothing() {
    let change = |on, ask| AskChange {
        bike: "A".into(),
        on: may(on),
        ask: units(ask),
    };
    let asks = [change(1, 0), change(2, 0), change(3, 70)];
    let ask = |asks: &[AskChange]| {
        let stock = stock(listed(), asks, &[], Prospect::default());
        stock.lines[0].holding.ask
    };
    assert_eq!(ask(&asks), Some(units(100)));
    assert_eq!(ask(&[change(1, 90), change(2, 80)]), Some(units(80)));
    assert_eq!(ask(&[change(2, 80), change(1, 90)]), Some(units(80)));
    // Of the life of a bike the same is told.
    let ask = |asks: &[AskChange]| lives(&[listed()], &[], asks, TODAY)[0].ask;
    assert_eq!(ask(&[change(2, 80), change(1, 90)]), Some(units(80)));
    assert_eq!(
        ask(&[change(1, 90), change(2, 80), change(3, 70)]),
        Some(units(80))
    );
    assert_eq!(ask(&[]), Some(units(100)));
}

/// A gate outranks the record, on offer or not; without a road test a bike is still sold.
#[test]
fn an_inspection_decides_what_comes_next() {
    let cut = NextStep::MarkDown {
        on: TODAY,
        from: units(100),
        to: units(90),
    };
    for (result, expected, doubt) in [
        (Clearance::Passed, cut, None),
        (Clearance::NoRoadTest, cut, Some(Doubt::NoRoadTest)),
        (
            Clearance::GatesOpen,
            NextStep::Finish,
            Some(Doubt::GatesOpen),
        ),
        (
            Clearance::NotToBeSold,
            NextStep::Finish,
            Some(Doubt::NotToBeSold),
        ),
        (
            Clearance::OnlyParts,
            NextStep::TakeApart,
            Some(Doubt::OnlyParts),
        ),
    ] {
        let inspected = |on| Inspected {
            bike: "A".into(),
            on,
            result,
        };
        let found = stock(listed(), &[], &[inspected(TODAY)], plan(&[(2, 90)]));
        assert_eq!(found.lines[0].next, expected, "{result:?}");
        let told: Vec<Doubt> = doubt.into_iter().collect();
        assert_eq!(doubts(&found), told, "{result:?}");
        // Tomorrow's inspection is not known yet.
        let found = stock(listed(), &[], &[inspected(may(3))], plan(&[(2, 90)]));
        assert_eq!(found.lines[0].next, cut, "{result:?}");
        assert_eq!(doubts(&found), [Doubt::NotInspected], "{result:?}");
    }
}

/// On offer with an open gate comes before a cut that is due, and a bike on the stand with
/// one after it.
#[test]
fn an_open_gate_on_offer_comes_first() {
    let named = |id: &str, sale: Sale| Sale {
        id: id.into(),
        ..sale
    };
    let on_the_stand = Sale {
        listed_on: None,
        ask: None,
        ..listed()
    };
    let sales = [
        named("cut", listed()),
        named("stand", on_the_stand),
        named("offered", listed()),
    ];
    let open = ["stand", "offered"].map(|bike| Inspected {
        bike: bike.into(),
        on: TODAY,
        result: Clearance::GatesOpen,
    });
    let holdings = on_hand(&sales, &[], &[], &open, TODAY);
    let known = holdings.into_iter().map(|one| (one, plan(&[(2, 90)])));
    let stock = Stock::of(known, TODAY);
    let order = stock.lines.iter().map(|line| line.holding.sale.id.as_str());
    assert_eq!(order.collect::<Vec<_>>(), ["offered", "cut", "stand"]);
}

/// A listed bike with an open gate is to be finished, too, and is no bike on the stand; what
/// is only parts is not to be finished.
#[test]
fn what_stands_on_offer_is_not_on_the_stand() {
    let about = |sale, result| {
        let open = Inspected {
            bike: "A".into(),
            on: TODAY,
            result,
        };
        doubts(&stock(sale, &[], &[open], plan(&[(2, 100)])))
    };
    let offered = about(listed().condition(2), Clearance::GatesOpen);
    assert_eq!(offered, [Doubt::ListedUnready, Doubt::GatesOpen]);
    let on_the_stand = sale("A").condition(1).bought("2026-03-01").purchase(40);
    let parts = about(on_the_stand, Clearance::OnlyParts);
    assert_eq!(parts, [Doubt::OnlyParts]);
}

/// An empty shed has no mean and no share, and brings nothing.
#[test]
fn nothing_on_hand_has_no_mean() {
    let totals = Stock::of([], TODAY).totals;
    assert_eq!((totals.mean_days(), totals.long_share()), (None, None));
    assert_eq!(totals.known_expected(), Some(units(0)));
    let unknown = stock(listed(), &[], &[], Prospect::default()).totals;
    assert_eq!(unknown.known_expected(), None);
}

/// Listed on the day it was bought is in order, the day before is not.
#[test]
fn a_bike_is_not_listed_before_it_is_bought() {
    let about = |bought: &str| {
        let sale = listed().bought(bought);
        doubts(&stock(sale, &[], &[], plan(&[(2, 100)])))
    };
    assert_eq!(about("2026-04-01"), [Doubt::NotInspected]);
    assert_eq!(
        about("2026-04-02"),
        [Doubt::NotInspected, Doubt::ListedFirst]
    );
}

/// No plan is told where there is a value and no ask, and only there.
#[test]
fn a_value_without_a_plan_is_told() {
    let about = |prospect| doubts(&stock(listed(), &[], &[], prospect));
    assert_eq!(about(plan(&[])), [Doubt::NoPlan, Doubt::NotInspected]);
    assert_eq!(about(plan(&[(2, 100)])), [Doubt::NotInspected]);
    let no_value = [Doubt::NoValue, Doubt::NotInspected];
    assert_eq!(about(Prospect::default()), no_value);
}
