//! An offer in words: the rule of the jobs, what to say to the seller, what to doubt.

use crate::pricing::offer::gain::hardly_pays;
use crate::pricing::offer::missing::{says_buy, without_cost};
use crate::pricing::offer::{Bar, JobWorth, NO_REPAIR, Offer, OfferCaution, OfferVerdict, Why};
use crate::pricing::quote::caution::QuoteCaution;
use crate::report::quote::caution_words;
use crate::report::text::amounts::{exact, plain, signed};
use crate::report::text::counts::listed;
use crate::report::text::shares::level_percent;
use crate::trade::{Condition, Currency};

/// How conditions are reached.
pub fn rule(offer: &Offer) -> &'static str {
    if offer.regraded {
        "The condition is the sheet's, graded again with what the jobs clear counted as passed, once every safety \
         job is done."
    } else {
        "A condition is reached when every safety job, and every job with that condition_after or a lower one, is \
         done; a tier with any job that has it as its tier_after. What a job adds is counted in that order, safety \
         first; jobs that reach a condition only together share it."
    }
}

/// How likely a sale below the quantile is: `one sale in five`, `15 % of sales`.
pub fn below(quantile: f64) -> String {
    match quantile {
        0.1 => "one sale in ten brings less".into(),
        0.2 => "one sale in five brings less".into(),
        0.25 => "one sale in four brings less".into(),
        0.5 => "one sale in two brings less".into(),
        _ => format!("{} of sales bring less", level_percent(quantile)),
    }
}

/// Which costs are to be found out first.
fn not_yet(offer: &Offer, asks: &str, most: &str) -> String {
    let without = without_cost(offer);
    if without.is_empty() {
        let (looks, repairs) = only_a_look(&offer.left_open);
        if repairs.is_empty() {
            return format!(
                "Do not buy it yet for {asks}, as this is not checked yet: {}. It takes only a look: do it now, mark \
                 the sheet and ask again. Until then it counts as a project that nobody rides, worth up to {most}.",
                listed(&looks)
            );
        }
        return format!(
            "Do not buy it yet for {asks}: nothing says what it costs to repair {}, and nobody may ride it before that \
             is done. List a job that clears {} with its cost (--jobs). Only for somebody who repairs it, as a \
             project, it would be worth up to {most}.",
            listed(&repairs),
            if repairs.len() == 1 { "it" } else { "them" },
        );
    }
    format!(
        "Do not buy it yet for {asks}: the cost of {} is missing, and it has to be done. Give the cost and ask again; \
         if it takes no new parts, say so in the list of jobs (from_box yes).",
        listed(&without)
    )
}

/// Of checks that no job clears, those that no repair settles, and the rest.
fn only_a_look<'a>(items: &[&'a str]) -> (Vec<&'a str>, Vec<&'a str>) {
    items.iter().partition(|item| NO_REPAIR.contains(*item))
}

/// `Buy it …` or `Leave it …`, and why.
pub fn verdict(verdict: &OfferVerdict, offer: &Offer, currency: &Currency) -> String {
    if let Some(bar) = offer.bar {
        return barred(bar);
    }
    if verdict.buy && !says_buy(verdict, offer) {
        let asks = plain(verdict.asking, currency);
        return not_yet(offer, &asks, &exact(verdict.most.mean, currency));
    }
    let say = |m| exact(m, currency);
    let asks = plain(verdict.asking, currency);
    let [keep, keeping] = keep(offer, currency);
    let badly = below(offer.terms.quantile);
    let for_parts = verdict.apart && verdict.buy;
    let way = match (for_parts, offer.left_open.is_empty() || verdict.apart) {
        (true, _) => " That is for its parts alone.",
        (false, false) => " It can be passed on only as a project, not to be ridden.",
        (false, true) => "",
    };
    let guess = offer.as_found.cautions.contains(&QuoteCaution::PriorOnly);
    let take = match (verdict.asking.minor(), guess) {
        (0, _) => "Take it as a gift".to_string(),
        (_, true) => format!("By our guess alone, buy it for {asks}"),
        (_, false) => format!("Buy it for {asks}"),
    };
    match verdict.why {
        Why::Cautious => format!(
            "{take}: you could pay up to {} and still {keep} on average, and up to {} even if it sells badly \
             ({badly}).{way}",
            say(verdict.most.mean),
            say(verdict.most.cautious)
        ),
        Why::OnAverage => format!(
            "{take}: you could pay up to {} and still {keep} on average. If it sells badly ({badly}), {}.{way}",
            say(verdict.most.mean),
            match verdict.most.cautious.minor() {
                0 => "not even as a gift".to_string(),
                _ => format!("only up to {}", say(verdict.most.cautious)),
            }
        ),
        Why::Barred => "Leave it.".into(),
        Why::TooDear if verdict.most.missing.minor() > 0 => format!(
            "Leave it: even as a gift you would be {} short of {keeping} on average.",
            say(verdict.most.missing)
        ),
        Why::TooDear if verdict.most.mean.minor() == 0 => {
            format!("Leave it at {asks}: even as a gift you would only just {keep} on average.")
        }
        Why::TooDear => format!(
            "Leave it at {asks}, or offer up to {}: that is the most at which you {keep} on average.{way}",
            say(verdict.most.mean)
        ),
    }
}

