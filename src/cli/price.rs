//! `price`: what a bike is worth.

use super::arguments::{BaseBike, Format, Price};
use super::book_records::BookRecords;
use super::failure::Failure;
use super::learn::{Learnt, Sought, learn};
use super::price_chart;
use super::price_question::{Asked, questions};
use super::{Context, DONE, inspections, wishes};
use crate::book::Book;
use crate::pricing::asking::Detail;
use crate::pricing::design::base;
use crate::pricing::quote::answer::Priced;
use crate::pricing::quote::caution::Caution;
use crate::pricing::quote::{self, Selling, Source};
use crate::pricing::records::nearest::nearest_sales;
use crate::pricing::time_on_market::{self, FittedTime};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::{Priors, Records, ValueModel, ValueSettings};
use crate::report::quote::json;
use crate::report::quote::text;
use crate::trade::{Currency, Day, Sale};
use std::collections::HashSet;

/// Prices what was asked for and prints it.
pub fn run(context: &mut Context<'_>, arguments: &Price) -> Result<u8, Failure> {
    check_level(arguments.level)?;
    if let Some(path) = &arguments.chart {
        price_chart::check_name(path)?;
    }
    let book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let records = BookRecords::of(&book, context.as_of)?;
    let asked = questions(context, arguments, &records, &currency)?;
    let Asked {
        mut questions,
        own,
        note,
    } = asked;
    let told = match &own {
        Some(own) => Some(inspections::told_of(own, &book, &records, context.as_of)?),
        None => None,
    };
    if let (Some(told), Some(question)) = (&told, questions.first_mut()) {
        question.bike.condition = told.counts;
    }
    if let Some(note) = note {
        writeln!(context.err, "{note}")?;
    }
    let settings = ValueSettings {
        as_of: context.as_of,
        currency,
        without: own.as_ref().map(|sale| sale.id.clone()),
    };
    let model = ValueModel {
        priors: Priors::shipped(),
        settings,
    };
    let wishes = wishes::wishes(&arguments.wishes, &book, context.err)?;
    let single = if questions.len() == 1 && arguments.from.is_none() {
        questions.first()
    } else {
        None
    };
    let sought = single.map(|question| Sought {
        bike: &question.bike,
        drawn: arguments.chart.is_some(),
    });
    let Learnt {
        fitted,
        listings,
        like,
    } = learn(&records, &model, sought)?;
    let without = own.as_ref().map(|sale| sale.id.as_str());
    let time = match &fitted {
        Some(model) => time_on_market::learn(Priors::shipped(), model, &records, listings, without),
        None => time_on_market::believed(Priors::shipped()),
    }?;
    let selling = Selling {
        time: &time,
        wishes,
        // A table of many bikes shows no more.
        detail: match context.format {
            Format::Text if arguments.from.is_some() => Detail::PlanAlone,
            _ => Detail::All,
        },
    };
    let sales = records.sales();
    let base = match arguments.base {
        BaseBike::Standard => base::standard_base(context.as_of),
        BaseBike::Typical => base::typical_base(sales, context.as_of).ok_or_else(|| {
            Failure::refused(
                "--base typical: the book has no own sales yet",
                "Use --base standard.",
            )
        })?,
    };
    let source = match &fitted {
        Some(model) => Source::Fitted(model),
        None => Source::Nothing {
            as_of: context.as_of,
            currency,
        },
    };
    let quotes = quote::quotes(&source, Priors::shipped(), &questions, &base, &selling);
    let mut priced: Vec<Priced> = quotes
        .into_iter()
        .map(|quote| Priced {
            quote,
            comps: Vec::new(),
            sales: Vec::new(),
            verdict: None,
        })
        .collect();
    if let (Some(like), Some(model), Some(one)) = (like, &fitted, priced.first_mut()) {
        let others: Vec<Sale> = sales
            .iter()
            .filter(|s| own.as_ref().is_none_or(|o| o.id != s.id))
            .cloned()
            .collect();
        let bike = one.quote.question.bike;
        one.comps = like.nearest.found;
        one.sales = nearest_sales(
            &others,
            &bike,
            context.as_of,
            &currency,
            &model.coefficients,
        );
        if let Some(sold) = own
            .as_ref()
            .and_then(|o| o.sold)
            .filter(|s| s.on <= context.as_of)
        {
            let (bike, price, on) = (
                own.as_ref().map_or(String::new(), |o| o.id.clone()),
                sold.price,
                sold.on,
            );
            one.quote
                .cautions
                .push(Caution::OwnSaleLeftOut { bike, price, on });
        }
        if let Some(path) = &arguments.chart {
            price_chart::write(
                path,
                model,
                &one.quote,
                &like.of_style.found,
                &others,
                context.err,
            )?;
        }
    } else if arguments.chart.is_some() {
        return Err(Failure::refused(
            "--chart: there is nothing to draw, the book has no sales and no comps",
            "Import comps first.",
        ));
    }
    if let (Some(told), Some(one)) = (told, priced.first_mut()) {
        one.verdict = told.verdict;
        one.quote.cautions.splice(0..0, told.doubts);
    }
    if arguments.from.is_some() {
        tell_own_sales(&mut priced, sales, context.as_of);
    }
    print(
        context,
        arguments,
        &priced,
        fitted.as_ref().map(|m| (m, &time)),
        &currency,
    )
}

/// Refuses what is no probability of a range.
pub(super) fn check_level(level: f64) -> Result<(), Failure> {
    if level > 0.0 && level < 1.0 {
        return Ok(());
    }
    Err(Failure::usage(
        format!("--level '{level}': expected a probability above 0 and below 1"),
        "Give a number such as 0.8.",
    ))
}

fn print(
    context: &mut Context<'_>,
    arguments: &Price,
    priced: &[Priced],
    model: Option<(&FittedValue, &FittedTime)>,
    currency: &Currency,
) -> Result<u8, Failure> {
    let text = match context.format {
        Format::Json => json::render(
            priced,
            model.map(|m| m.0),
            model.map(|m| m.1),
            context.as_of,
            currency,
        )
        .map_err(|e| Failure::refused(format!("the answer cannot be written: {e}"), ""))?,
        Format::Text => match priced.first() {
            Some(one) if arguments.from.is_none() => {
                text::one(one, model.map(|m| m.0), context.as_of, currency)
            }
            _ => text::many(priced, context.as_of, currency),
        },
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

/// A bike of the file that bears the name of a sold one of the book.
fn tell_own_sales(priced: &mut [Priced], sales: &[Sale], as_of: Day) {
    let sold = |s: &&Sale| s.sold.is_some_and(|sold| sold.on <= as_of);
    let names: HashSet<&str> = sales.iter().filter(sold).map(|s| s.id.as_str()).collect();
    for one in priced {
        if let Some(bike) = one
            .quote
            .question
            .id
            .clone()
            .filter(|id| names.contains(id.as_str()))
        {
            one.quote
                .cautions
                .push(Caution::OwnSaleAmongRecords { bike });
        }
    }
}
