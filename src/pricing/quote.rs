//! A bike's value with its range, where it comes from, and the margin.

use super::caution::Caution;
use super::features::{
    self, AGE_KNOWN, CONDITION_KNOWN, Coding, Facts, NEW_KNOWN, SIZE_KNOWN, TIER_KNOWN,
};
use super::priors::Priors;
use super::value::FittedValue;
use crate::statistics::interval::{self, Predictive};
use crate::statistics::robust::median;
use crate::trade::calendar::days_between;
use crate::trade::money::round_to_sum;
use crate::trade::{Bike, Condition, Currency, Day, Money, Sale, SeatTube, Style, Tier};

/// Comps older than this (days) no longer show today's market (judgement).
const OLD_COMPS: i64 = 120;
/// A value above this share of the new price is near it (judgement).
const NEAR_NEW: f64 = 0.85;
/// Own sales below which the range does not rest on own sales.
const FEW_SALES: usize = 5;
/// Largest variance of ln price that goes into a mean: with unknown facts the
/// log-normal mean would otherwise run away from everything seen.
const LARGEST_VARIANCE: f64 = 0.7;

/// What is asked about one bike.
#[derive(Clone, Debug)]
pub struct Question {
    /// Its id, when it has one.
    pub id: Option<String>,
    /// Its features.
    pub bike: Bike,
    /// Direct cost so far.
    pub cost: Option<Money>,
    /// Unpaid hours, in hundredths.
    pub hours: Option<i64>,
    /// Probability of the range.
    pub level: f64,
}

/// The bike from which the contributions start.
#[derive(Clone, Debug, PartialEq)]
pub struct Base {
    /// In words.
    pub words: String,
    /// Its features.
    pub bike: Bike,
    /// Its age in years.
    pub age: f64,
}

/// Value of one sale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ValueRange {
    /// Even chance.
    pub median: Money,
    /// Mean.
    pub expected: Money,
    /// Lower end.
    pub low: Money,
    /// Upper end.
    pub high: Money,
    /// Probability that a sale lands between them.
    pub level: f64,
}

/// What one feature does to the value.
#[derive(Clone, Debug, PartialEq)]
pub struct Contribution {
    /// Name of the feature.
    pub feature: String,
    /// What the value is multiplied by.
    pub factor: f64,
    /// The same in money; all amounts and the base add up to the median.
    pub amount: Money,
}

/// What is left over.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margin {
    /// Direct cost.
    pub cost: Money,
    /// Expected sale less cost.
    pub expected: Money,
    /// Low end of the range less cost.
    pub low: Money,
    /// High end less cost.
    pub high: Money,
    /// Probability that the sale brings less than the cost.
    pub chance_of_loss: f64,
    /// Expected margin an hour, in the currency's units.
    pub per_hour: Option<f64>,
}

/// The answer about one bike.
#[derive(Clone, Debug)]
pub struct Quote {
    /// What was asked.
    pub question: Question,
    /// Its value; `None` when there is nothing to go on.
    pub value: Option<ValueRange>,
    /// Where the contributions start: in words, and its value.
    pub base: Option<(String, Money)>,
    /// From the base to the bike.
    pub contributions: Vec<Contribution>,
    /// What is left over, when a cost was given.
    pub margin: Option<Margin>,
    /// Doubts.
    pub cautions: Vec<Caution>,
}

/// The standard base bike on `as_of`.
pub fn standard_base(as_of: Day) -> Base {
    let mut bike = Bike::of(features::BASE_STYLE);
    bike.made = Some(as_of.year() - features::BASE_AGE as i16);
    bike.condition = Condition::from_grade(features::BASE_CONDITION);
    bike.tier = Tier::from_grade(features::BASE_TIER);
    bike.seat_tube = SeatTube::from_tenths(5100);
    let words = format!(
        "{}, {} years, condition {}, tier {}, size M, today",
        features::BASE_STYLE,
        features::BASE_AGE,
        features::BASE_CONDITION,
        features::BASE_TIER
    );
    Base {
        words,
        bike,
        age: features::BASE_AGE,
    }
}

