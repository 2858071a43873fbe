//! The trade priors, read from `priors.toml` beside this file.

use super::belief::Belief;
use super::selling_priors::SellingBeliefs;
use crate::pricing::design::features;
use crate::pricing::design::features::COLUMNS;
use crate::statistics::hash;
use crate::trade::{Currency, Style};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

/// A belief about the last asks of one group of comps.
#[derive(Clone, Copy, Debug, PartialEq, Deserialize)]
pub struct AskBelief {
    /// Mean of ln(last ask / own sale price of a like bike).
    pub mean: f64,
    /// How sure that mean is.
    pub sd: f64,
    /// Standard deviation of one such ask around its own mean.
    pub noise: f64,
}

/// Everything in `priors.toml`; see there for what each means.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct Priors {
    pub version: u32,
    pub noise: f64,
    pub noise_sales: f64,
    pub level: LevelBeliefs,
    pub age: AgeBeliefs,
    pub steps: StepBeliefs,
    pub size: SizeBeliefs,
    pub style: StyleBeliefs,
    pub new_price: NewPriceBeliefs,
    pub market: MarketBeliefs,
    pub asks: AskBeliefs,
    pub selling: SellingBeliefs,
    pub eye: EyeBeliefs,
}

/// What the base bike is worth.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct LevelBeliefs {
    pub base: Belief,
    /// Units that buy what a euro buys, by currency code.
    pub units: BTreeMap<String, f64>,
}

/// Log points per year of age between the knots.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct AgeBeliefs {
    pub to_3: Belief,
    pub to_8: Belief,
    pub to_15: Belief,
    pub to_35: Belief,
    pub beyond: Belief,
}

/// One step up of condition or tier.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct StepBeliefs {
    pub condition: [Belief; 4],
    pub condition_by_age: Belief,
    pub tier: Belief,
}

/// Size classes against M.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct SizeBeliefs {
    pub s_or_l: Belief,
    pub xs_or_xl: Belief,
}

/// Styles, the base's other features given.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct StyleBeliefs {
    pub road: Belief,
    pub hybrid: Belief,
    pub mountain: Belief,
    pub city: Belief,
    pub cruiser: Belief,
    pub touring: Belief,
    pub folding: Belief,
    pub kids: Belief,
    pub other: Belief,
    pub age: Belief,
    pub tier: Belief,
    pub vintage: Belief,
}

/// What the price of a new one tells.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct NewPriceBeliefs {
    pub slope: Belief,
    pub anchor: Belief,
    pub around_anchor: f64,
    pub over_used: f64,
    pub tier: Belief,
    pub style: Belief,
    pub kids: Belief,
    pub spread: f64,
}

/// Movement of the market.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct MarketBeliefs {
    pub trend: Belief,
    pub quarter: Belief,
    pub spring: f64,
    pub year: Belief,
    pub half_year: Belief,
    pub southern: Vec<String>,
}

/// Groups of comps.
#[derive(Clone, Debug, Deserialize)]
#[allow(missing_docs)]
pub struct AskBeliefs {
    pub price: AskBelief,
    pub sold: AskBelief,
    pub gone: AskBelief,
    pub listed: AskBelief,
    pub withdrawn: AskBelief,
    pub stood: Belief,
}

/// The user's own eye.
#[derive(Clone, Debug, Deserialize, serde::Serialize)]
#[allow(missing_docs)]
pub struct EyeBeliefs {
    pub noise: f64,
    pub noise_spread: f64,
    pub bias: f64,
    pub blind: f64,
}

impl StyleBeliefs {
    /// What is believed of a style.
    fn of(&self, style: Style) -> Belief {
        match style {
            Style::Road => self.road,
            Style::Hybrid => self.hybrid,
            Style::Mountain => self.mountain,
            Style::City => self.city,
            Style::Cruiser => self.cruiser,
            Style::Touring => self.touring,
            Style::Folding => self.folding,
            Style::Kids => self.kids,
            Style::Other => self.other,
        }
    }
}

