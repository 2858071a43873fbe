//! `stock`: what stands in the shed, and what to do with it.

use super::arguments::{Format, Stock as Arguments};
use super::book_records::BookRecords;
use super::failure::Failure;
use super::learn::{Learnt, learn};
use super::{Context, DONE, inspections, wishes};
use crate::accounts::{Holding, Prospect, Stock, on_hand};
use crate::book::Book;
use crate::pricing::design::base;
use crate::pricing::inspection::{Verdict, verdict};
use crate::pricing::quote::on_hand::quotes_on_hand;
use crate::pricing::quote::{Question, Quote, Source};
use crate::pricing::time_on_market::standing;
use crate::pricing::{Priors, Records, ValueModel, ValueSettings};
use crate::report::stock::shed::Shed;
use crate::report::stock::{json, text};
use crate::trade::{Currency, Day};
use jiff::ToSpan as _;
use std::collections::HashMap;

/// Probability of the ranges, which are not shown.
const LEVEL: f64 = 0.8;

/// Prints every bike on hand with what it needs, and the totals.
pub fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let as_of = context.as_of;
    let wishes = wishes::wishes(&arguments.wishes, &book, context.err)?;
    let records = BookRecords::of(&book, as_of)?;
    let judged = inspections::judged(&book, as_of)?;
    let holdings = on_hand(
        records.sales(),
        records.costs(),
        records.ask_changes(),
        &inspections::inspected(&judged),
        as_of,
    );
    let model = ValueModel {
        priors: Priors::shipped(),
        settings: ValueSettings {
            as_of,
            currency,
            without: None,
        },
    };
    let Learnt {
        fitted, listings, ..
    } = learn(&records, &model, None)?;
    let source = match &fitted {
        Some(model) => Source::Fitted(model),
        None => Source::Nothing { as_of, currency },
    };
    // By day, so that the last of a bike is its latest.
    let latest: HashMap<&str, &Verdict> = judged.iter().map(|(id, v)| (id.as_str(), v)).collect();
    let verdict = |holding: &Holding| latest.get(holding.sale.id.as_str()).copied();
    let questions: Vec<Question> = holdings
        .iter()
        .map(|holding| {
            let mut question = question(holding, &records, as_of, &currency);
            let recorded = holding.sale.bike.condition;
            question.bike.condition = inspections::counts(verdict(holding), recorded);
            question
        })
        .collect();
    let mut quotes = quotes_on_hand(
        &source,
        Priors::shipped(),
        &records,
        &listings,
        &questions,
        &base::standard_base(as_of),
        wishes,
    );
    for (holding, quote) in holdings.iter().zip(&mut quotes) {
        let circumstances = inspections::circumstances(&holding.sale, records.costs(), as_of);
        let doubts = verdict::doubts(verdict(holding), circumstances);
        quote.cautions.splice(0..0, doubts);
    }
    let prospects = quotes.iter().map(|quote| prospect(quote, as_of, &currency));
    let stock = Stock::of(holdings.into_iter().zip(prospects), as_of);
    let doubts = quotes
        .iter()
        .flat_map(|quote| {
            let id = quote.question.id.clone().unwrap_or_default();
            let of_bike = quote.cautions.iter().cloned();
            of_bike.map(move |caution| (id.clone(), caution))
        })
        .collect();
    let shed = Shed { stock, doubts };
    let text = match context.format {
        Format::Text => text::text(&shed, &currency),
        Format::Json => json::json(&shed, &currency)
            .map_err(|e| Failure::refused(format!("the answer cannot be written: {e}"), ""))?,
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

/// What `price --bike` asks about it.
fn question(
    holding: &Holding,
    records: &BookRecords<'_>,
    as_of: Day,
    currency: &Currency,
) -> Question {
    let sale = &holding.sale;
    Question {
        id: Some(sale.id.clone()),
        bike: sale.bike,
        cost: holding.cash(),
        hours: sale.hours,
        level: LEVEL,
        stood: standing(sale, records.ask_changes(), as_of, currency),
    }
}

/// What the accounts need of a quote.
fn prospect(quote: &Quote, as_of: Day, currency: &Currency) -> Prospect {
    let plan = quote.plan.as_ref();
    let steps = plan.map_or(&[][..], |plan| &plan.steps);
    let on = |days: &i64| as_of.saturating_add(days.days());
    Prospect {
        value: quote.value.map(|value| value.median),
        asks: steps.iter().map(|(days, ask)| (on(days), *ask)).collect(),
        brings: plan.and_then(|plan| currency.round(plan.outlook.expected_sale)),
    }
}
