//! The plan of a quote in plain words.

use crate::pricing::asking::Plan;
use crate::report::text::amounts::{exact, plain, round};
use crate::report::text::counts::capital;
use crate::report::text::dates::day_seen_from;
use crate::report::text::shares::percent;
use crate::trade::{Currency, Day, Money};
use jiff::ToSpan as _;
use std::fmt::Write as _;

/// The sentence to act on.
pub(crate) fn advice(plan: &Plan, as_of: Day, currency: &Currency) -> String {
    format!(
        "{} {}",
        mark_downs(plan, as_of, currency),
        accept(plan, currency)
    )
}

/// What to ask now, and when to ask less, as far as more than hardly any bikes come.
pub(crate) fn mark_downs(plan: &Plan, as_of: Day, currency: &Currency) -> String {
    let on = |days: i64| day_seen_from(as_of.saturating_add(days.days()), as_of);
    let say = |m: Money| plain(m, currency);
    let Some((_, first)) = plan.steps.first() else {
        return String::new();
    };
    let now = plan.stands.and_then(|s| s.1);
    let ask = match now {
        Some(now) if now == *first => format!("Keep asking {}", say(*first)),
        Some(_) => format!("Come down to {} now", say(*first)),
        None => format!("Ask {}", say(*first)),
    };
    let cuts = plan.likely_steps().iter().skip(1);
    let cuts: Vec<String> = cuts
        .map(|(day, ask)| format!("{} from {}", say(*ask), on(*day)))
        .collect();
    if cuts.is_empty() {
        format!("{ask}.")
    } else {
        format!("{ask}; while it is unsold {}.", cuts.join(", "))
    }
}

/// The least to take today. Offers are taken in whole figures: up, so that none is too
/// low.
pub(crate) fn accept(plan: &Plan, currency: &Currency) -> String {
    format!("Accept {} or more today.", round_up(plan.floor, currency))
}

/// By when half are sold, and the chances on the way.
pub(crate) fn half_sold(plan: &Plan) -> String {
    let chances = plan.outlook.chances;
    // Beyond the weeks planned for nothing more can be sold.
    let within: Vec<String> = [7, 14, 30, 60]
        .into_iter()
        .zip(chances.within)
        .filter(|(days, _)| *days <= 7 * plan.weeks)
        .map(|(days, chance)| format!("{days} days: {}", percent(chance)))
        .collect();
    format!(
        "{} (within {}).",
        capital(&median(chances.median, plan.weeks)),
        within.join(", ")
    )
}

/// The smallest amount at or above `money` that one would say: whole units, or
/// its decimals where it is small.
fn round_up(money: Money, currency: &Currency) -> String {
    let scale = currency.scale();
    if money.minor() < 20 * scale {
        return plain(money, currency);
    }
    let up = (money.minor() + scale - 1).div_euclid(scale) * scale;
    plain(Money::from_minor(up), currency)
}

/// The whole section.
pub(crate) fn section(out: &mut String, plan: &Plan, as_of: Day, currency: &Currency) {
    let _ = writeln!(out, "\n{}, in {currency}", heading(plan, currency));
    let _ = writeln!(out, "  {}", advice(plan, as_of, currency));
    chances(out, plan);
    outlook(out, plan, currency);
    single(out, plan, currency);
    sooner(out, plan, currency);
    waiting(out, plan, as_of, currency);
}

fn heading(plan: &Plan, currency: &Currency) -> String {
    match plan.stands {
        None => "What to ask".to_string(),
        Some((days, None)) => format!("What to do now: listed for {}", stood(days)),
        Some((days, Some(ask))) => format!(
            "What to do now: listed for {}, at {} now",
            stood(days),
            plain(ask, currency)
        ),
    }
}

/// Within how many days it is sold, and how much of that is not known.
fn chances(out: &mut String, plan: &Plan) {
    let _ = writeln!(out, "  {}", half_sold(plan));
    if let Some([half, all]) = plan.gone {
        let say =
            |median: Option<f64>| median.map_or("more".to_string(), |days| format!("{days:.0}"));
        if say(half) != say(all) {
            let _ = writeln!(
                out,
                "  (Of the comps that are gone, it is not known how many were sold: {} days if half were, {} if all.)",
                say(half),
                say(all)
            );
        }
    }
}

/// What the plan brings on average.
fn outlook(out: &mut String, plan: &Plan, currency: &Currency) {
    let sale = currency.round(plan.outlook.expected_sale);
    let _ = writeln!(
        out,
        "  On average it brings {} after {:.0} days; unsold after {}: {}.",
        sale.map_or("-".into(), |m| round(m, currency)),
        plan.outlook.expected_days,
        in_weeks(plan.weeks),
        percent(plan.outlook.chances.unsold)
    );
}

/// What price cuts must add, as a part of the sale, to be worth a word (judgement).
const AS_GOOD: f64 = 0.005;

fn single(out: &mut String, plan: &Plan, currency: &Currency) {
    if plan.steps.len() <= 1 {
        let _ = writeln!(out, "  Cutting the price is not worth planning yet.");
        return;
    }
    let adds = plan.mark_downs_add();
    let share = if plan.floor.minor() > 0 {
        adds.minor() as f64 / plan.floor.minor() as f64
    } else {
        0.0
    };
    let ask = plain(plan.single.0, currency);
    let less = match share < AS_GOOD {
        true => ": that is as good".to_string(),
        false => format!(
            " (about {} less, {})",
            exact(adds, currency),
            percent(share)
        ),
    };
    let _ = writeln!(out, "  If you never cut the price, ask {ask}{less}.");
}

/// What waiting costs, and what to take in the end.
fn waiting(out: &mut String, plan: &Plan, as_of: Day, currency: &Currency) {
    let later: Vec<String> = plan
        .later_floors
        .iter()
        .take(2)
        .map(|(day, floor)| {
            let on = day_seen_from(as_of.saturating_add(day.days()), as_of);
            format!("{} on {on}", round(*floor, currency))
        })
        .collect();
    let later = if later.is_empty() {
        String::new()
    } else {
        format!("; still unsold, the least to take is {}", later.join(", "))
    };
    let week = exact(plan.week, currency);
    let _ = writeln!(out, "  A week of waiting costs about {week}{later}.");
}

fn in_weeks(weeks: usize) -> String {
    if weeks == 1 {
        "1 week".into()
    } else {
        format!("{weeks} weeks")
    }
}

fn stood(days: i64) -> String {
    if days == 1 {
        "1 day".into()
    } else {
        format!("{days} days")
    }
}

fn median(days: Option<f64>, weeks: usize) -> String {
    match days {
        Some(days) => format!("half are sold by day {:.0}", days.max(1.0)),
        None => format!("fewer than half are sold within {}", in_weeks(weeks)),
    }
}

/// What asking the value brings, for somebody who cannot wait for the plan.
fn sooner(out: &mut String, plan: &Plan, currency: &Currency) {
    let Some((_, first)) = plan.steps.first() else {
        return;
    };
    let at_value = plan.curve.iter().rfind(|p| p.premium <= 0.02);
    let Some(point) = at_value.filter(|p| p.ask < *first) else {
        return;
    };
    if let (Some(days), Some(sale)) = (
        point.outlook.chances.median,
        currency.round(point.outlook.expected_sale),
    ) {
        let _ = writeln!(
            out,
            "  In a hurry: ask {} from the start; half are sold by day {:.0}, for {} on average.",
            plain(point.ask, currency),
            days.max(1.0),
            round(sale, currency)
        );
    }
}
