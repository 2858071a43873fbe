//! What a visitor does at an ask: the chance that he buys and what he then pays
//! on average, by the ask's ratio to the worth, from the buyers' own
//! distributions by quadrature.

use crate::recovery::market::buyers::{
    Buyers, MEET_FROM, PAYS_THE_ASK, TASTE, TASTE_LEAN, TOO_PROUD,
};
use crate::recovery::market::posted::LEAN;
use std::f64::consts::{PI, TAU};

/// The lowest offer the user takes, as a part of the ask: his habit whatever
/// the plan.
pub const RESERVE: f64 = 0.92;

/// The table reaches from `-REACH` to `REACH` in ln(ask / worth); beyond, the
/// ends are taken.
const REACH: f64 = 1.6;
/// Distance of its rows. Straight lines between rows are off by at most an
/// eighth of the square of this times the curvature (below 15 for the narrowest
/// taste): 5e-6.
const STEP: f64 = 0.0015;

/// A visit's outcome by ln(ask / worth).
#[derive(Clone, Debug)]
pub struct Demand {
    /// Chance of a sale, and mean price over the ask times that chance.
    rows: Vec<(f64, f64)>,
}

impl Demand {
    /// Tabulates the buyers of a market.
    pub fn of(buyers: &Buyers) -> Self {
        let count = (2.0 * REACH / STEP).round() as usize;
        Self {
            rows: (0..=count)
                .map(|row| at(buyers, row as f64 * STEP - REACH))
                .collect(),
        }
    }

    /// Chance that a visitor buys, and the mean price he then pays as a part of
    /// the ask, at a ln(ask / worth).
    pub fn visit(&self, ln_ratio: f64) -> (f64, f64) {
        let place = (ln_ratio.clamp(-REACH, REACH) + REACH) / STEP;
        let row = (place as usize).min(self.rows.len() - 2);
        let (part, (a, b)) = (place - row as f64, (&self.rows[row], &self.rows[row + 1]));
        let chance = a.0 + part * (b.0 - a.0);
        let paid = a.1 + part * (b.1 - a.1);
        (chance, if chance > 0.0 { paid / chance } else { 1.0 })
    }
}

/// Chance and chance times mean price over the ask.
fn at(buyers: &Buyers, ln_ratio: f64) -> (f64, f64) {
    match buyers {
        Buyers::Haggling => haggled(ln_ratio),
        Buyers::Posted(posted) => {
            let chance = normal_above((ln_ratio - LEAN) / posted.spread);
            (chance, chance)
        }
    }
}

/// Haggling buyers: those who would pay the ask pay it or meet below it; those
/// who would pay less than the ask but more than the seller's least meet below
/// their most, unless they are too proud.
fn haggled(ln_ratio: f64) -> (f64, f64) {
    let taste = |ln_part: f64| (ln_ratio + ln_part - TASTE_LEAN) / TASTE;
    let meet = 0.5 * (1.0 + MEET_FROM);
    let (low, high) = (taste(RESERVE.ln()), taste(0.0));
    let would = student_above(high);
    let between = student_above(low) - would;
    // Mean of most / ask over those between, times their chance.
    let most = integral(low, high, |t| {
        (TASTE * t + TASTE_LEAN - ln_ratio).exp() * student_density(t)
    });
    let chance = would + (1.0 - TOO_PROUD) * between;
    let full = PAYS_THE_ASK + (1.0 - PAYS_THE_ASK) * (RESERVE + meet * (1.0 - RESERVE));
    let paid =
        would * full + (1.0 - TOO_PROUD) * (RESERVE * between + meet * (most - RESERVE * between));
    (chance, paid)
}

/// Simpson's rule over 20 pieces; the functions here are smooth within half a
/// spread.
fn integral(from: f64, to: f64, f: impl Fn(f64) -> f64) -> f64 {
    let pieces = 20;
    let width = (to - from) / f64::from(pieces);
    let sum: f64 = (0..=pieces)
        .map(|i| {
            let weight = match i {
                0 => 1.0,
                i if i == pieces => 1.0,
                i if i % 2 == 1 => 4.0,
                _ => 2.0,
            };
            weight * f(from + width * f64::from(i))
        })
        .sum();
    sum * width / 3.0
}

/// Density of Student's t with 5 degrees of freedom.
pub fn student_density(t: f64) -> f64 {
    8.0 / (3.0 * PI * 5.0_f64.sqrt()) * (1.0 + t * t / 5.0).powi(-3)
}

/// Chance above `t` under Student's t with 5 degrees of freedom (Abramowitz &
/// Stegun 26.7.3, from memory; checked against its density).
pub fn student_above(t: f64) -> f64 {
    let angle = (t / 5.0_f64.sqrt()).atan();
    let (sin, cos) = angle.sin_cos();
    0.5 - (angle + sin * cos * (1.0 + 2.0 / 3.0 * cos * cos)) / PI
}

/// Chance above `z` under the standard normal: the density integrated from 0, in
/// pieces no wider than half a spread.
pub fn normal_above(z: f64) -> f64 {
    let z = z.clamp(-9.0, 9.0);
    let parts = (z.abs() * 2.0).ceil().max(1.0);
    let sum: f64 = (0..parts as usize)
        .map(|i| {
            let from = z * i as f64 / parts;
            integral(from, from + z / parts, |x| {
                (-0.5 * x * x).exp() / TAU.sqrt()
            })
        })
        .sum();
    0.5 - sum
}
