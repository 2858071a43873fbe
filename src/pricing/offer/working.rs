//! The offer, step by step.

use super::effects::Effects;
use super::parts::{together, worth};
use super::reach::{Reach, State};
use super::sale::{Outgoings, Sale, most_to_pay, repair, risk};
use super::sets::best;
use super::{
    Bar, Best, JobWorth, MostToPay, Offer, Question, TakeApart, Terms, Uplift, Verdict, Why,
    doubts, uplifts,
};
use crate::pricing::design::base::Base;
use crate::pricing::inspection::judging::state_of;
use crate::pricing::inspection::{self, judged};
use crate::pricing::prior::priors::Priors;
use crate::pricing::quote::{self, Quote, Selling, Source, one_sale};
use crate::trade::{Bike, Currency, Job, Money};

/// Checks without which a bike is good only for its parts, unless a job mends them.
const ONLY_PARTS: [&str; 2] = ["frame", "fork"];

/// What to pay for a bike, and which jobs pay. The order of the jobs and of the
/// parts does not matter.
pub fn offer(
    source: &Source<'_>,
    priors: &Priors,
    question: &Question,
    base: &Base,
    selling: &Selling<'_>,
) -> Offer {
    let currency = match source {
        Source::Fitted(model) => model.currency,
        Source::Nothing { currency, .. } => *currency,
    };
    let mut question = question.clone();
    question.jobs.sort_by(|a, b| a.name.cmp(&b.name));
    question.parts.sort_by(|a, b| {
        let key = |p: &crate::trade::Part| (p.name.clone(), p.price);
        key(a).cmp(&key(b)).then(a.chance.total_cmp(&b.chance))
    });
    let jobs = &question.jobs;
    let reach = Reach::new(&question.bike, jobs, question.sheet.as_ref());
    let all = (1_u32 << jobs.len()) - 1;
    let mut states: Vec<State> = Vec::new();
    let outcome: Vec<usize> = (0..=all)
        .map(|set| {
            let state = reach.after(set);
            let known = states.iter().position(|known| *known == state);
            known.unwrap_or_else(|| {
                states.push(state);
                states.len() - 1
            })
        })
        .collect();
    let questions: Vec<quote::Question> = states
        .iter()
        .map(|state| bike_question(&question, *state))
        .collect();
    let mut quotes = quote::quotes(source, priors, &questions, base, selling);
    let prospects: Vec<Option<Prospect>> = quotes
        .iter()
        .map(|quote| Prospect::of(quote, source, priors))
        .collect();
    let bikes: Vec<Bike> = questions.iter().map(|q| q.bike).collect();
    let (found, done) = (outcome[0], outcome[all as usize]);
    let terms = question.terms;
    let counting = Counting {
        jobs,
        terms: &terms,
        currency: &currency,
    };
    let prospect = |set: u32| prospects[outcome[set as usize]].as_ref();
    let nets: Vec<Option<f64>> = (0..=all)
        .map(|set| {
            let one = prospect(set)?;
            Some(counting.outgoings(set, one.waiting).net(one.sale.mean))
        })
        .collect();
    let net = |set: u32| nets[set as usize];
    let chosen = best(jobs.len(), reach.safety, net);
    let ranks: Vec<usize> = (0..jobs.len()).map(|i| reach.rank(i)).collect();
    let effects = Effects::of(source, priors, &question.bike);
    let medians = quotes[found]
        .value
        .zip(quotes[done].value)
        .map(|(found, done)| (found.median, done.median));
    let uplifts = match (&effects, medians) {
        (Some(effects), Some(ends)) => uplifts::uplifts(
            effects,
            &bikes,
            &outcome,
            &ranks,
            ends,
            question.level,
            &currency,
        ),
        _ => Vec::new(),
    };
    let mut answer = Offer {
        jobs: Vec::new(),
        best: None,
        learnt: question.learnt,
        held_back: Money::ZERO,
        most_to_pay: None,
        risk: None,
        take_apart: None,
        verdict: None,
        bar: bar(&question, &reach),
        left_open: reach.left_open.iter().map(|item| item.name).collect(),
        open: reach.open.iter().map(|item| item.name).collect(),
        regraded: reach.regrades(),
        terms,
        cautions: Vec::new(),
        as_found: quotes[found].clone(),
        done: quotes[done].clone(),
    };
    let whole = chosen.and_then(|(set, left)| {
        let one = prospect(set)?;
        let out = Outgoings {
            held_back: -question.learnt.applied * one.sale.mean,
            ..counting.outgoings(set, one.waiting)
        };
        Some((set, left, one, out))
    });
    if let Some((set, left, one, out)) = whole {
        let amount = |units: f64| currency.round(units).unwrap_or(Money::ZERO);
        answer.held_back = amount(out.held_back);
        answer.jobs = uplifts
            .iter()
            .enumerate()
            .map(|(i, uplift)| {
                let best_of = |with: bool| {
                    let fits = |set: u32| (set & (1 << i) != 0) == with;
                    let some = best(jobs.len(), reach.safety, |set| {
                        net(set).filter(|_| fits(set))
                    });
                    some.map(|(_, left)| left)
                };
                let gain = best_of(true).zip(best_of(false));
                counting.job(i, *uplift, (set, reach.safety), gain)
            })
            .collect();
        in_order(&mut answer.jobs, jobs, &ranks);
        let margin = currency.units(terms.margin);
        let limits = most_to_pay(&one.sale, &out, margin, terms.quantile);
        let most = counting.most(limits);
        let paid = question.asking.unwrap_or(most.mean);
        answer.risk = Some((paid, risk(&one.sale, &out, currency.units(paid))));
        answer.most_to_pay = Some(most);
        let quote = &mut quotes[outcome[set as usize]];
        if let (Some(value), Some(plan)) = (quote.value, quote.plan.take()) {
            let taken = || counting.taken(set);
            answer.best = Some(Best {
                jobs: answer
                    .jobs
                    .iter()
                    .filter(|one| one.in_best)
                    .map(|one| one.job.name.clone())
                    .collect(),
                bike: quote.question.bike,
                value,
                cost: taken().map(Job::spent).sum(),
                from_box: taken().filter(|j| j.from_box).map(|j| j.cost).sum(),
                hours: taken().filter_map(|job| job.hours).sum(),
                expected_sale: amount(one.sale.mean),
                waiting: amount(one.waiting),
                net: amount(left),
                plan,
            });
        }
    }
    answer.take_apart = counting.take_apart(&question, &reach, whole.map(|w| w.1));
    if answer.bar.is_some() {
        answer.most_to_pay = Some(NOTHING);
        (answer.best, answer.risk) = (None, None);
        answer.take_apart = None;
    }
    answer.verdict = verdict(question.asking, &answer);
    let of_best = chosen.map_or(done, |(set, _)| outcome[set as usize]);
    let quotes = [of_best, done, found].map(|place| &quotes[place]);
    doubts::tell(&mut answer, &question, &reach, jobs, &quotes);
    answer
}

