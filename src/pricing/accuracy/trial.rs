//! One own bike priced without itself.

use super::eye_trial::EyeTrial;
use super::question::{AccuracyQuestion, Open};
use super::rules::{Guesses, RuleObserver};
use crate::pricing::asking::{Subject, chances_within};
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::facts;
use crate::pricing::eye::look::Look;
use crate::pricing::eye::sighting::EyeSource;
use crate::pricing::prior::priors::Priors;
use crate::pricing::quote::LARGEST_VARIANCE;
use crate::pricing::records::observation::{Observation, Records};
use crate::pricing::time_on_market::{MarkDowns, SeenListings, asked, learn};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::value::recipe::{NoFit, ValueModel, ValueSettings};
use crate::pricing::value::reduce::{CompMet, Observer};
use crate::statistics::distribution::normal;
use crate::statistics::distribution::student_t::{mixture_cdf, quantile};
use crate::trade::{Bike, Comparable, Condition, Currency, Day, Money, Sale, Tier};
use jiff::ToSpan as _;

/// Days after listing at which chances are compared with what happened.
pub const WITHIN: [f64; 3] = [14.0, 30.0, 60.0];

/// Smallest chance that an outcome is counted with: beyond five standard
/// deviations all outcomes are equally unlikely.
const SMALLEST: f64 = 3e-7;

/// An own bike with what would have been said of it.
#[derive(Clone, Debug)]
pub struct OwnBike {
    /// The record, as known on the day of the question.
    pub sale: Sale,
    /// The day for which it was priced.
    pub day: Day,
    /// What it brought, in units; `None` while it is not sold.
    pub brought: Option<f64>,
    /// Priced by all other records; `None` where there is nothing else to go on.
    pub left_out: Option<Trial>,
    /// Priced by what was known on the day before; `None` where that is nothing.
    pub before: Option<Trial>,
}

/// What would have been said; money in units of the currency.
#[derive(Clone, Debug)]
pub struct Trial {
    /// The value: an even chance of more or less.
    pub median: f64,
    /// The range of one sale.
    pub low: f64,
    /// See `low`.
    pub high: f64,
    /// Where the outcome fell: the standard normal score of its chance under the
    /// whole forecast; `None` for an unsold bike.
    pub score: Option<f64>,
    /// Chances of a sale within [`WITHIN`] days at its own asks; `None` where no
    /// day of listing is known.
    pub within: Option<[f64; 3]>,
    /// Values under other grades: what is changed, and ln value.
    pub otherwise: Vec<(Regraded, f64)>,
    /// What the rules of thumb would have said.
    pub rules: Guesses,
    /// What its owner said, beside the value without and with it.
    pub eye: Option<EyeTrial>,
    /// Own sales and comps that it rests on.
    pub rests_on: (usize, usize),
}

impl Trial {
    /// Whether the range holds a price of `units`.
    pub fn holds(&self, units: f64) -> bool {
        self.low <= units && units <= self.high
    }
}

/// A grade other than the recorded one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Regraded {
    /// Another condition.
    Condition(Condition),
    /// Another tier.
    Tier(Tier),
}

impl OwnBike {
    pub(super) fn of(
        sale: &Sale,
        open: &Open<'_>,
        priors: &Priors,
        question: &AccuracyQuestion,
    ) -> Result<Self, NoFit> {
        let day = day_asked(sale).unwrap_or(question.as_of);
        let brought = sale.sold.map(|sold| question.currency.units(sold.price));
        let trying = Trying {
            sale,
            day,
            priors,
            question,
        };
        Ok(Self {
            sale: sale.clone(),
            day,
            brought,
            left_out: trying.by_what_was_known_on(question.as_of, open)?,
            before: trying.by_what_was_known_on(before(day), open)?,
        })
    }
}

/// A sale that is priced as of its `day`.
struct Trying<'a> {
    sale: &'a Sale,
    day: Day,
    priors: &'a Priors,
    question: &'a AccuracyQuestion,
}

