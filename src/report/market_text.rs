//! The market as text.

use super::amounts::{self, bike, exact, round};
use super::market_words::{self as words, DoubleListings, change, days, many, range};
use super::quote_text::level_percent;
use crate::pricing::market::days::{GONE_SOLD, GONE_SOLD_OTHERWISE, OnMarket, WITHIN};
use crate::pricing::market::haggling::Against;
use crate::pricing::market::places::By;
use crate::pricing::market::spells::LONGEST_GAP;
use crate::pricing::market::{GroupRow, Market};
use crate::trade::{Currency, Money, Outcome};
use std::fmt::Write as _;

/// Rows that were set aside and are named, at most.
const SET_ASIDE: usize = 5;

/// The whole answer.
pub fn text(market: &Market, doubles: &DoubleListings, currency: &Currency) -> String {
    let mut out = String::new();
    let question = &market.question;
    let style = question
        .style
        .map_or(String::new(), |style| format!(", {style} bikes only"));
    let _ = writeln!(
        out,
        "The market on {}, money in {currency}{style}",
        question.as_of
    );
    if !market.is_empty() {
        records(&mut out, market, doubles);
        tables(&mut out, market, currency);
        on_market(&mut out, market);
        gap(&mut out, market);
        movement(&mut out, market);
        season(&mut out, market);
        unusual(&mut out, market, doubles, currency);
    }
    if !market.cautions.is_empty() {
        let _ = writeln!(out, "\nCautions");
    }
    for (number, caution) in (1..).zip(&market.cautions) {
        let _ = writeln!(out, "  {number}. {}", words::words(caution));
    }
    out
}

/// What a seller should take from a part.
fn take(out: &mut String, line: &str) {
    let _ = writeln!(out, "  => {line}");
}

fn records(out: &mut String, market: &Market, doubles: &DoubleListings) {
    let (comps, sales) = (&market.comps, &market.sales);
    let _ = writeln!(out, "\nRecords");
    let several = if comps.listings > comps.comps {
        format!(
            " in {} listings ({} listed more than once count once)",
            comps.listings, doubles.count
        )
    } else {
        String::new()
    };
    let dates = comps
        .dates
        .map_or(String::new(), |(from, to)| format!(", {from} to {to}"));
    let [listed, sold, withdrawn, gone] = comps.outcomes;
    let _ = writeln!(out, "  {}{several}{dates}", many(comps.comps, "comp"));
    if comps.comps > 0 {
        let _ = writeln!(
            out,
            "    {listed} still listed, {sold} sold, {withdrawn} withdrawn, {gone} gone for an unknown reason"
        );
    }
    let dates = sales
        .dates
        .map_or(String::new(), |(from, to)| format!(" ({from} to {to})"));
    let _ = writeln!(
        out,
        "  {}: {} sold{dates}, {} listed, {} on hand and not listed",
        many(sales.bikes, "own bike"),
        sales.sold,
        sales.listed,
        sales.not_listed
    );
    take(out, &words::of_records(market));
}

fn tables(out: &mut String, market: &Market, currency: &Currency) {
    let level = level_percent(market.question.level);
    let _ = writeln!(
        out,
        "\nAsks, sale prices and outcomes. Asks are those that stood last: a quarter lie below the low, half below the\n\
         median, a quarter above the high. Days: half are sold by then, with the {level} limits; told where 10 have ended.\n"
    );
    let _ = writeln!(
        out,
        "{:<15} {:>6} {:>7} {:>7} {:>7} | {:>5} {:>7} | {:>5} {:>5} {:>5} {:>5} | {:>12} {:>12}",
        "", "", "", "asks", "", "own", "median", "", "with-", "", "still", "days on", "market"
    );
    for by in [By::Style, By::Condition, By::Tier, By::Age, By::All] {
        let _ = writeln!(
            out,
            "{:<15} {:>6} {:>7} {:>7} {:>7} | {:>5} {:>7} | {:>5} {:>5} {:>5} {:>5} | {:>12} {:>12}",
            format!("by {}", by.word()).replace("by all", "together"),
            "comps",
            "low",
            "median",
            "high",
            "sales",
            "price",
            "sold",
            "drawn",
            "gone",
            "there",
            "comps",
            "own"
        );
        market
            .table(by)
            .iter()
            .for_each(|group| table_row(out, group, currency));
        out.push('\n');
    }
    take(out, &words::of_prices(market, currency));
    take(out, &words::of_outcomes(market));
}

