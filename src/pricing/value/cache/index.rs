//! An index of the comps: sixteen bytes each, by which the few that may be like a bike are found among a
//! million; only those are then read and compared in full.
//!
//! A record: row (4 bytes), day of the price (4, days since 2000), style, condition,
//! tier and size class (2), number of the model year (2; 0 unknown), new price (4;
//! minor units, 0 unknown), all little-endian.

use crate::pricing::design::fact::{
    self, AGE_KNOWN, CONDITION_KNOWN, NEW_PRICE_KNOWN, SIZE_KNOWN, TIER_KNOWN,
};
use crate::pricing::design::features::{
    Facts, NEW_PRICE, column, facts, on_the_age_curve, set_size,
};
use crate::pricing::records::nearest::{A_YEAR, OTHER_STYLE, UNKNOWN};
use crate::trade::calendar::{DAYS_PER_YEAR, days_between};
use crate::trade::{Bike, Condition, Currency, Day, Money, SizeClass, Style, Tier};
use std::collections::HashMap;

/// First and last model year.
pub type Years = (i16, i16);

/// Bytes of a record.
const RECORD: usize = 16;

/// Records in a part.
const PART: usize = 4096;

/// Day 0 of the records.
const EPOCH: Day = Day::constant(2000, 1, 1);

/// How far rounding may move a distance: far more than it does.
const ROUNDING: f64 = 1e-9;

/// Collects the records of the index.
#[derive(Default)]
pub struct CompIndex {
    numbers: HashMap<Years, u16>,
    years: Vec<Years>,
    records: Vec<u8>,
    /// Whether some comp had a number that a record has no room for.
    overflowed: bool,
}

impl CompIndex {
    /// Adds a comp that stands in `row` and whose price is of `day`.
    pub fn push(&mut self, row: i64, bike: &Bike, day: Day) {
        let Some(record) = self.record(row, bike, day) else {
            self.overflowed = true;
            return;
        };
        self.records.extend_from_slice(&record);
    }

    fn record(&mut self, row: i64, bike: &Bike, day: Day) -> Option<[u8; RECORD]> {
        let row = u32::try_from(row).ok()?;
        let day = i32::try_from(days_between(EPOCH, day)).ok()?;
        let made = match bike.made.map(|made| (made.first(), made.last())) {
            None => 0,
            Some(years) => {
                if let Some(number) = self.numbers.get(&years) {
                    *number
                } else {
                    self.years.push(years);
                    let number = u16::try_from(self.years.len()).ok()?;
                    self.numbers.insert(years, number);
                    number
                }
            }
        };
        let new_price = bike.new_price.map_or(0, Money::minor).max(0);
        let new_price = u32::try_from(new_price).ok()?;
        let mut record = [0; RECORD];
        record[0..4].copy_from_slice(&row.to_le_bytes());
        record[4..8].copy_from_slice(&day.to_le_bytes());
        record[8..10].copy_from_slice(&class(bike).to_le_bytes());
        record[10..12].copy_from_slice(&made.to_le_bytes());
        record[12..16].copy_from_slice(&new_price.to_le_bytes());
        Some(record)
    }

    /// Model years by number, from 1 on.
    pub fn years(&self) -> &[Years] {
        &self.years
    }

    /// The records in parts; `None` when some comp has no record.
    pub fn parts(&self) -> Option<impl Iterator<Item = &[u8]>> {
        (!self.overflowed).then(|| self.records.chunks(PART * RECORD))
    }
}

/// Conditions and tiers, 0 being unknown.
const CONDITIONS: usize = Condition::ALL.len() + 1;
const TIERS: usize = Tier::ALL.len() + 1;

/// Size classes, 0 being unknown, or none where the style has none.
const SIZES: usize = SizeClass::ALL.len() + 1;

/// Classes of a style: condition, tier and size class.
const CLASSES: usize = CONDITIONS * TIERS * SIZES;

/// Style, condition, tier and size class as one number.
fn class(bike: &Bike) -> u16 {
    let condition = bike.condition.map_or(0, |c| c.index() + 1);
    let tier = bike.tier.map_or(0, |t| t.index() + 1);
    let size = bike.size().map_or(0, |s| s.index() + 1);
    (((bike.style.index() * CONDITIONS + condition) * TIERS + tier) * SIZES + size) as u16
}

/// Looks for the comps like one bike.
pub struct Search<'a> {
    target: Facts,
    as_of: i64,
    b: &'a [f64],
    /// By style and class: the part of the squared distance that they decide.
    classes: Vec<f64>,
    /// By number of the model years: 1 July of each of them.
    years: Vec<Vec<i64>>,
    /// The bike's place on the curve of ages.
    age: f64,
    /// ln of a minor unit.
    ln_minor: f64,
}

impl<'a> Search<'a> {
    /// For a bike, by the coefficients `b` and the years that the records name.
    pub fn new(
        bike: &Bike,
        as_of: Day,
        currency: &Currency,
        b: &'a [f64],
        years: &[Years],
    ) -> Self {
        let target = facts(bike, as_of, currency);
        let age = fact::AGE.map(|i| b[column(i)] * target.values[i]).sum();
        let midsummer =
            |year: i16| Day::new(year, 7, 1).map_or(i64::MAX, |d| days_between(EPOCH, d));
        let years = years
            .iter()
            .map(|(first, last)| (*first..=*last).map(midsummer).collect())
            .collect();
        let mut search = Self {
            target,
            as_of: days_between(EPOCH, as_of),
            b,
            classes: Vec::new(),
            years,
            age,
            ln_minor: -(currency.scale() as f64).ln(),
        };
        let numbers = 0..Style::ALL.len() * CLASSES;
        search.classes = numbers.map(|n| search.of_class(n, currency)).collect();
        search
    }