/// The typical bike among the own sales known on `as_of`: the most frequent
/// style and size, the median age, condition and tier. `None` without sales.
pub fn typical_base(sales: &[Sale], as_of: Day) -> Option<Base> {
    let sold: Vec<&Sale> = sales
        .iter()
        .filter(|s| s.sold.is_some_and(|sold| sold.on <= as_of))
        .collect();
    let style = most_frequent(sold.iter().map(|s| s.bike.style))?;
    let of_style: Vec<&Bike> = sold
        .iter()
        .map(|s| &s.bike)
        .filter(|b| b.style == style)
        .collect();
    let middle = |values: Vec<f64>| (!values.is_empty()).then(|| median(values));
    let grade = |value: f64| value.round() as u8;
    let ages = sold
        .iter()
        .filter(|s| s.bike.style == style)
        .filter_map(|s| s.bike.age(s.priced_on()?));
    let age = middle(ages.collect()).unwrap_or(features::BASE_AGE).round();
    let graded = |get: fn(&Bike) -> Option<u8>| {
        middle(
            of_style
                .iter()
                .filter_map(|b| get(b).map(f64::from))
                .collect(),
        )
    };
    let condition =
        graded(|b| b.condition.map(|c| c.grade())).map_or(features::BASE_CONDITION, grade);
    let tier = graded(|b| b.tier.map(|t| t.grade())).map_or(features::BASE_TIER, grade);
    let tube = most_frequent(of_style.iter().filter_map(|b| b.size())).and_then(|size| {
        of_style
            .iter()
            .find(|b| b.size() == Some(size))
            .and_then(|b| b.seat_tube)
    });
    let mut bike = Bike::of(style);
    bike.condition = Condition::from_grade(condition);
    bike.tier = Tier::from_grade(tier);
    bike.seat_tube = tube.or(SeatTube::from_tenths(5100));
    let size = bike.size().map_or(String::new(), |s| format!(", size {s}"));
    let words = format!("{style}, {age:.0} years, condition {condition}, tier {tier}{size}, today");
    Some(Base { words, bike, age })
}

/// The most frequent value, the first in order among equals.
fn most_frequent<T: Ord>(values: impl Iterator<Item = T>) -> Option<T> {
    let mut counts = std::collections::BTreeMap::new();
    values.for_each(|v| *counts.entry(v).or_insert(0_usize) += 1);
    let most = *counts.values().max()?;
    counts.into_iter().find(|(_, n)| *n == most).map(|(v, _)| v)
}

/// Where a price comes from: the fitted records, or the new price alone.
pub enum Source<'a> {
    /// Records.
    Fitted(&'a FittedValue),
    /// No records.
    Nothing {
        /// Day of the answer.
        as_of: Day,
        /// The book's currency.
        currency: Currency,
    },
}

/// Prices one bike.
pub fn quote(source: &Source<'_>, priors: &Priors, question: &Question, base: &Base) -> Quote {
    let mut answer = Quote {
        question: question.clone(),
        value: None,
        base: None,
        contributions: Vec::new(),
        margin: None,
        cautions: Vec::new(),
    };
    let built = match source {
        Source::Fitted(model) => Some(from_records(model, question, base, &mut answer.cautions)),
        Source::Nothing { as_of, currency } => {
            from_new_price(priors, *as_of, *currency, question, &mut answer.cautions)
        }
    };
    let Some(built) = built else { return answer };
    fill(&mut answer, &built);
    answer
}

/// A price before it is rounded.
struct Built {
    currency: Currency,
    sale: Vec<(f64, Predictive)>,
    ln_value: f64,
    base_words: String,
    ln_base: f64,
    /// Name and log contribution.
    steps: Vec<(String, f64)>,
}

fn from_records(
    model: &FittedValue,
    question: &Question,
    base: &Base,
    cautions: &mut Vec<Caution>,
) -> Built {
    let as_of = model.coding.as_of;
    let here = features::facts(&question.bike, as_of, &model.currency);
    let there = base_facts(base, as_of, &model.currency);
    let (x, from) = (model.row(&here), model.row(&there));
    let b = &model.coefficients;
    let block =
        |range: std::ops::Range<usize>| -> f64 { range.map(|j| b[j] * (x[j] - from[j])).sum() };
    let known = |bit: u32, name: &str| {
        if here.known & bit != 0 {
            name.to_string()
        } else {
            format!("{name} (unknown)")
        }
    };
    let mut steps = vec![
        ("style".to_string(), block(features::STYLE)),
        (
            known(AGE_KNOWN, "age"),
            block(features::AGE)
                + block(features::STYLE_AGE)
                + block(features::VINTAGE..features::VINTAGE + 1),
        ),
        (
            known(CONDITION_KNOWN, "condition"),
            block(features::CONDITION),
        ),
        (
            known(TIER_KNOWN, "tier"),
            block(features::TIER) + block(features::STYLE_TIER),
        ),
    ];
    if question.bike.style != Style::Kids {
        steps.push((known(SIZE_KNOWN, "size"), block(features::SIZE)));
    }
    let new_price = block(features::NEW_PRICE..features::NEW_PRICE + 1);
    if here.known & NEW_KNOWN != 0 {
        steps.push(("new price".to_string(), new_price));
    } else if let Some(first) = steps.first_mut() {
        first.1 += new_price; // 0 but for rounding: an unknown new price is as expected
    }
    about_records(model, &question.bike, &here, cautions);
    Built {
        currency: model.currency,
        sale: model.one_sale(&here),
        ln_value: x.iter().zip(b).map(|(x, b)| x * b).sum(),
        base_words: base.words.clone(),
        ln_base: from.iter().zip(b).map(|(x, b)| x * b).sum(),
        steps,
    }
}

