//! Which level of the model's ranges holds what is asked, by how the own sales fell that
//! were each left out.
//!
//! One factor corrects all widths alike (`own_sales`); prices of another kind than the
//! model's have other tails, too, and then 80 % ranges may hold what they say and 90 %
//! ranges may not. So the level itself is corrected: of each sale that was left out the
//! narrowest central range that holds it is known, and the level `l` is sought with
//!
//! ```text
//! (sales held at l) + 20 l = (sales + 20) asked
//! ```
//!
//! as if 20 more sales had fallen just as the ranges say (judgement). Recalibration of a
//! forecast by its own past, as Kuleshov, Fenner & Ermon (2018, *Accurate Uncertainties for
//! Deep Learning Using Calibrated Regression*, from memory) do it, shrunk.

use super::own_sales::OwnSale;
use std::sync::Arc;

/// Sales that the levels as they are asked are worth.
const AS_ASKED_IS_WORTH: f64 = 20.0;
/// No range is wider than this level's.
const WIDEST: f64 = 0.9999;

/// Levels of the narrowest central ranges that hold each own sale left out, ascending.
#[derive(Clone, Debug, Default)]
pub struct Levels {
    held: Arc<[f64]>,
}

impl Levels {
    pub(super) fn of(sales: &[OwnSale]) -> Self {
        let used = sales.iter().filter(|sale| sale.weight > 0.0);
        let mut held: Vec<f64> = used
            .map(|sale| (2.0 * sale.left_out.cdf(sale.ln_price) - 1.0).abs())
            .collect();
        held.sort_by(f64::total_cmp);
        Self { held: held.into() }
    }

    /// Levels of the narrowest ranges that hold each sale left out, ascending.
    pub fn held(&self) -> &[f64] {
        &self.held
    }

    /// The level, 0 to 1, whose ranges hold `asked` of the sales.
    pub fn that_holds(&self, asked: f64) -> f64 {
        let found = between(self.corners(), asked * self.worth(), |corner| corner);
        found.map_or(asked, |level| level.min(WIDEST.max(asked)))
    }

    /// The model's quantile below which a part `asked` of the sales fell.
    pub fn quantile(&self, asked: f64) -> f64 {
        let held = self.that_holds((2.0 * asked - 1.0).abs());
        match asked < 0.5 {
            true => (1.0 - held) / 2.0,
            false => f64::midpoint(1.0, held),
        }
    }

    /// What the ranges of a `level` hold: the way back.
    pub fn held_at(&self, level: f64) -> f64 {
        let found = between(self.corners(), level, |(level, count)| (count, level));
        found.map_or(1.0, |count| count / self.worth())
    }

    /// The chance of a price below one of which the model says `chance`.
    pub fn chance_below(&self, chance: f64) -> f64 {
        let held = self.held_at((2.0 * chance - 1.0).abs());
        match chance < 0.5 {
            true => (1.0 - held) / 2.0,
            false => f64::midpoint(1.0, held),
        }
    }

    fn worth(&self) -> f64 {
        self.held.len() as f64 + AS_ASKED_IS_WORTH
    }

    /// Levels with the sales that they hold, those that stand beside them among them. The
    /// count rises in a straight line from the middle of each sale to the next.
    fn corners(&self) -> impl Iterator<Item = (f64, f64)> {
        let middles = self.held.iter().zip(0..);
        let points = middles.map(|(level, before)| (*level, f64::from(before) + 0.5));
        points
            .chain([(1.0, self.held.len() as f64)])
            .map(|(level, count)| (level, count + AS_ASKED_IS_WORTH * level))
    }
}

/// On the broken line from (0, 0) through the corners, read as `(found, goal)`: where the
/// goal is reached, `None` beyond the last.
fn between(
    corners: impl Iterator<Item = (f64, f64)>,
    goal: f64,
    read: impl Fn((f64, f64)) -> (f64, f64),
) -> Option<f64> {
    let mut last = (0.0, 0.0);
    for here in corners.map(read) {
        if here.1 >= goal {
            let part = (goal - last.1) / (here.1 - last.1).max(f64::MIN_POSITIVE);
            return Some(last.0 + part * (here.0 - last.0));
        }
        last = here;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::Levels;

    fn of(held: &[f64]) -> Levels {
        Levels { held: held.into() }
    }

    #[test]
    fn without_sales_a_level_is_what_is_asked() {
        for asked in [0.1, 0.5, 0.8, 0.9999] {
            assert!((of(&[]).that_holds(asked) - asked).abs() < 1e-12);
        }
    }

    /// Twenty sales that fell as they should leave every level where it is: the k-th is
    /// held from (k + 1/2) / 20 on.
    #[test]
    fn sales_that_fell_as_they_should_change_nothing() {
        let held: Vec<f64> = (0..20).map(|k| (f64::from(k) + 0.5) / 20.0).collect();
        for asked in [0.2, 0.5, 0.8, 0.97] {
            assert!((of(&held).that_holds(asked) - asked).abs() < 1e-12);
        }
    }

    #[test]
    fn a_level_and_what_it_holds_lead_to_each_other() {
        let levels = of(&[0.05, 0.3, 0.31, 0.6, 0.6, 0.93]);
        for asked in [0.05, 0.3, 0.5, 0.8, 0.95] {
            let there = levels.that_holds(asked);
            assert!((levels.held_at(there) - asked).abs() < 1e-9, "{asked}");
        }
        // Of a range of 80 % a tenth lies below.
        let low = (1.0 - levels.that_holds(0.8)) / 2.0;
        assert!((levels.chance_below(low) - 0.1).abs() < 1e-9);
        assert!((levels.chance_below(1.0 - low) - 0.9).abs() < 1e-9);
        assert!((levels.chance_below(0.5) - 0.5).abs() < 1e-9);
        assert!(levels.chance_below(0.0) < 1e-9 && levels.chance_below(1.0) > 1.0 - 1e-9);
    }

    /// Sales that all lie in the middle narrow a range, those that lie far out widen it:
    /// twenty held from 0.5 on are all held at 0.8, where 32 of 40 are asked, so that
    /// 20 + 20 l = 32; twenty held from 0.9 on leave 20 l = 32, which only ends there.
    #[test]
    fn a_level_follows_where_sales_fell() {
        let at = |level: f64| of(&[level; 20]).that_holds(0.8);
        // From (0.5, 19.5 + 10) to (1, 40): 29.5 + 10.5 p = 32.
        assert!(
            (at(0.5) - (0.5 + 0.5 * 2.5 / 10.5)).abs() < 1e-12,
            "{}",
            at(0.5)
        );
        // Within the step at 0.9, whose counts run from 18.5 to 37.5.
        assert!((at(0.9) - 0.9).abs() < 1e-12, "{}", at(0.9));
    }
}
