//! An offer as a short note: what it is worth, what to do, what to pay.

use super::kept::words::held_back;
use super::words::{barred, below, keep, of_one_bike, pays, rule, short, verdict, words};
use crate::pricing::offer::gain::hardly_pays;
use crate::pricing::offer::missing::without_cost;
use crate::pricing::offer::{BestSet, JobWorth, MostToPay, Offer};
use crate::pricing::quote::Quote;
use crate::pricing::quote::caution::QuoteCaution;
use crate::report::quote::caution_words::not_passed;
use crate::report::quote::own_eye;
use crate::report::quote::plan;
use crate::report::quote::short::A_GUESS;
use crate::report::text::amounts::{bike, exact, plain, round, signed};
use crate::report::text::counts::{listed, many};
use crate::report::text::shares::{level_percent, of_ten, percent};
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered};
use crate::trade::Condition;
use crate::trade::Tier;
use crate::trade::{Currency, Day};
use std::fmt::Write as _;

/// Cautions about this very bike that the short answer tells, at most.
const CAUTIONS: usize = 2;

/// The answer: what to say to the seller, the most to pay, what to do, what to ask. With
/// `why` how it comes about, and all that is in doubt.
pub fn text(offer: &Offer, why: bool, as_of: Day, currency: &Currency) -> String {
    if why {
        return whole(offer, as_of, currency);
    }
    let mut out = String::new();
    let _ = writeln!(out, "{}", bike(&offer.as_found.question.bike));
    to_the_seller(&mut out, offer, "", currency);
    if offer.bar.is_none() {
        not_to_be_ridden(&mut out, offer);
        short_answer(&mut out, offer, as_of, currency);
    }
    let own = offer.cautions.iter().filter(|one| of_one_bike(one));
    for caution in own.take(CAUTIONS) {
        let _ = writeln!(out, "! {}", short(caution, currency));
    }
    let _ = writeln!(
        out,
        "More, and how it comes about: the same with --why. A list of jobs is no safety check."
    );
    out
}

/// The most to pay, what to do and what to ask, in a few lines.
fn short_answer(out: &mut String, offer: &Offer, as_of: Day, currency: &Currency) {
    let apart = offer.take_apart.as_ref().filter(|apart| apart.better);
    if let Some(apart) = apart {
        let _ = writeln!(
            out,
            "For its parts, which bring about {}: pay at most {} on average, {} if they sell badly.",
            round(apart.expected, currency),
            exact(apart.most_to_pay.mean, currency),
            exact(apart.most_to_pay.cautious, currency)
        );
        return;
    }
    let Some(best) = &offer.best else {
        let _ = writeln!(out, "No value can be given.");
        return;
    };
    let missing = counted_as_nothing(offer);
    // What is said to the seller has the most to pay in it.
    let most = offer.most_to_pay.filter(|_| offer.verdict.is_none());
    let most = most.map(|most| most_words(&most, offer, currency));
    if let Some(said) = missing.or(most) {
        let _ = writeln!(out, "{said}");
    }
    if offer.as_found.cautions.contains(&QuoteCaution::PriorOnly) {
        let _ = writeln!(out, "{A_GUESS}");
    }
    if let Some(said) = own_eye(offer, currency) {
        let _ = writeln!(out, "{said}");
    }
    let _ = writeln!(
        out,
        "As found it is worth {}. {}{}",
        range(&offer.as_found, currency),
        set(offer, best),
        takes(best, currency)
    );
    let advice = plan::text::advice(&best.plan, as_of, currency);
    let _ = writeln!(
        out,
        "Then {} It brings {} on average after {:.0} days.",
        advice
            .replacen("Ask ", "ask ", 1)
            .replace(" today.", " on the first day."),
        round(best.expected_sale, currency),
        best.plan.outlook.expected_days
    );
    // Without a price of the seller's it would be that of the most to pay.
    if let Some((paid, risk)) = offer.risk.filter(|_| offer.verdict.is_some()) {
        let paid = match paid.minor() {
            0 => "As a gift".to_string(),
            _ => format!("Bought for {}", exact(paid, currency)),
        };
        let left = |units: f64| match currency.round(units.abs()) {
            Some(short) if units < 0.0 => format!("{} short", round(short, currency)),
            Some(left) => format!("{} left", round(left, currency)),
            None => "- left".to_string(),
        };
        let in_hand = left(risk.margin + currency.units(best.waiting));
        let counted = match left(risk.margin) {
            same if same == in_hand => String::new(),
            less => format!(
                " ({} after what waiting costs)",
                less.strip_suffix(" left").unwrap_or(&less)
            ),
        };
        let _ = writeln!(
            out,
            "{paid}: about {in_hand}{counted}; chance of a loss {}.",
            percent(risk.chance_of_loss)
        );
    }
}

