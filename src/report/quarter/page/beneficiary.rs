//! What the beneficiary sees: nothing of notes, costs, hours or margins.

use super::charts::given;
use super::lists::returns;
use super::tables::{balances, cautions, day_cell, due, equation, id_room, wide};
use crate::accounts::QuarterReport;
use crate::accounts::quarter::by_rule::by_rule;
use crate::accounts::quarter::sums;
use crate::report::quarter::audience::Audience;
use crate::report::quarter::words;
use crate::report::text::amounts::{exact, signed};
use crate::report::text::counts::listed;
use crate::report::text::dates::{short_day, short_quarter};
use crate::trade::{Currency, Money};
use maud::{Markup, html};

const READER: Audience = Audience::Beneficiary;

/// The part as a section.
///
/// # Errors
/// What the drawing library says of the chart, as text.
pub(in crate::report) fn beneficiary(
    report: &QuarterReport,
    currency: &Currency,
) -> Result<Markup, String> {
    Ok(html! {
        section.part #beneficiary aria-labelledby="for" {
            h2 #for { "For " (words::beneficiaries(report)) }
            p { (words::in_short(report, currency)) }
            p.thanks { (thanks(report, currency)) }
            @for meant in &report.meant { p { (words::meant(meant, currency)) } }
            (equation(report, currency))
            (balances(report, "beneficiary", currency))
            h3 { "Bikes sold" }
            (bikes(report, currency))
            (returns(report, READER, currency))
            (corrections(report, currency))
            h3 { "What is due" }
            (due(report, READER, currency))
            h3 { "Handed over" }
            (gifts(report, currency))
            @if !report.course.is_empty() {
                h3 { "Given per quarter, and in all" }
                (course(report, currency)?)
            }
            (cautions(report, READER, currency))
        }
    })
}

/// Worded for money that was handed over in the quarter.
fn thanks(report: &QuarterReport, currency: &Currency) -> String {
    let received = report
        .beneficiaries
        .iter()
        .filter(|one| one.given > Money::ZERO);
    let names: Vec<&str> = received.map(|one| one.name.as_str()).collect();
    if report.given > Money::ZERO && !names.is_empty() {
        return format!(
            "Thank you, {}, for the work that the {} {currency} handed over in this quarter goes into.",
            listed(&names),
            exact(report.given, currency)
        );
    }
    let nothing = "Nothing was handed over in this quarter";
    if report.closing > Money::ZERO {
        format!("{nothing}; what is owed stays owed. Thank you for your patience.")
    } else {
        format!("{nothing}. Thank you for the work that the proceeds go into.")
    }
}

fn bikes(report: &QuarterReport, currency: &Currency) -> Markup {
    let dues = READER.sees_dues(report);
    let sums = sums::sums(report);
    if report.sales.is_empty() {
        return html! { p { "No bike was sold in this quarter." } };
    }
    let rule = by_rule(report);
    let others = dues && rule.others != Money::ZERO;
    html! {
        table.f3.cards.long.price[dues] style=(id_room(report)) {
            caption { "By day of sale, in " (currency.code()) "." }
            thead {
                tr {
                    th scope="col" { "Bike" } th scope="col" { "what it is" } th scope="col" { "sold on" }
                    th scope="col" { "price" }
                    @if dues { th scope="col" { "due" } }
                }
            }
            tbody {
                @for (line, due) in report.sales.iter().zip(&rule.dues) {
                    tr {
                        th scope="row" { (line.id) }
                        td { (words::what_it_is(&line.bike)) }
                        (day_cell(line.sold_on))
                        td { (exact(line.sold_price, currency)) }
                        @if dues { td { (exact(*due, currency)) } }
                    }
                }
            }
            tfoot {
                tr {
                    th scope="row" colspan="3" { (words::bikes_sold(report.sales.len())) }
                    td.n { (exact(sums.price, currency)) }
                    @if dues {
                        td.n { (exact(Money::from_minor(report.due.minor() - rule.others.minor()), currency)) }
                    }
                }
                @if others {
                    tr {
                        th scope="row" colspan="3" { (words::of_others(report)) }
                        td {}
                        td.n { (signed(rule.others, currency)) }
                    }
                    tr {
                        th scope="row" colspan="3" { "due for the quarter" }
                        td {}
                        td.n { (exact(report.due, currency)) }
                    }
                }
            }
        }
    }
}

