//! The shed as text: what to do with each bike, the totals, what to doubt.

use super::shed::Shed;
use super::words::{cautions, short_to_do, to_do};
use crate::accounts::stock::line::StockLine;
use crate::accounts::stock::shed::{LONG, Totals};
use crate::report::text::amounts::{exact, plain, round};
use crate::report::text::counts::many;
use crate::report::text::shares::percent;
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered, width};
use crate::trade::{Currency, Day, Money};
use std::fmt::Write as _;

/// Columns of the table; all but the first two and the last stand to the right.
const COLUMNS: usize = 8;
/// Headings, each on two lines.
const HEADINGS: [[&str; COLUMNS]; 2] = [
    ["", "", "days in", "days", "cash", "", "", ""],
    [
        "bike", "", "workshop", "listed", "tied up", "ask", "value", "to do",
    ],
];
/// A longer id stands on a line of its own, so that the table stays narrow.
const LONGEST_ID: usize = 10;

/// The most characters of a line of the table.
const WIDEST: usize = 100;

/// The whole answer.
pub fn text(shed: &Shed, currency: &Currency) -> String {
    let stock = &shed.stock;
    let mut out = String::new();
    if stock.lines.is_empty() {
        let _ = writeln!(
            out,
            "The shed is empty: no bike was on hand on {}.\nA bike is on hand while its row of the sales has no \
             sold_on: 'wheelworth import sales FILE'.",
            stock.as_of
        );
        return out;
    }
    let _ = writeln!(
        out,
        "On hand on {}, what needs doing first; money in {currency}\n",
        stock.as_of
    );
    table(&mut out, &stock.lines, stock.as_of, currency);
    totals(&mut out, &stock.totals, currency);
    let _ = writeln!(out, "\nCautions");
    let cautions = cautions(shed, currency).into_iter().map(|(_, text)| text);
    numbered(&mut out, UNBROKEN, cautions);
    out
}

/// All but what to do.
fn cells(line: &StockLine, currency: &Currency) -> [String; COLUMNS - 1] {
    let holding = &line.holding;
    let bike = &holding.sale.bike;
    let days = |days: Option<i64>| days.map_or("-".into(), |days| days.to_string());
    let money = |money: Option<Money>, say: fn(Money, &Currency) -> String| {
        money.map_or("-".into(), |money| say(money, currency))
    };
    let made = bike.made.map_or(String::new(), |year| format!(" {year}"));
    [
        holding.sale.id.clone(),
        format!("{}{made}", bike.style),
        days(holding.days_in_workshop),
        days(holding.days_listed),
        money(holding.cash(), exact),
        money(holding.ask, plain),
        money(line.prospect.value, round),
    ]
}

fn table(out: &mut String, lines: &[StockLine], as_of: Day, currency: &Currency) {
    let of = |to_do: &dyn Fn(&StockLine) -> String| {
        let mut table = Table::new(columns());
        for heading in HEADINGS {
            table.row(heading);
        }
        for line in lines {
            let mut cells = cells(line, currency);
            if width(&cells[0]) > LONGEST_ID {
                table.across(std::mem::take(&mut cells[0]));
            }
            table.row(cells.into_iter().chain([to_do(line)]));
        }
        table
    };
    let full = of(&|line| to_do(line, as_of, currency));
    let room = WIDEST.saturating_sub(full.before(COLUMNS - 1));
    of(&|line| {
        let words = to_do(line, as_of, currency);
        if width(&words) > room {
            short_to_do(line, as_of, currency)
        } else {
            words
        }
    })
    .write(out);
}

fn columns() -> [Column; COLUMNS] {
    let mut columns = [Column::right(0).fitted().after("  "); COLUMNS];
    columns[0] = Column::left(0).fitted().after("");
    columns[1] = Column::left(0).fitted().after("  ");
    columns[COLUMNS - 1] = Column::left(0).after("  ");
    columns
}

fn totals(out: &mut String, totals: &Totals, currency: &Currency) {
    let _ = writeln!(
        out,
        "\n{} on hand, {} of cash tied up in {}.",
        many(totals.bikes, "bike"),
        exact(totals.cash, currency),
        if totals.bikes == 1 { "it" } else { "them" }
    );
    let listed = match totals.listed {
        0 => "None is listed.".to_string(),
        listed => format!(
            "{listed} listed, asking {} together.",
            plain(totals.asks, currency)
        ),
    };
    let brings = match totals.known_expected() {
        None => String::new(),
        Some(expected) => {
            let of = if totals.with_value == totals.bikes {
                String::new()
            } else {
                format!(" ({} with a value)", many(totals.with_value, "bike"))
            };
            format!(
                " If the plans hold, about {} comes in for all that is on hand{of}.",
                round(expected, currency)
            )
        }
    };
    let _ = writeln!(out, "{listed}{brings}");
    if let (Some(mean), Some(longest)) = (totals.mean_days(), totals.longest) {
        let days = match totals.with_days {
            1 => many(usize::try_from(longest).unwrap_or(0), "day"),
            _ => format!("{mean:.0} days on average, {longest} at most"),
        };
        let share = totals.long_share().map_or(String::new(), |share| {
            let share = match share {
                0.0 => "none".to_string(),
                1.0 => "all".to_string(),
                share => percent(share),
            };
            format!("; {share} of the cash is in bikes on hand for more than {LONG} days")
        });
        let _ = writeln!(out, "On hand for {days}{share}.");
    }
}