/// The beliefs as shipped.
const SHIPPED_TEXT: &str = include_str!("priors.toml");

/// Sine and cosine of a wave by what it adds at its `top`.
fn wave(height: Belief, top: f64) -> [Belief; 2] {
    [top.sin(), top.cos()].map(|part| Belief {
        mean: height.mean * part,
        ..height
    })
}

impl Priors {
    /// The shipped priors.
    ///
    /// # Panics
    /// Never: the file is part of the program and a test reads it.
    #[allow(clippy::expect_used)]
    pub fn shipped() -> &'static Priors {
        static SHIPPED: OnceLock<Priors> = OnceLock::new();
        SHIPPED.get_or_init(|| {
            toml::from_str(SHIPPED_TEXT).expect("priors.toml is part of the program")
        })
    }

    /// A number that differs with the text of the shipped beliefs.
    pub fn shipped_fingerprint() -> u64 {
        hash::of_texts(&[SHIPPED_TEXT])
    }

    /// The belief about each column of the design but the intercept and the
    /// market's steps, in the order of [`features`].
    pub fn beliefs(&self) -> [Belief; COLUMNS] {
        let ask = |a: AskBelief| Belief {
            mean: a.mean,
            sd: a.sd,
        };
        let mut all = [self.market.year; COLUMNS];
        let age = [
            self.age.to_3,
            self.age.to_8,
            self.age.to_15,
            self.age.to_35,
            self.age.beyond,
        ];
        all[features::AGE].copy_from_slice(&age);
        all[features::CONDITION].copy_from_slice(&self.steps.condition);
        all[features::CONDITION_BY_AGE].fill(self.steps.condition_by_age);
        all[features::TIER].fill(self.steps.tier);
        all[features::SIZE].copy_from_slice(&[self.size.s_or_l, self.size.xs_or_xl]);
        all[features::NEW_PRICE] = self.new_price.slope;
        for style in Style::ALL {
            all[features::STYLE.start + style.index()] = self.style.of(*style);
        }
        let spring = std::f64::consts::TAU * self.market.spring;
        all[features::SEASON].copy_from_slice(&wave(self.market.year, spring));
        all[features::HALF_YEAR].copy_from_slice(&wave(self.market.half_year, 2.0 * spring));
        all[features::STYLE_AGE].fill(self.style.age);
        all[features::STYLE_TIER].fill(self.style.tier);
        all[features::VINTAGE] = self.style.vintage;
        let asks = &self.asks;
        let groups = [
            asks.price,
            asks.sold,
            asks.gone,
            asks.listed,
            asks.withdrawn,
        ]
        .map(ask);
        all[features::SOURCE].copy_from_slice(&groups);
        all[features::STOOD] = asks.stood;
        all[features::TREND] = self.market.trend;
        all
    }

    /// [`Self::beliefs`] where a currency is paid with: spring has its own place in the
    /// year there.
    pub fn beliefs_in(&self, currency: &Currency) -> [Belief; COLUMNS] {
        let mut all = self.beliefs();
        if self
            .market
            .southern
            .iter()
            .any(|code| code == currency.code())
        {
            // Half a year turns its wave around and leaves that of half a year.
            for belief in &mut all[features::SEASON] {
                belief.mean = -belief.mean;
            }
        }
        all
    }

    /// ln of the base bike's value in units of a currency; `None` where no level is
    /// believed.
    pub fn level(&self, currency: &Currency) -> Option<Belief> {
        let units = self.level.units.get(currency.code())?;
        Some(Belief {
            mean: self.level.base.mean + units.ln(),
            ..self.level.base
        })
    }

    /// How many own sales a belief weighs as much as: `(noise / sd)^2`.
    pub fn equivalent_sales(&self, belief: Belief) -> f64 {
        (self.noise / belief.sd).powi(2)
    }
}
