//! The market as text.

mod days;
mod tables;
mod unusual;

use super::caution_words;
use super::double_listings::DoubleListings;
use super::takeaways;
use super::takeaways::take;
use super::words::range;
use crate::pricing::market::Market;
use crate::report::text::counts::many;
use crate::report::text::dates::MONTHS;
use crate::report::text::shares::{change, level_percent};
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered};
use crate::trade::Currency;
use days::{gap, on_market};
use std::fmt::Write as _;
use tables::tables;
use unusual::unusual;

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
    let cautions = market.cautions.iter().map(caution_words::words);
    numbered(&mut out, UNBROKEN, cautions);
    out
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
    take(out, takeaways::of_records(market));
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
    let mut table = Table::new([
        Column::left(20).after("  "),
        Column::right(8),
        Column::left(22).after("  "),
        Column::right(6),
        Column::left(0),
    ]);
    for period in &market.movement {
        let range = if period.level.low == period.level.high {
            "today".into()
        } else {
            range(&period.level)
        };
        let prices = if period.rests_on_prior() {
            "prices, rests on the belief that markets move slowly"
        } else {
            "prices"
        };
        table.row([
            period.label(),
            change(period.level.factor - 1.0),
            range,
            format!("{:.0}", period.rows),
            prices.into(),
        ]);
    }
    table.write(out);
    take(out, &takeaways::of_movement(market));
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
    let mut table = Table::new([
        Column::left(20).after("  "),
        Column::right(8),
        Column::left(0).after("  "),
    ]);
    for (name, month) in MONTHS.iter().zip(&season.months) {
        let change = change(month.factor - 1.0);
        table.row([(*name).to_string(), change, range(month)]);
    }
    table.write(out);
    take(out, &takeaways::of_season(market));
}