/// What the seller of the bike wants to be left with: as one does it, and doing it.
pub(super) fn keep(offer: &Offer, currency: &Currency) -> [String; 2] {
    match offer.terms.margin.minor() {
        0 => ["come out even".into(), "coming out even".into()],
        _ => ["keep", "keeping"]
            .map(|verb| format!("{verb} {}", plain(offer.terms.margin, currency))),
    }
}

/// Why it is not to be bought at any price.
pub fn barred(bar: Bar) -> String {
    match bar {
        Bar::Number => "Leave it: its serial number is missing, scratched out or on a list of stolen bikes. \
                            Neither buy \
                        nor sell it, whole or in parts, before the police or the keeper of the list has said \
                        whose it is."
            .into(),
        Bar::Recall => "Leave it until its recall is settled with the maker or your authority: what is recalled must \
                        not be passed on, whole or in parts."
            .into(),
        Bar::OnlyParts(check) => format!(
            "Leave it: its {check} has failed and no job repairs that, so nobody may ride it again. It is good for its \
             other parts only: list them with --parts."
        ),
    }
}

/// A short name of the same for JSON.
pub fn bar_code(bar: Bar) -> &'static str {
    match bar {
        Bar::Number => "serial_number",
        Bar::Recall => "recall",
        Bar::OnlyParts(_) => "only_parts",
    }
}

/// A short name for JSON.
pub fn code(caution: &OfferCaution) -> &'static str {
    match caution {
        OfferCaution::LeftOpen { .. } => "gates_left_open",
        OfferCaution::FaultsLeft { .. } => "faults_left",
        OfferCaution::FoundCapped { .. } => "condition_as_found_lowered",
        OfferCaution::ConditionUnknown => "condition_as_found_unknown",
        OfferCaution::CountsAsSafety { .. } => "counts_as_safety",
        OfferCaution::NoBetterCondition { .. } => "condition_after_no_better",
        OfferCaution::NoBetterTier { .. } => "tier_after_no_better",
        OfferCaution::SaysNothing { .. } => "job_without_effect",
        OfferCaution::HoursUnknown { .. } => "hours_unknown",
        OfferCaution::OfPrice(caution) => caution_words::code(caution),
        OfferCaution::Associational => "grades_are_associations",
        OfferCaution::RepairCosts => "repair_costs_uncertain",
        OfferCaution::Cheap => "cheap_for_a_reason",
        OfferCaution::FromBox { .. } => "parts_from_the_box",
        OfferCaution::Scrap { .. } => "parts_are_scrap",
        OfferCaution::PartsNotInspected { .. } => "parts_not_inspected",
        OfferCaution::NoSafetyCheck => "no_safety_check",
    }
}

/// Whether a caution is about this very bike or its jobs, and not about any offer.
pub fn of_one_bike(caution: &OfferCaution) -> bool {
    match caution {
        OfferCaution::OfPrice(caution) => caution_words::of_one_bike(caution),
        OfferCaution::Associational
        | OfferCaution::RepairCosts
        | OfferCaution::Cheap
        | OfferCaution::NoSafetyCheck
        | OfferCaution::HoursUnknown { .. }
        | OfferCaution::FromBox { .. } => false,
        _ => true,
    }
}

/// The caution for the short answer.
pub fn short(caution: &OfferCaution, currency: &Currency) -> String {
    match caution {
        OfferCaution::OfPrice(caution) => caution_words::short(caution, currency),
        other => words(other, currency),
    }
}

