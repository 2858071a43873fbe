//! An offer as JSON: money as numbers in the book's currency, null where nothing
//! is known.

use super::words;
use crate::pricing::offer::missing;
use crate::pricing::offer::{
    BestSet as Best, JobWorth, MostToPay, Offer, OfferCorrection, TakeApart, Uplift,
};
use crate::pricing::quote::Quote;
use crate::report::quote::own_eye::{self, EyeJson};
use crate::report::text::coded::CodedText;
use crate::trade::Condition;
use crate::trade::SizeClass;
use crate::trade::Tier;
use crate::trade::{Bike, Currency, Day, Money};
use serde::Serialize;

#[derive(Serialize)]
struct Answer<'a> {
    as_of: String,
    currency: &'a str,
    bike: Features,
    as_found: Option<Value>,
    done: Option<Value>,
    eye: Option<EyeJson>,
    open_gates: &'a [&'static str],
    left_open: &'a [&'static str],
    jobs: Vec<JobLine<'a>>,
    best: Option<BestSet<'a>>,
    most_to_pay: Most,
    learnt: EarlierOffers,
    chance_of_loss: Option<f64>,
    risk: Option<Risk>,
    take_apart: Option<Apart<'a>>,
    barred: Option<&'static str>,
    /// Needed repairs that count for nothing until their cost is given.
    missing_costs: Vec<&'a str>,
    verdict: Option<Verdict>,
    #[serde(skip_serializing_if = "Option::is_none")]
    kept: Option<Kept<'a>>,
    cautions: Vec<CodedText>,
}

/// What earlier offers teach.
#[derive(Serialize)]
pub(in crate::report) struct EarlierOffers {
    offers: usize,
    mean_error: Option<f64>,
    applied: f64,
    held_back: Option<f64>,
}

/// That the offer is in the book now.
#[derive(Serialize)]
pub struct Kept<'a> {
    /// The bike's id.
    pub bike: &'a str,
    /// Number of the import; `None` when the same offer was there.
    pub import: Option<i64>,
}

#[derive(Serialize)]
struct Features {
    style: &'static str,
    made: Option<crate::trade::Years>,
    condition: Option<u8>,
    tier: Option<u8>,
    size: Option<&'static str>,
}

#[derive(Serialize)]
struct Value {
    median: f64,
    low: f64,
    high: f64,
    level: f64,
    condition: Option<u8>,
    tier: Option<u8>,
}

#[derive(Serialize)]
struct JobLine<'a> {
    job: &'a str,
    cost: f64,
    hours: Option<f64>,
    from_box: bool,
    uplift: Range,
    per_hour: Option<f64>,
    net_gain: Option<f64>,
    safety: bool,
    pays: bool,
}

#[derive(Serialize)]
struct Range {
    median: f64,
    low: f64,
    high: f64,
}

#[derive(Serialize)]
struct BestSet<'a> {
    jobs: &'a [String],
    cost: f64,
    from_box: f64,
    hours: f64,
    value: Range,
    condition: Option<u8>,
    tier: Option<u8>,
    expected_sale: f64,
    expected_days: f64,
    waiting: f64,
    net: f64,
    ask: Option<f64>,
}

#[derive(Serialize)]
struct Most {
    target_margin: f64,
    mean: Option<f64>,
    cautious: Option<f64>,
    quantile: f64,
}

#[derive(Serialize)]
struct Risk {
    paid: f64,
    expected_margin: Option<f64>,
    chance_of_loss: f64,
    shortfall: Option<f64>,
}

#[derive(Serialize)]
struct Apart<'a> {
    expected: f64,
    better: bool,
    most_to_pay: Most,
    parts: Vec<PartLine<'a>>,
}

#[derive(Serialize)]
struct PartLine<'a> {
    part: &'a str,
    price: f64,
    chance: f64,
    scrap: Option<&'static str>,
}

