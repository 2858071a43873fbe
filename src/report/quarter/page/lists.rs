//! Smaller lists of the workshop's own part.

use super::tables::day_cell;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::sums;
use crate::report::quarter::audience::Audience;
use crate::report::quarter::words;
use crate::report::text::amounts::exact;
use crate::trade::{Cost, Currency, Give};
use maud::{Markup, html};

/// Best bikes that are named by each measure.
const BEST: usize = 5;

/// Changes of closed quarters' records.
pub(in crate::report) fn corrections(report: &QuarterReport, currency: &Currency) -> Markup {
    if report.corrections.is_empty() {
        return html! {};
    }
    let of = match report.giving.give {
        Give::Price => "sale prices",
        Give::Net => "what is left",
    };
    html! {
        h3 { "Corrections of closed quarters" }
        table.f3.cards {
            caption { "What changed after a quarter was closed, and the change of " (of) ", in " (currency.code()) "." }
            thead {
                tr {
                    th scope="col" { "Quarter" } th scope="col" { "bike" } th scope="col" { "what changed" }
                    th scope="col" { "change" }
                }
            }
            tbody {
                @for correction in &report.corrections {
                    tr {
                        th scope="row" { (correction.of) }
                        td { (correction.bike.as_deref().unwrap_or_default()) }
                        td { (words::correction(correction, currency)) }
                        td { (exact(correction.amount, currency)) }
                    }
                }
            }
        }
    }
}

/// The workshop's own costs.
pub(in crate::report) fn costs(report: &QuarterReport, currency: &Currency) -> Markup {
    let (left, _) = words::left_and_kept(report);
    html! {
        h3 { "The workshop's costs" }
        @if report.workshop.is_empty() && left.is_empty() {
            p { "None in this quarter." }
        } @else {
            table.f2 {
                caption {
                    "Costs of no one bike"
                    @if !left.is_empty() { ", and of bikes that left without a sale" }
                    ", in " (currency.code()) "."
                }
                thead {
                    tr { th scope="col" { "Day" } th scope="col" { "what" } th scope="col" { "cost" } }
                }
                tbody {
                    @for cost in &report.workshop {
                        tr {
                            (day_cell(cost.on))
                            td { (words::cost(cost)) }
                            td { (exact(cost.amount, currency)) }
                        }
                    }
                    @for line in &left {
                        tr {
                            (day_cell(line.left.on))
                            td { (line.id) ": " (words::left(&line.left, currency)) }
                            td { (exact(line.direct_cost, currency)) }
                        }
                    }
                }
                tfoot {
                    tr {
                        th scope="row" colspan="2" { "together" }
                        td.n { (exact(report.workshop_costs, currency)) }
                    }
                }
            }
        }
    }
}

/// Bikes that their owner keeps.
pub(in crate::report) fn kept(report: &QuarterReport, currency: &Currency) -> Markup {
    let (_, kept) = words::left_and_kept(report);
    if kept.is_empty() {
        return html! {};
    }
    html! {
        h3 { "Kept by the owner" }
        table.f2 {
            caption { "Their cost counts to nobody but the owner; in no sum, in " (currency.code()) "." }
            thead { tr { th scope="col" { "Day" } th scope="col" { "bike" } th scope="col" { "cost" } } }
            tbody {
                @for line in &kept {
                    tr {
                        (day_cell(line.left.on))
                        td { (line.id) }
                        td { (exact(line.direct_cost, currency)) }
                    }
                }
            }
        }
    }
}

/// Money handed back to buyers.
pub(in crate::report) fn returns(
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Markup {
    if report.returns.is_empty() {
        return html! {};
    }
    let costs = audience.sees_costs() && report.returns.iter().any(|line| line.came_back);
    html! {
        h3 { "Handed back to buyers" }
        table.f3.cards {
            caption { "By day, in " (currency.code()) "." }
            thead {
                tr {
                    th scope="col" { "Day" } th scope="col" { "bike" } th scope="col" { "what" }
                    th scope="col" { "refund" }
                    @if costs { th scope="col" { "cost back in stock" } }
                }
            }
            tbody {
                @for line in &report.returns {
                    tr {
                        (day_cell(line.on))
                        td { (line.id) }
                        td { (words::came_back(line)) }
                        td { (exact(line.refund, currency)) }
                        @if costs { td { (exact(line.cost_back, currency)) } }
                    }
                }
            }
        }
    }
}

/// What was taken from the parts box.
pub(in crate::report) fn box_parts(report: &QuarterReport, currency: &Currency) -> Markup {
    if report.from_box.is_empty() {
        return html! {};
    }
    let row = |cost: &Cost| {
        html! {
            tr {
                (day_cell(cost.on))
                td { (cost.bike.as_deref().unwrap_or("workshop")) }
                td { (words::cost(cost)) }
                td { (exact(cost.amount, currency)) }
            }
        }
    };
    html! {
        h3 { "From the parts box" }
        table.f3.cards {
            caption { "No money was spent on these now; their worth, in " (currency.code()) ", is in no sum." }
            thead {
                tr {
                    th scope="col" { "Day" } th scope="col" { "bike" } th scope="col" { "what" }
                    th scope="col" { "worth" }
                }
            }
            tbody { @for cost in &report.from_box { (row(cost)) } }
        }
    }
}

/// What earned most for the cause, per hour and per unit of money tied up.
pub(in crate::report) fn best(report: &QuarterReport, currency: &Currency) -> Markup {
    let best = sums::earned(report, BEST);
    if best.per_hour.is_empty() && best.per_unit.is_empty() {
        return html! {};
    }
    let hours = best.per_hour.iter();
    let hours: Vec<(usize, String)> = hours
        .map(|(place, rate)| (*place, exact(*rate, currency)))
        .collect();
    let units = best.per_unit.iter();
    let units: Vec<(usize, String)> = units
        .map(|(place, rate)| (*place, words::hundredths(*rate)))
        .collect();
    let tied = format!(
        "{} for each {currency} of direct cost",
        words::earned_by(&best)
    );
    let hour = format!("{} an hour", words::earned_by(&best));
    html! {
        h3 { "What earned most for the cause" }
        @if best.by_margin {
            p { "Nothing was due, so this goes by margin." }
        }
        (ranking(report, &hour, &format!("Per hour of work: {hour}, in {currency}"), &hours))
        (ranking(report, &tied, &format!("Per unit of money tied up: {tied}"), &units))
    }
}

fn ranking(
    report: &QuarterReport,
    measure: &str,
    caption: &str,
    best: &[(usize, String)],
) -> Markup {
    let sales = best.iter();
    let rows: Vec<_> = sales
        .filter_map(|(place, rate)| Some((report.sales.get(*place)?, rate)))
        .collect();
    html! {
        @if !rows.is_empty() {
            table.f2.cards {
                caption { (caption) "." }
                thead {
                    tr { th scope="col" { "Bike" } th scope="col" { "what it is" } th scope="col" { (measure) } }
                }
                tbody {
                    @for (line, rate) in &rows {
                        tr {
                            th scope="row" { (line.id) }
                            td { (words::briefly(&line.bike)) }
                            td { (rate) }
                        }
                    }
                }
            }
        }
    }
}
