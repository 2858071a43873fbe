//! From a bike to a row of the design. One coding serves fit and prediction.
//!
//! Every column is 0 for the base bike (8 years, condition 3, tier 2, size M,
//! new price as its features suggest) on the day of the answer, so that the
//! intercept is ln of its value. Columns, in order: intercept; age as five
//! lengths between knots; condition and tier as cumulative steps; size as two
//! distances from M; new price as what the other features leave of it; styles;
//! season; groups of comps; what the market does a year; its steps back in time.

use super::fact::{
    self, AGE_KNOWN, ALL_KNOWN, CONDITION_KNOWN, FACTS, NEW_PRICE_KNOWN, SIZE_KNOWN, TIER_KNOWN,
};
use crate::statistics::linear::missing::Moments;
use crate::trade::calendar::age_in_years;
use crate::trade::{Bike, Currency, Day, SizeClass, Style, Years};
use std::ops::Range;

/// The column of a fact: the facts follow the level.
pub const fn column(fact: usize) -> usize {
    FIRST_FACT + fact
}

const fn columns(facts: &Range<usize>) -> Range<usize> {
    column(facts.start)..column(facts.end)
}

/// Columns before the market's steps.
pub const COLUMNS: usize = TREND + 1;

/// Intercept: ln of the base bike's value.
pub const LEVEL: usize = 0;

const FIRST_FACT: usize = LEVEL + 1;

/// All facts.
pub const FACTS_OF_BIKE: Range<usize> = columns(&(0..FACTS));

/// Lengths of age between the knots.
pub const AGE: Range<usize> = columns(&fact::AGE);

/// Cumulative steps of condition, 1 to 2 first.
pub const CONDITION: Range<usize> = columns(&fact::CONDITION);

/// Cumulative steps of tier, 1 to 2 first.
pub const TIER: Range<usize> = columns(&fact::TIER);

/// S or L; XS or XL.
pub const SIZE: Range<usize> = columns(&fact::SIZE);

/// What the other features leave of ln new price.
pub const NEW_PRICE: usize = column(fact::NEW_PRICE);

/// One column a style.
pub const STYLE: Range<usize> = columns(&fact::STYLE);

/// Sine and cosine of the year.
pub const SEASON: Range<usize> = STYLE.end..STYLE.end + 2;

/// Groups of comps; own sales have none.
pub const SOURCE: Range<usize> = SEASON.end..SEASON.end + 5;

/// Years of age up to 15 beyond the base's, one column a style: how much faster
/// or slower than others a style loses value.
pub const STYLE_AGE: Range<usize> = SOURCE.end..SOURCE.end + Style::ALL.len();

/// Tiers above the base's, one column a style.
pub const STYLE_TIER: Range<usize> = STYLE_AGE.end..STYLE_AGE.end + Style::ALL.len();

/// The way from 15 to 35 years, 0 to 1, for the [`COLLECTED`] styles.
pub const VINTAGE: usize = STYLE_TIER.end;

/// Sine and cosine of half the year.
pub const HALF_YEAR: Range<usize> = VINTAGE + 1..VINTAGE + 3;

/// How long an ask stood: `ln((1 + days) / 22)`.
pub const STOOD: usize = HALF_YEAR.end;

/// By how much the believed steps of condition are larger: for young bikes, for old ones.
pub const CONDITION_BY_AGE: Range<usize> = STOOD + 1..STOOD + 3;

/// Years from the price's day to the day of the answer, at most [`TREND_YEARS`], as a
/// negative number: what falls or rises all the time.
pub const TREND: usize = CONDITION_BY_AGE.end;

/// How many years back a market that falls or rises all the time has done so (judgement: as
/// far back as its steps are quarters).
pub const TREND_YEARS: f64 = 3.0;

/// An ask as a row has it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// Its group's place among the [`SOURCE`] columns.
    pub source: usize,
    /// What the column [`STOOD`] has.
    pub stood: f64,
}

