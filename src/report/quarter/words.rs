//! Quarters, days, bikes, the rule and corrections in words.

use super::audience::Audience;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::figures::{
    Correction, Counted, GiftLine, LeftLine, Meant, ReturnLine, What,
};
use crate::accounts::quarter::sums::{DueKind, Earned, due_lines, owed_to_nobody, sums};
use crate::report::text::amounts::{exact, signed};
use crate::report::text::counts::{listed, many};
use crate::report::text::dates::{long_day, month};
use crate::trade::{Bike, Cost, Currency, Give, Giving, Left, LeftAs, Money, Style};
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
    let each = report.beneficiaries.iter().map(|one| one.closing);
    let each = each.chain(owed_to_nobody(report).map(|one| one.closing));
    let (ahead, still): (Vec<Money>, Vec<Money>) = each.partition(|one| *one < Money::ZERO);
    let (ahead, still): (Money, Money) = (ahead.into_iter().sum(), still.into_iter().sum());
    let size = |amount: Money| money(Money::from_minor(amount.minor().saturating_abs()));
    // Where the rule names nobody, whoever got something got it of what is owed to nobody.
    let by_name = !report.giving.beneficiaries.is_empty();
    let ends = if by_name && ahead < Money::ZERO && still > Money::ZERO {
        let (still, ahead) = (money(still), size(ahead));
        format!("{still} is still owed and {ahead} is given ahead to others")
    } else if report.closing == Money::ZERO {
        "nothing is owed".to_string()
    } else {
        format!("{} is {}", size(report.closing), owed(report.closing))
    };
    format!(
        "{sold}{} {} became due and {} was handed over; at the end {ends}.",
        given_back(report, currency),
        money(report.due),
        money(report.given)
    )
}

