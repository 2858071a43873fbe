//! The market's tables as text.

use crate::pricing::market::days::OnMarket;
use crate::pricing::market::places::By;
use crate::pricing::market::{GroupRow, Market};
use crate::report::market::takeaways;
use crate::report::market::takeaways::take;
use crate::report::market::words::days;
use crate::report::text::amounts::round;
use crate::report::text::shares::level_percent;
use crate::report::text::table::{Column, Table};
use crate::trade::{Currency, Money, Outcome};
use std::fmt::Write as _;

/// Asks, sale prices, outcomes and days by style, condition, tier and age.
pub(in crate::report) fn tables(out: &mut String, market: &Market, currency: &Currency) {
    let level = level_percent(market.question.level);
    let _ = writeln!(
        out,
        "\nAsks, sale prices and outcomes. Asks are those that stood last: a quarter lie below the low, half below the\n\
         median, a quarter above the high. Days: half are sold by then, with the {level} limits; told where 10 have ended.\n"
    );
    let mut table = Table::new([
        Column::left(15).after(""),
        Column::right(6),
        Column::right(7),
        Column::right(7),
        Column::right(7),
        Column::right(5).after(" | "),
        Column::right(7),
        Column::right(5).after(" | "),
        Column::right(5),
        Column::right(5),
        Column::right(5),
        Column::right(12).after(" | "),
        Column::right(12),
    ]);
    table.row([
        "", "", "", "asks", "", "own", "median", "", "with-", "", "still", "days on", "market",
    ]);
    for by in [By::Style, By::Condition, By::Tier, By::Age, By::All] {
        let name = format!("by {}", by.word()).replace("by all", "together");
        table.row([
            name.as_str(),
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
            "own",
        ]);
        for group in market.table(by) {
            table.row(cells(group, currency));
        }
        table.across("");
    }
    table.write(out);
    take(out, &takeaways::of_prices(market, currency));
    take(out, &takeaways::of_outcomes(market));
}

fn cells(group: &GroupRow, currency: &Currency) -> [String; 13] {
    let row = &group.row;
    let money = |amount: Option<Money>| amount.map_or("-".into(), |m| round(m, currency));
    let share = |outcome: Outcome| {
        let share = row.share(outcome);
        share.map_or("-".to_string(), |share| format!("{:.0} %", 100.0 * share))
    };
    let half = |of: &Option<OnMarket>| of.as_ref().map_or("-".into(), half_sold);
    [
        format!("  {}", row.group),
        row.comps.to_string(),
        money(row.asks.map(|q| q.low)),
        money(row.asks.map(|q| q.median)),
        money(row.asks.map(|q| q.high)),
        row.sales.to_string(),
        money(row.sale_prices.map(|q| q.median)),
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
