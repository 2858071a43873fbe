//! Quotes as a short note that a seller can act on.

use super::caution_words;
use super::plan_text;
use crate::pricing::quote::answer::Priced;
use crate::pricing::records::gathered::LeftOut;
use crate::pricing::records::nearest::Neighbour;
use crate::pricing::value::fitted::FittedValue;
use crate::report::text::amounts::{bike, exact, percent, plain, round, short_bike, signed};
use crate::report::text::counts::capital;
use crate::trade::{Currency, Day, Outcome};
use std::fmt::Write as _;

/// One bike in full.
pub fn one(
    priced: &Priced,
    model: Option<&FittedValue>,
    as_of: Day,
    currency: &Currency,
) -> String {
    let mut out = String::new();
    let q = &priced.quote;
    let name = q
        .question
        .id
        .as_ref()
        .map_or(String::new(), |id| format!("{id}: "));
    let _ = writeln!(out, "{name}{}", bike(&q.question.bike));
    if let Some(verdict) = priced
        .verdict
        .as_ref()
        .filter(|verdict| verdict.ready && !verdict.may_be_stolen)
    {
        let _ = writeln!(out, "Inspected on {}: every gate passed.", verdict.on);
    }
    if let Some(v) = q.value {
        let _ = writeln!(
            out,
            "\nWorth about {} {currency} on {as_of}, with an even chance of more or less.\n\
             {} should land between {} and {} {currency}.",
            round(v.median, currency),
            of_ten(v.level),
            round(v.low, currency),
            round(v.high, currency)
        );
    } else {
        let _ = writeln!(out, "\nNo value can be given.");
    }
    if let Some(plan) = &q.plan {
        plan_text::section(&mut out, plan, as_of, currency);
    }
    waterfall(&mut out, priced, currency);
    if let Some(m) = q.margin {
        let hour = m.per_hour.and_then(|h| currency.round(h));
        let _ = writeln!(
            out,
            "\nLeft over, in {currency}, at a cost of {}: {} expected, {} to {} over the same range{}; {} chance of a loss.",
            exact(m.cost, currency),
            exact(m.expected, currency),
            exact(m.low, currency),
            exact(m.high, currency),
            hour.map_or(String::new(), |h| format!(
                ", {} an hour",
                exact(h, currency)
            )),
            percent(m.chance_of_loss)
        );
    }
    neighbours(
        &mut out,
        &format!("Your own sales most like it, in {currency}"),
        &priced.sales,
        currency,
    );
    neighbours(
        &mut out,
        &format!("Comps most like it, in {currency} (last asks, which lean above sale prices)"),
        &priced.comps,
        currency,
    );
    cautions(&mut out, priced, currency);
    if let Some(model) = model {
        rests_on(&mut out, model);
    }
    out
}

/// `Four sales in five`, or the percentage where that is no plain fraction.
pub(in crate::report) fn of_ten(level: f64) -> String {
    match level {
        0.5 => "One sale in two".into(),
        0.8 => "Four sales in five".into(),
        0.9 => "Nine sales in ten".into(),
        _ => format!("{} of such sales", level_percent(level)),
    }
}

/// The probability of a range as a percentage with the decimals that it has:
/// `99.9 %`.
pub fn level_percent(level: f64) -> String {
    let percent = level * 100.0;
    let mut written = (0..=12).map(|decimals| format!("{percent:.decimals$}"));
    let exact = |text: &String| {
        text.parse::<f64>()
            .is_ok_and(|read| (read - percent).abs() < 1e-11)
    };
    let shortest = written.clone().find(exact).or(written.next_back());
    format!("{} %", shortest.unwrap_or_default())
}

fn waterfall(out: &mut String, priced: &Priced, currency: &Currency) {
    let q = &priced.quote;
    let (Some((words, base)), Some(value)) = (&q.base, q.value) else {
        return;
    };
    let _ = writeln!(out, "\nHow the value comes about, in {currency}");
    let width = words.chars().count().max(30);
    let _ = writeln!(
        out,
        "  {words:width$}           {:>12}",
        exact(*base, currency)
    );
    for c in &q.contributions {
        let _ = writeln!(
            out,
            "  {:width$}  x {:<6.3} {:>12}",
            if c.known {
                c.feature.clone()
            } else {
                format!("{} (unknown)", c.feature)
            },
            c.factor,
            signed(c.amount, currency)
        );
    }
    let _ = writeln!(
        out,
        "  {:width$}           {:>12}",
        "value (median)",
        exact(value.median, currency)
    );
}

fn neighbours(out: &mut String, title: &str, found: &[Neighbour], currency: &Currency) {
    if found.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}");
    for n in found {
        let name = if n.source.is_empty() {
            n.id.clone()
        } else {
            format!("{} ({})", n.id, n.source)
        };
        let (verb, end) = match n.outcome {
            _ if n.paid => ("sold for", format!("on {}", n.day)),
            Some(Outcome::Listed) => ("asked", format!("last seen {}", n.day)),
            Some(outcome) => ("asked", format!("{outcome} {}", n.day)),
            None => ("asked", format!("on {}", n.day)),
        };
        let _ = writeln!(
            out,
            "  {name:<22} {:<40} {verb:>8} {:>10}  {end}",
            short_bike(&n.bike),
            exact(n.price, currency)
        );
    }
}