    fn of_class(&self, number: usize, currency: &Currency) -> f64 {
        let (size, rest) = (number % SIZES, number / SIZES);
        let (tier, rest) = (rest % TIERS, rest / TIERS);
        let (condition, style) = (rest % CONDITIONS, rest / CONDITIONS);
        let mut bike = Bike::of(Style::ALL[style]);
        bike.condition = Condition::from_grade(condition as u8);
        bike.tier = Tier::from_grade(tier as u8);
        let mut other = facts(&bike, EPOCH, currency);
        if let Some(size) = size.checked_sub(1) {
            set_size(&mut other, SizeClass::ALL[size]);
        }
        let groups = [
            (CONDITION_KNOWN, fact::CONDITION),
            (TIER_KNOWN, fact::TIER),
            (SIZE_KNOWN, fact::SIZE),
        ];
        let mut square: f64 = groups
            .into_iter()
            .map(|(bit, range)| self.between(bit, &other, || self.effect(range, &other)))
            .sum();
        if self.target.values[fact::STYLE] != other.values[fact::STYLE] {
            square += self.effect(fact::STYLE, &other).powi(2) + OTHER_STYLE * OTHER_STYLE;
        }
        square
    }

    fn effect(&self, range: std::ops::Range<usize>, other: &Facts) -> f64 {
        range
            .map(|i| self.b[column(i)] * (self.target.values[i] - other.values[i]))
            .sum()
    }

    fn between(&self, bit: u32, other: &Facts, effect: impl FnOnce() -> f64) -> f64 {
        match (self.target.knows(bit), other.knows(bit)) {
            (true, true) => effect().powi(2),
            (false, false) => 0.0,
            _ => UNKNOWN * UNKNOWN,
        }
    }

    /// Shows `candidate` the row of every record that may be nearer than `reach`
    /// (which may shrink meanwhile, and is infinite while too few are found), in
    /// order. `None` when the bytes are no records, or `candidate` said so.
    pub fn through(
        &self,
        part: &[u8],
        reach: &mut f64,
        mut candidate: impl FnMut(i64, &mut f64) -> Option<()>,
    ) -> Option<()> {
        let (records, rest) = part.as_chunks::<RECORD>();
        if !rest.is_empty() {
            return None;
        }
        for record in records {
            let square = self.square(record)?;
            let limit = *reach + ROUNDING * (1.0 + *reach);
            if square <= limit * limit {
                let [a, b, c, d, ..] = *record;
                candidate(i64::from(u32::from_le_bytes([a, b, c, d])), reach)?;
            }
        }
        Some(())
    }

    /// Shows `take` the row of every record of the bike's style. `None` as above.
    pub fn of_style(&self, part: &[u8], mut take: impl FnMut(i64) -> Option<()>) -> Option<()> {
        let style = self.target.style().index();
        let (records, _) = part.as_chunks::<RECORD>();
        for record in records {
            let [a, b, c, d, _, _, _, _, l0, l1, ..] = *record;
            if usize::from(u16::from_le_bytes([l0, l1])) / CLASSES == style {
                take(i64::from(u32::from_le_bytes([a, b, c, d])))?;
            }
        }
        Some(())
    }

    /// Squared distance of a record.
    fn square(&self, record: &[u8; RECORD]) -> Option<f64> {
        let [_, _, _, _, d0, d1, d2, d3, l0, l1, m0, m1, p0, p1, p2, p3] = *record;
        let day = i64::from(i32::from_le_bytes([d0, d1, d2, d3]));
        let mut square = *self
            .classes
            .get(usize::from(u16::from_le_bytes([l0, l1])))?;
        let made = u16::from_le_bytes([m0, m1]);
        square += match (made, self.target.knows(AGE_KNOWN)) {
            (0, false) => 0.0,
            (0, true) | (_, false) => UNKNOWN * UNKNOWN,
            (number, true) => {
                let midsummers = self.years.get(usize::from(number) - 1)?;
                let age = |midsummer: &i64| (day - midsummer).max(0) as f64 / DAYS_PER_YEAR;
                let places = midsummers.iter().map(|m| on_the_age_curve(age(m), self.b));
                let place = places.sum::<f64>() / midsummers.len() as f64;
                (self.age - place).powi(2)
            }
        };
        let new_price = u32::from_le_bytes([p0, p1, p2, p3]);
        square += match (new_price, self.target.knows(NEW_PRICE_KNOWN)) {
            (0, false) => 0.0,
            (0, true) | (_, false) => UNKNOWN * UNKNOWN,
            (price, true) => {
                let ln = f64::from(price).ln() + self.ln_minor;
                (self.b[NEW_PRICE] * (self.target.values[fact::NEW_PRICE] - ln)).powi(2)
            }
        };
        Some(square + (A_YEAR * (self.as_of - day) as f64 / DAYS_PER_YEAR).powi(2))
    }
}
