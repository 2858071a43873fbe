//! Quarters, days, bikes, the rule and corrections in words.

use super::audience::Audience;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::figures::{Correction, GiftLine};
use crate::accounts::quarter::sums::{DueKind, Earned, due_lines, sums};
use crate::report::text::amounts::{exact, signed};
use crate::report::text::counts::{listed, many};
use crate::report::text::dates::{long_day, month};
use crate::trade::{Bike, Cost, Currency, Give, Giving, Money, Style};
use std::fmt::Write as _;

/// `2026-Q2 (1 April to 30 June 2026)`.
pub(in crate::report) fn title(report: &QuarterReport) -> String {
    let (from, to) = (report.from, report.to);
    let from = if from.year() == to.year() {
        format!("{} {}", from.day(), month(from))
    } else {
        long_day(from)
    };
    format!("{} ({from} to {})", report.quarter, long_day(to))
}

/// What was sold, what became due, what was handed over and what is owed.
pub(in crate::report) fn in_short(report: &QuarterReport, currency: &Currency) -> String {
    let money = |amount: Money| format!("{} {currency}", exact(amount, currency));
    let sold = match report.sales.len() {
        0 => "No bike was sold in this quarter.".to_string(),
        1 => format!(
            "One bike was sold in this quarter, for {}.",
            money(sums(report).price)
        ),
        count => format!(
            "{count} bikes were sold in this quarter, for {} together.",
            money(sums(report).price)
        ),
    };
    let closing = Money::from_minor(report.closing.minor().saturating_abs());
    let ends = if report.closing == Money::ZERO {
        "nothing is owed".to_string()
    } else {
        format!("{} is {}", money(closing), owed(report.closing))
    };
    format!(
        "{sold} {} became due and {} was handed over; at the end {ends}.",
        money(report.due),
        money(report.given)
    )
}

/// `50 %`, `33.33 %` of a share in hundredths of a percent.
pub(in crate::report) fn percent(share: u16) -> String {
    match (share / 100, share % 100) {
        (whole, 0) => format!("{whole} %"),
        (whole, part) if part % 10 == 0 => format!("{whole}.{} %", part / 10),
        (whole, part) => format!("{whole}.{part:02} %"),
    }
}

/// What is given away, as a sentence or two.
pub(in crate::report) fn rule(giving: &Giving) -> String {
    let share = percent(giving.share);
    match (giving.give, giving.share) {
        (Give::Price, 10_000) => "Give price: the whole sale price of each bike is due.".into(),
        (Give::Price, _) => format!("Give price: {share} of the sale prices is due."),
        (Give::Net, whole) => format!(
            "Give net: {} what is left of the sale prices after purchase, parts, fees and other costs of the bikes \
             sold, and the workshop's costs, is due; labour is not charged. Where less than nothing is left, nothing \
             is due and the shortfall waits for the next quarter.",
            if whole == 10_000 {
                "all of".into()
            } else {
                format!("{share} of")
            }
        ),
    }
}

/// What a bike is, for people who do not keep the books: `hybrid from 2016, size M`. What
/// is not known is left out, and so is the condition, whose words are the workshop's.
pub(in crate::report) fn what_it_is(bike: &Bike) -> String {
    let mut words = match bike.style {
        Style::Other => "bike of another style".to_string(),
        style => style.to_string(),
    };
    if let Some(made) = bike.made {
        let _ = write!(words, " from {made}");
    }
    match (bike.size(), bike.seat_tube) {
        (Some(size), _) => {
            let _ = write!(words, ", size {size}");
        }
        (None, Some(tube)) => {
            let _ = write!(words, ", {tube}");
        }
        (None, None) => {}
    }
    words
}

/// The same in few characters, for the workshop: `hybrid 2016, tidy, M`.
pub(in crate::report) fn briefly(bike: &Bike) -> String {
    let mut words = bike.style.to_string();
    if let Some(made) = bike.made {
        let _ = write!(words, " {made}");
    }
    if let Some(condition) = bike.condition {
        let _ = write!(words, ", {condition}");
    }
    if let Some(size) = bike.size() {
        let _ = write!(words, ", {size}");
    }
    words
}

/// Those for whom the book gives, or, where it names nobody, those who were given
/// something.
pub(in crate::report) fn beneficiaries(report: &QuarterReport) -> String {
    let named = report
        .giving
        .beneficiaries
        .iter()
        .map(|one| one.name.as_str());
    let given = report.beneficiaries.iter().map(|one| one.name.as_str());
    let mut names: Vec<&str> = named.collect();
    if names.is_empty() {
        names.extend(given);
    }
    if names.is_empty() {
        names.push("the beneficiary");
    }
    listed(&names)
}