impl Trying<'_> {
    /// Prices it by the records known on `known`, its own aside.
    fn by_what_was_known_on(&self, known: Day, open: &Open<'_>) -> Result<Option<Trial>, NoFit> {
        let Self {
            sale,
            day,
            priors,
            question,
        } = *self;
        let currency = question.currency;
        let records = open(known)?;
        let records: &dyn Records = records.as_ref();
        let model = ValueModel {
            priors,
            settings: ValueSettings {
                as_of: known,
                currency,
                without: Some(sale.id.clone()),
            },
        };
        let mut observer = TrialObserver {
            rules: RuleObserver::new(&sale.bike, day),
            listings: SeenListings::new(known, currency),
        };
        let fitted = match model.fit(records, &mut observer) {
            Ok(fitted) => fitted,
            Err(NoFit::NoRecords) => return Ok(None),
            Err(other) => return Err(other),
        };
        let TrialObserver { rules, listings } = observer;
        let here = facts(&sale.bike, day, &currency);
        let (ln_value, _) = fitted.value_on(&here, day);
        let mut forecast = fitted.one_sale_on(&here, day);
        let look = ln_units(sale.guess, &currency).map(|guess| fitted.look(&here, day, guess));
        if let Some(look) = &look {
            look.over(&mut forecast, fitted.luck_variance());
        }
        // Under other grades the guess would have been the same.
        let looked_at =
            |ln: f64| look.map_or(ln, |look| ln + look.moves + look.weight * (ln_value - ln));
        let end = |p: f64| quantile(&forecast, p).exp();
        // With a guess the widths were corrected by sales with guesses.
        let level = match look {
            Some(_) => question.level,
            None => fitted.levels.that_holds(question.level),
        };
        let score = sale.sold.map(|sold| {
            let chance = mixture_cdf(&forecast, currency.units(sold.price).ln());
            normal::quantile(chance.clamp(SMALLEST, 1.0 - SMALLEST))
        });
        Ok(Some(Trial {
            median: looked_at(ln_value).exp(),
            low: end((1.0 - level) / 2.0),
            high: end(f64::midpoint(1.0, level)),
            score,
            within: self.chances(&fitted, records, listings),
            otherwise: otherwise(sale, day, &fitted, looked_at),
            eye: self.eye(&fitted),
            rules: rules.guesses(records, sale, known, &currency),
            rests_on: (fitted.gathered.sales, fitted.gathered.comps),
        }))
    }

    /// The guess or the first ask, and what it makes of the value.
    fn eye(&self, fitted: &FittedValue) -> Option<EyeTrial> {
        let currency = &fitted.currency;
        let here = facts(&self.sale.bike, self.day, currency);
        let (ln_value, bike) = fitted.value_on(&here, self.day);
        let of = |from, said: f64, look: Look| EyeTrial::of(from, said, ln_value, &look);
        if let Some(guess) = ln_units(self.sale.guess, currency) {
            let look = fitted.eye.look(guess - ln_value, bike);
            return Some(of(EyeSource::Guess, guess, look));
        }
        let ask = ln_units(self.sale.ask, currency)?;
        let look = fitted.eye.look_by_ask(ask - ln_value, bike);
        Some(of(EyeSource::FirstAsk, ask, look))
    }

    /// The chances of a sale within [`WITHIN`] days at the asks that it had, and
    /// after its sale would have had (how to mark down is the user's own choice, no
    /// forecast), as the model sees its value and the pace.
    fn chances(
        &self,
        fitted: &FittedValue,
        records: &dyn Records,
        listings: SeenListings,
    ) -> Option<[f64; 3]> {
        let (sale, as_of) = (self.sale, self.question.as_of);
        let day = sale.listed_on?;
        let currency = fitted.currency;
        let time = learn(self.priors, fitted, records, listings, Some(&sale.id)).ok()?;
        let here = facts(&sale.bike, day, &currency);
        let (ln_value, variance) = fitted.value_on(&here, day);
        let mut value = (ln_value, variance.min(LARGEST_VARIANCE));
        let changes = records.ask_changes();
        let habit = MarkDowns::of(records.sales(), changes, as_of, &currency);
        let mut asks = asked(sale, changes, &habit, as_of, &currency);
        match asks.first() {
            Some((_, first)) => value = time.own_habit.value_given_ask(*first, value),
            // Not recorded: as this user usually asks.
            None => asks.push((0.0, ln_value + time.own_habit.mean)),
        }
        let subject = Subject {
            facts: &here,
            as_of: day,
            ln_value: value.0,
            ln_highest: value.0,
            variance: value.1,
            freedom: fitted.own_freedom,
            new_price: None,
            most_paid: None,
            stood: None,
        };
        Some(chances_within(&time, &subject, &asks, WITHIN))
    }
}

/// ln of an amount in units; `None` of nothing.
fn ln_units(amount: Option<Money>, currency: &Currency) -> Option<f64> {
    let amount = amount.filter(|amount| amount.minor() > 0)?;
    Some(currency.units(amount).ln())
}

/// ln value of the bike under other grades.
fn otherwise(
    sale: &Sale,
    day: Day,
    fitted: &FittedValue,
    looked_at: impl Fn(f64) -> f64,
) -> Vec<(Regraded, f64)> {
    regraded(&sale.bike)
        .into_iter()
        .map(|(what, bike)| {
            let other = facts(&bike, day, &fitted.currency);
            (what, looked_at(fitted.value_on(&other, day).0))
        })
        .collect()
}

/// The day for which a bike was to be priced: its listing, or its sale where
/// that is all that is known; `None` for one that is neither, or was given away.
pub(super) fn day_asked(sale: &Sale) -> Option<Day> {
    match sale.sold {
        Some(sold) if sold.price.minor() <= 0 => None,
        Some(_) => sale.priced_on(),
        None => sale.listed_on,
    }
}

/// The day before.
fn before(day: Day) -> Day {
    day.saturating_sub(1.day())
}

/// The bike with each grade one up and one down.
fn regraded(bike: &Bike) -> Vec<(Regraded, Bike)> {
    let mut others = Vec::with_capacity(4);
    let beside = |grade: u8| [grade.checked_sub(1), grade.checked_add(1)];
    if let Some(condition) = bike.condition {
        let grades = beside(condition.grade()).into_iter().flatten();
        others.extend(grades.filter_map(Condition::from_grade).map(|condition| {
            let other = Bike {
                condition: Some(condition),
                ..*bike
            };
            (Regraded::Condition(condition), other)
        }));
    }
    if let Some(tier) = bike.tier {
        let grades = beside(tier.grade()).into_iter().flatten();
        others.extend(grades.filter_map(Tier::from_grade).map(|tier| {
            let other = Bike {
                tier: Some(tier),
                ..*bike
            };
            (Regraded::Tier(tier), other)
        }));
    }
    others
}

struct TrialObserver {
    rules: RuleObserver,
    listings: SeenListings,
}

impl Observer for TrialObserver {
    fn comp(&mut self, met: CompMet<'_>, coding: &Coding, b: &[f64]) {
        self.rules.comp(met, coding, b);
        self.listings.comp(met, coding, b);
    }

    fn weighed(&mut self, comp: &Comparable, seen: &Observation, precision: f64) {
        self.listings.weighed(comp, seen, precision);
    }
}
