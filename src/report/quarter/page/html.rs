//! A quarter's report as one page: no network, no script, with what the
//! beneficiary sees and the workshop's own part, or one of them.

use super::beneficiary::beneficiary;
use super::style::sheet;
use super::workshop::workshop;
use crate::accounts::QuarterReport;
use crate::report::quarter::audience::Audience;
use crate::report::quarter::words;
use crate::report::text::dates::long_day;
use crate::trade::Currency;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// Nothing is loaded and nothing is run, whatever somebody typed.
const NOTHING_LOADED: &str = "default-src 'none'; style-src 'unsafe-inline'";

/// The page for a reader.
///
/// # Errors
/// What the drawing library says of the charts, as text.
pub fn render(
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Result<String, String> {
    let title = words::title(report);
    let parts = [
        (audience != Audience::Workshop)
            .then(|| beneficiary(report, currency))
            .transpose()?,
        (audience != Audience::Beneficiary)
            .then(|| workshop(report, audience, currency))
            .transpose()?,
    ];
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(NOTHING_LOADED);
                title { "Donated proceeds, " (title) }
                style { (PreEscaped(sheet())) }
            }
            body {
                header {
                    h1 { "Donated proceeds " span { (title) } }
                    p.quiet { (status(report, currency)) }
                    @if audience == Audience::Whole {
                        nav aria-label="Parts of this page" {
                            a href="#beneficiary" { "For " (words::beneficiaries(report)) }
                            a href="#workshop" { "The workshop's own page" }
                        }
                    }
                }
                main { @for part in parts.into_iter().flatten() { (part) } }
                footer {
                    "Made with wheelworth from the workshop's own records. Records, not tax or legal advice."
                }
            }
        }
    };
    Ok(page.into_string())
}

/// Of which day the figures are, and whether they stand.
fn status(report: &QuarterReport, currency: &Currency) -> Markup {
    html! {
        "Amounts in " (currency.code()) ". "
        @match report.closed_on {
            Some(day) => { "The quarter was closed on " (long_day(day)) ": these figures stand." }
            None if report.as_of < report.to => {
                "The quarter is not over: figures up to " (long_day(report.as_of)) "."
            }
            None => { "From the records as they stood on " (long_day(report.as_of)) "." }
        }
    }
}