/// What buyers got back in the quarter, as a further sentence.
fn given_back(report: &QuarterReport, currency: &Currency) -> String {
    let refunds: Money = report.returns.iter().map(|line| line.refund).sum();
    let back = report.returns.iter().filter(|line| line.came_back).count();
    let bikes = match back {
        _ if report.returns.is_empty() => return String::new(),
        0 => String::new(),
        1 => " One came back;".to_string(),
        _ => format!(" {back} came back;"),
    };
    let buyers = if bikes.is_empty() { "Buyers" } else { "buyers" };
    format!(
        "{bikes} {buyers} got {} {currency} back.",
        exact(refunds, currency)
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
        (Give::Price, 10_000) => "The whole sale price of each bike is due.".into(),
        (Give::Price, _) => format!("{share} of the sale prices is due."),
        (Give::Net, whole) => format!(
            "{} what is left of the sale prices after purchase, parts, fees and other costs of the bikes \
             sold, and the workshop's costs, is due; labour is not charged. If the costs are higher than the \
             prices, nothing is due and the shortfall waits for the next quarter.",
            if whole == 10_000 {
                "All of".into()
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

/// What came back of a sale: `sold 2026-03-01, came back`.
pub(in crate::report) fn came_back(line: &ReturnLine) -> String {
    let sold = line
        .sold_on
        .map_or(String::new(), |day| format!("sold {day}, "));
    let bike = if line.came_back {
        "came back"
    } else {
        "the buyer keeps it"
    };
    format!("{sold}{bike}")
}

/// How a bike left: `scrapped; wheels worth 12.50 into the parts box`.
pub(in crate::report) fn left(left: &Left, currency: &Currency) -> String {
    let how = match left.how {
        LeftAs::Kept => "kept by its owner",
        LeftAs::Given => "given away",
        LeftAs::Scrapped => "scrapped",
        LeftAs::Stolen => "stolen",
    };
    let item = left.box_item.as_deref();
    match (left.box_value, item) {
        (None, None) => how.to_string(),
        (None, Some(item)) => format!("{how}; {item} into the parts box"),
        (Some(worth), item) => format!(
            "{how}; {} worth {} into the parts box",
            item.unwrap_or("parts"),
            exact(worth, currency)
        ),
    }
}

/// The bikes that left and count among the workshop's costs, and those that its owner
/// keeps.
pub(in crate::report) fn left_and_kept(report: &QuarterReport) -> (Vec<&LeftLine>, Vec<&LeftLine>) {
    let counts = |line: &&LeftLine| line.left.how.costs_the_workshop();
    report.left.iter().partition(counts)
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
    let (what, price) = match correction.what {
        What::Sale => ("sale", "price"),
        What::Back => ("coming back", "handed back"),
        What::Refund => ("refund", "handed back"),
        What::Leave => ("leaving without a sale", ""),
    };
    let amount = |counted: Counted| exact(abs(counted.price), currency);
    let stated = |counted: Counted| match price {
        "" => String::new(),
        price => format!(", {price} {}", amount(counted)),
    };
    match (correction.before, correction.after) {
        (None, Some(now)) => Some(format!("{what} recorded afterwards{}", stated(now))),
        (Some(was), None) => Some(format!("{what} taken out of the records{}", stated(was))),
        (Some(was), Some(now)) if was.price != now.price => {
            let named = match correction.what {
                What::Sale => "sale price",
                _ => price,
            };
            Some(format!("{named} {}, was {}", amount(now), amount(was)))
        }
        _ => None,
    }
}

fn abs(amount: Money) -> Money {
    Money::from_minor(amount.minor().saturating_abs())
}

/// What changed in a closed quarter, costs included.
pub(in crate::report) fn correction(correction: &Correction, currency: &Currency) -> String {
    let parts: Vec<String> = [
        price_change(correction, currency),
        cost_change(correction, currency),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() {
        "changed".into()
    } else {
        parts.join("; ")
    }
}

fn cost_change(correction: &Correction, currency: &Currency) -> Option<String> {
    let (was, now) = (correction.before, correction.after);
    let amount = |cost: Money| exact(abs(cost), currency);
    let name = match correction.what {
        What::Back => "cost back in stock",
        What::Refund => return None,
        What::Sale | What::Leave => "cost",
    };
    match (was.map(|c| c.cost), now.map(|c| c.cost)) {
        (None, Some(cost)) | (Some(cost), None) if correction.bike.is_some() => {
            Some(format!("{name} {}", amount(cost)))
        }
        (was, now) if was.unwrap_or_default() != now.unwrap_or_default() => {
            let (name, were) = if correction.bike.is_some() {
                (name, "was")
            } else {
                ("the workshop's costs", "were")
            };
            let (was, now) = (was.unwrap_or_default(), now.unwrap_or_default());
            Some(format!("{name} {}, {were} {}", amount(now), amount(was)))
        }
        _ => None,
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
    } else if change.what == What::Leave {
        None
    } else {
        price_change(change, currency)
    }
}

/// What the money handed over to somebody does, by their own figure.
pub(in crate::report) fn meant(meant: &Meant, currency: &Currency) -> String {
    let figure = &meant.means;
    let what = match meant.count {
        1 => &figure.unit,
        _ => &figure.units,
    };
    format!(
        "The {} {currency} handed over to {who} in this quarter is about {} {what}, by the figure of {who} of {} (one \
         {}: {} {currency}).",
        exact(meant.given, currency),
        meant.count,
        long_day(figure.on),
        figure.unit,
        exact(figure.amount, currency),
        who = figure.beneficiary,
    )
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

/// What comes of other quarters beside the bikes' own dues.
pub(in crate::report) fn of_others(report: &QuarterReport) -> String {
    let corrected = !report.corrections.is_empty();
    let mut returns = report.returns.iter();
    let refunded = returns.any(|one| !report.sales.iter().any(|line| one.is_of(line)));
    let short = report.brought_forward != Money::ZERO || report.carried_forward != Money::ZERO;
    let found = [
        (corrected, "corrections"),
        (refunded, "refunds"),
        (short, "shortfalls"),
    ];
    let found = found.into_iter().filter(|(there, _)| *there);
    let found: Vec<&str> = found.map(|(_, words)| words).collect();
    format!("{} of other quarters", listed(&found))
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
    let told = audience.sees_dues(report);
    let mut steps = Vec::new();
    for line in due_lines(report) {
        let (words, is_private) = match line.kind {
            DueKind::SalePrices => ("sale prices", false),
            DueKind::DirectCosts => ("direct costs", true),
            DueKind::Refunds => ("handed back to buyers", false),
            DueKind::CostsBack => ("cost of bikes that came back", true),
            DueKind::Corrections => ("corrections of closed quarters", true),
            DueKind::WorkshopCosts => ("the workshop's costs", true),
            DueKind::BroughtForward => ("shortfall from before", false),
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
