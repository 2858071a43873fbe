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

/// Sales that the levels as they are asked are worth.
const AS_ASKED_IS_WORTH: f64 = 20.0;
/// No range is wider than this level's.
const WIDEST: f64 = 0.9999;

/// Levels of the narrowest central ranges that hold each own sale left out, ascending.
#[derive(Clone, Debug, Default)]
pub struct Levels {
    held: Vec<f64>,
}

impl Levels {
    pub(super) fn of(sales: &[OwnSale]) -> Self {
        let used = sales.iter().filter(|sale| sale.weight > 0.0);
        let mut held: Vec<f64> = used
            .map(|sale| (2.0 * sale.left_out.cdf(sale.ln_price) - 1.0).abs())
            .collect();
        held.sort_by(f64::total_cmp);
        Self { held }
    }

    /// The level, 0 to 1, whose ranges hold `asked` of the sales.
    ///
    /// The count of sales held rises in a straight line from the middle of each to the
    /// next.
    pub fn that_holds(&self, asked: f64) -> f64 {
        let sales = self.held.len() as f64;
        let goal = asked * (sales + AS_ASKED_IS_WORTH);
        let middles = self.held.iter().zip(0..);
        let points = middles.map(|(level, before)| (*level, f64::from(before) + 0.5));
        let mut last = (0.0, 0.0);
        for (level, count) in points.chain([(1.0, sales)]) {
            let here = (level, count + AS_ASKED_IS_WORTH * level);
            if here.1 >= goal {
                let part = (goal - last.1) / (here.1 - last.1).max(f64::MIN_POSITIVE);
                let found = last.0 + part * (here.0 - last.0);
                return found.min(WIDEST.max(asked));
            }
            last = here;
        }
        asked
    }
}

#[cfg(test)]
mod tests {
    use super::Levels;

    fn of(held: &[f64]) -> Levels {
        Levels {
            held: held.to_vec(),
        }
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