/// Styles of which old ones are sought for themselves (common practice, no source).
pub const COLLECTED: [Style; 3] = [Style::Road, Style::Touring, Style::Cruiser];

/// Knots of the age curve in years; the last stands for vintage.
pub const KNOTS: [f64; 4] = [3.0, 8.0, 15.0, 35.0];

/// The base bike's age in years, condition and tier.
pub const BASE_AGE: f64 = 8.0;

/// Its condition.
pub const BASE_CONDITION: u8 = 3;

/// Its tier.
pub const BASE_TIER: u8 = 2;

/// Its style.
pub const BASE_STYLE: Style = Style::Hybrid;

/// A bike as numbers, unknown ones 0 until they are completed.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Facts {
    /// The numbers, each in its place of [`fact`].
    pub values: [f64; FACTS],
    /// Missingness mask: which of [`fact::GROUPS`] are known.
    pub known: u32,
    /// Where the model year is known as a range: the years, and the day for which
    /// the age counts. The columns of age are then the mean over the years.
    #[serde(with = "kept_years")]
    pub years: Option<(Years, Day)>,
}

/// A range of years as it is kept: first, last and the day.
mod kept_years {
    use crate::trade::{Day, Years};
    use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error};

    #[allow(clippy::ref_option)] // what serde calls hands the field over so
    pub(super) fn serialize<S: Serializer>(
        years: &Option<(Years, Day)>,
        serializer: S,
    ) -> Result<S::Ok, S::Error> {
        let plain = years.map(|(years, day)| (years.first(), years.last(), day));
        plain.serialize(serializer)
    }

    pub(super) fn deserialize<'de, D: Deserializer<'de>>(
        deserializer: D,
    ) -> Result<Option<(Years, Day)>, D::Error> {
        let Some((first, last, day)) = Option::<(i16, i16, Day)>::deserialize(deserializer)? else {
            return Ok(None);
        };
        let years = Years::range(first, last).ok_or_else(|| D::Error::custom("no range"))?;
        Ok(Some((years, day)))
    }
}

impl Facts {
    /// The style, which is always known.
    pub fn style(&self) -> Style {
        let place = self.values[fact::STYLE]
            .iter()
            .position(|v| *v > 0.5)
            .unwrap_or(0);
        Style::ALL.get(place).copied().unwrap_or(Style::Other)
    }

    /// Whether the group of facts with this bit of the mask is known.
    pub fn knows(&self, bit: u32) -> bool {
        self.known & bit != 0
    }

    /// The base bike, with the new price that its features suggest.
    pub(in crate::pricing) fn of_base() -> Self {
        let mut values = [0.0; FACTS];
        values[fact::STYLE.start + BASE_STYLE.index()] = 1.0;
        Self {
            values,
            known: ALL_KNOWN & !NEW_PRICE_KNOWN,
            years: None,
        }
    }

    /// The same bike in each year of a range, oldest first; nothing when its year
    /// is exact or unknown.
    pub fn of_each_year(self) -> impl Iterator<Item = Facts> {
        let range = self.years.into_iter();
        range.flat_map(move |(years, day)| {
            years.each().map(move |year| {
                let mut one = self;
                set_age(&mut one, age_in_years(year, day));
                one
            })
        })
    }
}

/// Years from the third knot to the last.
pub(in crate::pricing) const VINTAGE_YEARS: f64 = KNOTS[3] - KNOTS[2];

const LENGTHS: usize = fact::AGE.end;

/// Years of age within each stretch between the knots.
fn age_lengths(age: f64) -> [f64; LENGTHS] {
    let mut lengths = [0.0; LENGTHS];
    let mut from = 0.0;
    for (length, to) in lengths
        .iter_mut()
        .zip(KNOTS.into_iter().chain([f64::INFINITY]))
    {
        *length = (age.min(to) - from).max(0.0);
        from = to;
    }
    lengths
}

/// The base bike's years of age within each stretch.
pub(in crate::pricing) fn base_lengths() -> [f64; LENGTHS] {
    age_lengths(BASE_AGE)
}

