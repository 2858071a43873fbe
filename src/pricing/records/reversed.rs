//! Grades that seem to run the other way: the user's own sales in which the higher grades
//! bring less. Who grades from 1 (best) to 5 would price every bike upside down.

use crate::statistics::evaluation::ranks::within_groups;
use crate::trade::{Condition, Day, Sale, Style, Tier};

/// Fewest sales that are judged.
const FEWEST: usize = 10;

/// Fewest sales of a style that count: two are in order or not, by chance.
const FEWEST_OF_A_STYLE: usize = 3;

/// Told where chance alone would bring as much in one case in a hundred or less: in
/// simulated books of 10 to 14 sales whose grades say nothing it was 1.1 to 1.6 in a
/// hundred. With `FEWEST` and the style's, a choice without a source.
const CHANCE: f64 = 0.01;

/// A feature of which the higher grades bring less.
#[derive(Clone, Debug, PartialEq)]
pub struct Reversed {
    /// Which.
    pub feature: Graded,
    /// Sales that say so.
    pub sales: usize,
}

/// A feature with grades from 1 to 5.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Graded {
    /// Condition.
    Condition,
    /// Component tier.
    Tier,
}

impl Graded {
    fn of(self, sale: &Sale) -> Option<u8> {
        match self {
            Graded::Condition => sale.bike.condition.map(Condition::grade),
            Graded::Tier => sale.bike.tier.map(Tier::grade),
        }
    }
}

/// The features whose grades fall as the sale prices rise, by rank within each style and
/// with age set apart where it is known of enough bikes. Nothing sold after `as_of` is used.
pub fn reversed(sales: &[Sale], as_of: Day) -> Vec<Reversed> {
    let features = [Graded::Condition, Graded::Tier];
    let found = features.into_iter().filter_map(|feature| {
        let aged = by_style(sales, as_of, feature, true);
        let styles = if counted(&aged) >= FEWEST {
            aged
        } else {
            by_style(sales, as_of, feature, false)
        };
        let sales = counted(&styles);
        let within = within_groups(&styles).filter(|_| sales >= FEWEST)?;
        (within.chance_of_lower() <= CHANCE).then_some(Reversed { feature, sales })
    });
    found.collect()
}

fn counted(styles: &[Vec<[f64; 3]>]) -> usize {
    styles.iter().map(Vec::len).sum()
}

/// Grade, price and age (0 where it is not asked for) of the bikes sold, by style.
fn by_style(sales: &[Sale], as_of: Day, feature: Graded, aged: bool) -> Vec<Vec<[f64; 3]>> {
    let of = |style: Style| -> Vec<[f64; 3]> {
        let sales = sales.iter().filter(|sale| sale.bike.style == style);
        let rows = sales.filter_map(|sale| {
            let sold = sale.sold.filter(|sold| sold.on <= as_of)?;
            let age = if aged { sale.bike.age(sold.on)? } else { 0.0 };
            let grade = f64::from(feature.of(sale)?);
            Some([grade, sold.price.minor() as f64, age])
        });
        rows.collect()
    };
    let styles = Style::ALL.iter().map(|style| of(*style));
    styles
        .filter(|rows| rows.len() >= FEWEST_OF_A_STYLE)
        .collect()
}
