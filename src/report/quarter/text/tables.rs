//! The tables of a quarter's report as text.

use super::lines::{Line, paragraph, table};
use crate::accounts::QuarterReport;
use crate::accounts::quarter::by_rule::by_rule;
use crate::accounts::quarter::figures::{Balance, LeftLine, ReturnLine};
use crate::accounts::quarter::sums;
use crate::report::quarter::audience::Audience;
use crate::report::quarter::words;
use crate::report::text::amounts::{exact, signed};
use crate::report::text::wrap::{padded, width};
use crate::trade::{Cost, Currency, Give, Money};
use std::fmt::Write as _;

/// Best bikes that are named by each measure.
const BEST: usize = 3;

/// Ids up to this long stand in a column.
const ID: usize = 14;

pub(in crate::report) fn sales(
    out: &mut String,
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) {
    if report.sales.is_empty() {
        return;
    }
    let money = |amount: Money| exact(amount, currency);
    let columns = |price: Money, cost: Money, margin: Money, due: Money| {
        let mut columns = vec![money(price)];
        if audience.sees_costs() {
            columns.extend([money(cost), money(margin)]);
        }
        if audience.sees_dues(report) {
            columns.push(money(due));
        }
        columns
    };
    let heads: &[&str] = match (audience.sees_costs(), audience.sees_dues(report)) {
        (true, _) => &["price", "cost", "margin", "due"],
        (false, true) => &["price", "due"],
        (false, false) => &["price"],
    };
    let ids = report.sales.iter().map(|line| width(&line.id));
    let room = ids.filter(|length| *length <= ID).max().unwrap_or(0);
    let rule = by_rule(report);
    let apart = audience.sees_dues(report) && rule.others != Money::ZERO;
    let mut lines: Vec<Line> = report
        .sales
        .iter()
        .zip(rule.dues)
        .map(|(line, due)| {
            let what = match audience.sees_costs() {
                true => words::briefly(&line.bike),
                false => words::what_it_is(&line.bike),
            };
            let words = format!("{}  {}  {what}", line.sold_on, padded(&line.id, room));
            let amounts = columns(line.sold_price, line.direct_cost, line.margin, due);
            Line::new(words, amounts)
        })
        .collect();
    let sums = sums::sums(report);
    let mut all = words::bikes_sold(report.sales.len());
    let mut due = sums.due;
    if apart {
        let mut amounts = vec![String::new(); heads.len() - 1];
        amounts.push(signed(rule.others, currency));
        lines.push(Line::new(words::of_others(report), amounts));
        all += ", and what comes of other quarters";
        due = report.due;
    }
    lines.push(Line::new(
        all,
        columns(sums.price, sums.cost, sums.margin, due),
    ));
    out.push('\n');
    table(out, "What came in", heads, &lines, true);
    if !(report.corrections.is_empty() || report.gives_price_alone())
        && audience.sees_dues(report)
        && sums.due == report.due
    {
        let note = "The bikes' dues add up to the whole due, in which corrections of closed quarters are counted.";
        paragraph(out, "  ", note);
    }
}

pub(in crate::report) fn workshop(out: &mut String, report: &QuarterReport, currency: &Currency) {
    let (left, _) = words::left_and_kept(report);
    if report.workshop.is_empty() && left.is_empty() {
        return;
    }
    let mut lines = costs(&report.workshop, currency);
    lines.extend(left.into_iter().map(|line| gone(line, currency)));
    let sum = exact(report.workshop_costs, currency);
    lines.push(Line::new("together", [sum]));
    out.push('\n');
    table(out, "The workshop's costs", &["cost"], &lines, true);
}

/// Bikes that their owner keeps.
pub(in crate::report) fn kept(out: &mut String, report: &QuarterReport, currency: &Currency) {
    let (_, kept) = words::left_and_kept(report);
    if kept.is_empty() {
        return;
    }
    let lines: Vec<Line> = kept.into_iter().map(|line| gone(line, currency)).collect();
    out.push('\n');
    table(
        out,
        "Kept by the owner (in no sum)",
        &["cost"],
        &lines,
        false,
    );
}

fn gone(line: &LeftLine, currency: &Currency) -> Line {
    let how = words::left(&line.left, currency);
    let words = format!("{}  {}  {how}", line.left.on, line.id);
    Line::new(words, [exact(line.direct_cost, currency)])
}

/// Money handed back to buyers.
pub(in crate::report) fn returns(
    out: &mut String,
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) {
    if report.returns.is_empty() {
        return;
    }
    let open = audience.sees_costs();
    let any_back = report.returns.iter().any(|line| line.came_back);
    let line = |line: &ReturnLine| {
        let words = format!("{}  {}  {}", line.on, line.id, words::came_back(line));
        let mut amounts = vec![exact(line.refund, currency)];
        if open && any_back {
            amounts.push(exact(line.cost_back, currency));
        }
        Line::new(words, amounts)
    };
    let lines: Vec<Line> = report.returns.iter().map(line).collect();
    let heads: &[&str] = if open && any_back {
        &["refund", "cost back in stock"]
    } else {
        &["refund"]
    };
    out.push('\n');
    table(out, "Handed back to buyers", heads, &lines, false);
}

