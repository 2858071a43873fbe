//! The workshop's own part: costs, hours, margins, what earned most.

use super::charts::margin;
use super::lists::{best, box_parts, corrections, costs, kept, returns};
use super::tables::{balances, cautions, due, equation, id_room, wide};
use crate::accounts::QuarterReport;
use crate::accounts::quarter::by_rule::by_rule;
use crate::accounts::quarter::figures::SaleLine;
use crate::accounts::quarter::sums;
use crate::report::export::record_cells;
use crate::report::quarter::audience::Audience;
use crate::report::quarter::words;
use crate::report::text::amounts::{exact, signed};
use crate::report::text::dates::day_of_quarter;
use crate::trade::{Currency, Money};
use maud::{Markup, html};

/// The part as a section; `audience` says whether it stands alone.
///
/// # Errors
/// What the drawing library says of the chart, as text.
pub(in crate::report) fn workshop(
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Result<Markup, String> {
    Ok(html! {
        section.part #workshop aria-labelledby="own" {
            h2 #own { "The workshop's own page" }
            @if audience == Audience::Whole {
                p.quiet {
                    "This part is not for the beneficiary. 'wheelworth quarter " (report.quarter)
                    " --for beneficiary --html FILE' makes a file without it."
                }
            }
            (equation(report, currency))
            (balances(report, "workshop", currency))
            h3 { "Bikes sold" }
            @if report.sales.is_empty() {
                p { "No bike was sold in this quarter." }
            } @else {
                (wide("bikes sold, with costs and hours", &bikes(report, currency)))
                (footnotes(report))
                h3 { "Margin by bike" }
                (margins(report, currency)?)
            }
            (returns(report, Audience::Workshop, currency))
            h3 { "What is due" }
            (due(report, Audience::Workshop, currency))
            (corrections(report, currency))
            (costs(report, currency))
            (kept(report, currency))
            (box_parts(report, currency))
            (best(report, currency))
            (cautions(report, Audience::Workshop, currency))
        }
    })
}

fn bikes(report: &QuarterReport, currency: &Currency) -> Markup {
    let (sums, rule) = (sums::sums(report), by_rule(report));
    let money = |amount: Money| exact(amount, currency);
    let an_hour = |amount: Money, hours: i64| sums::per_hour(amount, hours).map(money);
    let heads = ["price", "cost", "margin", "hours", "margin an hour", "due"];
    html! {
        table.f3.long style=(id_room(report)) {
            caption { span { "By day of sale, in " (currency.code()) "; blank: not known." } }
            thead {
                tr {
                    th scope="col" { "Bike" } th scope="col" { "what it is" } th scope="col" { "sold on" }
                    @for head in heads { th scope="col" { (head) } }
                }
            }
            tbody {
                @for (line, due) in report.sales.iter().zip(&rule.dues) {
                    tr {
                        th scope="row" { (line.id) }
                        td.w { (words::briefly(&line.bike)) }
                        td.d { (day_of_quarter(line.sold_on)) }
                        td { (money(line.sold_price)) }
                        td { (money(line.direct_cost)) }
                        td { (money(line.margin)) }
                        td { (line.hours.map_or(String::new(), record_cells::hours)) }
                        td { (line.hours.and_then(|h| an_hour(line.margin, h)).unwrap_or_default()) }
                        td { (money(*due)) }
                    }
                }
            }
            tfoot {
                tr {
                    th scope="row" colspan="3" { (words::bikes_sold(report.sales.len())) }
                    td.n { (money(sums.price)) }
                    td.n { (money(sums.cost)) }
                    td.n { (money(sums.margin)) }
                    td.n { (record_cells::hours(sums.hours)) }
                    td.n { (an_hour(sums.margin_with_hours, sums.hours).unwrap_or_default()) }
                    td.n { (money(Money::from_minor(sums.due.minor() - rule.others.minor()))) }
                }
                @if rule.others != Money::ZERO {
                    tr {
                        th scope="row" colspan="8" { (words::of_others(report)) }
                        td.n { (signed(rule.others, currency)) }
                    }
                    tr {
                        th scope="row" colspan="8" { "due for the quarter" }
                        td.n { (money(report.due)) }
                    }
                }
            }
        }
    }
}

fn footnotes(report: &QuarterReport) -> Markup {
    let unknown = |line: &SaleLine| line.hours.is_none();
    html! {
        p.quiet {
            "Cost: purchase, parts, fees and the rest, each counted once. Hours are not charged."
            @if report.sales.iter().any(unknown) {
                " Bikes without hours are left out of the margin an hour of all."
            }
            @if !report.corrections.is_empty() && !report.gives_price_alone() && sums::sums(report).due == report.due {
                " The bikes' dues add up to the whole due, in which corrections of closed quarters are counted."
            }
        }
    }
}

fn margins(report: &QuarterReport, currency: &Currency) -> Result<Markup, String> {
    let (drawn, between) = margin::drawn(report);
    let ends = match drawn.as_slice() {
        [first, .., last] => format!(
            " Largest: {} with {}; smallest: {} with {}.",
            first.id,
            exact(first.margin, currency),
            last.id,
            exact(last.margin, currency)
        ),
        _ => String::new(),
    };
    Ok(html! {
        figure {
            figcaption {
                "Margin by bike, in " (currency.code()) ", largest first"
                @if between > 0 {
                    ": the " (margin::ENDS) " largest and the " (margin::ENDS) " smallest of "
                    (report.sales.len())
                }
                "." (ends) " The table above has the numbers of all."
            }
            (margin::draw(report, currency)?)
        }
    })
}