fn table_row(out: &mut String, group: &GroupRow, currency: &Currency) {
    let row = &group.row;
    let money = |amount: Option<Money>| amount.map_or("-".into(), |m| round(m, currency));
    let share = |outcome: Outcome| {
        let share = row.share(outcome);
        share.map_or("-".to_string(), |share| format!("{:.0} %", 100.0 * share))
    };
    let half = |of: &Option<OnMarket>| of.as_ref().map_or("-".into(), half_sold);
    let _ = writeln!(
        out,
        "  {:<13} {:>6} {:>7} {:>7} {:>7} | {:>5} {:>7} | {:>5} {:>5} {:>5} {:>5} | {:>12} {:>12}",
        row.group,
        row.comps,
        money(row.asks.map(|q| q.low)),
        money(row.asks.map(|q| q.median)),
        money(row.asks.map(|q| q.high)),
        row.sales,
        money(row.sale_prices.map(|q| q.median)),
        share(Outcome::Sold),
        share(Outcome::Withdrawn),
        share(Outcome::Gone),
        share(Outcome::Listed),
        half(&group.days.comps),
        half(&group.days.own),
    );
}

/// `18 (15-22)`, `18 (15-…)` where the upper limit is not reached.
fn half_sold(of: &OnMarket) -> String {
    let Some(median) = of.median else {
        return "not reached".into();
    };
    let end = |limit: Option<f64>| limit.map_or("…".into(), days);
    format!("{} ({}-{})", days(median), end(of.low), end(of.high))
}

fn on_market(out: &mut String, market: &Market) {
    let found = &market.days;
    let _ = writeln!(
        out,
        "\nDays on market from the day of listing (Kaplan-Meier, {} log-log limits)",
        level_percent(found.level)
    );
    for (name, of) in [("own bikes", &found.own), ("comps", &found.comps)] {
        match of {
            Some(of) => one_curve(out, name, of),
            None => {
                let _ = writeln!(out, "  {name}: none that was followed for any time");
            }
        }
    }
    let unused = &found.unused;
    if unused.sum() > 0 {
        let _ = writeln!(
            out,
            "  Not used: {} without the day of listing or of first sight, {} seen on one day only, {} that had ended \
             before they were seen.",
            many(unused.no_listing_day, "comp"),
            unused.seen_once,
            unused.ended_before_seen
        );
    }
    if market.comps.comps > 0 {
        let _ = writeln!(
            out,
            "  Comps count from the day they were first seen on. Withdrawn and still listed: not sold by then. Gone: sold \
             with\n  a share of {GONE_SOLD} (judgement), half-way to the next day you looked, at most {LONGEST_GAP} days on."
        );
    }
    take(out, &words::of_days(market));
}

fn one_curve(out: &mut String, name: &str, of: &OnMarket) {
    let count = |count: f64| format!("{:.0}", count);
    let ended = if of.gone > 0.0 {
        format!("{} sold, {} gone", count(of.sold), count(of.gone))
    } else {
        format!("{} sold", count(of.sold))
    };
    let half = match of.median {
        Some(median) => {
            let low = of.low.map_or("?".into(), days);
            let high = of.high.map_or("not reached".into(), days);
            format!("half sold within {} days ({low} to {high})", days(median))
        }
        None => format!(
            "half sold: not reached in the {} days they were followed",
            days(of.longest)
        ),
    };
    let _ = writeln!(
        out,
        "  {name}: {} followed, {ended}; {half}",
        count(of.followed)
    );
    if of.gone > 0.0 {
        let told: Vec<String> = GONE_SOLD_OTHERWISE
            .iter()
            .zip(of.otherwise)
            .map(|(share, median)| {
                let median = median.map_or("not reached".into(), |m| format!("{} days", days(m)));
                format!("{median} if {:.0} % of the gone were sold", 100.0 * share)
            })
            .collect();
        let _ = writeln!(out, "    {}", told.join(", "));
    }
    let within: Vec<String> = WITHIN
        .iter()
        .zip(of.within)
        .filter_map(|(day, share)| share.map(|s| format!("{:.0} % within {day:.0}", 100.0 * s)))
        .collect();
    if !within.is_empty() {
        let _ = writeln!(out, "    sold: {} days", within.join(", "));
    }
}