/// What was bought or taken: `part: inner tube`.
pub(in crate::report) fn cost(cost: &Cost) -> String {
    match &cost.item {
        Some(item) => format!("{}: {item}", cost.kind),
        None => cost.kind.to_string(),
    }
}

/// What is odd about a gift, empty for most.
pub(in crate::report) fn gift_remark(line: &GiftLine) -> String {
    match line.of_closed {
        Some(quarter) if line.amount < Money::ZERO => {
            format!("taken out of the records: a gift of {quarter}")
        }
        Some(quarter) => format!("recorded after {quarter} was closed"),
        None => String::new(),
    }
}

/// What changed about the sale price of a bike in a closed quarter, if anything.
pub(in crate::report) fn price_change(
    correction: &Correction,
    currency: &Currency,
) -> Option<String> {
    correction.bike.as_ref()?;
    match (correction.before, correction.after) {
        (None, Some(now)) => Some(format!(
            "sale recorded afterwards, price {}",
            exact(now.price, currency)
        )),
        (Some(was), None) => Some(format!(
            "sale taken out of the records, price {}",
            exact(was.price, currency)
        )),
        (Some(was), Some(now)) if was.price != now.price => Some(format!(
            "sale price {}, was {}",
            exact(now.price, currency),
            exact(was.price, currency)
        )),
        _ => None,
    }
}

/// What changed in a closed quarter, costs included.
pub(in crate::report) fn correction(correction: &Correction, currency: &Currency) -> String {
    let (was, now) = (correction.before, correction.after);
    let costs = match (was.map(|c| c.cost), now.map(|c| c.cost)) {
        (None, Some(now)) if correction.bike.is_some() => {
            Some(format!("cost {}", exact(now, currency)))
        }
        (Some(was), None) if correction.bike.is_some() => {
            Some(format!("cost {}", exact(was, currency)))
        }
        (was, now) if was.unwrap_or_default() != now.unwrap_or_default() => Some(format!(
            "{} {}, {} {}",
            if correction.bike.is_some() {
                "cost"
            } else {
                "the workshop's costs"
            },
            exact(now.unwrap_or_default(), currency),
            if correction.bike.is_some() {
                "was"
            } else {
                "were"
            },
            exact(was.unwrap_or_default(), currency)
        )),
        _ => None,
    };
    let parts: Vec<String> = [price_change(correction, currency), costs]
        .into_iter()
        .flatten()
        .collect();
    if parts.is_empty() {
        "changed".into()
    } else {
        parts.join("; ")
    }
}

/// What a reader is told of a change in a closed quarter, if anything.
pub(in crate::report) fn told_correction(
    change: &Correction,
    audience: Audience,
    currency: &Currency,
) -> Option<String> {
    if audience.sees_costs() {
        Some(correction(change, currency))
    } else {
        price_change(change, currency)
    }
}

/// How a balance reads.
pub(in crate::report) fn owed(balance: Money) -> &'static str {
    match balance.minor() {
        ..0 => "given ahead",
        0 => "nothing owed",
        _ => "still owed",
    }
}

/// `3 bikes sold`.
pub(in crate::report) fn bikes_sold(count: usize) -> String {
    format!("{} sold", many(count, "bike"))
}

/// How the due comes about, each line with its amount: signed, but for the first and
/// for the sum. A reader who does not see costs is told under `give net` that they
/// are taken off, not how much.
pub(in crate::report) fn due_steps(
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Vec<(&'static str, String)> {
    let net = report.giving.give == Give::Net;
    let told = audience.sees_costs() || !net;
    let mut steps = Vec::new();
    for line in due_lines(report) {
        let (words, is_private) = match line.kind {
            DueKind::SalePrices => ("sale prices", false),
            DueKind::DirectCosts => ("direct costs", true),
            DueKind::Corrections => ("corrections of closed quarters", true),
            DueKind::WorkshopCosts => ("the workshop's costs", true),
            DueKind::BroughtForward => ("shortfall brought forward", false),
            DueKind::Sum if net => ("what is left", true),
            DueKind::Sum => ("together", true),
        };
        if told || !is_private {
            let amount = match line.kind {
                DueKind::SalePrices | DueKind::Sum => exact(line.amount, currency),
                _ => signed(line.amount, currency),
            };
            steps.push((words, amount));
        }
        if !told && line.kind == DueKind::SalePrices {
            let hidden = if report.corrections.is_empty() {
                "costs, taken off and not shown here"
            } else {
                "costs and corrections, not shown here"
            };
            steps.push((hidden, String::new()));
        }
    }
    steps
}

/// By what the best bikes are ranked.
pub(in crate::report) fn earned_by(earned: &Earned) -> &'static str {
    if earned.by_margin { "margin" } else { "due" }
}

/// Hundredths as a number with two decimals: `2.11`.
pub(in crate::report) fn hundredths(count: i64) -> String {
    format!("{}.{:02}", count / 100, count % 100)
}