pub(in crate::report) fn box_parts(out: &mut String, report: &QuarterReport, currency: &Currency) {
    if report.from_box.is_empty() {
        return;
    }
    let title = "From the parts box (no money spent now; in no sum)";
    out.push('\n');
    table(
        out,
        title,
        &["worth"],
        &costs(&report.from_box, currency),
        false,
    );
}

fn costs(costs: &[Cost], currency: &Currency) -> Vec<Line> {
    let line = |cost: &Cost| {
        let bike = cost
            .bike
            .as_ref()
            .map_or(String::new(), |bike| format!("  {bike}"));
        let words = format!("{}{bike}  {}", cost.on, words::cost(cost));
        Line::new(words, [exact(cost.amount, currency)])
    };
    costs.iter().map(line).collect()
}

pub(in crate::report) fn corrections(
    out: &mut String,
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) {
    let told = report.corrections.iter().filter_map(|correction| {
        let what = words::told_correction(correction, audience, currency)?;
        let bike = correction.bike.iter();
        let bike = bike.fold(String::new(), |_, bike| format!("{bike}  "));
        let amount = if audience.sees_dues(report) {
            exact(correction.amount, currency)
        } else {
            String::new()
        };
        let words = format!("{}  {bike}{what}", correction.of);
        Some(Line::new(words, [amount]))
    });
    let lines: Vec<Line> = told.collect();
    if lines.is_empty() {
        return;
    }
    let of = |give: Give| report.corrections.iter().all(|c| c.give == give);
    let head = match audience.sees_dues(report) {
        false => "",
        true if of(Give::Price) => "price",
        true if of(Give::Net) => "margin",
        true => "price or margin",
    };
    let title = "Corrections of closed quarters (change)";
    out.push('\n');
    table(out, title, &[head], &lines, false);
}

pub(in crate::report) fn gifts(out: &mut String, report: &QuarterReport, currency: &Currency) {
    if report.gifts.is_empty() {
        return;
    }
    let mut lines: Vec<Line> = report
        .gifts
        .iter()
        .map(|line| {
            let mut words = format!("{}  {}", line.gift.on, line.gift.beneficiary);
            if let Some(reference) = &line.gift.reference {
                let _ = write!(words, "  {reference}");
            }
            let remark = words::gift_remark(line);
            if !remark.is_empty() {
                let _ = write!(words, " ({remark})");
            }
            Line::new(words, [exact(line.amount, currency)])
        })
        .collect();
    lines.push(Line::new("together", [exact(report.given, currency)]));
    out.push('\n');
    table(out, "Handed over", &["given"], &lines, true);
    for meant in &report.meant {
        paragraph(out, "  ", &words::meant(meant, currency));
    }
}

/// `opening + due - given = closing`, for the whole and for each.
pub(in crate::report) fn balance(out: &mut String, report: &QuarterReport, currency: &Currency) {
    let money = |amount: Money| exact(amount, currency);
    out.push('\n');
    let to_nobody = sums::owed_to_nobody(report);
    if report.beneficiaries.len() > 1 || to_nobody.is_some() {
        let heads = ["opening", "+ due", "- given", "= closing"];
        let row = |name: &str, opening, due, given, closing| {
            Line::new(name, [opening, due, given, closing].map(money))
        };
        let each = |one: &Balance| row(&one.name, one.opening, one.due, one.given, one.closing);
        let mut lines: Vec<Line> = report.beneficiaries.iter().map(each).collect();
        lines.extend(to_nobody.iter().map(each));
        let whole = (report.opening, report.due, report.given, report.closing);
        lines.push(row("together", whole.0, whole.1, whole.2, whole.3));
        table(out, "What is owed", &heads, &lines, true);
        return;
    }
    let title = match report.beneficiaries.as_slice() {
        [one] => format!("What is owed to {}", one.name),
        _ => "What is owed".into(),
    };
    let closing = format!("= closing balance, {}", words::owed(report.closing));
    let lines = [
        Line::new("opening balance", [money(report.opening)]),
        Line::new("+ due for the quarter", [money(report.due)]),
        Line::new("- given in the quarter", [money(report.given)]),
        Line::new(closing, [money(report.closing)]),
    ];
    table(out, &title, &[""], &lines, true);
}

pub(in crate::report) fn earned(out: &mut String, report: &QuarterReport, currency: &Currency) {
    let best = sums::earned(report, BEST);
    let line = |place: usize, rate: String| {
        let sale = report.sales.get(place)?;
        let words = format!("{}  {}", sale.id, words::briefly(&sale.bike));
        Some(Line::new(words, [rate]))
    };
    let hours = best.per_hour.iter();
    let hours: Vec<Line> = hours
        .filter_map(|(place, rate)| line(*place, exact(*rate, currency)))
        .collect();
    let units = best.per_unit.iter();
    let units: Vec<Line> = units
        .filter_map(|(place, rate)| line(*place, words::hundredths(*rate)))
        .collect();
    let title = "What earned most for the cause";
    for (lines, measure) in [
        (hours, "an hour".to_string()),
        (units, format!("for each {currency} of direct cost")),
    ] {
        if !lines.is_empty() {
            out.push('\n');
            let head = format!("{} {measure}", words::earned_by(&best));
            table(out, title, &[&head], &lines, false);
        }
    }
}
