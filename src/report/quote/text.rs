//! Quotes as a short note that a seller can act on.

use super::caution_words;
use super::own_eye;
use super::plan;
use crate::pricing::quote::Quote;
use crate::pricing::quote::caution::QuoteCaution;
use crate::pricing::quote::priced::Priced;
use crate::pricing::records::nearest::Neighbour;
use crate::pricing::value::fitted::FittedValue;
use crate::report::text::amounts::{bike, briefly, exact, plain, round, signed};
use crate::report::text::counts::{capital, first};
use crate::report::text::shares::{left_out, of_ten, percent};
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered};
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
    let barred = caution_words::not_for_sale(&priced.quote.cautions);
    if let Some(caution) = barred {
        let _ = writeln!(out, "{}", caution_words::words(caution, currency));
    }
    value(&mut out, &priced.quote, as_of, currency);
    if let Some(plan) = priced.quote.plan.as_ref().filter(|_| barred.is_none()) {
        plan::text::section(&mut out, plan, as_of, currency);
    }
    waterfall(&mut out, priced, currency);
    left_over(&mut out, &priced.quote, currency);
    let own = format!("Your own sales most like it, and their prices in {currency}");
    neighbours(&mut out, &own, &priced.sales, currency);
    let comps = format!(
        "Comps most like it, and their last asks in {currency}, above what is paid in the end; 'paid': a sale price"
    );
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
        let _ = writeln!(
            out,
            "Inspected on {}: every safety check passed.",
            verdict.on
        );
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
    if let (Some(eye), Some(words)) = (&quote.eye, own_eye::words(quote, currency)) {
        let _ = writeln!(out, "\n{words} {}", own_eye::counts(eye));
    }
}