/// What an age does to ln of a value beside the base's, by the coefficients `b` of the
/// design's columns.
pub(in crate::pricing) fn on_the_age_curve(age: f64, b: &[f64]) -> f64 {
    let (here, base) = (age_lengths(age), age_lengths(BASE_AGE));
    let lengths = here.iter().zip(base).zip(&b[AGE]);
    lengths.map(|((here, base), b)| b * (here - base)).sum()
}

/// The facts of `bike` on `day`; its new price in units of `currency`.
pub fn facts(bike: &Bike, day: Day, currency: &Currency) -> Facts {
    let mut values = [0.0; FACTS];
    let mut known = 0;
    let steps = |grade: u8, base: u8, out: &mut [f64]| {
        for (value, level) in out.iter_mut().zip(2_u8..) {
            *value = f64::from(u8::from(grade >= level)) - f64::from(u8::from(base >= level));
        }
    };
    if let Some(condition) = bike.condition {
        known |= CONDITION_KNOWN;
        steps(
            condition.grade(),
            BASE_CONDITION,
            &mut values[fact::CONDITION],
        );
    }
    if let Some(tier) = bike.tier {
        known |= TIER_KNOWN;
        steps(tier.grade(), BASE_TIER, &mut values[fact::TIER]);
    }
    if bike.style == Style::Kids {
        known |= SIZE_KNOWN; // it has no size class
    }
    if let Some(new_price) = bike.new_price.filter(|p| p.minor() > 0) {
        known |= NEW_PRICE_KNOWN;
        values[fact::NEW_PRICE] = currency.units(new_price).ln();
    }
    values[fact::STYLE.start + bike.style.index()] = 1.0;
    let mut facts = Facts {
        values,
        known,
        years: None,
    };
    if let Some(size) = bike.size() {
        set_size(&mut facts, size);
    }
    match bike.made.map(|made| (made, made.exact())) {
        Some((_, Some(year))) => set_age(&mut facts, age_in_years(year, day)),
        Some((range, None)) => set_years(&mut facts, range, day),
        None => {}
    }
    facts
}

/// Sets the size class.
pub(in crate::pricing) fn set_size(facts: &mut Facts, size: SizeClass) {
    let flag = |yes: bool| f64::from(u8::from(yes));
    facts.values[fact::S_OR_L] = flag(matches!(size, SizeClass::S | SizeClass::L));
    facts.values[fact::XS_OR_XL] = flag(matches!(size, SizeClass::XS | SizeClass::XL));
    facts.known |= SIZE_KNOWN;
}

/// Sets the age in years, also one that no model year gives exactly.
pub fn set_age(facts: &mut Facts, age: f64) {
    let lengths = age_lengths(age).into_iter().zip(age_lengths(BASE_AGE));
    for (value, (here, base)) in facts.values[fact::AGE].iter_mut().zip(lengths) {
        *value = here - base;
    }
    facts.known |= AGE_KNOWN;
    facts.years = None;
}

/// Sets the columns of age to their mean over a range of years.
fn set_years(facts: &mut Facts, range: Years, day: Day) {
    facts.years = Some((range, day));
    facts.known |= AGE_KNOWN;
    let (mut sum, mut count) = ([0.0; LENGTHS], 0.0);
    for year in facts.of_each_year() {
        for (sum, value) in sum.iter_mut().zip(&year.values[fact::AGE]) {
            *sum += value;
        }
        count += 1.0;
    }
    let mean = sum.map(|sum: f64| sum / count);
    facts.values[fact::AGE].copy_from_slice(&mean);
}