/// What the guess did to the value of the bike with all jobs done; `None` without one.
fn own_eye(offer: &Offer, currency: &Currency) -> Option<String> {
    let of = if offer.jobs.is_empty() {
        ""
    } else {
        " for it done up"
    };
    own_eye::words_of(&offer.done, of, currency)
}

/// That the cost of a needed repair is missing, where it is.
fn counted_as_nothing(offer: &Offer) -> Option<String> {
    let missing = without_cost(offer);
    (!missing.is_empty()).then(|| {
        format!(
            "The cost of {} is missing, so nothing can be said of the most to pay: what follows counts it as nothing.",
            listed(&missing)
        )
    })
}

/// The most to pay, in a sentence.
fn most_words(most: &MostToPay, offer: &Offer, currency: &Currency) -> String {
    let [keep, keeping] = keep(offer, currency);
    if most.missing.minor() > 0 {
        return format!(
            "Pay nothing: even as a gift you would be {} short of {keeping} on average.",
            exact(most.missing, currency),
        );
    }
    let badly = match most.cautious.minor() {
        0 => "not even as a gift".to_string(),
        _ => format!("at most {}", exact(most.cautious, currency)),
    };
    format!(
        "Pay at most {} to {keep} on average. To be safe if it sells badly ({}): {badly}.",
        exact(most.mean, currency),
        below(offer.terms.quantile)
    )
}

/// The whole answer.
fn whole(offer: &Offer, as_of: Day, currency: &Currency) -> String {
    let mut out = String::new();
    head(&mut out, offer, as_of, currency);
    if offer.bar.is_none() {
        whole_and_apart(&mut out, offer, as_of, currency);
    }
    let _ = writeln!(out, "\nCautions");
    let cautions = offer.cautions.iter();
    numbered(&mut out, UNBROKEN, cautions.map(|one| words(one, currency)));
    out
}

/// Buy or leave, or that it must not change hands; `gap` stands before it.
fn to_the_seller(out: &mut String, offer: &Offer, gap: &str, currency: &Currency) {
    match (&offer.verdict, offer.bar) {
        (_, Some(bar)) => {
            let _ = writeln!(out, "{gap}{}", barred(bar));
        }
        (Some(said), None) => {
            let _ = writeln!(out, "{gap}{}", verdict(said, offer, currency));
        }
        (None, None) => {}
    }
}

/// Whether the bike as found may be ridden.
fn not_to_be_ridden(out: &mut String, offer: &Offer) {
    if let Some(check) = offer.take_apart.as_ref().and_then(|apart| apart.only_way) {
        let _ = writeln!(
            out,
            "Its {check} has failed and no job repairs that: do not ride. It is for its other parts only."
        );
    } else if !offer.open.is_empty() {
        let _ = writeln!(
            out,
            "{} ({}): do not ride. It is a project, or for its parts.",
            not_passed(offer.open.len()),
            listed(&offer.open)
        );
    } else if offer.jobs.iter().any(|one| one.safety) {
        let _ = writeln!(
            out,
            "There is a safety repair to do: do not ride. It is a project, or for its parts."
        );
    }
}

/// What the jobs add, the best set, what to pay, and the parts.
fn whole_and_apart(out: &mut String, offer: &Offer, as_of: Day, currency: &Currency) {
    jobs(out, offer, currency);
    best(out, offer, as_of, currency);
    pay(out, offer, currency);
    apart(out, offer, currency);
}

fn range(quote: &Quote, currency: &Currency) -> String {
    quote.value.map_or("no value".into(), |v| {
        format!(
            "about {} {currency}, {} to {}",
            round(v.median, currency),
            round(v.low, currency),
            round(v.high, currency)
        )
    })
}

