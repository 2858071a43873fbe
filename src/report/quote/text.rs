//! Quotes as a short note that a seller can act on.

use super::caution_words;
use super::plan;
use crate::pricing::quote::Quote;
use crate::pricing::quote::priced::Priced;
use crate::pricing::records::nearest::Neighbour;
use crate::pricing::value::fitted::FittedValue;
use crate::report::text::amounts::{bike, exact, plain, round, short_bike, signed};
use crate::report::text::counts::capital;
use crate::report::text::shares::{left_out, of_ten, percent};
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered, width};
use crate::trade::{Currency, Day, Money, Outcome};
use std::fmt::Write as _;

/// One bike in full.
pub fn one(
    priced: &Priced,
    model: Option<&FittedValue>,
    as_of: Day,
    currency: &Currency,
) -> String {
    let mut out = String::new();
    head(&mut out, priced);
    value(&mut out, &priced.quote, as_of, currency);
    if let Some(plan) = &priced.quote.plan {
        plan::text::section(&mut out, plan, as_of, currency);
    }
    waterfall(&mut out, priced, currency);
    left_over(&mut out, &priced.quote, currency);
    let own = format!("Your own sales most like it, in {currency}");
    neighbours(&mut out, &own, &priced.sales, currency);
    let comps =
        format!("Comps most like it, in {currency} (last asks, which lean above sale prices)");
    neighbours(&mut out, &comps, &priced.comps, currency);
    cautions(&mut out, priced, currency);
    if let Some(model) = model {
        rests_on(&mut out, model);
    }
    out
}

fn head(out: &mut String, priced: &Priced) {
    let question = &priced.quote.question;
    let id = question.id.as_ref();
    let name = id.map_or(String::new(), |id| format!("{id}: "));
    let _ = writeln!(out, "{name}{}", bike(&question.bike));
    let verdict = priced.verdict.as_ref();
    if let Some(verdict) = verdict.filter(|verdict| verdict.ready && !verdict.may_be_stolen) {
        let _ = writeln!(out, "Inspected on {}: every gate passed.", verdict.on);
    }
}

fn value(out: &mut String, quote: &Quote, as_of: Day, currency: &Currency) {
    let Some(value) = quote.value else {
        let _ = writeln!(out, "\nNo value can be given.");
        return;
    };
    let _ = writeln!(
        out,
        "\nWorth about {} {currency} on {as_of}: half sell for more, half for less.\n\
         {} should land between {} and {} {currency}.",
        round(value.median, currency),
        of_ten(value.level),
        round(value.low, currency),
        round(value.high, currency)
    );
}

fn left_over(out: &mut String, quote: &Quote, currency: &Currency) {
    let Some(margin) = quote.margin else { return };
    let say = |money: Money| exact(money, currency);
    let hour = margin.per_hour.and_then(|hour| currency.round(hour));
    let hour = hour.map_or(String::new(), |hour| format!(", {} an hour", say(hour)));
    let _ = writeln!(
        out,
        "\nLeft over, in {currency}, at a cost of {}: {} expected, {} to {} over the same range{hour}; {} chance of a \
         loss.",
        say(margin.cost),
        say(margin.expected),
        say(margin.low),
        say(margin.high),
        percent(margin.chance_of_loss)
    );
}

fn waterfall(out: &mut String, priced: &Priced, currency: &Currency) {
    let q = &priced.quote;
    let (Some((words, base)), Some(value)) = (&q.base, q.value) else {
        return;
    };
    let _ = writeln!(out, "\nHow the value comes about, in {currency}");
    let mut table = Table::new([
        Column::left(width(words).max(30)).after("  "),
        Column::left(8).after("  "),
        Column::right(12),
    ]);
    table.row([words.as_str(), "", &exact(*base, currency)]);
    for c in &q.contributions {
        let feature = if c.known {
            c.feature.clone()
        } else {
            format!("{} (unknown)", c.feature)
        };
        let factor = format!("x {:.3}", c.factor);
        table.row([feature, factor, signed(c.amount, currency)]);
    }
    table.row(["value (median)", "", &exact(value.median, currency)]);
    table.write(out);
}

