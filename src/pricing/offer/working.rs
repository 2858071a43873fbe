//! The offer, step by step.

use super::answer::{Bar, BestSet, JobWorth, MostToPay, Offer, OfferVerdict, Uplift, Why};
use super::counting::{Counting, ONLY_PARTS};
use super::doubts;
use super::effects::Effects;
use super::outcomes::Outcomes;
use super::question::OfferQuestion;
use super::reach::{Grades, Reach};
use super::sale::{Outgoings, SaleForecast, most_to_pay, risk};
use super::sets::best;
use super::uplifts::uplifts;
use crate::pricing::design::base::Base;
use crate::pricing::inspection::judging::state_of;
use crate::pricing::inspection::{self, judged};
use crate::pricing::prior::priors::Priors;
use crate::pricing::quote::{PriceQuestion, Quote, Selling, Source, one_sale, quotes};
use crate::statistics::distribution::student_t::quantile;
use crate::trade::{Bike, Currency, Job, Money, Part};

/// What to pay for a bike, and which jobs pay. The order of the jobs and of the
/// parts does not matter.
pub fn offer(
    source: &Source<'_>,
    priors: &Priors,
    question: &OfferQuestion,
    base: &Base,
    selling: &Selling<'_>,
) -> Offer {
    let question = &sorted(question);
    let (jobs, currency) = (&question.jobs[..], source.currency());
    let reach = Reach::new(&question.bike, jobs, question.sheet.as_ref());
    let outcomes = Outcomes::of(&question.bike, jobs.len(), &reach);
    let found = outcomes.bikes[FOUND];
    let before = (found.condition, found.tier);
    let asked = outcomes.bikes.iter();
    let mut asked: Vec<PriceQuestion> =
        asked.map(|bike| asked_of(question, bike, before)).collect();
    guess(&mut asked, question, outcomes.done(), &currency, |asked| {
        Some(quantile(&one_sale(source, priors, asked, base)?.0, 0.5))
    });
    let quotes = quotes(source, priors, &asked, base, selling);
    let prospects = quotes
        .iter()
        .map(|quote| Prospect::of(quote, source, priors, base));
    let work = Work {
        question,
        reach: &reach,
        counting: Counting {
            jobs,
            terms: &question.terms,
            currency: &currency,
        },
        prospects: prospects.collect(),
        quotes: &quotes,
        outcomes: &outcomes,
    };
    let nets: Vec<Option<f64>> = (0..1_u32 << jobs.len()).map(|set| work.net(set)).collect();
    let chosen = best(jobs.len(), reach.safety, |set| nets[set as usize]);
    let whole = chosen.and_then(|(set, left)| work.whole(set, left));
    let mut answer = work.unanswered();
    if let Some(whole) = &whole {
        let effects = Effects::of(source, priors, &found);
        let uplifts = effects.map_or(Vec::new(), |effects| work.uplifts(&effects));
        answer.jobs = work.worths(&uplifts, &nets, whole.set);
        work.sell_whole(&mut answer, whole);
    }
    answer.take_apart = work
        .counting
        .take_apart(question, &reach, whole.map(|whole| whole.left));
    if answer.bar.is_some() {
        answer.most_to_pay = Some(NOTHING);
        (answer.best, answer.risk) = (None, None);
        answer.take_apart = None;
    }
    answer.verdict = verdict(question.asking, &answer);
    let of_best = chosen.map_or(outcomes.done(), |(set, _)| outcomes.place(set));
    let told = [of_best, outcomes.done(), FOUND].map(|place| &quotes[place]);
    doubts::tell(&mut answer, question, &reach, &told);
    answer
}

/// Place of the bike as found among the outcomes.
const FOUND: usize = 0;

/// The same question with its jobs and parts in an order of their own.
fn sorted(question: &OfferQuestion) -> OfferQuestion {
    let mut question = question.clone();
    question.jobs.sort_by(|a, b| a.name.cmp(&b.name));
    question.parts.sort_by(|a, b| {
        let key = |p: &Part| (p.name.clone(), p.price);
        key(a).cmp(&key(b)).then(a.chance.total_cmp(&b.chance))
    });
    question
}

