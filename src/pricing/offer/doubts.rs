//! What to doubt about an offer.

use super::answer::Offer;
use super::caution::OfferCaution;
use super::question::OfferQuestion;
use super::reach::Reach;
use crate::pricing::quote::Quote;
use crate::pricing::quote::caution::QuoteCaution;
use crate::trade::Job;

/// Adds the cautions, the gravest first; of several `quotes` those of the first, and
/// of the others what it has none of.
pub(super) fn tell(
    answer: &mut Offer,
    question: &OfferQuestion,
    reach: &Reach<'_>,
    quotes: &[&Quote],
) {
    let mut told = Vec::new();
    about_the_bike(answer, question, reach, &mut told);
    about_jobs(question, reach, &mut told);
    about_parts(answer, question, &mut told);
    about_best(answer, &question.jobs, &mut told);
    let mut of_price: Vec<QuoteCaution> = Vec::new();
    for quote in quotes {
        let kind = std::mem::discriminant::<QuoteCaution>;
        let known: Vec<_> = of_price.iter().map(kind).collect();
        let new = quote.cautions.iter().filter(|c| !known.contains(&kind(c)));
        of_price.extend(new.cloned());
    }
    told.extend(of_price.into_iter().map(OfferCaution::OfPrice));
    told.push(OfferCaution::NoSafetyCheck);
    answer.cautions = told;
}

fn about_the_bike(
    answer: &Offer,
    question: &OfferQuestion,
    reach: &Reach<'_>,
    told: &mut Vec<OfferCaution>,
) {
    // A failed frame is said by itself: no look and no job opens a way on.
    let only_parts = answer
        .take_apart
        .as_ref()
        .is_some_and(|apart| apart.only_way.is_some());
    if !answer.left_open.is_empty() && !only_parts {
        told.push(OfferCaution::LeftOpen {
            items: answer.left_open.clone(),
        });
    }
    if reach.found.0.is_none() {
        told.push(OfferCaution::ConditionUnknown);
    }
    let faults = reach.faults_left();
    if !faults.is_empty() {
        told.push(OfferCaution::FaultsLeft { items: faults });
    }
    if let (Some(given), Some(counts)) = (question.bike.condition, reach.found.0)
        && counts < given
    {
        told.push(OfferCaution::FoundCapped { given, counts });
    }
}

fn about_jobs(question: &OfferQuestion, reach: &Reach<'_>, told: &mut Vec<OfferCaution>) {
    let jobs: &[Job] = &question.jobs;
    let safety = |i: usize| reach.safety & (1 << i) != 0;
    for (i, job) in jobs.iter().enumerate() {
        if job.safety == Some(false) && safety(i) {
            told.push(OfferCaution::CountsAsSafety {
                job: job.name.clone(),
            });
        }
    }
    let mut tell = |caution: fn(Vec<String>) -> OfferCaution, of: &dyn Fn(usize, &Job) -> bool| {
        let some = jobs.iter().enumerate().filter(|(i, job)| of(*i, job));
        let names: Vec<String> = some.map(|(_, job)| job.name.clone()).collect();
        if !names.is_empty() {
            told.push(caution(names));
        }
    };
    let (condition, tier) = reach.found;
    tell(
        |jobs| OfferCaution::NoBetterCondition { jobs },
        &|_, job| {
            let both = job.condition_after.zip(condition);
            both.is_some_and(|(after, now)| after <= now)
        },
    );
    tell(|jobs| OfferCaution::NoBetterTier { jobs }, &|_, job| {
        let both = job.tier_after.zip(tier);
        both.is_some_and(|(after, now)| after <= now)
    });
    tell(|jobs| OfferCaution::SaysNothing { jobs }, &|i, job| {
        let graded = (reach.regrades() && !job.clears.is_empty()) || reach.clears_a_fault(job);
        job.condition_after.is_none() && job.tier_after.is_none() && !graded && !safety(i)
    });
    tell(|jobs| OfferCaution::HoursUnknown { jobs }, &|_, job| {
        job.hours.is_none() && question.terms.hour.minor() > 0
    });
}

fn about_best(answer: &Offer, jobs: &[Job], told: &mut Vec<OfferCaution>) {
    let Some(best) = &answer.best else {
        return;
    };
    if best.from_box.minor() > 0 {
        told.push(OfferCaution::FromBox {
            worth: best.from_box,
        });
    }
    if answer.as_found.value.map(|v| v.median) != answer.done.value.map(|v| v.median) {
        told.push(OfferCaution::Associational);
    }
    if jobs.iter().any(|job| job.spent().minor() > 0) {
        told.push(OfferCaution::RepairCosts);
    }
    told.push(OfferCaution::Cheap);
}

fn about_parts(answer: &Offer, question: &OfferQuestion, told: &mut Vec<OfferCaution>) {
    let Some(apart) = &answer.take_apart else {
        return;
    };
    let scrap: Vec<(String, &'static str)> = apart
        .parts
        .iter()
        .filter_map(|one| Some((one.part.name.clone(), one.scrap?)))
        .collect();
    if !scrap.is_empty() {
        told.push(OfferCaution::Scrap { parts: scrap });
    }
    let unseen: Vec<String> = apart
        .parts
        .iter()
        .filter(|one| one.structural && one.scrap.is_none())
        .map(|one| one.part.name.clone())
        .collect();
    if question.sheet.is_none() && !unseen.is_empty() {
        told.push(OfferCaution::PartsNotInspected { parts: unseen });
    }
}
