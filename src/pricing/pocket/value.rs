//! What the value of a bike given by its features, and its range, are worked out from.

use crate::pricing::design::coding::Coding;
use crate::pricing::design::fact::{ALL_KNOWN, FACTS};
use crate::pricing::design::features::{
    self, BASE_AGE, BASE_CONDITION, BASE_TIER, COLLECTED, CONDITION_BY_AGE, FACTS_OF_BIKE, KNOTS,
    LEVEL, STYLE_AGE, STYLE_TIER, VINTAGE,
};
use crate::pricing::eye::learnt::{Eye, EyeNumbers};
use crate::pricing::prior::priors::Priors;
use crate::pricing::quote::{Source, from_new_price};
use crate::pricing::value::fitted::FittedValue;
use crate::statistics::{Fit, dot};
use crate::trade::{Day, Style};
use serde::Serialize;

/// The value model for bikes priced as own sales on the day of the answer. Its columns
/// are those of [`features`] that such a row may have: level, facts, age and tier by
/// style, vintage, condition by age.
#[derive(Clone, Debug, Serialize)]
pub struct PocketValue {
    /// The day for which it speaks.
    pub as_of: Day,
    /// Probability that a sale lands in the range.
    pub level: f64,
    /// The level of the ranges that hold so many, but for those with a guess.
    pub held_level: f64,
    /// How facts become a row.
    pub design: PocketDesign,
    /// Mean coefficients. Where there are no records: the beliefs about age and
    /// condition, for what the years of a range differ by.
    pub coefficients: Vec<f64>,
    /// The mixture; empty where there are no records, and the second opinion is then
    /// the only one.
    pub components: Vec<PocketComponent>,
    /// Variance of one own sale around its value.
    pub own_variance: f64,
    /// Share of it that every buyer sees.
    pub bike_share: f64,
    /// Degrees of freedom of one sale.
    pub freedom: f64,
    /// What the scale of every range is multiplied by.
    pub range_factor: f64,
    /// The second opinion.
    pub depreciation: PocketDepreciation,
    /// The user's own eye.
    pub eye: PocketEye,
}

/// The user's own eye; see [`Eye`].
#[derive(Clone, Debug, Serialize)]
pub struct PocketEye {
    /// The eyes that may be.
    pub nodes: Vec<EyeNumbers>,
    /// What every width is multiplied by after a guess.
    pub widens: f64,
    /// Variance of one sale that no eye can see.
    pub luck: f64,
}

impl PocketEye {
    fn of(eye: &Eye, luck: f64) -> Self {
        let (nodes, widens) = eye.numbers();
        Self {
            nodes,
            widens,
            luck,
        }
    }
}

/// How facts become a row; see [`Coding`].
#[derive(Clone, Debug, Serialize)]
pub struct PocketDesign {
    /// Knots of the age curve, years.
    pub knots: [f64; 4],
    /// Age, condition and tier of the base bike.
    pub base: (f64, u8, u8),
    /// The styles, in the order of their columns.
    pub styles: Vec<&'static str>,
    /// Styles with a vintage column.
    pub collected: Vec<&'static str>,
    /// The believed steps of condition.
    pub condition_steps: Vec<f64>,
    /// Level of ln new price, slope of a tier, and one a style.
    pub usual_new_price: Vec<f64>,
    /// Mean of every fact.
    pub mean: Vec<f64>,
    /// By missingness mask.
    pub masks: Vec<PocketMask>,
}

/// What is made of the facts that are unknown under one missingness mask.
#[derive(Clone, Debug, Serialize)]
pub struct PocketMask {
    /// Places of the unknown facts.
    pub unknown: Vec<usize>,
    /// Places of the known facts whose sums tell of them.
    pub told_by: Vec<Vec<usize>>,
    /// Row-major, unknown x told_by.
    pub slopes: Vec<f64>,
    /// Variance of ln price that they leave, by style.
    pub variance: Vec<f64>,
}

/// A component of the mixture.
#[derive(Clone, Debug, Serialize)]
pub struct PocketComponent {
    /// Its weight.
    pub weight: f64,
    /// Its coefficients.
    pub coefficients: Vec<f64>,
    /// Covariance of the coefficients: the upper triangle, row by row.
    pub covariance: Vec<f64>,
}

/// The second opinion; see [`depreciation`](crate::pricing::value::depreciation).
#[derive(Clone, Debug, Serialize)]
pub struct PocketDepreciation {
    /// ln of value over new price of a bike as new, and its variance.
    pub anchor: (f64, f64),
    /// Variance of one bike around it.
    pub around: f64,
    /// Of a year of age between the knots, then of a step up of condition.
    pub means: Vec<f64>,
    /// Their standard deviations.
    pub sds: Vec<f64>,
}

