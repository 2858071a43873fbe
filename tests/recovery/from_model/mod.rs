//! Books drawn from the form of the value model itself:
//!
//! ln price = level + style + size + Σ age slopes + Σ condition steps
//!            + Σ tier steps + slope · (ln new price − centre)
//!            + quarter + a·sin 2πf + b·cos 2πf + offset of the source + error
//!
//! Coefficients are drawn from stated priors first, then rows from them, so
//! that a range of 80 % must hold 80 % of the fresh sales over many books when
//! the model is given the same priors. Condition 1, tier 1 and size M carry 0.

mod rows;

pub use rows::simulate;

use jiff::ToSpan;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Gamma, Normal};
use std::f64::consts::TAU;
use wheelworth::trade::calendar::{quarter_number, year_fraction};
use wheelworth::trade::{Bike, Comparable, Currency, Day, Money, Sale, Style};

/// Mean and standard deviation of a coefficient.
#[derive(Clone, Copy, Debug)]
pub struct Prior {
    pub mean: f64,
    pub sd: f64,
}

/// A prior in short.
pub const fn prior(mean: f64, sd: f64) -> Prior {
    Prior { mean, sd }
}

impl Prior {
    fn draw(self, rng: &mut ChaCha8Rng) -> f64 {
        Normal::new(self.mean, self.sd).unwrap().sample(rng)
    }

    /// Draws until the value is not negative.
    fn draw_not_negative(self, rng: &mut ChaCha8Rng) -> f64 {
        std::iter::repeat_with(|| self.draw(rng))
            .find(|value| *value >= 0.0)
            .unwrap_or(0.0)
    }
}

/// Offset (ln above the sale price) and error of one source of prices.
#[derive(Clone, Copy, Debug)]
pub struct Source {
    pub offset: Prior,
    /// Standard deviation of its errors (ln).
    pub sigma: f64,
}

/// From what the coefficients are drawn. All effects in ln points.
#[derive(Clone, Debug)]
pub struct Parameters {
    /// ln price of a hybrid of age 0, condition 1, tier 1, size M.
    pub level: Prior,
    /// Knots of the age slopes, in years.
    pub knots: [f64; 4],
    /// Slopes a year up to each knot and beyond the last.
    pub age: [Prior; 5],
    pub condition_steps: [Prior; 4],
    pub tier_steps: [Prior; 4],
    /// Sizes S and L against M.
    pub size_near: Prior,
    /// Sizes XS and XL against M.
    pub size_far: Prior,
    /// Each style against hybrid.
    pub style: Prior,
    /// Slope on ln new price less `new_price_centre`.
    pub new_price: Prior,
    pub new_price_centre: f64,
    /// Step from one calendar quarter to the next.
    pub quarter_step: Prior,
    /// Both coefficients of the yearly wave.
    pub season: Prior,
    /// Middle and degrees of freedom of the own sales' error: its variance is
    /// df·sigma²/χ²(df), an inverse gamma with a = df/2, b = a·sigma².
    pub sigma_own: f64,
    pub sigma_df: f64,
    /// Degrees of freedom of t errors (same scale); normal errors when `None`.
    pub tail_df: Option<f64>,
    /// Asks of comps by outcome, in the order of `Outcome::ALL`, their errors
    /// as multiples of the own sales'.
    pub asks: [Source; 4],
    /// Sale prices of comps, likewise.
    pub comp_sale: Source,
    /// Share of the comps whose sale price is known.
    pub comp_sale_known: f64,
    /// Chance that a made, condition, tier or seat tube is not recorded.
    pub unknown: f64,
    /// Chance that a new price is not recorded.
    pub new_price_unknown: f64,
    pub start: Day,
    pub days: i64,
    pub currency: Currency,
}

impl Default for Parameters {
    /// Trade priors: judgement, no source. Two and a half years to 1 May 2026.
    fn default() -> Self {
        let source = |mean, sd, sigma| Source {
            offset: prior(mean, sd),
            sigma,
        };
        Self {
            level: prior(5.2, 0.5),
            knots: [3.0, 8.0, 15.0, 35.0],
            age: [
                prior(-0.14, 0.05),
                prior(-0.08, 0.03),
                prior(-0.04, 0.02),
                prior(0.0, 0.02),
                prior(0.0, 0.02),
            ],
            condition_steps: [prior(0.13, 0.07); 4],
            tier_steps: [prior(0.28, 0.12); 4],
            size_near: prior(-0.02, 0.05),
            size_far: prior(-0.08, 0.07),
            style: prior(0.0, 0.25),
            new_price: prior(0.3, 0.1),
            new_price_centre: 6.5,
            quarter_step: prior(0.0, 0.03),
            season: prior(0.0, 0.05),
            sigma_own: 0.20,
            sigma_df: 6.0,
            tail_df: None,
            asks: [
                source(0.15, 0.10, 1.3), // listed
                source(0.08, 0.05, 1.1), // sold
                source(0.25, 0.15, 1.4), // withdrawn
                source(0.10, 0.07, 1.2), // gone
            ],
            comp_sale: source(0.0, 0.03, 1.1),
            comp_sale_known: 0.05,
            unknown: 0.08,
            new_price_unknown: 0.5,
            start: Day::constant(2023, 11, 1),
            days: 912,
            currency: Currency::from_code("EUR").expect("EUR is in the list"),
        }
    }
}

