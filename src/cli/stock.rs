//! `stock`: what stands in the shed, and what to do with it.

use super::book_records::BookRecords;
use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::wishes::WishFlags;
use super::workbench::Workbench;
use super::{inspections, wishes};
use crate::accounts::{self, Holding, Prospect, on_hand};
use crate::book::Book;
use crate::pricing::Records;
use crate::pricing::design::base;
use crate::pricing::inspection::{InspectionVerdict, verdict};
use crate::pricing::quote::caution::QuoteCaution;
use crate::pricing::quote::on_hand::{OnHand, quotes_on_hand};
use crate::pricing::quote::{PriceQuestion, Quote};
use crate::pricing::time_on_market::standing;
use crate::report::stock::shed::Shed;
use crate::report::stock::{json, text};
use crate::trade::{Currency, Day};
use clap::Args;
use jiff::ToSpan as _;
use std::collections::HashMap;

/// Say what each bike on hand needs next, and how much money sits in the shed
///
/// For every bike that is not sold: days in the workshop and days listed, the
/// cash tied up in it, what it asks and is worth, and what to do: cut the ask,
/// list it, finish the work or leave it. What needs doing most stands first.
/// Asks and mark-downs are those of 'price --bike ID', from today on.
///
/// Example: wheelworth stock --as-of 2026-05-02
#[derive(Debug, Args)]
pub(super) struct Stock {
    /// Everything: all that is in doubt about the prices, too
    #[arg(long)]
    pub why: bool,
    #[command(flatten)]
    pub wishes: WishFlags,
}

/// Probability of the ranges, which are not shown.
const LEVEL: f64 = 0.8;

/// Prints every bike on hand with what it needs, and the totals.
pub(super) fn run(context: &mut Context<'_>, arguments: &Stock) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let as_of = context.as_of;
    let bench = Workbench::of(&book, as_of)?;
    let wishes = wishes::wishes(&arguments.wishes, &bench, context.err)?;
    let records = &bench.records;
    let judged = inspections::judged(&book, as_of)?;
    let holdings = on_hand(
        records.sales(),
        records.costs(),
        records.ask_changes(),
        &inspections::inspected(&judged),
        as_of,
    );
    let value = bench.value(None, None)?;
    let source = bench.source(value.fitted.as_ref());
    // By day, so that the last of a bike is its latest.
    let latest: HashMap<&str, &InspectionVerdict> =
        judged.iter().map(|(id, v)| (id.as_str(), v)).collect();
    let verdict = |holding: &Holding| latest.get(holding.sale.id.as_str()).copied();
    let questions: Vec<PriceQuestion> = holdings
        .iter()
        .map(|holding| {
            let mut question = question(holding, records, as_of, &currency);
            let recorded = holding.sale.bike.condition;
            question.bike.condition = inspections::counts(verdict(holding), recorded);
            question
        })
        .collect();
    let mut quotes = quotes_on_hand(
        &source,
        bench.priors,
        &OnHand {
            questions: &questions,
            records,
            listings: &value.listings,
        },
        &base::standard_base(as_of),
        wishes,
    );
    for (holding, quote) in holdings.iter().zip(&mut quotes) {
        let circumstances = inspections::circumstances(&holding.sale, records.costs(), as_of);
        let doubts = verdict::doubts(verdict(holding), circumstances);
        quote.cautions.splice(0..0, doubts);
    }
    let prospects = quotes.iter().map(|quote| prospect(quote, as_of, &currency));
    let stock = accounts::Stock::of(holdings.into_iter().zip(prospects), as_of);
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
        Format::Text => text::text(&shed, arguments.why, &currency),
        Format::Json => json::json(&shed, &currency).map_err(Failure::unwritten)?,
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
) -> PriceQuestion {
    let sale = &holding.sale;
    PriceQuestion {
        id: Some(sale.id.clone()),
        bike: sale.bike,
        cost: holding.cash(),
        guess: sale.guess,
        hours: sale.hours,
        level: LEVEL,
        before: None,
        stood: standing(sale, records.ask_changes(), as_of, currency),
    }
}

/// What the accounts need of a quote.
fn prospect(quote: &Quote, as_of: Day, currency: &Currency) -> Prospect {
    let plan = quote.plan.as_ref();
    let mut steps = plan.map_or(&[][..], |plan| plan.likely_steps());
    // Advice to list it anew is no advice to come down later.
    let too_little = |caution: &QuoteCaution| matches!(caution, QuoteCaution::AsksTooLittle { .. });
    if quote.cautions.iter().any(too_little) {
        steps = &steps[..steps.len().min(1)];
    }
    let on = |days: &i64| as_of.saturating_add(days.days());
    Prospect {
        value: quote.value.map(|value| value.median),
        asks: steps.iter().map(|(days, ask)| (on(days), *ask)).collect(),
        brings: plan.and_then(|plan| currency.round(plan.outlook.expected_sale)),
    }
}
