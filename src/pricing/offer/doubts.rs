//! What to doubt about an offer.

use super::reach::Reach;
use super::{Caution, Offer, Question};
use crate::pricing::quote::Quote;
use crate::pricing::quote::caution::Caution as OfPrice;
use crate::trade::Job;

/// Adds the cautions, the gravest first; of several `quotes` those of the first, and
/// of the others what it has none of.
pub(super) fn tell(
    answer: &mut Offer,
    question: &Question,
    reach: &Reach<'_>,
    jobs: &[Job],
    quotes: &[&Quote],
) {
    let mut told = Vec::new();
    if !answer.left_open.is_empty() {
        told.push(Caution::LeftOpen {
            items: answer.left_open.clone(),
        });
    }
    let faults = reach.faults_left();
    if !faults.is_empty() {
        told.push(Caution::FaultsLeft { items: faults });
    }
    if let (Some(given), Some(counts)) = (question.bike.condition, reach.found.0)
        && counts < given
    {
        told.push(Caution::FoundCapped { given, counts });
    }
    let safety = |i: usize| reach.safety & (1 << i) != 0;
    for (i, job) in jobs.iter().enumerate() {
        if job.safety == Some(false) && safety(i) {
            told.push(Caution::CountsAsSafety {
                job: job.name.clone(),
            });
        }
    }
    let named = |which: &dyn Fn(usize, &Job) -> bool| -> Vec<String> {
        let all = jobs.iter().enumerate();
        all.filter(|(i, job)| which(*i, job))
            .map(|(_, job)| job.name.clone())
            .collect()
    };
    let (condition, tier) = reach.found;
    let no_better = named(&|_, job| {
        let after = job.condition_after;
        after
            .zip(condition)
            .is_some_and(|(after, now)| after <= now)
    });
    let same_tier = named(&|_, job| {
        job.tier_after
            .zip(tier)
            .is_some_and(|(after, now)| after <= now)
    });
    let silent = named(&|i, job| {
        let graded = (reach.regrades() && !job.clears.is_empty()) || reach.clears_a_fault(job);
        job.condition_after.is_none() && job.tier_after.is_none() && !graded && !safety(i)
    });
    let no_hours = named(&|_, job| job.hours.is_none());
    if !no_better.is_empty() {
        told.push(Caution::NoBetterCondition { jobs: no_better });
    }
    if !same_tier.is_empty() {
        told.push(Caution::NoBetterTier { jobs: same_tier });
    }
    if !silent.is_empty() {
        told.push(Caution::SaysNothing { jobs: silent });
    }
    if !no_hours.is_empty() {
        told.push(Caution::HoursUnknown { jobs: no_hours });
    }
    about_parts(answer, question, &mut told);
    if let Some(worth) = answer
        .best
        .as_ref()
        .map(|best| best.from_box)
        .filter(|worth| worth.minor() > 0)
    {
        told.push(Caution::FromBox { worth });
    }
    if answer.best.is_some() {
        if answer.as_found.value.map(|v| v.median) != answer.done.value.map(|v| v.median) {
            told.push(Caution::Associational);
        }
        if jobs.iter().any(|job| job.spent().minor() > 0) {
            told.push(Caution::RepairCosts);
        }
        told.push(Caution::Cheap);
    }
    let mut of_price: Vec<OfPrice> = Vec::new();
    for quote in quotes {
        let kind = std::mem::discriminant::<OfPrice>;
        let known: Vec<_> = of_price.iter().map(kind).collect();
        let new = quote.cautions.iter().filter(|c| !known.contains(&kind(c)));
        of_price.extend(new.cloned());
    }
    told.extend(of_price.into_iter().map(Caution::OfPrice));
    told.push(Caution::NoSafetyCheck);
    answer.cautions = told;
}

fn about_parts(answer: &Offer, question: &Question, told: &mut Vec<Caution>) {
    let Some(apart) = &answer.take_apart else {
        return;
    };
    let scrap: Vec<(String, &'static str)> = apart
        .parts
        .iter()
        .filter_map(|one| Some((one.part.name.clone(), one.scrap?)))
        .collect();
    if !scrap.is_empty() {
        told.push(Caution::Scrap { parts: scrap });
    }
    let unseen: Vec<String> = apart
        .parts
        .iter()
        .filter(|one| one.structural && one.scrap.is_none())
        .map(|one| one.part.name.clone())
        .collect();
    if question.sheet.is_none() && !unseen.is_empty() {
        told.push(Caution::PartsNotInspected { parts: unseen });
    }
}