/// The columns of the design that a row may have.
fn columns() -> impl Iterator<Item = usize> {
    let of_bike = std::iter::once(LEVEL).chain(FACTS_OF_BIKE);
    let by_style = of_bike.chain(STYLE_AGE).chain(STYLE_TIER);
    by_style
        .chain(std::iter::once(VINTAGE))
        .chain(CONDITION_BY_AGE)
}

impl PocketValue {
    /// What prices come from, for ranges of probability `level`.
    pub fn of(source: &Source<'_>, priors: &Priors, level: f64) -> Self {
        match source {
            Source::Fitted(model) => of_records(model, level),
            Source::Nothing { as_of, .. } => of_beliefs(priors, *as_of, level),
        }
    }
}

fn of_records(model: &FittedValue, level: f64) -> PocketValue {
    let second = &model.depreciation;
    let components = model.components.iter().map(|one| PocketComponent {
        weight: one.weight,
        coefficients: picked(&one.fit.coefficients),
        covariance: covariance(&one.fit, model.coding.width()),
    });
    PocketValue {
        as_of: model.coding.as_of,
        level,
        held_level: model.levels.that_holds(level),
        design: design(&model.coding, &model.coefficients),
        coefficients: picked(&model.coefficients),
        components: components.collect(),
        own_variance: model.own_variance,
        bike_share: model.bike_share,
        freedom: model.own_freedom,
        range_factor: model.range_factor,
        depreciation: PocketDepreciation {
            anchor: second.anchor,
            around: second.around,
            means: second.beliefs().iter().map(|one| one.mean).collect(),
            sds: second.beliefs().iter().map(|one| one.sd).collect(),
        },
        eye: PocketEye::of(&model.eye, model.luck_variance()),
    }
}

/// Without records; see `quote::from_new_price`.
fn of_beliefs(priors: &Priors, as_of: Day, level: f64) -> PocketValue {
    // The page puts the bike's own new price in the place of this one.
    let coding = from_new_price::coding(priors, as_of, 0.0);
    let (beliefs, mut b) = (priors.beliefs(), vec![0.0; coding.width()]);
    let used = || features::AGE.chain(features::CONDITION);
    used().for_each(|j| b[j] = beliefs[j].mean);
    let anchor = priors.new_price.anchor;
    let luck = (1.0 - priors.selling.bike) * priors.noise.powi(2);
    PocketValue {
        as_of,
        level,
        held_level: level,
        design: design(&coding, &b),
        coefficients: picked(&b),
        components: Vec::new(),
        own_variance: priors.noise.powi(2),
        bike_share: priors.selling.bike,
        freedom: priors.noise_sales,
        range_factor: 1.0,
        depreciation: PocketDepreciation {
            anchor: (anchor.mean, anchor.sd.powi(2)),
            around: 0.0,
            means: used().map(|j| beliefs[j].mean).collect(),
            sds: used().map(|j| beliefs[j].sd).collect(),
        },
        eye: PocketEye::of(&Eye::believed(priors), luck),
    }
}

fn words(styles: &[Style]) -> Vec<&'static str> {
    styles.iter().map(|style| style.word()).collect()
}

fn picked(all: &[f64]) -> Vec<f64> {
    columns().map(|j| all[j]).collect()
}

fn covariance(fit: &Fit, width: usize) -> Vec<f64> {
    let whitened = columns().map(|j| {
        let mut x = vec![0.0; width];
        x[j] = 1.0;
        fit.whitened(&x)
    });
    let whitened: Vec<Vec<f64>> = whitened.collect();
    let rows = whitened.iter().enumerate();
    rows.flat_map(|(i, one)| whitened[i..].iter().map(|other| dot(one, other)))
        .collect()
}

/// The design, with what unknown facts leave under coefficients `b`.
fn design(coding: &Coding, b: &[f64]) -> PocketDesign {
    let masks = (0..=ALL_KNOWN).filter_map(|known| {
        let filling = coding.filling(known)?;
        let sums = filling.told_by.iter();
        let variance = Style::ALL.iter();
        Some(PocketMask {
            unknown: filling.unknown.to_vec(),
            // Every weight is 1; see `features::prior_moments`.
            told_by: sums
                .map(|sum| sum.iter().map(|(place, _)| *place).collect())
                .collect(),
            slopes: filling.slopes.to_vec(),
            variance: variance
                .map(|style| coding.within_a_year(known, *style, b))
                .collect(),
        })
    });
    let mean = coding
        .filling(0)
        .map_or(vec![0.0; FACTS], |filling| filling.mean.to_vec());
    PocketDesign {
        knots: KNOTS,
        base: (BASE_AGE, BASE_CONDITION, BASE_TIER),
        styles: words(Style::ALL),
        collected: words(&COLLECTED),
        condition_steps: coding.condition_steps().to_vec(),
        usual_new_price: coding.usual_new_price().to_vec(),
        mean,
        masks: masks.collect(),
    }
}