fn head(out: &mut String, offer: &Offer, as_of: Day, currency: &Currency) {
    let (found, done) = (&offer.as_found, &offer.done);
    let _ = writeln!(out, "{}", bike(&found.question.bike));
    to_the_seller(out, offer, "\n", currency);
    if found.value.is_none() {
        let _ = writeln!(out, "\nNo value can be given.");
        return;
    }
    let level = of_ten(found.question.level).to_lowercase();
    let _ = writeln!(
        out,
        "\nWorth on {as_of}, with {level} in the range\n  as found  {}",
        range(found, currency)
    );
    if !offer.jobs.is_empty() {
        let after = done.question.bike;
        let grade = |what: &str, g: Option<u8>| g.map(|g| format!("{what} {g}"));
        let grades = [
            grade("condition", after.condition.map(Condition::grade)),
            grade("tier", after.tier.map(Tier::grade)),
        ];
        let grades: Vec<String> = grades.into_iter().flatten().collect();
        let all = if offer.jobs.len() == 1 {
            "its job"
        } else {
            "all jobs"
        };
        let _ = writeln!(
            out,
            "  done      {} ({all}: {})",
            range(done, currency),
            grades.join(", ")
        );
    }
    if let (Some(eye), Some(said)) = (&done.eye, own_eye(offer, currency)) {
        let _ = writeln!(out, "{said} {}", own_eye::counts(eye));
    }
    not_to_be_ridden(out, offer);
}

fn jobs(out: &mut String, offer: &Offer, currency: &Currency) {
    if offer.jobs.is_empty() {
        return;
    }
    let level = level_percent(offer.as_found.question.level);
    let _ = writeln!(
        out,
        "\nWhat each job adds, in {currency}, with its {level} range"
    );
    let mut table = Table::new([
        Column::broken(12).after("  "),
        Column::right(5).fitted().after("  "),
        Column::right(5).fitted(),
        Column::right(5).fitted(),
        Column::right(9).fitted().after("  "),
        Column::right(7).fitted(),
        Column::broken(13).after("  "),
    ]);
    table.row(["job", "cost", "hours", "adds", "range", "an hour", ""]);
    for one in &offer.jobs {
        let range = format!(
            "{} to {}",
            exact(one.uplift.low, currency),
            exact(one.uplift.high, currency)
        );
        let hours = one.job.hours.map_or("?".into(), hours);
        let hour = one.per_hour.and_then(|h| currency.round(h));
        let cost = if one.job.from_box {
            "box".to_string()
        } else {
            exact(one.job.cost, currency)
        };
        table.row([
            one.job.name.clone(),
            cost,
            hours,
            exact(one.uplift.median, currency),
            range,
            hour.map_or("-".into(), |h| signed(h, currency)),
            verdict_of_job(one, currency),
        ]);
    }
    table.write(out);
    let _ = writeln!(out, "  {}", rule(offer));
    if offer.jobs.iter().any(|one| one.net_gain.is_some()) {
        let _ = writeln!(
            out,
            "  Behind 'pays': what the best set with the job leaves more than the best one without it."
        );
    }
}

fn verdict_of_job(one: &JobWorth, currency: &Currency) -> String {
    let from_box = if one.job.from_box {
        format!(" (worth {} from the box)", exact(one.job.cost, currency))
    } else {
        String::new()
    };
    let what = match (one.safety, one.pays) {
        (true, true) => "safety, and pays".to_string(),
        (true, false) => "safety: done whether it pays or not".to_string(),
        (false, _) => pays(one, currency),
    };
    what + &from_box
}