/// The caution as a sentence or two.
#[allow(clippy::too_many_lines, reason = "a sentence for each caution")]
pub fn words(caution: &OfferCaution, currency: &Currency) -> String {
    match caution {
        OfferCaution::LeftOpen { items } => format!(
            "Safety check not passed, and no job clears it: {}. Do not ride the bike until it is cleared: it counts \
             as found, whatever else is done. {}",
            listed(items),
            match only_a_look(items) {
                (_, repairs) if repairs.is_empty() => "Look, and mark the sheet.",
                _ => "Add a job that names it under clears, or look again.",
            }
        ),
        OfferCaution::FaultsLeft { items } => format!(
            "Failed on the sheet, and no job clears it: {}. Until it is repaired the bike counts as 3 rider at best, \
             whatever condition_after says. Add a job that names it under clears.",
            listed(items)
        ),
        OfferCaution::FoundCapped { given, counts } if *counts > Condition::Project => format!(
            "As found it counts as {} {counts}, not {} {given}: something mechanical failed on its sheet, or it has \
             passed no road test.",
            counts.grade(),
            given.grade()
        ),
        OfferCaution::FoundCapped { given, counts } => format!(
            "As found it counts as {} {counts}, not {} {given}: with a safety check not passed, or a safety job to \
             do, a bike needs repair before it is ridden.",
            counts.grade(),
            given.grade()
        ),
        OfferCaution::ConditionUnknown => "No condition is given, so it counts like the bikes that you know, which are \
             mostly done up: as found most are worth less. Look at it, and give --condition."
            .into(),
        OfferCaution::CountsAsSafety { job } => format!(
            "{job}: the list says no safety job, but it clears a safety check that has not passed. It is not optional."
        ),
        OfferCaution::NoBetterCondition { jobs } => format!(
            "{}: the condition_after is no better than the bike is as found, so it adds nothing.",
            listed(jobs)
        ),
        OfferCaution::NoBetterTier { jobs } => format!(
            "{}: the tier_after is no better than the bike is as found, so it adds nothing.",
            listed(jobs)
        ),
        OfferCaution::SaysNothing { jobs } => format!(
            "{}: without condition_after or tier_after nothing says what it is worth to a buyer; it counts as \
             nothing.",
            listed(jobs)
        ),
        OfferCaution::HoursUnknown { jobs } => {
            format!(
                "{}: hours unknown, counted as none. Guess them in a list of jobs (--jobs).",
                listed(jobs)
            )
        }
        OfferCaution::OfPrice(caution) => caution_words::words(caution, currency),
        OfferCaution::Associational => "The uplifts say how much more bikes of a better grade bring, not what a repair has \
             been seen to add: a bike that comes better has had better care in ways that no job makes up for. \
             Where an uplift only just covers its cost, leave the job; compare your own bikes before and after."
            .into(),
        OfferCaution::RepairCosts => "Repairs turn up more repairs: each job's cost is taken as a guess that may end a third \
             higher or lower (judgement), which is in the chance of a loss."
            .into(),
        OfferCaution::Cheap => "A bike that can be had cheaply is cheap for a reason that its seller may know and you do not. \
             Look once more at frame, fork and bearings before you pay, and ask for the proof of purchase."
            .into(),
        OfferCaution::FromBox { worth } => format!(
            "Parts worth {} come from the box: no money is spent now, but they are gone for the next bike.",
            exact(*worth, currency)
        ),
        OfferCaution::Scrap { parts } => {
            let parts: Vec<String> = parts
                .iter()
                .map(|(part, check)| format!("{part} ({check} not passed)"))
                .collect();
            format!(
                "Scrap, counted as nothing: {}. A part that holds the rider and has not passed is cut up, never \
                 passed on.",
                listed(&parts)
            )
        }
        OfferCaution::PartsNotInspected { parts } => format!(
            "{}: hold the rider, and there is no inspection sheet. Inspect each before it is sold by itself (--sheet); \
             what fails is scrap.",
            listed(parts)
        ),
        OfferCaution::NoSafetyCheck => "A list of jobs is no safety check. When all is done, have brakes, steering, frame, \
             fork and wheels checked by somebody competent before anybody rides it, and keep to your local rules \
             on selling used bicycles."
            .into(),
    }
}

/// Whether an optional job pays, and what is left more with it than without.
pub fn pays(one: &JobWorth, currency: &Currency) -> String {
    let Some(gain) = one.net_gain else {
        return String::new();
    };
    match one.in_best {
        true if hardly_pays(one) => {
            format!("hardly pays: {}", signed(gain, currency))
        }
        true => format!("pays: {}", signed(gain, currency)),
        false if gain.minor() == 0 => "changes nothing".into(),
        false => format!("does not pay: {}", signed(gain, currency)),
    }
}
