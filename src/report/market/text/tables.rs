//! The market's tables as text.

use crate::pricing::market::days::OnMarket;
use crate::pricing::market::places::By;
use crate::pricing::market::{GroupRow, Market};
use crate::report::market::takeaways;
use crate::report::market::takeaways::take;
use crate::report::market::words::days;
use crate::report::text::amounts::whole;
use crate::report::text::shares::level_percent;
use crate::report::text::table::{Column, Table};
use crate::trade::{Currency, Money, Outcome};
use std::fmt::Write as _;

/// Every way to group, in the order of the tables.
pub(in crate::report) const EVERY: [By; 5] = [By::Style, By::Condition, By::Tier, By::Age, By::All];

/// Asks, sale prices and days, a table for each way to group.
pub(in crate::report) fn prices(out: &mut String, market: &Market, by: &[By], currency: &Currency) {
    let _ = writeln!(
        out,
        "\nAsks: the last one of each; a quarter of them are below low, half below middle, a quarter above \
         high. Paid: the middle of your own sales. Days: half are sold by then; shown where 10 or more have \
         ended.\n"
    );
    let mut table = Table::new([
        Column::cut(14).after(""),
        Column::right(5).fitted(),
        Column::right(5).fitted().after("  "),
        Column::right(6).fitted(),
        Column::right(5).fitted(),
        Column::right(4).fitted().after(" | "),
        Column::right(5).fitted(),
        Column::right(5).fitted().after(" | "),
        Column::right(5).fitted(),
    ]);
    table.row(["", "", "", "asks", "", "own", "", "days", ""]);
    for (place, by) in by.iter().enumerate() {
        if place > 0 {
            table.across("");
        }
        let heads = [
            "comps", "low", "middle", "high", "sales", "paid", "comps", "own",
        ];
        table.row([name(*by).as_str()].into_iter().chain(heads));
        for group in market.table(*by) {
            table.row(price_cells(group, currency));
        }
    }
    table.write(out);
    take(out, &takeaways::of_prices(market, currency));
}

/// What became of the comps, and days with their limits.
pub(in crate::report) fn outcomes(out: &mut String, market: &Market) {
    let level = level_percent(market.question.level);
    let _ = writeln!(
        out,
        "\nWhat became of the comps, and the day by which half are sold, with its {level} range\n"
    );
    let mut table = Table::new([
        Column::cut(14).after(""),
        Column::right(5).fitted(),
        Column::right(5).fitted(),
        Column::right(5).fitted(),
        Column::right(5).fitted(),
        Column::right(12).fitted().after(" | "),
        Column::right(12).fitted(),
    ]);
    table.row(["", "", "taken", "", "still", "half sold by", "day"]);
    for (place, by) in EVERY.into_iter().enumerate() {
        if place > 0 {
            table.across("");
        }
        let heads = ["sold", "back", "gone", "there", "comps", "own"];
        table.row([name(by).as_str()].into_iter().chain(heads));
        for group in market.table(by) {
            table.row(outcome_cells(group));
        }
    }
    table.write(out);
    take(out, &takeaways::of_outcomes(market));
}

fn name(by: By) -> String {
    match by {
        By::All => "together".into(),
        by => format!("by {}", by.word()),
    }
}

fn price_cells(group: &GroupRow, currency: &Currency) -> [String; 9] {
    let row = &group.row;
    let money = |amount: Option<Money>| amount.map_or("-".into(), |m| whole(m, currency));
    let half = |of: &Option<OnMarket>| {
        let median = of.as_ref().map(|of| of.median);
        median.map_or("-".into(), |median| median.map_or("…".into(), days))
    };
    [
        format!("  {}", row.group),
        row.comps.to_string(),
        money(row.asks.map(|q| q.low)),
        money(row.asks.map(|q| q.median)),
        money(row.asks.map(|q| q.high)),
        row.sales.to_string(),
        money(row.sale_prices.map(|q| q.median)),
        half(&group.days.comps),
        half(&group.days.own),
    ]
}

fn outcome_cells(group: &GroupRow) -> [String; 7] {
    let row = &group.row;
    let share = |outcome: Outcome| {
        let share = row.share(outcome);
        share.map_or("-".to_string(), |share| format!("{:.0} %", 100.0 * share))
    };
    let half = |of: &Option<OnMarket>| of.as_ref().map_or("-".into(), half_sold);
    [
        format!("  {}", row.group),
        share(Outcome::Sold),
        share(Outcome::Withdrawn),
        share(Outcome::Gone),
        share(Outcome::Listed),
        half(&group.days.comps),
        half(&group.days.own),
    ]
}

/// `18 (15-22)`, `18 (15-…)` where the upper limit is not reached.
fn half_sold(of: &OnMarket) -> String {
    let Some(median) = of.median else {
        return "not reached".into();
    };
    let end = |limit: Option<f64>| limit.map_or("…".into(), days);
    format!("{} ({}-{})", days(median), end(of.low), end(of.high))
}
