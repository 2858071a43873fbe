//! One price as a short answer: at most 14 lines of 80 columns.

use super::caution_words;
use super::own_eye;
use super::plan::text::{accept, half_sold, mark_downs};
use crate::pricing::asking::{Plan, WeekCostFrom};
use crate::pricing::quote::caution::QuoteCaution;
use crate::pricing::quote::priced::Priced;
use crate::pricing::quote::{Quote, Selling};
use crate::report::text::amounts::{bike, exact, plain, round};
use crate::report::text::shares::{of_ten, percent};
use crate::report::text::wrap::paragraph;
use crate::trade::{Currency, Day};

/// Lines of the whole answer, at most.
const LINES: usize = 14;
/// Cautions that are told, at most.
const CAUTIONS: usize = 2;

/// The answer for one bike, in lines of at most `columns`.
pub fn short(
    priced: &Priced,
    selling: &Selling<'_>,
    as_of: Day,
    currency: &Currency,
    columns: usize,
) -> String {
    let quote = &priced.quote;
    let mut said = vec![head(priced)];
    let barred = caution_words::not_for_sale(&quote.cautions);
    said.extend(barred.map(|caution| caution_words::words(caution, currency)));
    said.extend(sold(&quote.cautions, currency));
    said.extend(worth(quote, currency));
    said.extend(own_eye::words(quote, currency));
    if let Some(plan) = quote.plan.as_ref().filter(|_| barred.is_none()) {
        said.push(what_to_ask(plan, as_of, currency));
        said.push(half_sold(plan));
        said.extend(left_over(quote, currency));
        said.push(waiting(quote, plan, selling, currency));
    }
    let end = "More, and how it comes about: the same with --why. A price is no safety check.";
    let mut last = String::new();
    paragraph(&mut last, columns, "", end);
    let broken = |said: &[String], mark: &str| {
        let mut out = String::new();
        for text in said {
            paragraph(&mut out, columns, mark, text);
        }
        out
    };
    let cautions = of_this_bike(&quote.cautions).take(CAUTIONS);
    let cautions: Vec<(String, bool)> = cautions
        .map(|caution| {
            let words = caution_words::short(caution, currency);
            (broken(&[words], "! "), caution_words::is_grave(caution))
        })
        .collect();
    let lines = |text: &str| text.lines().count();
    let told: usize = cautions.iter().map(|(one, _)| lines(one)).sum();
    let mut out = broken(&said, "");
    let tells_more = quote.patient.is_some() && quote.plan.is_some() && barred.is_none();
    if lines(&out) + told + lines(&last) > LINES && tells_more {
        // What somebody with time would do can wait for --why.
        said.pop();
        said.push(week_cost(selling, currency));
        out = broken(&said, "");
    }
    let mut left = LINES.saturating_sub(lines(&out) + lines(&last));
    for (one, is_grave) in cautions {
        if let Some(rest) = left.checked_sub(lines(&one)).or(is_grave.then_some(0)) {
            left = rest;
            out += &one;
        }
    }
    out + &last
}

/// What the bike is.
fn head(priced: &Priced) -> String {
    let question = &priced.quote.question;
    let id = question.id.as_ref();
    let name = id.map_or(String::new(), |id| format!("{id}: "));
    format!("{name}{}", bike(&question.bike))
}

/// That it is sold, where it is.
fn sold(cautions: &[QuoteCaution], currency: &Currency) -> Option<String> {
    cautions.iter().find_map(|caution| match caution {
        QuoteCaution::OwnSaleLeftOut { price, on, .. } => Some(format!(
            "It was sold on {on} for {}. What such a bike would bring now, by the other records:",
            exact(*price, currency)
        )),
        _ => None,
    })
}

/// What an empty book's answer is.
pub const A_GUESS: &str = "That is our guess, not your market: no price with its day is in the book. Next, note \
                           what three sellers of such bikes ask: record comp --style … --ask …";