/// The base's age is stated in years, so its facts do not come from a model year.
fn base_facts(base: &Base, as_of: Day, currency: &Currency) -> Facts {
    let mut there = features::facts(&base.bike, as_of, currency);
    features::set_age(&mut there, base.age);
    there
}

fn about_records(model: &FittedValue, bike: &Bike, here: &Facts, cautions: &mut Vec<Caution>) {
    let seen = &model.gathered;
    if seen.sales < FEW_SALES {
        cautions.push(Caution::FewOwnSales { sales: seen.sales });
    }
    let unknown: Vec<&'static str> = [
        (AGE_KNOWN, "model year"),
        (CONDITION_KNOWN, "condition"),
        (TIER_KNOWN, "tier"),
        (SIZE_KNOWN, "size"),
    ]
    .into_iter()
    .filter(|(bit, _)| here.known & bit == 0)
    .map(|(_, name)| name)
    .collect();
    if !unknown.is_empty() {
        cautions.push(Caution::Unknown { features: unknown });
    }
    let mut outside = |feature, here: String, seen: String| {
        cautions.push(Caution::OutsideExperience {
            feature,
            here,
            seen,
        });
    };
    if seen.styles[bike.style.index()] < 3 {
        let count = seen.styles[bike.style.index()];
        outside(
            "style",
            bike.style.to_string(),
            format!("{count} of this style"),
        );
    }
    if let (Some(age), Some((low, high))) = (bike.age(model.coding.as_of), seen.ages)
        && (age < low - 0.5 || age > high + 0.5)
    {
        outside(
            "age",
            format!("{age:.0} years"),
            format!("{low:.0} to {high:.0} years"),
        );
    }
    let levels = |counts: &[usize]| -> String {
        let seen: Vec<String> = (1..)
            .zip(counts)
            .filter(|(_, n)| **n > 0)
            .map(|(grade, _): (usize, _)| grade.to_string())
            .collect();
        if seen.is_empty() {
            "none".into()
        } else {
            seen.join(", ")
        }
    };
    if let Some(condition) = bike.condition.filter(|c| seen.conditions[c.index()] == 0) {
        outside(
            "condition",
            condition.grade().to_string(),
            levels(&seen.conditions),
        );
    }
    if let Some(tier) = bike.tier.filter(|t| seen.tiers[t.index()] == 0) {
        outside("tier", tier.grade().to_string(), levels(&seen.tiers));
    }
    if let Some(size) = bike.size().filter(|s| seen.sizes[s.index()] == 0) {
        outside("size", size.to_string(), "none of this size".into());
    }
    if let Some(newest) = seen.newest_comp {
        let days = days_between(newest, model.coding.as_of);
        if days > OLD_COMPS {
            cautions.push(Caution::OldComps { newest, days });
        }
    }
    for (effect, distance) in &model.conflicts {
        cautions.push(Caution::Disagreement {
            effect: effect.clone(),
            distance: *distance,
        });
    }
}

