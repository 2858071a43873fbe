//! The shed as text: what to do first, each bike, what to doubt.

use super::shed::Shed;
use super::words::{Told, cautions, to_do};
use crate::accounts::NextStep;
use crate::accounts::stock::line::StockLine;
use crate::accounts::stock::shed::{LONG, Totals};
use crate::report::text::amounts::{exact, plain, round};
use crate::report::text::counts::many;
use crate::report::text::shares::percent;
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered};
use crate::trade::{Currency, Day, Money};
use std::fmt::Write as _;

/// Columns of the table; all but the first two and the last stand to the right.
const COLUMNS: usize = 8;
/// Headings, each on two lines.
const HEADINGS: [[&str; COLUMNS]; 2] = [
    ["", "", "days", "", "cash", "", "", ""],
    [
        "bike", "", "here", "listed", "tied up", "ask", "value", "to do",
    ],
];

/// Bikes that are named before the table, at most.
const FIRST: usize = 3;

/// The whole answer: what to do first, the table, the cautions about single bikes; with
/// `why` every caution.
pub fn text(shed: &Shed, why: bool, currency: &Currency) -> String {
    let stock = &shed.stock;
    let mut out = String::new();
    if stock.lines.is_empty() {
        let _ = writeln!(
            out,
            "The shed is empty: no bike was on hand on {}.\nA bike that you buy comes in with 'wheelworth record \
             sale --bike ID --style … --purchase AMOUNT', a list of bikes with 'wheelworth import sales FILE'.",
            stock.as_of
        );
        return out;
    }
    let _ = writeln!(out, "On hand on {}; money in {currency}\n", stock.as_of);
    first(&mut out, &stock.lines, stock.as_of, currency);
    totals(&mut out, &stock.totals, currency);
    out.push('\n');
    table(&mut out, &stock.lines, stock.as_of, currency);
    let to_list = stock.lines.iter().find_map(|line| match line.next {
        NextStep::List { at } => Some((&line.holding.sale.id, at?)),
        _ => None,
    });
    if let Some((id, ask)) = to_list {
        let _ = writeln!(
            out,
            "\nOnce it is on offer:\n  wheelworth record sale --bike {id} --listed-on {} --ask {}",
            stock.as_of,
            currency.plain(ask)
        );
    }
    let all = cautions(shed, currency);
    let left = all.iter().filter(|one| !(why || one.is_short)).count();
    let told = all.into_iter().filter(|one| why || one.is_short);
    let _ = writeln!(out, "\nCautions");
    numbered(&mut out, UNBROKEN, told.map(|Told { words, .. }| words));
    if left > 0 {
        let _ = writeln!(out, "\n{left} more, about the prices: the same with --why.");
    }
    out
}

/// What to do first, in a line.
fn first(out: &mut String, lines: &[StockLine], as_of: Day, currency: &Currency) {
    let is_due = |line: &&StockLine| match line.next {
        NextStep::Wait => false,
        NextStep::MarkDown { on, .. } => on <= as_of,
        _ => true,
    };
    let to_be_done = lines.iter().filter(is_due);
    let named: Vec<String> = to_be_done
        .clone()
        .take(FIRST)
        .map(|line| {
            let what = to_do(line, as_of, currency);
            format!("{}: {what}", line.holding.sale.id)
        })
        .collect();
    if named.is_empty() {
        let _ = writeln!(out, "Nothing to do today but wait.");
        return;
    }
    let more = match to_be_done.count() - named.len() {
        0 => String::new(),
        more => format!("; then {more} more, in the order of the table"),
    };
    let _ = writeln!(out, "To do first: {}{more}.", named.join("; "));
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
        days(holding.days_on_hand),
        days(holding.days_listed),
        money(holding.cash(), exact),
        money(holding.ask, plain),
        money(line.prospect.value, round),
    ]
}

fn table(out: &mut String, lines: &[StockLine], as_of: Day, currency: &Currency) {
    let mut table = Table::new(columns());
    for heading in HEADINGS {
        table.row(heading);
    }
    for line in lines {
        let cells = cells(line, currency).into_iter();
        table.row(cells.chain([to_do(line, as_of, currency)]));
    }
    table.write(out);
}

fn columns() -> [Column; COLUMNS] {
    let mut columns = [Column::right(0).fitted().after("  "); COLUMNS];
    columns[0] = Column::cut(8).after("");
    columns[1] = Column::cut(8).after("  ");
    columns[COLUMNS - 1] = Column::broken(12).after("  ");
    columns
}

fn totals(out: &mut String, totals: &Totals, currency: &Currency) {
    let _ = writeln!(
        out,
        "{} on hand, {} of cash tied up in {}.",
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
