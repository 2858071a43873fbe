//! The shed as text: what to do with each bike, the totals, what to doubt.

use super::words::{Shed, cautions, short_to_do, to_do};
use crate::accounts::stock::line::StockLine;
use crate::accounts::stock::shed::{LONG, Totals};
use crate::report::text::amounts::{exact, percent, plain, round};
use crate::report::text::counts::many;
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
    for (number, (_, text)) in (1..).zip(cautions(shed, currency)) {
        let _ = writeln!(out, "  {number}. {text}");
    }
    out
}

fn cells(line: &StockLine, as_of: Day, currency: &Currency) -> [String; COLUMNS] {
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
        to_do(line, as_of, currency),
    ]
}

fn table(out: &mut String, lines: &[StockLine], as_of: Day, currency: &Currency) {
    let mut rows: Vec<[String; COLUMNS]> = lines
        .iter()
        .map(|line| cells(line, as_of, currency))
        .collect();
    let headings = HEADINGS.map(|heading| heading.map(String::from));
    let long = |text: &str| text.chars().count() > LONGEST_ID;
    let widths: [usize; COLUMNS] = std::array::from_fn(|column| {
        let cells = headings.iter().chain(&rows).map(|row| &row[column]);
        let cells = cells.filter(|cell| column != 0 || !long(cell));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    });
    let before: usize = widths[..COLUMNS - 1].iter().map(|width| width + 2).sum();
    for (row, line) in rows.iter_mut().zip(lines) {
        if before + row[COLUMNS - 1].chars().count() > WIDEST {
            row[COLUMNS - 1] = short_to_do(line, as_of, currency);
        }
    }
    for row in headings.iter().chain(&rows) {
        let mut line = String::new();
        for (column, (cell, width)) in row.iter().zip(widths).enumerate() {
            let gap = if column == 0 { "" } else { "  " };
            let _ = match column {
                0 if long(cell) => write!(line, "{cell}\n{:width$}", ""),
                0 | 1 => write!(line, "{gap}{cell:<width$}"),
                _ if column + 1 == COLUMNS => write!(line, "{gap}{cell}"),
                _ => write!(line, "{gap}{cell:>width$}"),
            };
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
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