fn gap(out: &mut String, market: &Market) {
    let _ = writeln!(out, "\nFrom ask to sale price");
    for (against, gap) in Against::ALL.iter().zip(&market.gaps) {
        let name = match against {
            Against::OwnFirst => "own sales against the first ask",
            Against::OwnLast => "own sales against the last ask",
            Against::CompFirst => "comps against the first ask",
            Against::CompLast => "comps against the last ask",
        };
        let cells = match (gap.low, gap.median, gap.high) {
            (Some(low), Some(median), Some(high)) => format!(
                "median {}, half between {} and {}",
                change(median),
                change(low),
                change(high)
            ),
            _ => "-".into(),
        };
        let _ = writeln!(out, "  {name:<32} {:>5}: {cells}", gap.sales);
    }
    take(out, &words::of_gap(market));
}

fn movement(out: &mut String, market: &Market) {
    if market.movement.is_empty() {
        return;
    }
    let _ = writeln!(
        out,
        "\nHow prices moved: level of like bikes against today's, from the value model, with its {} range",
        level_percent(market.question.level)
    );
    for period in &market.movement {
        let range = if period.level.low == period.level.high {
            "today".into()
        } else {
            range(&period.level)
        };
        let _ = writeln!(
            out,
            "  {:<20} {:>8}  {range:<22} {:>6.0} prices{}",
            period.label(),
            change(period.level.factor - 1.0),
            period.rows,
            if period.rests_on_prior() {
                ", rests on the belief that markets move slowly"
            } else {
                ""
            }
        );
    }
    take(out, &words::of_movement(market));
}

fn season(out: &mut String, market: &Market) {
    let Some(season) = &market.season else {
        return;
    };
    let _ = writeln!(
        out,
        "\nSeason: prices of like bikes against the mean of the year, with the {} range",
        level_percent(market.question.level)
    );
    for (name, month) in words::MONTHS.iter().zip(&season.months) {
        let _ = writeln!(
            out,
            "  {name:<20} {:>8}  {}",
            change(month.factor - 1.0),
            range(month)
        );
    }
    take(out, &words::of_season(market));
}

fn unusual(out: &mut String, market: &Market, doubles: &DoubleListings, currency: &Currency) {
    let far = &market.far;
    let _ = writeln!(out, "\nUnusual");
    if far.count > 0 {
        let _ = writeln!(
            out,
            "  {} far from what is likely for such a listing, the strongest first{}",
            many(far.count, "comp"),
            shown(far.found.len(), far.count)
        );
    }
    for ask in &far.found {
        let times = if ask.ratio >= 1.0 {
            format!("{:.1} times", ask.ratio)
        } else {
            format!("1/{:.1} of", 1.0 / ask.ratio)
        };
        let _ = writeln!(
            out,
            "    {:<22} {:>8} {:>9}, {times} the likely {}: {}\n      {}",
            words::listing(&ask.listing, &ask.source),
            words::standing(ask.outcome, ask.paid),
            exact(ask.price, currency),
            round(ask.expected, currency),
            words::may_be(ask.may_be),
            bike(&ask.bike)
        );
    }
    if let Some(gathered) = market.gathered.as_ref().filter(|g| g.left_out > 0) {
        let named: Vec<String> = gathered
            .left_out_named
            .iter()
            .take(SET_ASIDE)
            .map(words::set_aside)
            .collect();
        let more = if gathered.left_out > named.len() {
            "; …"
        } else {
            ""
        };
        let _ = writeln!(
            out,
            "  Set aside by the value model, {} in all: {}{more}",
            gathered.left_out,
            named.join("; ")
        );
    }
    if doubles.count > 0 {
        let _ = writeln!(
            out,
            "  {} probably listed more than once{}",
            many(doubles.count, "bike"),
            shown(doubles.named.len(), doubles.count)
        );
    }
    for double in &doubles.named {
        let listings: Vec<String> = double
            .listings
            .iter()
            .map(|(id, source)| words::listing(id, source))
            .collect();
        let _ = writeln!(
            out,
            "    {}: {}, {}",
            listings.join(" = "),
            amounts::short_bike(&double.bike),
            exact(double.ask, currency)
        );
    }
    take(out, &words::of_unusual(market));
}

/// `; 10 shown` where not all are.
fn shown(shown: usize, all: usize) -> String {
    if shown < all {
        format!("; {shown} shown")
    } else {
        String::new()
    }
}