fn left_over(out: &mut String, quote: &Quote, currency: &Currency) {
    let Some(margin) = quote.margin else { return };
    let say = |money: Money| exact(money, currency);
    let hour = margin.per_hour.and_then(|hour| currency.round(hour));
    let hour = hour.map_or(String::new(), |hour| format!(", {} an hour", say(hour)));
    let _ = writeln!(
        out,
        "\nLeft over, in {currency}, at a cost of {}, sold by the plan: {} on average, {} to {} over the same \
         range{hour}; {} chance of a loss.",
        say(margin.cost),
        say(margin.expected),
        say(margin.planned[0]),
        say(margin.planned[1]),
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
        Column::broken(30).after("  "),
        Column::left(8).after("  "),
        Column::right(12).fitted(),
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
    table.row([
        "worth: half sell for more, half for less",
        "",
        &exact(value.median, currency),
    ]);
    table.write(out);
}

fn neighbours(out: &mut String, title: &str, found: &[Neighbour], currency: &Currency) {
    if found.is_empty() {
        return;
    }
    let _ = writeln!(out, "\n{title}");
    let mut table = Table::new([
        Column::cut(10).after("  "),
        Column::cut(12).after("  "),
        Column::right(0).fitted().after("  "),
        Column::left(0).fitted().after("  "),
    ]);
    for n in found {
        let name = if n.source.is_empty() {
            n.id.clone()
        } else {
            format!("{} ({})", n.id, n.source)
        };
        let end = match n.outcome {
            _ if n.paid => format!("paid {}", n.day),
            Some(Outcome::Listed) => format!("seen {}", n.day),
            Some(outcome) => format!("{outcome} {}", n.day),
            None => format!("asked {}", n.day),
        };
        table.row([name, briefly(&n.bike), exact(n.price, currency), end]);
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
        "\nRests on {} own sales and {} comps{}. One sale is about {:.0} % off its value. {}",
        g.sales,
        g.comps,
        share(model.comps_exponent),
        (model.own_variance.sqrt().exp() - 1.0) * 100.0,
        assumed(model.prior_weight)
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

/// How much of the price level is not the user's data.
fn assumed(weight: f64) -> String {
    let part = match (100.0 * weight).round() {
        0.0 => return "Its level is from your data.".into(),
        45.0..=55.0 => "About half".to_string(),
        _ => capital(&percent(weight)),
    };
    format!("{part} of this figure is our starting assumption, not your data.")
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

/// Bikes with the same caution that are named, at most.
const NAMED: usize = 8;
/// Cautions about single bikes that are told, at most.
const OF_ONE: usize = 8;

/// Many bikes as a table, what is in doubt below; with `why` all of it.
pub fn many(priced: &[Priced], why: bool, as_of: Day, currency: &Currency) -> String {
    let mut out = String::new();
    let level = priced.first().map_or(0.8, |p| p.quote.question.level);
    let _ = writeln!(
        out,
        "Worth in {currency} on {as_of}: half sell for more, half for less; {} land between low and high. Ask \
         first what stands under ask; left is what is left over on average.\n",
        of_ten(level).to_lowercase()
    );
    let mut table = Table::new([
        Column::cut(10).after(""),
        Column::cut(14).after("  "),
        Column::right(6).fitted(),
        Column::right(6).fitted(),
        Column::right(6).fitted(),
        Column::right(6).fitted(),
        Column::right(6).fitted(),
    ]);
    table.row(["bike", "", "worth", "low", "high", "ask", "left"]);
    for p in priced {
        let q = &p.quote;
        let cell = |m: Option<Money>| m.map_or("-".into(), |m| round(m, currency));
        let plan = q.plan.as_ref();
        let ask = plan.and_then(|plan| plan.steps.first()).map(|step| step.1);
        table.row([
            name(q).to_string(),
            briefly(&q.question.bike),
            cell(q.value.map(|v| v.median)),
            cell(q.value.map(|v| v.low)),
            cell(q.value.map(|v| v.high)),
            ask.map_or("-".into(), |ask| plain(ask, currency)),
            cell(q.margin.map(|m| m.expected)),
        ]);
    }
    table.write(&mut out);
    let _ = writeln!(out, "\nCautions");
    let (mut told, mut own) = cautions_of_many(priced, currency);
    let more = own
        .len()
        .saturating_sub(if why { own.len() } else { OF_ONE });
    own.truncate(own.len() - more);
    told.extend(own);
    if more > 0 {
        told.push(format!(
            "{more} more about single bikes: the same with --why."
        ));
    }
    let no_check = "A price is no safety check: have each bike checked by somebody competent before it is ridden.";
    told.push(no_check.to_string());
    numbered(&mut out, UNBROKEN, told);
    out
}

fn name(quote: &Quote) -> &str {
    quote.question.id.as_deref().unwrap_or("-")
}

/// Cautions that hold for the book or for most of the bikes, said once, and those of
/// single bikes after their names, the gravest first.
fn cautions_of_many(priced: &[Priced], currency: &Currency) -> (Vec<String>, Vec<String>) {
    let of_all = priced.iter().flat_map(|p| {
        let cautions = p.quote.cautions.iter();
        cautions.map(|caution| (name(&p.quote), caution))
    });
    let of_all: Vec<(&str, &QuoteCaution)> = of_all.collect();
    let mut said: Vec<&str> = Vec::new();
    let mut shared: Vec<String> = Vec::new();
    let (mut grave, mut own) = (Vec::new(), Vec::new());
    for (_, caution) in &of_all {
        let code = caution_words::code(caution);
        if said.contains(&code) {
            continue;
        }
        said.push(code);
        let alike = of_all
            .iter()
            .filter(|(_, c)| caution_words::code(c) == code);
        let alike: Vec<_> = alike.collect();
        if !caution_words::of_one_bike(caution) {
            shared.push(capital(&caution_words::of_many(caution, currency)));
        } else if caution_words::holds_for_most(alike.len(), priced.len()) {
            let words = caution_words::of_many(caution, currency);
            shared.push(format!(
                "{} of {} bikes: {words}",
                alike.len(),
                priced.len()
            ));
        } else {
            let to = if caution_words::is_grave(caution) {
                &mut grave
            } else {
                &mut own
            };
            by_words(to, &alike, currency);
        }
    }
    grave.extend(own);
    (shared, grave)
}

/// A caution's words after the names of the bikes for which they are the same.
fn by_words(told: &mut Vec<String>, alike: &[&(&str, &QuoteCaution)], currency: &Currency) {
    let mut groups: Vec<(String, Vec<&str>)> = Vec::new();
    for (bike, caution) in alike {
        let words = caution_words::short(caution, currency);
        match groups.iter_mut().find(|(known, _)| *known == words) {
            Some((_, bikes)) => bikes.push(bike),
            None => groups.push((words, vec![bike])),
        }
    }
    let said = groups.iter();
    told.extend(said.map(|(words, bikes)| format!("{}: {words}", first(bikes, NAMED))));
}