fn asked_of(question: &OfferQuestion, bike: &Bike, before: Grades) -> PriceQuestion {
    PriceQuestion {
        id: None,
        bike: *bike,
        cost: None,
        guess: None,
        hours: None,
        level: question.level,
        before: Some(before),
        stood: None,
    }
}

/// Gives every outcome the owner's guess, which is of the bike with all jobs done (the
/// place `done`): an eye that sees a tenth more in it sees a tenth more in every outcome.
/// `ln_value` is the value without a guess.
fn guess(
    asked: &mut [PriceQuestion],
    question: &OfferQuestion,
    done: usize,
    currency: &Currency,
    ln_value: impl Fn(&PriceQuestion) -> Option<f64>,
) {
    let Some(guess) = question.guess else {
        return;
    };
    let Some(all_done) = ln_value(&asked[done]) else {
        return;
    };
    for one in asked {
        let part = ln_value(one).map(|value| (value - all_done).exp());
        one.guess = part.and_then(|part| currency.round(currency.units(guess) * part));
    }
}

/// How a bike sells.
struct Prospect {
    sale: SaleForecast,
    waiting: f64,
}

impl Prospect {
    fn of(quote: &Quote, source: &Source<'_>, priors: &Priors, base: &Base) -> Option<Self> {
        let outlook = quote.plan.as_ref()?.outlook;
        let (parts, levels) = one_sale(source, priors, &quote.question, base)?;
        Some(Self {
            sale: SaleForecast::with_mean(&parts, levels, outlook.expected_sale),
            waiting: (outlook.expected_sale - outlook.present_value).max(0.0),
        })
    }
}

/// The best set of jobs and its sale.
struct Whole<'w> {
    set: u32,
    /// What it leaves, in units.
    left: f64,
    prospect: &'w Prospect,
    out: Outgoings,
}

/// Every set of jobs, priced.
struct Work<'a> {
    question: &'a OfferQuestion,
    reach: &'a Reach<'a>,
    counting: Counting<'a>,
    outcomes: &'a Outcomes,
    /// By outcome.
    quotes: &'a [Quote],
    /// By outcome.
    prospects: Vec<Option<Prospect>>,
}