fn neighbours(out: &mut String, title: &str, found: &[Neighbour], currency: &Currency) {
    if found.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}");
    let mut table = Table::new([
        Column::left(22).after("  "),
        Column::left(40),
        Column::right(8),
        Column::right(10),
        Column::left(0).after("  "),
    ]);
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
        let price = exact(n.price, currency);
        table.row([name, short_bike(&n.bike), verb.into(), price, end]);
    }
    table.write(out);
}

const NO_SAFETY_CHECK: &str = "A price is no safety check. Before anybody rides it, have brakes, steering, frame, fork \
     and wheels checked by somebody competent, and follow your local rules on selling used bicycles.";

fn cautions(out: &mut String, priced: &Priced, currency: &Currency) {
    let _ = writeln!(out, "\nCautions");
    let cautions = priced.quote.cautions.iter();
    let cautions = cautions.map(|caution| caution_words::words(caution, currency));
    numbered(out, UNBROKEN, cautions.chain([NO_SAFETY_CHECK.to_string()]));
}

fn rests_on(out: &mut String, model: &FittedValue) {
    let g = &model.gathered;
    let _ = writeln!(
        out,
        "\nRests on {} own sales and {} comps{}. One sale strays about {:.0} % from its value. {} of the level \
         comes from the trade prior.",
        g.sales,
        g.comps,
        share(model.comps_exponent),
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
    let mut table = Table::new([
        Column::left(14).after(""),
        Column::left(52),
        Column::right(9),
        Column::right(9),
        Column::right(9),
        Column::right(9),
        Column::right(9),
    ]);
    table.row(["bike", "", "value", "low", "high", "ask", "margin"]);
    for p in priced {
        let q = &p.quote;
        let cell = |m: Option<Money>| m.map_or("-".into(), |m| round(m, currency));
        let plan = q.plan.as_ref();
        let ask = plan.and_then(|plan| plan.steps.first()).map(|step| step.1);
        table.row([
            name(q).to_string(),
            bike(&q.question.bike),
            cell(q.value.map(|v| v.median)),
            cell(q.value.map(|v| v.low)),
            cell(q.value.map(|v| v.high)),
            ask.map_or("-".into(), |ask| plain(ask, currency)),
            cell(q.margin.map(|m| m.expected)),
        ]);
    }
    table.write(&mut out);
    let _ = writeln!(out, "\nCautions");
    let cautions = cautions_of_many(priced, currency).into_iter();
    let no_check = "A price is no safety check: have each bike checked by somebody competent before it is ridden.";
    numbered(&mut out, UNBROKEN, cautions.chain([no_check.to_string()]));
    out
}

fn name(quote: &Quote) -> &str {
    quote.question.id.as_deref().unwrap_or("-")
}

/// Cautions that hold for every bike are said once and first, the others after the
/// name of the bike.
fn cautions_of_many(priced: &[Priced], currency: &Currency) -> Vec<String> {
    let words = |p: &Priced| -> Vec<String> {
        let cautions = p.quote.cautions.iter();
        cautions
            .map(|caution| caution_words::words(caution, currency))
            .collect()
    };
    let all: Vec<Vec<String>> = priced.iter().map(words).collect();
    let of_all = |text: &String| all.len() > 1 && all.iter().all(|other| other.contains(text));
    let mut shared: Vec<String> = Vec::new();
    let mut own: Vec<String> = Vec::new();
    for (p, said) in priced.iter().zip(&all) {
        for text in said {
            if !of_all(text) {
                own.push(format!("{}: {text}", name(&p.quote)));
            } else if !shared.contains(text) {
                shared.push(text.clone());
            }
        }
    }
    shared.extend(own);
    shared
}
