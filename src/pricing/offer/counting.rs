//! Sums over sets of jobs, under the user's terms.

use super::answer::{JobWorth, MostToPay, TakeApart, Uplift};
use super::parts::{together, worth};
use super::question::{OfferQuestion, Terms};
use super::reach::Reach;
use super::sale::{Outgoings, repair};
use crate::pricing::inspection;
use crate::trade::{Currency, Job, Money, Part};

/// Checks without which a bike is good only for its parts, unless a job mends them.
pub(super) const ONLY_PARTS: [&str; 2] = ["frame", "fork"];
/// Checks whose failure is in no usual repair: of a new fork a list of jobs has to tell.
pub const NO_REPAIR: [&str; 4] = ["frame", "fork", "recall check", inspection::SERIAL_NUMBER];

/// Jobs and terms, for sums over sets.
pub(super) struct Counting<'a> {
    pub(super) jobs: &'a [Job],
    pub(super) terms: &'a Terms,
    pub(super) currency: &'a Currency,
}

impl Counting<'_> {
    /// The jobs of a set.
    pub(super) fn taken(&self, set: u32) -> impl Iterator<Item = &Job> {
        let all = self.jobs.iter().enumerate();
        all.filter(move |(i, _)| set & (1 << i) != 0)
            .map(|(_, job)| job)
    }

    /// Everything between the sale after a set of jobs and what is left.
    pub(super) fn outgoings(&self, set: u32, waiting: f64) -> Outgoings {
        let spent = |job: &Job| self.currency.units(job.spent());
        let (repair, repair_variance) = repair(self.taken(set).map(spent));
        let hours: i64 = self.taken(set).filter_map(|job| job.hours).sum();
        Outgoings {
            repair,
            repair_variance,
            work: self.currency.units(self.terms.hour) * hours as f64 / 100.0,
            waiting,
            fee: self.terms.fee,
            held_back: 0.0,
        }
    }

    /// What job `i` does; `gain` is what is left with it and without it.
    pub(super) fn job(
        &self,
        i: usize,
        uplift: Uplift,
        (best, safety): (u32, u32),
        gain: Option<(f64, f64)>,
    ) -> JobWorth {
        let (job, bit) = (&self.jobs[i], 1_u32 << i);
        let (is_safety, in_best) = (safety & bit != 0, best & bit != 0);
        let adds = self.currency.units(Money::from_minor(
            uplift.median.minor() - job.spent().minor(),
        ));
        let hours = job.hours.filter(|h| *h > 0).map(|h| h as f64 / 100.0);
        let work = self.currency.units(self.terms.hour) * hours.unwrap_or(0.0);
        let gain = gain.and_then(|(with, without)| self.currency.round(with - without));
        JobWorth {
            job: job.clone(),
            safety: is_safety,
            uplift,
            per_hour: hours.map(|h| adds / h),
            net_gain: gain.filter(|_| !is_safety),
            pays: if is_safety { adds > work } else { in_best },
            in_best,
        }
    }

    /// The most to pay, on average and cautiously, in money.
    pub(super) fn most(&self, (mean, cautious): (f64, f64)) -> MostToPay {
        let at_least_0 = |units: f64| self.currency.round(units.max(0.0)).unwrap_or(Money::ZERO);
        MostToPay {
            mean: at_least_0(mean),
            cautious: at_least_0(cautious),
            missing: at_least_0(-mean),
        }
    }

    /// Taking the bike apart, when `whole` is what the best set leaves.
    pub(super) fn take_apart(
        &self,
        question: &OfferQuestion,
        reach: &Reach<'_>,
        whole: Option<f64>,
    ) -> Option<TakeApart> {
        if question.parts.is_empty() {
            return None;
        }
        // Without a sheet a check that a job is to clear has not been passed.
        let mut open = reach.open.clone();
        if question.sheet.is_none() {
            let cleared = self.jobs.iter().flat_map(|job| &job.clears);
            open.extend(cleared.filter(|item| item.is_gate()));
        }
        let parts = worth(&question.parts, &open);
        let units = |part: &Part| self.currency.units(part.price);
        let (mean, low) = together(&parts, self.terms.fee, self.terms.quantile, units);
        let margin = self.currency.units(self.terms.margin);
        let only_way = reach
            .failed_for_good()
            .into_iter()
            .find(|name| ONLY_PARTS.contains(name));
        Some(TakeApart {
            parts,
            expected: self.currency.round(mean)?,
            most_to_pay: self.most((mean - margin, low - margin)),
            better: only_way.is_some() || whole.is_none_or(|whole| mean > whole),
            only_way,
        })
    }
}