/// In the order of doing them, then by what each leaves.
fn in_order(worths: &mut [JobWorth], jobs: &[Job], ranks: &[usize]) {
    let rank = |one: &JobWorth| {
        let place = jobs.iter().position(|job| job.name == one.job.name);
        place.map_or(usize::MAX, |place| ranks[place])
    };
    let left = |one: &JobWorth| one.uplift.median.minor() - one.job.spent().minor();
    worths.sort_by(|a, b| {
        let key = |one: &JobWorth| (rank(one), std::cmp::Reverse(left(one)));
        key(a).cmp(&key(b)).then(a.job.name.cmp(&b.job.name))
    });
}

fn bike_question(question: &Question, (condition, tier): State) -> quote::Question {
    quote::Question {
        id: None,
        bike: Bike {
            condition,
            tier,
            ..question.bike
        },
        cost: None,
        hours: None,
        level: question.level,
        stood: None,
    }
}

/// How a bike sells.
struct Prospect {
    sale: Sale,
    waiting: f64,
}

impl Prospect {
    fn of(quote: &Quote, source: &Source<'_>, priors: &Priors) -> Option<Self> {
        let outlook = quote.plan.as_ref()?.outlook;
        let parts = one_sale(source, priors, &quote.question)?;
        Some(Self {
            sale: Sale::with_mean(&parts, outlook.expected_sale),
            waiting: (outlook.expected_sale - outlook.present_value).max(0.0),
        })
    }
}

/// Jobs and terms, for sums over sets.
struct Counting<'a> {
    jobs: &'a [Job],
    terms: &'a Terms,
    currency: &'a Currency,
}

impl Counting<'_> {
    fn taken(&self, set: u32) -> impl Iterator<Item = &Job> {
        let all = self.jobs.iter().enumerate();
        all.filter(move |(i, _)| set & (1 << i) != 0)
            .map(|(_, job)| job)
    }

    fn outgoings(&self, set: u32, waiting: f64) -> Outgoings {
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

    fn job(
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

    fn most(&self, (mean, cautious): (f64, f64)) -> MostToPay {
        let at_least_0 = |units: f64| self.currency.round(units.max(0.0)).unwrap_or(Money::ZERO);
        MostToPay {
            mean: at_least_0(mean),
            cautious: at_least_0(cautious),
            missing: at_least_0(-mean),
        }
    }

    fn take_apart(
        &self,
        question: &Question,
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
        let units = |part: &crate::trade::Part| self.currency.units(part.price);
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

/// Nothing is to be paid.
const NOTHING: MostToPay = MostToPay {
    mean: Money::ZERO,
    cautious: Money::ZERO,
    missing: Money::ZERO,
};

/// What speaks against the bike at any price, gravest first.
fn bar(question: &Question, reach: &Reach<'_>) -> Option<Bar> {
    let failed = judged(question.sheet.as_ref()?);
    if state_of(&failed, inspection::SERIAL_NUMBER) == inspection::State::Fail {
        return Some(Bar::Number);
    }
    let for_good = reach.failed_for_good();
    if for_good.contains(&"recall check") {
        return Some(Bar::Recall);
    }
    let only_parts = for_good.into_iter().find(|name| ONLY_PARTS.contains(name));
    only_parts
        .filter(|_| question.parts.is_empty())
        .map(Bar::OnlyParts)
}

/// Buy up to what even a poor sale allows. A bike bought at its mean leaves the
/// margin on average, but who buys one at a time, of sellers who know it better,
/// does not get the average (the winner's curse).
fn verdict(asking: Option<Money>, answer: &Offer) -> Option<Verdict> {
    let asking = asking?;
    let apart = answer.take_apart.as_ref().filter(|apart| apart.better);
    let most = apart
        .map(|apart| apart.most_to_pay)
        .or(answer.most_to_pay)?;
    let why = match asking {
        _ if answer.bar.is_some() => Why::Barred,
        _ if most.missing > Money::ZERO || asking > most.mean => Why::TooDear,
        _ if asking > most.cautious => Why::OnAverage,
        _ => Why::Cautious,
    };
    Some(Verdict {
        asking,
        buy: why == Why::Cautious,
        why,
        most,
        apart: apart.is_some(),
    })
}