/// The coefficients of one book.
#[derive(Clone, Debug)]
pub struct Truth {
    pub level: f64,
    pub knots: [f64; 4],
    pub age: [f64; 5],
    pub condition_steps: [f64; 4],
    pub tier_steps: [f64; 4],
    /// By size class; M is 0.
    pub size: [f64; 5],
    /// By style; hybrid is 0.
    pub style: [f64; 9],
    pub new_price: f64,
    pub new_price_centre: f64,
    /// Number of the first quarter, as [`quarter_number`] counts, and the
    /// effect of each from it on; the first is 0.
    pub first_quarter: i32,
    pub quarters: Vec<f64>,
    pub sine: f64,
    pub cosine: f64,
    pub sigma_own: f64,
    /// By outcome.
    pub ask_offset: [f64; 4],
    pub comp_sale_offset: f64,
}

/// A simulated book.
#[derive(Clone, Debug)]
pub struct Simulated {
    pub as_of: Day,
    pub truth: Truth,
    pub sales: Vec<Sale>,
    pub comps: Vec<Comparable>,
    /// Recorded facts of bikes to be priced on `as_of`, with their sale prices.
    pub fresh: Vec<(Bike, Money)>,
}

impl Truth {
    /// Draws the coefficients of a book.
    pub fn draw(rng: &mut ChaCha8Rng, from: &Parameters) -> Self {
        let first_quarter = quarter_number(from.start);
        let last = quarter_number(from.start.saturating_add(from.days.days()));
        let mut quarters = vec![0.0];
        for _ in first_quarter..last {
            let before = quarters[quarters.len() - 1];
            quarters.push(before + from.quarter_step.draw(rng));
        }
        let chi: f64 = Gamma::new(from.sigma_df / 2.0, 2.0).unwrap().sample(rng);
        Self {
            level: from.level.draw(rng),
            knots: from.knots,
            age: from.age.map(|slope| slope.draw(rng)),
            condition_steps: from.condition_steps.map(|step| step.draw_not_negative(rng)),
            tier_steps: from.tier_steps.map(|step| step.draw_not_negative(rng)),
            size: [
                from.size_far.draw(rng),
                from.size_near.draw(rng),
                0.0,
                from.size_near.draw(rng),
                from.size_far.draw(rng),
            ],
            style: std::array::from_fn(|style| match Style::ALL[style] {
                Style::Hybrid => 0.0,
                _ => from.style.draw(rng),
            }),
            new_price: from.new_price.draw(rng),
            new_price_centre: from.new_price_centre,
            first_quarter,
            quarters,
            sine: from.season.draw(rng),
            cosine: from.season.draw(rng),
            sigma_own: from.sigma_own * (from.sigma_df / chi).sqrt(),
            ask_offset: from.asks.map(|source| source.offset.draw(rng)),
            comp_sale_offset: from.comp_sale.offset.draw(rng),
        }
    }

    /// ln sale price, without error, of a bike whose features are all known.
    ///
    /// # Panics
    /// When a feature is unknown (the seat tube of `kids` excepted).
    pub fn ln_price(&self, bike: &Bike, day: Day, currency: Currency) -> f64 {
        let age = bike.age(day).expect("made is known");
        let ends = [
            0.0,
            self.knots[0],
            self.knots[1],
            self.knots[2],
            self.knots[3],
            f64::INFINITY,
        ];
        let slopes = self.age.iter().zip(ends.windows(2));
        let ages: f64 = slopes
            .map(|(slope, end)| slope * (age.min(end[1]) - end[0]).max(0.0))
            .sum();
        let condition = bike.condition.expect("condition is known").index();
        let tier = bike.tier.expect("tier is known").index();
        let new = currency
            .units(bike.new_price.expect("new price is known"))
            .ln();
        let quarter =
            (quarter_number(day) - self.first_quarter).clamp(0, self.quarters.len() as i32 - 1);
        let (sine, cosine) = (TAU * year_fraction(day)).sin_cos();
        self.level
            + self.style[bike.style.index()]
            + bike.size().map_or(0.0, |size| self.size[size.index()])
            + ages
            + self.condition_steps[..condition].iter().sum::<f64>()
            + self.tier_steps[..tier].iter().sum::<f64>()
            + self.new_price * (new - self.new_price_centre)
            + self.quarters[quarter as usize]
            + self.sine * sine
            + self.cosine * cosine
    }
}