/// What it is worth, or that nothing is known of that.
fn worth(quote: &Quote, currency: &Currency) -> Vec<String> {
    let Some(value) = quote.value else {
        return vec!["No value can be given.".to_string()];
    };
    let guess = quote.cautions.contains(&QuoteCaution::PriorOnly);
    let mut said = vec![format!(
        "Worth about {} {currency}: half sell for more, half for less. {} land between {} and {}.",
        round(value.median, currency),
        of_ten(value.level),
        round(value.low, currency),
        round(value.high, currency)
    )];
    if guess {
        said.push(A_GUESS.to_string());
    }
    said
}

/// The ask, its mark-downs and the least to take.
fn what_to_ask(plan: &Plan, as_of: Day, currency: &Currency) -> String {
    format!(
        "{} {}",
        mark_downs(plan, as_of, currency),
        accept(plan, currency)
    )
}

/// What is left over after its cost.
fn left_over(quote: &Quote, currency: &Currency) -> Option<String> {
    let margin = quote.margin?;
    let hour = margin.per_hour.and_then(|hour| currency.round(hour));
    let hour = hour.map_or(String::new(), |hour| {
        format!(", {} for each hour", exact(hour, currency))
    });
    Some(format!(
        "Left over after {} of cost: about {} ({} to {}){hour}; chance of a loss {}.",
        plain(margin.cost, currency),
        round(margin.expected, currency),
        round(margin.planned[0], currency),
        round(margin.planned[1], currency),
        percent(margin.chance_of_loss)
    ))
}

/// What more time must bring, as a part of the sale, to be worth a word (judgement).
const WORTH_A_WORD: f64 = 0.01;

/// What waiting is counted at, and what somebody with time would do.
fn waiting(quote: &Quote, plan: &Plan, selling: &Selling<'_>, currency: &Currency) -> String {
    let cost = week_cost(selling, currency);
    let patient = quote.patient.as_ref().and_then(|patient| {
        let ask = patient.steps.first()?.1;
        let more = patient.outlook.expected_sale - plan.outlook.expected_sale;
        let more = (more > WORTH_A_WORD * plan.outlook.expected_sale).then_some(more)?;
        let more = currency.round(more)?;
        let half = patient.outlook.chances.median;
        let days = half.map_or("it may well stay unsold".to_string(), |days| {
            format!("half are sold by day {:.0}", days.max(1.0))
        });
        Some(format!(
            " With time to spare: ask {}, about {} more, {days}.",
            plain(ask, currency),
            round(more, currency)
        ))
    });
    cost + &patient.unwrap_or_default()
}

/// What a week of waiting is counted at, and by whom.
pub(in crate::report) fn week_cost(selling: &Selling<'_>, currency: &Currency) -> String {
    let percent = format!("{} %", (1000.0 * selling.wishes.week_cost).round() / 10.0);
    match selling.wishes.from {
        WeekCostFrom::Own(earned) => {
            let amount = currency.round(earned.a_week.max(0.0));
            let amount = amount.map_or("-".into(), |amount| exact(amount, currency));
            format!(
                "A week in your shed has earned about {amount} {currency}, so waiting is counted at {percent} of the price a week."
            )
        }
        WeekCostFrom::Trade => {
            format!(
                "Waiting is counted at {percent} of the price a week, until your records say more."
            )
        }
        WeekCostFrom::Given => {
            format!("Waiting is counted at {percent} of the price a week, as you said.")
        }
    }
}

/// The cautions about this very bike that nothing has said yet, the gravest first.
fn of_this_bike(cautions: &[QuoteCaution]) -> impl Iterator<Item = &QuoteCaution> {
    let barred = caution_words::not_for_sale(cautions);
    let own = cautions
        .iter()
        .filter(|one| caution_words::of_one_bike(one))
        .filter(move |one| Some(*one) != barred)
        .filter(|one| !matches!(one, QuoteCaution::OwnSaleLeftOut { .. }));
    let (grave, other): (Vec<_>, Vec<_>) = own.partition(|one| caution_words::is_grave(one));
    grave.into_iter().chain(other)
}