#[derive(Serialize)]
struct Verdict {
    asking: f64,
    say: &'static str,
    apart: bool,
    why: String,
}

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number of an offer is finite.
pub fn json(
    offer: &Offer,
    kept: Option<Kept<'_>>,
    as_of: Day,
    currency: &Currency,
) -> Result<String, serde_json::Error> {
    let units = |m: Money| currency.units(m);
    let rounded = |v: f64| currency.round(v).map(units);
    let answer = Answer {
        as_of: as_of.to_string(),
        currency: currency.code(),
        bike: features(&offer.as_found.question.bike),
        as_found: value(&offer.as_found, currency),
        done: value(&offer.done, currency),
        eye: offer
            .done
            .eye
            .as_ref()
            .map(|eye| own_eye::json(eye, currency)),
        open_gates: &offer.open,
        left_open: &offer.left_open,
        jobs: offer.jobs.iter().map(|one| job(one, currency)).collect(),
        best: offer.best.as_ref().map(|best| best_set(best, currency)),
        most_to_pay: most(offer.most_to_pay, offer, currency),
        learnt: learnt(&offer.learnt, Some(units(offer.held_back))),
        chance_of_loss: offer.risk.map(|(_, risk)| risk.chance_of_loss),
        risk: offer.risk.map(|(paid, risk)| Risk {
            paid: units(paid),
            expected_margin: rounded(risk.margin),
            chance_of_loss: risk.chance_of_loss,
            shortfall: rounded(risk.shortfall),
        }),
        take_apart: offer
            .take_apart
            .as_ref()
            .map(|taken| apart(taken, offer, currency)),
        barred: offer.bar.map(words::bar_code),
        missing_costs: missing::without_cost(offer),
        verdict: offer.verdict.as_ref().map(|verdict| Verdict {
            asking: units(verdict.asking),
            say: if missing::says_buy(verdict, offer) {
                "buy"
            } else {
                "leave"
            },
            apart: verdict.apart,
            why: words::verdict(verdict, offer, currency),
        }),
        kept,
        cautions: offer
            .cautions
            .iter()
            .map(|caution| CodedText {
                code: words::code(caution),
                text: words::words(caution, currency),
            })
            .collect(),
    };
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}

pub(in crate::report) fn learnt(from: &OfferCorrection, held_back: Option<f64>) -> EarlierOffers {
    EarlierOffers {
        offers: from.offers,
        mean_error: (from.offers > 0).then_some(from.mean_error),
        applied: from.applied,
        held_back,
    }
}

fn features(bike: &Bike) -> Features {
    Features {
        style: bike.style.word(),
        made: bike.made,
        condition: bike.condition.map(Condition::grade),
        tier: bike.tier.map(Tier::grade),
        size: bike.size().map(SizeClass::word),
    }
}

fn value(quote: &Quote, currency: &Currency) -> Option<Value> {
    let value = quote.value?;
    let bike = features(&quote.question.bike);
    Some(Value {
        median: currency.units(value.median),
        low: currency.units(value.low),
        high: currency.units(value.high),
        level: value.level,
        condition: bike.condition,
        tier: bike.tier,
    })
}

fn range(uplift: &Uplift, currency: &Currency) -> Range {
    Range {
        median: currency.units(uplift.median),
        low: currency.units(uplift.low),
        high: currency.units(uplift.high),
    }
}

fn job<'a>(one: &'a JobWorth, currency: &Currency) -> JobLine<'a> {
    let units = |m: Money| currency.units(m);
    JobLine {
        job: &one.job.name,
        cost: units(one.job.cost),
        hours: one.job.hours.map(|h| h as f64 / 100.0),
        from_box: one.job.from_box,
        uplift: range(&one.uplift, currency),
        per_hour: one.per_hour.and_then(|h| currency.round(h)).map(units),
        net_gain: one.net_gain.map(units),
        safety: one.safety,
        pays: one.pays,
    }
}

fn best_set<'a>(best: &'a Best, currency: &Currency) -> BestSet<'a> {
    let units = |m: Money| currency.units(m);
    let bike = features(&best.bike);
    BestSet {
        jobs: &best.jobs,
        cost: units(best.cost),
        from_box: units(best.from_box),
        hours: best.hours as f64 / 100.0,
        value: Range {
            median: units(best.value.median),
            low: units(best.value.low),
            high: units(best.value.high),
        },
        condition: bike.condition,
        tier: bike.tier,
        expected_sale: units(best.expected_sale),
        expected_days: best.plan.outlook.expected_days,
        waiting: units(best.waiting),
        net: units(best.net),
        ask: best.plan.steps.first().map(|step| units(step.1)),
    }
}

fn most(most: Option<MostToPay>, offer: &Offer, currency: &Currency) -> Most {
    Most {
        target_margin: currency.units(offer.terms.margin),
        mean: most.map(|most| currency.units(most.mean)),
        cautious: most.map(|most| currency.units(most.cautious)),
        quantile: offer.terms.quantile,
    }
}

fn apart<'a>(taken: &'a TakeApart, offer: &Offer, currency: &Currency) -> Apart<'a> {
    let part = |one: &'a crate::pricing::offer::parts::PartWorth| PartLine {
        part: &one.part.name,
        price: currency.units(one.part.price),
        chance: one.part.chance,
        scrap: one.scrap,
    };
    Apart {
        expected: currency.units(taken.expected),
        better: taken.better,
        most_to_pay: most(Some(taken.most_to_pay), offer, currency),
        parts: taken.parts.iter().map(part).collect(),
    }
}
