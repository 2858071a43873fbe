//! What the records hold, and what of them carries nothing.

use crate::trade::{Bike, Condition, Day, Money, SizeClass, Style, Tier};

/// Nonsense rows named, at most; all are counted.
const NAMED: usize = 50;

/// Comps older than this (days) no longer show today's market (judgement).
pub const OLD_COMPS: i64 = 120;

/// A record that carries nothing, and why.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct LeftOut {
    /// Its id (with its source).
    pub name: String,
    /// Its price over what the model expects of it; `None` where it has no date or price.
    pub ratio: Option<f64>,
}

/// What the records hold.
#[derive(Clone, Debug, Default, serde::Serialize, serde::Deserialize)]
pub struct Gathered {
    /// Own sales used.
    pub sales: usize,
    /// Comps used.
    pub comps: usize,
    /// Records that carry nothing.
    pub left_out: usize,
    /// The first of them by name.
    pub left_out_named: Vec<LeftOut>,
    /// Day of the newest comp.
    pub newest_comp: Option<Day>,
    /// Youngest and oldest age seen, years.
    pub ages: Option<(f64, f64)>,
    /// Lowest and highest new price seen.
    pub new_prices: Option<(Money, Money)>,
    /// How many of each style, condition, tier and size were seen.
    pub styles: [usize; Style::ALL.len()],
    /// By condition.
    pub conditions: [usize; Condition::ALL.len()],
    /// By tier.
    pub tiers: [usize; Tier::ALL.len()],
    /// By size class.
    pub sizes: [usize; SizeClass::ALL.len()],
    /// ln of the most that a buyer paid, by style.
    pub most_paid: [Option<f64>; Style::ALL.len()],
}

impl Gathered {
    pub(in crate::pricing) fn see(&mut self, bike: &Bike, day: Day) {
        self.styles[bike.style.index()] += 1;
        if let Some(age) = bike.age(day) {
            let (low, high) = self.ages.unwrap_or((age, age));
            self.ages = Some((low.min(age), high.max(age)));
        }
        if let Some(price) = bike.new_price {
            let (low, high) = self.new_prices.unwrap_or((price, price));
            self.new_prices = Some((low.min(price), high.max(price)));
        }
        if let Some(condition) = bike.condition {
            self.conditions[condition.index()] += 1;
        }
        if let Some(tier) = bike.tier {
            self.tiers[tier.index()] += 1;
        }
        if let Some(size) = bike.size() {
            self.sizes[SizeClass::index(size)] += 1;
        }
    }

    /// Whether no record tells of prices.
    pub fn is_empty(&self) -> bool {
        self.sales + self.comps == 0
    }

    /// A price that a buyer paid.
    pub(in crate::pricing) fn paid(&mut self, style: Style, ln_price: f64) {
        let most = &mut self.most_paid[style.index()];
        *most = Some(most.map_or(ln_price, |most| most.max(ln_price)));
    }

    pub(in crate::pricing) fn leave_out(&mut self, name: String, ratio: Option<f64>) {
        self.left_out += 1;
        if self.left_out_named.len() < NAMED {
            self.left_out_named.push(LeftOut { name, ratio });
        }
    }
}

/// Records that carry nothing, met in any order: how many, and the first names.
#[derive(Default)]
pub(in crate::pricing) struct FirstOfMany {
    count: usize,
    /// With their keys; the first [`NAMED`] of all, and as many more at most.
    named: Vec<(i64, String)>,
}

impl FirstOfMany {
    pub(in crate::pricing) fn push(&mut self, key: i64, name: impl FnOnce() -> String) {
        self.count += 1;
        self.named.push((key, name()));
        if self.named.len() >= 2 * NAMED {
            self.named.sort_unstable();
            self.named.truncate(NAMED);
        }
    }

    /// Leaves them out, by their keys.
    pub(in crate::pricing) fn tell(mut self, gathered: &mut Gathered) {
        self.named.sort_unstable();
        gathered.left_out += self.count;
        let room = NAMED.saturating_sub(gathered.left_out_named.len());
        let names = self.named.into_iter().take(room).map(|named| named.1);
        let left_out = names.map(|name| LeftOut { name, ratio: None });
        gathered.left_out_named.extend(left_out);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// However the records come, the first by their keys are named and all counted.
    #[test]
    fn the_first_of_many_are_named_in_their_order() {
        let orders: [Vec<i64>; 3] = [
            (0..333).collect(),
            (0..333).rev().collect(),
            (0..333).map(|n| n * 100 % 333).collect(),
        ];
        for keys in orders {
            let mut gathered = Gathered::default();
            gathered.leave_out("a sale".into(), None);
            let mut many = FirstOfMany::default();
            keys.iter()
                .for_each(|key| many.push(*key, || key.to_string()));
            many.tell(&mut gathered);
            assert_eq!(gathered.left_out, 334);
            let names = gathered.left_out_named.iter().map(|one| one.name.clone());
            let first = (0..NAMED as i64 - 1).map(|key| key.to_string());
            let expected: Vec<String> = std::iter::once("a sale".into()).chain(first).collect();
            assert_eq!(names.collect::<Vec<_>>(), expected);
        }
    }
}