/// Hundredths of an hour: `1.5`, `0.75`.
pub(in crate::report) fn hours(hundredths: i64) -> String {
    let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn best(out: &mut String, offer: &Offer, as_of: Day, currency: &Currency) {
    let Some(best) = &offer.best else { return };
    let heading = match offer.jobs.is_empty() {
        true => "Sold as it is",
        false => "The best set of jobs",
    };
    let _ = writeln!(
        out,
        "\n{heading}\n  {}{}",
        set(offer, best),
        takes(best, currency)
    );
    let hardly: Vec<&str> = offer
        .jobs
        .iter()
        .filter(|one| hardly_pays(one))
        .map(|one| one.job.name.as_str())
        .collect();
    if !hardly.is_empty() {
        let _ = writeln!(
            out,
            "  Hardly worth the trouble: {}. Leave that unless you want to do it.",
            listed(&hardly)
        );
    }
    let _ = writeln!(
        out,
        "  It brings {} on average after {:.0} days; waiting costs {} of that.",
        exact(best.expected_sale, currency),
        best.plan.outlook.expected_days,
        exact(best.waiting, currency)
    );
    let _ = writeln!(
        out,
        "  What is left before the bike is paid for: {}.",
        exact(best.net, currency)
    );
    let advice = plan::text::advice(&best.plan, as_of, currency);
    let _ = writeln!(out, "  {}", advice.replace(" today.", " on the first day."));
}

/// Which jobs to do.
fn set(offer: &Offer, best: &BestSet) -> String {
    match (offer.jobs.as_slice(), best.jobs.as_slice()) {
        ([], _) => "No job to do.".to_string(),
        ([one], []) => format!("Leave the {}: sold as it is, more is left.", one.job.name),
        (_, []) => "Leave all of the jobs: sold as it is, more is left.".to_string(),
        (all, jobs) if jobs.len() == all.len() => format!("To do: {}.", listed(jobs)),
        (_, jobs) => format!("To do: {}; leave the rest.", listed(jobs)),
    }
}

/// What that takes, after a blank; empty where there is nothing to do.
fn takes(best: &BestSet, currency: &Currency) -> String {
    if best.jobs.is_empty() {
        return String::new();
    }
    let spent = match best.cost.minor() {
        0 => "no money".to_string(),
        _ => format!("{} {currency}", exact(best.cost, currency)),
    };
    let time = match best.hours {
        0 => String::new(),
        h => format!(" and {} hours", hours(h)),
    };
    format!(" It takes {spent}{time}.")
}

fn pay(out: &mut String, offer: &Offer, currency: &Currency) {
    let (Some(most), Some((paid, risk))) = (offer.most_to_pay, offer.risk) else {
        return;
    };
    let margin = match offer.terms.margin.minor() {
        0 => "to come out even".to_string(),
        _ => format!("for a margin of {}", plain(offer.terms.margin, currency)),
    };
    let _ = writeln!(out, "\nThe most to pay {margin}, sold whole, in {currency}");
    if let Some(missing) = counted_as_nothing(offer) {
        let _ = writeln!(out, "  {missing}");
    } else if most.missing.minor() > 0 {
        let _ = writeln!(
            out,
            "  Nothing: even as a gift you would be {} short on average.",
            exact(most.missing, currency)
        );
    } else {
        let _ = writeln!(
            out,
            "  {} on average; {} if it sells badly ({}).",
            exact(most.mean, currency),
            exact(most.cautious, currency),
            below(offer.terms.quantile)
        );
    }
    if offer.held_back.minor() > 0 {
        let _ = writeln!(out, "  {}", held_back(offer, currency));
    }
    let amount = |units: f64| {
        currency
            .round(units)
            .map_or("-".into(), |m| exact(m, currency))
    };
    let _ = writeln!(
        out,
        "  Bought for {}: {} left on average after what waiting costs. Chance of a loss {}{}.",
        exact(paid, currency),
        amount(risk.margin),
        percent(risk.chance_of_loss),
        match risk.chance_of_loss > 0.005 {
            true => format!(
                "; then about {} is lost",
                amount(risk.shortfall / risk.chance_of_loss)
            ),
            false => String::new(),
        }
    );
    if offer.terms.hour.minor() > 0 {
        let _ = writeln!(
            out,
            "  Hours are counted at {} each.",
            exact(offer.terms.hour, currency)
        );
    }
}

fn apart(out: &mut String, offer: &Offer, currency: &Currency) {
    let Some(apart) = &offer.take_apart else {
        return;
    };
    let _ = writeln!(out, "\nTaken apart, in {currency}");
    let counted = apart.parts.iter().filter(|one| one.scrap.is_none()).count();
    let whole = offer.best.as_ref().map(|best| best.net);
    let against = whole.map_or(String::new(), |whole| {
        format!(", against {} whole", exact(whole, currency))
    });
    let _ = writeln!(
        out,
        "  {} bring {} on average{against}; hours not counted.",
        many(counted, "part"),
        exact(apart.expected, currency)
    );
    let said = match (apart.only_way, apart.better) {
        (Some(check), _) => {
            format!("The {check} has failed and no job repairs it: it is good for its parts alone.")
        }
        (None, true) => "Its parts bring more than the bike.".into(),
        (None, false) => "Whole it brings more.".into(),
    };
    let _ = writeln!(out, "  {said}");
    if apart.better {
        let _ = writeln!(
            out,
            "  For its parts pay at most {} on average, {} if they sell badly.",
            exact(apart.most_to_pay.mean, currency),
            exact(apart.most_to_pay.cautious, currency)
        );
    }
}