/// Prices of closed quarters that were corrected.
fn corrections(report: &QuarterReport, currency: &Currency) -> Markup {
    let dues = READER.sees_dues(report);
    let told = report.corrections.iter().filter_map(|correction| {
        let what = words::price_change(correction, currency)?;
        Some((correction, what))
    });
    let told: Vec<_> = told.collect();
    if told.is_empty() {
        return html! {};
    }
    html! {
        h3 { "Corrections of closed quarters" }
        table.f3.cards.worded[!dues] {
            caption { "Counted in what is due for this quarter." }
            thead {
                tr {
                    th scope="col" { "Quarter" } th scope="col" { "bike" } th scope="col" { "what changed" }
                    @if dues { th scope="col" { "change" } }
                }
            }
            tbody {
                @for (correction, what) in &told {
                    tr {
                        th scope="row" { (correction.of) }
                        td { (correction.bike.as_deref().unwrap_or_default()) }
                        td { (what) }
                        @if dues { td { (exact(correction.amount, currency)) } }
                    }
                }
            }
        }
    }
}

fn gifts(report: &QuarterReport, currency: &Currency) -> Markup {
    if report.gifts.is_empty() {
        return html! { p { "Nothing was handed over in this quarter." } };
    }
    let remarks = report.gifts.iter().any(|line| line.of_closed.is_some());
    html! {
        table.f3.cards {
            caption { "In " (currency.code()) "." }
            thead {
                tr {
                    th scope="col" { "Day" } th scope="col" { "to" } th scope="col" { "reference" }
                    th scope="col" { "given" }
                }
            }
            tbody {
                @for line in &report.gifts {
                    tr {
                        th.d scope="row" { (short_day(line.gift.on)) }
                        td {
                            (line.gift.beneficiary)
                            @if remarks && line.of_closed.is_some() { " (" (words::gift_remark(line)) ")" }
                        }
                        td { (line.gift.reference.as_deref().unwrap_or_default()) }
                        td { (exact(line.amount, currency)) }
                    }
                }
            }
            tfoot {
                tr { th scope="row" colspan="3" { "together" } td.n { (exact(report.given, currency)) } }
            }
        }
    }
}

/// Running totals since the first record: a picture, and its numbers.
fn course(report: &QuarterReport, currency: &Currency) -> Result<Markup, String> {
    let money = |amount: Money| exact(amount, currency);
    let starts = report.giving.year_starts;
    let table = html! {
        table.f1.long {
            caption {
                span {
                    "Since the first record, in " (currency.code()) "; owed below 0 is given ahead. A bike that came back \
                     counts as not sold."
                }
            }
            thead {
                tr {
                    th scope="col" { "Quarter" }
                    @for head in ["bikes sold", "due", "given", "given in all", "owed at its end"] {
                        th scope="col" { (head) }
                    }
                }
            }
            tbody {
                @for line in &report.course {
                    tr {
                        th scope="row" { (short_quarter(line.quarter, starts)) }
                        td { (line.sold) }
                        td { (money(line.due)) }
                        td { (money(line.given)) }
                        td { (money(line.given_so_far)) }
                        td { (money(line.closing)) }
                    }
                }
            }
        }
    };
    Ok(html! {
        figure {
            figcaption { "Given per quarter, and in all, in " (currency.code()) ". The table below has the numbers." }
            (given::draw(report, currency)?)
        }
        (wide("running totals since the first record", &table))
    })
}
