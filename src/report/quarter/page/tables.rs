//! Pieces that both parts of the page have.

use crate::accounts::QuarterReport;
use crate::accounts::quarter::sums;
use crate::report::quarter::audience::Audience;
use crate::report::quarter::words;
use crate::report::text::amounts::exact;
use crate::report::text::dates::short_day;
use crate::trade::{Currency, Day, Money};
use maud::{Markup, html};

/// A table that may be wider than a phone: it scrolls in its own box.
pub(in crate::report) fn wide(name: &str, table: &Markup) -> Markup {
    html! {
        p.swipe.quiet { "This table scrolls sideways." }
        div.box role="region" tabindex="0" aria-label={ "Table: " (name) } { (table) }
    }
}

/// Letters of a short id that its column keeps on one line.
const SHORT_ID: usize = 12;

/// Room for the ids of the bikes sold, as a style of their table: those that are
/// not long are not broken at a hyphen.
pub(in crate::report) fn id_room(report: &QuarterReport) -> String {
    let lengths = report.sales.iter().map(|line| line.id.chars().count());
    let longest = lengths.filter(|length| *length <= SHORT_ID).max();
    format!("--id:{}ch", longest.unwrap_or(3) + 1)
}

/// `opening + due - given = closing` of the whole.
pub(in crate::report) fn equation(report: &QuarterReport, currency: &Currency) -> Markup {
    let items = [
        ("owed before".to_string(), report.opening),
        ("+ due".into(), report.due),
        ("− given".into(), report.given),
        (format!("= {}", words::owed(report.closing)), report.closing),
    ];
    html! {
        dl.sum {
            @for (name, amount) in &items {
                div { dt { (name) } dd { (exact(*amount, currency)) } }
            }
        }
    }
}

/// What each of several beneficiaries is owed; nothing where there is one.
/// `reader` tells the two tables of a whole page apart.
pub(in crate::report) fn balances(
    report: &QuarterReport,
    reader: &str,
    currency: &Currency,
) -> Markup {
    let to_nobody = sums::owed_to_nobody(report);
    if report.beneficiaries.len() < 2 && to_nobody.is_none() {
        return html! {};
    }
    let cells = |amounts: [Money; 4]| html! { @for a in amounts { td { (exact(a, currency)) } } };
    let table = html! {
        table.f1 {
            caption {
                span {
                    "Opening balance + due − given = closing balance; below 0 is given ahead. In " (currency.code())
                    "."
                }
            }
            thead {
                tr {
                    th scope="col" { "Beneficiary" }
                    @for head in ["opening", "due", "given", "closing"] { th scope="col" { (head) } }
                }
            }
            tbody {
                @for one in report.beneficiaries.iter().chain(&to_nobody) {
                    tr {
                        th scope="row" { (one.name) }
                        (cells([one.opening, one.due, one.given, one.closing]))
                    }
                }
            }
            tfoot {
                tr {
                    th scope="row" { "together" }
                    (cells([report.opening, report.due, report.given, report.closing]))
                }
            }
        }
    };
    html! {
        h3 { "What each is owed" }
        (wide(&format!("what each is owed, for the {reader}"), &table))
    }
}

/// The sum that leads to what is due.
pub(in crate::report) fn due(
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Markup {
    if sums::is_nothing(report) {
        return html! { p { (words::rule(&report.giving)) } p { "Nothing is due for this quarter." } };
    }
    let share = words::percent(report.giving.share);
    html! {
        p { (words::rule(&report.giving)) }
        table.narrow.f1 {
            caption { "How the due comes about, in " (currency.code()) "." }
            thead { tr { th scope="col" { "Step" } th scope="col" { "amount" } } }
            tbody {
                @for (words, amount) in words::due_steps(report, audience, currency) {
                    tr { th scope="row" { (words) } td { (amount) } }
                }
            }
            tfoot {
                tr {
                    th scope="row" {
                        "due"
                        @if audience.sees_dues(report) { ": " (share) " of it" }
                    }
                    td { (exact(report.due, currency)) }
                }
            }
        }
        @if report.carried_forward != Money::ZERO {
            p { "Shortfall carried forward: " (exact(report.carried_forward, currency)) " " (currency.code()) "." }
        }
    }
}

/// A day that keeps to one line.
pub(in crate::report) fn day_cell(day: Day) -> Markup {
    html! { td.d { (short_day(day)) } }
}

/// What there is to doubt, numbered.
pub(in crate::report) fn cautions(
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Markup {
    let told: Vec<String> = audience
        .printed(report, currency)
        .map(|caution| crate::report::quarter::caution_words::words(caution, currency))
        .collect();
    html! {
        @if !told.is_empty() {
            h3 { "Cautions" }
            ol { @for words in &told { li { (words) } } }
        }
    }
}
