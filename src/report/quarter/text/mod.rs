//! A quarter's report as text, a screen wide.

mod lines;
mod tables;

use super::audience::Audience;
use super::caution_words;
use super::words;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::sums;
use crate::report::text::amounts::exact;
use crate::report::text::dates::long_day;
use crate::report::text::wrap::numbered;
use crate::trade::{Currency, Money};
use lines::{Line, WIDTH, paragraph, table};
use tables::{balance, box_parts, corrections, earned, gifts, kept, returns, sales, workshop};

/// The whole report for a reader.
pub fn render(report: &QuarterReport, audience: Audience, currency: &Currency) -> String {
    let mut out = String::new();
    heading(&mut out, report, audience, currency);
    out.push('\n');
    paragraph(&mut out, "  => ", &words::in_short(report, currency));
    if is_quiet(report) {
        out.push_str("\nNothing was sold, handed back or handed over in this quarter.\n");
    }
    sales(&mut out, report, audience, currency);
    returns(&mut out, report, audience, currency);
    if audience.sees_costs() {
        workshop(&mut out, report, currency);
        kept(&mut out, report, currency);
        box_parts(&mut out, report, currency);
    }
    corrections(&mut out, report, audience, currency);
    due(&mut out, report, audience, currency);
    gifts(&mut out, report, currency);
    balance(&mut out, report, currency);
    so_far(&mut out, report, currency);
    if audience.sees_costs() {
        earned(&mut out, report, currency);
    }
    cautions(&mut out, report, audience, currency);
    out
}

/// Whether there is nothing to tell of the quarter but balances.
fn is_quiet(report: &QuarterReport) -> bool {
    report.sales.is_empty()
        && report.returns.is_empty()
        && report.left.is_empty()
        && report.workshop.is_empty()
        && report.from_box.is_empty()
        && report.corrections.is_empty()
        && report.gifts.is_empty()
}

fn heading(out: &mut String, report: &QuarterReport, audience: Audience, currency: &Currency) {
    let title = words::title(report);
    paragraph(
        out,
        "",
        &format!("Donated proceeds, {title}, in {currency}"),
    );
    if !audience.sees_costs() {
        paragraph(out, "", &format!("For {}", words::beneficiaries(report)));
    }
    paragraph(out, "", &words::rule(&report.giving));
    if let Some(day) = report.closed_on {
        let closed = format!("Closed on {}: these figures stand.", long_day(day));
        paragraph(out, "", &closed);
    }
}

fn due(out: &mut String, report: &QuarterReport, audience: Audience, currency: &Currency) {
    if sums::is_nothing(report) {
        return;
    }
    let mut lines: Vec<Line> = words::due_steps(report, audience, currency)
        .into_iter()
        .map(|(words, amount)| Line::new(words, [amount]))
        .collect();
    let of_it = format!("due: {} of it", words::percent(report.giving.share));
    let of_it = if audience.sees_dues(report) {
        of_it.as_str()
    } else {
        "due"
    };
    // The rule stands above the sum, of which the due is a share, or above the due itself
    // where the sum is not told.
    let added = lines.len() > 1;
    let told = audience.sees_dues(report);
    if let Some(sum) = lines.last_mut().filter(|_| added && told) {
        sum.is_sum = true;
    }
    let mut whole = Line::new(of_it, [exact(report.due, currency)]);
    whole.is_sum = added && !told;
    lines.push(whole);
    out.push('\n');
    table(out, "What is due", &[""], &lines, false);
    if report.carried_forward != Money::ZERO {
        let carried = exact(report.carried_forward, currency);
        let carried = Line::new("shortfall carried forward", [carried]);
        table(out, "", &[], &[carried], false);
    }
}

fn so_far(out: &mut String, report: &QuarterReport, currency: &Currency) {
    let (Some(first), Some(last)) = (report.course.first(), report.course.last()) else {
        return;
    };
    let sold: i64 = report.course.iter().map(|line| line.sold).sum();
    let back = report.returns.iter().any(|line| line.came_back);
    let line = format!(
        "Since {}: {}{}, {} {currency} handed over in all.",
        first.quarter,
        words::bikes_sold(usize::try_from(sold).unwrap_or(0)),
        if back { " that did not come back" } else { "" },
        exact(last.given_so_far, currency)
    );
    out.push('\n');
    paragraph(out, "", &line);
}

fn cautions(out: &mut String, report: &QuarterReport, audience: Audience, currency: &Currency) {
    let mut cautions = audience.printed(report, currency).peekable();
    if cautions.peek().is_some() {
        out.push_str("\nCautions\n");
    }
    let words = cautions.map(|caution| caution_words::words(caution, currency));
    numbered(out, WIDTH, words);
}