fn cautions(out: &mut String, priced: &Priced, currency: &Currency) {
    let _ = writeln!(out, "\nCautions");
    for (number, caution) in (1..).zip(&priced.quote.cautions) {
        let _ = writeln!(
            out,
            "  {number}. {}",
            caution_words::words(caution, currency)
        );
    }
    let _ = writeln!(
        out,
        "  {}. A price is no safety check. Before anybody rides it, have brakes, steering, frame, fork and wheels \
         checked by somebody competent, and follow your local rules on selling used bicycles.",
        priced.quote.cautions.len() + 1
    );
}

fn rests_on(out: &mut String, model: &FittedValue) {
    let g = &model.gathered;
    let _ = writeln!(
        out,
        "\nRests on {} own sales and {} comps{}. One sale strays about {:.0} % from its value. {} of the level \
         comes from the trade prior.",
        g.sales,
        g.comps,
        share(model.comps_weight),
        (model.own_variance.sqrt().exp() - 1.0) * 100.0,
        capital(&percent(model.prior_weight))
    );
    if g.left_out > 0 {
        let shown: Vec<String> = g.left_out_named.iter().take(5).map(left_out).collect();
        let more = if g.left_out > shown.len() {
            ", …"
        } else {
            ""
        };
        let _ = writeln!(
            out,
            "Set aside, {} in all: {}{more}.",
            g.left_out,
            shown.join("; ")
        );
    }
}

fn share(weight: f64) -> String {
    if weight >= 1.0 {
        String::new()
    } else {
        format!(
            " (each comp counted as 1/{:.0}: they did not agree with your sales)",
            1.0 / weight
        )
    }
}

/// A record that was set aside, and how far off it is.
pub fn left_out(row: &LeftOut) -> String {
    match row.ratio {
        Some(ratio) if ratio >= 1.0 => format!("{} at {ratio:.1} times what is likely", row.name),
        Some(ratio) => format!("{} at 1/{:.1} of what is likely", row.name, 1.0 / ratio),
        None => format!("{} without a date or price", row.name),
    }
}

/// Many bikes as a table, their cautions below.
pub fn many(priced: &[Priced], as_of: Day, currency: &Currency) -> String {
    let mut out = String::new();
    let level = priced.first().map_or(0.8, |p| p.quote.question.level);
    let _ = writeln!(
        out,
        "Values in {currency} on {as_of}; {} should land between low and high; ask is \
         what to ask first.\n",
        of_ten(level).to_lowercase()
    );
    let _ = writeln!(
        out,
        "{:<14} {:<52} {:>9} {:>9} {:>9} {:>9} {:>9}",
        "bike", "", "value", "low", "high", "ask", "margin"
    );
    for p in priced {
        let q = &p.quote;
        let cell = |m: Option<crate::trade::Money>| m.map_or("-".into(), |m| round(m, currency));
        let plan = q.plan.as_ref();
        let ask = plan.and_then(|plan| plan.steps.first()).map(|step| step.1);
        let _ = writeln!(
            out,
            "{:<14} {:<52} {:>9} {:>9} {:>9} {:>9} {:>9}",
            q.question.id.as_deref().unwrap_or("-"),
            bike(&q.question.bike),
            cell(q.value.map(|v| v.median)),
            cell(q.value.map(|v| v.low)),
            cell(q.value.map(|v| v.high)),
            ask.map_or("-".into(), |ask| plain(ask, currency)),
            cell(q.margin.map(|m| m.expected)),
        );
    }
    // A caution that holds for every bike is said once.
    let mut shared: Vec<String> = Vec::new();
    let mut own: Vec<String> = Vec::new();
    let all: Vec<Vec<String>> = priced
        .iter()
        .map(|p| {
            p.quote
                .cautions
                .iter()
                .map(|c| caution_words::words(c, currency))
                .collect()
        })
        .collect();
    for (p, said) in priced.iter().zip(&all) {
        for text in said {
            if all.len() > 1 && all.iter().all(|other| other.contains(text)) {
                if !shared.contains(text) {
                    shared.push(text.clone());
                }
            } else {
                own.push(format!(
                    "{}: {text}",
                    p.quote.question.id.as_deref().unwrap_or("-")
                ));
            }
        }
    }
    shared.extend(own);
    shared.push("A price is no safety check: have each bike checked by somebody competent before it is ridden.".into());
    let _ = writeln!(out, "\nCautions");
    for (number, text) in (1..).zip(shared) {
        let _ = writeln!(out, "  {number}. {text}");
    }
    out
}