impl Work<'_> {
    fn prospect(&self, set: u32) -> Option<&Prospect> {
        self.prospects[self.outcomes.place(set)].as_ref()
    }

    /// What a set leaves before the bike is paid for, in units.
    fn net(&self, set: u32) -> Option<f64> {
        let one = self.prospect(set)?;
        let out = self.counting.outgoings(set, one.waiting);
        Some(out.net(one.sale.mean))
    }

    /// The set that leaves most, with what earlier offers fell short by.
    fn whole(&self, set: u32, left: f64) -> Option<Whole<'_>> {
        let prospect = self.prospect(set)?;
        let out = Outgoings {
            held_back: -self.question.learnt.applied * prospect.sale.mean,
            ..self.counting.outgoings(set, prospect.waiting)
        };
        Some(Whole {
            set,
            left,
            prospect,
            out,
        })
    }

    fn amount(&self, units: f64) -> Money {
        self.counting.currency.round(units).unwrap_or(Money::ZERO)
    }

    /// What each job adds, in the order of the jobs; empty when there is no value.
    fn uplifts(&self, effects: &Effects<'_>) -> Vec<Uplift> {
        let value = |place: usize| self.quotes[place].value;
        let (Some(found), Some(done)) = (value(FOUND), value(self.outcomes.done())) else {
            return Vec::new();
        };
        let ends = (found.median, done.median);
        let level = self.question.level;
        uplifts(effects, self.outcomes, ends, level, self.counting.currency)
    }

    /// What each job does, in the order of doing them.
    fn worths(&self, uplifts: &[Uplift], nets: &[Option<f64>], best_set: u32) -> Vec<JobWorth> {
        let (jobs, safety) = (self.counting.jobs, self.reach.safety);
        let mut worths: Vec<JobWorth> = uplifts
            .iter()
            .enumerate()
            .map(|(i, uplift)| {
                let best_of = |with: bool| {
                    let fits = |set: u32| (set & (1 << i) != 0) == with;
                    let net = |set: u32| nets[set as usize].filter(|_| fits(set));
                    best(jobs.len(), safety, net).map(|(_, left)| left)
                };
                let gain = best_of(true).zip(best_of(false));
                self.counting.job(i, *uplift, (best_set, safety), gain)
            })
            .collect();
        in_order(&mut worths, jobs, &self.outcomes.ranks);
        worths
    }

    /// The answer before anything is chosen.
    fn unanswered(&self) -> Offer {
        let (question, reach) = (self.question, self.reach);
        Offer {
            jobs: Vec::new(),
            best: None,
            learnt: question.learnt,
            held_back: Money::ZERO,
            most_to_pay: None,
            risk: None,
            take_apart: None,
            verdict: None,
            bar: bar(question, reach),
            left_open: reach.left_open.iter().map(|item| item.name).collect(),
            open: reach.open.iter().map(|item| item.name).collect(),
            regraded: reach.regrades(),
            terms: question.terms,
            cautions: Vec::new(),
            as_found: self.quotes[FOUND].clone(),
            done: self.quotes[self.outcomes.done()].clone(),
        }
    }

    /// What may be paid for the bike when it is sold whole after the best set.
    fn sell_whole(&self, answer: &mut Offer, whole: &Whole<'_>) {
        let (terms, currency) = (&self.question.terms, self.counting.currency);
        let (sale, out) = (&whole.prospect.sale, &whole.out);
        let margin = currency.units(terms.margin);
        let limits = most_to_pay(sale, out, margin, terms.quantile);
        let most = self.counting.most(limits);
        let paid = self.question.asking.unwrap_or(most.mean);
        answer.held_back = self.amount(out.held_back);
        answer.risk = Some((paid, risk(sale, out, currency.units(paid))));
        answer.most_to_pay = Some(most);
        answer.best = self.best_set(&answer.jobs, whole);
    }

    fn best_set(&self, worths: &[JobWorth], whole: &Whole<'_>) -> Option<BestSet> {
        let quote = &self.quotes[self.outcomes.place(whole.set)];
        let (value, plan) = (quote.value?, quote.plan.clone()?);
        let taken = || self.counting.taken(whole.set);
        let in_best = worths.iter().filter(|one| one.in_best);
        Some(BestSet {
            jobs: in_best.map(|one| one.job.name.clone()).collect(),
            bike: quote.question.bike,
            value,
            cost: taken().map(Job::spent).sum(),
            from_box: taken().filter(|j| j.from_box).map(|j| j.cost).sum(),
            hours: taken().filter_map(|job| job.hours).sum(),
            expected_sale: self.amount(whole.prospect.sale.mean),
            waiting: self.amount(whole.prospect.waiting),
            net: self.amount(whole.left),
            plan,
        })
    }
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

/// Nothing is to be paid.
const NOTHING: MostToPay = MostToPay {
    mean: Money::ZERO,
    cautious: Money::ZERO,
    missing: Money::ZERO,
};

/// What speaks against the bike at any price, gravest first.
fn bar(question: &OfferQuestion, reach: &Reach<'_>) -> Option<Bar> {
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

/// Buy up to what an average sale allows: that leaves the margin on average, with what
/// earlier offers fell short by held back. In simulated markets whose sellers know the
/// bike better, buying only where even a poor sale does earns a fifth less
/// (`tests/recovery/selling/decisions.rs`).
fn verdict(asking: Option<Money>, answer: &Offer) -> Option<OfferVerdict> {
    let asking = asking?;
    let apart = answer.take_apart.as_ref().filter(|apart| apart.better);
    let most = apart
        .map(|apart| apart.most_to_pay)
        .or(answer.most_to_pay)?;
    let why = match asking {
        _ if answer.bar.is_some() => Why::Barred,
        _ if most.missing > Money::ZERO || asking > most.mean => Why::TooDear,
        // 0 stands for anything below it, too.
        _ if asking > most.cautious || most.cautious == Money::ZERO => Why::OnAverage,
        _ => Why::Cautious,
    };
    Some(OfferVerdict {
        asking,
        buy: matches!(why, Why::Cautious | Why::OnAverage),
        why,
        most,
        apart: apart.is_some(),
    })
}