/// Keeps the expected values of unknown groups within what a bike can have, from
/// donor to mint and from basic to pro: a straight line through the known facts
/// would go on beyond.
pub(in crate::pricing) fn keep_possible(values: &mut [f64; FACTS], known: u32) {
    let unknown = |bit: u32| known & bit == 0;
    if unknown(AGE_KNOWN) {
        let (base, longest) = (age_lengths(BASE_AGE), age_lengths(60.0));
        for (value, (base, longest)) in values[fact::AGE].iter_mut().zip(base.iter().zip(longest)) {
            *value = value.clamp(-base, longest - base);
        }
    }
    let steps = |values: &mut [f64], base: u8| {
        for (value, level) in values.iter_mut().zip(2_u8..) {
            let (low, high) = if level <= base {
                (-1.0, 0.0)
            } else {
                (0.0, 1.0)
            };
            *value = value.clamp(low, high);
        }
    };
    if unknown(CONDITION_KNOWN) {
        steps(&mut values[fact::CONDITION], BASE_CONDITION);
    }
    if unknown(TIER_KNOWN) {
        steps(&mut values[fact::TIER], BASE_TIER);
    }
    if unknown(SIZE_KNOWN) {
        for value in &mut values[fact::SIZE] {
            *value = value.clamp(0.0, 1.0);
        }
    }
}

/// Moments of the facts before any was seen, worth eight bikes: a spread of
/// ages, grades and sizes as in any shed (common practice, no source), and
/// a new price around `ln_new`.
pub fn prior_moments(ln_new: f64) -> Moments {
    /// Rows without any connection between features, so that a few dozen bikes
    /// do not suggest one by chance. 8, 20 and 60 priced alike in 60 simulated
    /// markets (1.26, 1.25, 1.24 times the oracle's median error); letting every
    /// entry predict by itself was worse (1.29).
    const ACROSS: f64 = 20.0;
    /// ln new price of used bikes spreads by about a factor of 1.8 either way.
    const SPREAD_OF_NEW_PRICE: f64 = 0.6;
    let day = Day::constant(2000, 7, 1);
    let currency = Currency::from_code("EUR");
    let examples: Vec<[f64; FACTS]> = [
        (2, 3, 1, 5100),
        (4, 4, 2, 5200),
        (6, 3, 3, 4600),
        (8, 4, 2, 5600),
        (11, 3, 1, 5100),
        (15, 3, 2, 4200),
        (20, 2, 3, 5500),
        (30, 4, 2, 5900),
    ]
    .into_iter()
    .filter_map(|(age, condition, tier, tube)| {
        let mut bike = Bike::of(Style::Hybrid);
        bike.made = Some(Years::from(2000 - age));
        bike.condition = crate::trade::Condition::from_grade(condition);
        bike.tier = crate::trade::Tier::from_grade(tier);
        bike.seat_tube = crate::trade::SeatTube::from_tenths(tube);
        currency.map(|c| facts(&bike, day, &c).values)
    })
    .collect();
    let n = examples.len() as f64;
    let mut mean: Vec<f64> = (0..FACTS)
        .map(|i| examples.iter().map(|e| e[i]).sum::<f64>() / n)
        .collect();
    let mut covariance = vec![0.0; FACTS * FACTS];
    for group in fact::GROUPS {
        for i in group.clone() {
            for j in group.clone() {
                let sum: f64 = examples
                    .iter()
                    .map(|e| (e[i] - mean[i]) * (e[j] - mean[j]))
                    .sum();
                covariance[i * FACTS + j] = sum / n;
            }
        }
    }
    for style in fact::STYLE {
        mean[style] = 1.0 / fact::STYLE.len() as f64;
        covariance[style * FACTS + style] = mean[style] * (1.0 - mean[style]);
    }
    mean[fact::NEW_PRICE] = ln_new;
    covariance[fact::NEW_PRICE * FACTS + fact::NEW_PRICE] = SPREAD_OF_NEW_PRICE.powi(2);
    // Years up to 15, grades as numbers and ln new price tell of the rest.
    let mut weights = vec![0.0; FACTS];
    for telling in [fact::AGE_TO_15, fact::CONDITION, fact::TIER] {
        weights[telling].fill(1.0);
    }
    weights[fact::NEW_PRICE] = 1.0;
    Moments::new(fact::GROUPS.to_vec(), mean, covariance, n).summarised(weights, ACROSS)
}
