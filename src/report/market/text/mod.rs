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
use crate::pricing::market::places::By;
use crate::report::text::counts::{capital, listed, many};
use crate::report::text::dates::MONTHS;
use crate::report::text::shares::{change, level_percent};
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered};
use crate::trade::Currency;
use days::{gap, on_market};
use std::fmt::Write as _;
use tables::{EVERY, outcomes, prices};
use unusual::unusual;

/// The answer: what a seller should take from it, and what is asked and paid by style,
/// condition and tier; with `why` every table, and how each comes about.
pub fn text(market: &Market, doubles: &DoubleListings, why: bool, currency: &Currency) -> String {
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
    if !market.is_empty() && why {
        records(&mut out, market, doubles);
        prices(&mut out, market, &EVERY, currency);
        outcomes(&mut out, market);
        on_market(&mut out, market);
        gap(&mut out, market);
        movement(&mut out, market);
        season(&mut out, market);
        unusual(&mut out, market, doubles, currency);
    } else if !market.is_empty() {
        in_short(&mut out, market, doubles);
        prices(&mut out, market, &FIRST_TABLES, currency);
    }
    if !market.cautions.is_empty() {
        let _ = writeln!(out, "\nCautions");
    }
    let cautions = market.cautions.iter().map(caution_words::words);
    numbered(&mut out, UNBROKEN, cautions);
    if !(why || market.is_empty()) {
        let _ = writeln!(
            out,
            "\nMore: outcomes, days, how prices moved, the season, unusual prices: the same with --why."
        );
    }
    out
}

/// The tables that a seller needs first.
const FIRST_TABLES: [By; 3] = [By::Style, By::Condition, By::Tier];

/// What a seller should take from all of it.
fn in_short(out: &mut String, market: &Market, doubles: &DoubleListings) {
    let _ = writeln!(
        out,
        "\nIt rests on {} and {}.",
        many(market.comps.comps, "comp"),
        many(market.sales.sold, "own sale")
    );
    take(out, &takeaways::of_days(market));
    take(out, &takeaways::of_gap(market));
    take(out, &takeaways::of_movement(market));
    take(out, &takeaways::of_season(market));
    let (far, twice) = (market.far.count, doubles.count);
    let far = (far > 0).then(|| {
        let verb = if far == 1 { "is" } else { "are" };
        format!("{} {verb} far from what is likely", many(far, "price"))
    });
    let twice = (twice > 0).then(|| {
        let verb = if twice == 1 { "is" } else { "are" };
        format!(
            "{} {verb} probably listed more than once",
            many(twice, "bike")
        )
    });
    let odd: Vec<String> = far.into_iter().chain(twice).collect();
    if !odd.is_empty() {
        take(
            out,
            &format!("{}: --why names them.", capital(&listed(&odd))),
        );
    }
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
        "\nHow prices moved: like bikes against today's, with the {} range",
        level_percent(market.question.level)
    );
    let mut table = Table::new([
        Column::left(9).fitted().after("  "),
        Column::right(8).fitted(),
        Column::left(18).fitted().after("  "),
        Column::right(4).fitted().after("  "),
        Column::broken(12).after(" "),
    ]);
    for period in &market.movement {
        let range = if period.level.low == period.level.high {
            "today".into()
        } else {
            range(&period.level)
        };
        let count = format!("{:.0}", period.rows);
        let mut prices = if count == "1" { "price" } else { "prices" }.to_string();
        if period.rests_on_prior() {
            prices += "; too few, so it rests on our assumption that markets move slowly";
        }
        table.row([
            period.label(),
            change(period.level.factor - 1.0),
            range,
            count,
            prices,
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
        Column::left(12).after("  "),
        Column::right(8).fitted(),
        Column::left(0).after("  "),
    ]);
    for (name, month) in MONTHS.iter().zip(&season.months) {
        let change = change(month.factor - 1.0);
        table.row([(*name).to_string(), change, range(month)]);
    }
    table.write(out);
    take(out, &takeaways::of_season(market));
}