/// With no records: the new price less the usual loss of value by age and
/// condition, and nothing else. The base is the same bike new.
fn from_new_price(
    priors: &Priors,
    as_of: Day,
    currency: Currency,
    question: &Question,
    cautions: &mut Vec<Caution>,
) -> Option<Built> {
    let Some(new_price) = question.bike.new_price.filter(|p| p.minor() > 0) else {
        cautions.push(Caution::NothingToGoOn);
        return None;
    };
    cautions.push(Caution::PriorOnly);
    let ln_new = currency.units(new_price).ln();
    let mut coding = Coding::new(
        as_of,
        as_of,
        priors,
        ln_new - priors.new_price.over_used,
        &[],
    );
    let here = features::facts(&question.bike, as_of, &currency);
    let mut as_new = question.bike;
    as_new.made = Some(as_of.year());
    as_new.condition = Some(Condition::Mint);
    let mut new_facts = features::facts(&as_new, as_of, &currency);
    features::set_age(&mut new_facts, 0.0);
    let (mut x, mut from) = (vec![0.0; coding.width()], vec![0.0; coding.width()]);
    coding.row(&here, as_of, None, &mut x);
    coding.row(&new_facts, as_of, None, &mut from);
    // Tier, size and style are in the new price already.
    let beliefs = priors.beliefs();
    let mut b = vec![0.0; coding.width()];
    let used = || features::AGE.chain(features::CONDITION);
    used().for_each(|j| b[j] = beliefs[j].mean);
    let block =
        |range: std::ops::Range<usize>| -> f64 { range.map(|j| b[j] * (x[j] - from[j])).sum() };
    let anchor = priors.new_price.anchor;
    let steps = vec![
        ("used, as new".to_string(), anchor.mean),
        ("age".to_string(), block(features::AGE)),
        ("condition".to_string(), block(features::CONDITION)),
    ];
    let ln_value = ln_new + steps.iter().map(|s| s.1).sum::<f64>();
    let slopes: f64 = used()
        .map(|j| (beliefs[j].sd * (x[j] - from[j])).powi(2))
        .sum();
    let unknown = coding.unknown_variance(
        &Facts {
            known: here.known | TIER_KNOWN | SIZE_KNOWN | NEW_KNOWN,
            ..here
        },
        &b,
    );
    let scale = (priors.noise.powi(2) + anchor.sd.powi(2) + slopes + unknown).sqrt();
    let sale = Predictive {
        freedom: priors.noise_sales,
        location: ln_value,
        scale,
    };
    Some(Built {
        currency,
        sale: vec![(1.0, sale)],
        ln_value,
        base_words: "the same bike new, today".to_string(),
        ln_base: ln_new,
        steps,
    })
}

fn fill(answer: &mut Quote, built: &Built) {
    let currency = built.currency;
    let money = |ln: f64| currency.round(ln.exp());
    let level = answer.question.level;
    let end = |p: f64| money(interval::quantile(&built.sale, p));
    let (Some(median), Some(low), Some(high), Some(base)) = (
        money(built.ln_value),
        end((1.0 - level) / 2.0),
        end((1.0 + level) / 2.0),
        money(built.ln_base),
    ) else {
        answer.cautions.push(Caution::NothingToGoOn);
        return;
    };
    let mean: f64 = built
        .sale
        .iter()
        .map(|(share, t)| share * (t.location + t.scale.powi(2).min(LARGEST_VARIANCE) / 2.0).exp())
        .sum();
    let Some(expected) = currency.round(mean) else {
        answer.cautions.push(Caution::NothingToGoOn);
        return;
    };
    answer.value = Some(ValueRange {
        median,
        expected,
        low,
        high,
        level,
    });
    answer.base = Some((built.base_words.clone(), base));
    let logs: Vec<f64> = built.steps.iter().map(|s| s.1).collect();
    let amounts = logarithmic_mean_split(built.ln_base, &logs, currency.scale() as f64);
    let amounts = round_to_sum(&amounts, median.minor() - base.minor());
    answer.contributions = built
        .steps
        .iter()
        .zip(amounts)
        .map(|((feature, log), amount)| Contribution {
            feature: feature.clone(),
            factor: log.exp(),
            amount: Money::from_minor(amount),
        })
        .collect();
    if let Some(cost) = answer.question.cost {
        let less = |m: Money| Money::from_minor(m.minor().saturating_sub(cost.minor()));
        let chance_of_loss = if cost.minor() > 0 {
            interval::mixture_cdf(&built.sale, currency.units(cost).ln())
        } else {
            0.0
        };
        let hours = answer.question.hours.filter(|h| *h > 0);
        let per_hour = hours.map(|h| currency.units(less(expected)) / (h as f64 / 100.0));
        answer.margin = Some(Margin {
            cost,
            expected: less(expected),
            low: less(low),
            high: less(high),
            chance_of_loss,
            per_hour,
        });
    }
    if let Some(new_price) = answer.question.bike.new_price
        && median.minor() as f64 > NEAR_NEW * new_price.minor() as f64
        && new_price.minor() > 0
    {
        answer.cautions.push(Caution::NearNew {
            value: median,
            new_price,
        });
    }
}

/// Splits `exp(base + sum logs) - exp(base)` among the logs, in units times
/// `scale`: `D_j = L(P1, P0) c_j` with the logarithmic mean
/// `L = (P1 - P0) / ln(P1 / P0)`, `L = P` where the two are equal (Ang 2004,
/// Energy Policy 32, from memory). Exact and free of order.
pub fn logarithmic_mean_split(base: f64, logs: &[f64], scale: f64) -> Vec<f64> {
    let total: f64 = logs.iter().sum();
    let start = base.exp() * scale;
    let mean = if total.abs() < 1e-12 {
        start
    } else {
        start * total.exp_m1() / total
    };
    logs.iter().map(|c| mean * c).collect()
}
