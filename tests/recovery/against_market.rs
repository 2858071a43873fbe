//! The value model in a market that is not of its form, beside an oracle that
//! knows the market and beside plain rules on the same files.

use super::market::{Config, Market};
use super::rules;
use wheelworth::pricing::features::facts;
use wheelworth::pricing::fitting::Unwatched;
use wheelworth::pricing::observation::InMemory;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::statistics::interval::quantile;
use wheelworth::statistics::robust::median;

/// Absolute errors in percent of the sale price, and how the ranges held.
#[derive(Default)]
pub struct Tally {
    /// Of the model, where it had anything to go on.
    pub model: Vec<f64>,
    /// Of the oracle, for the same bikes.
    pub oracle: Vec<f64>,
    /// Of ordinary least squares, of five nearest comps, of the style's median less 10 %.
    pub rules: [Vec<f64>; 3],
    /// Whether each 80 % range held its sale.
    pub held: Vec<bool>,
    /// Widths of the ranges in log points.
    pub widths: Vec<f64>,
    /// ln(value / oracle), for the bias.
    pub lean: Vec<f64>,
}

impl Tally {
    /// Median errors, the model's first, then the oracle's.
    pub fn median_of(errors: &[f64]) -> f64 {
        if errors.is_empty() {
            f64::NAN
        } else {
            100.0 * median(errors.to_vec())
        }
    }

    /// Model's median error over the oracle's.
    pub fn ratio(&self) -> f64 {
        Self::median_of(&self.model) / Self::median_of(&self.oracle)
    }

    /// Share of sales within their range.
    pub fn coverage(&self) -> f64 {
        self.held.iter().filter(|h| **h).count() as f64 / self.held.len() as f64
    }
}

/// Prices the fresh bikes of `seeds` markets.
pub fn tally(own: usize, comps: usize, seeds: std::ops::Range<u64>) -> Tally {
    let config = Config::new(own, comps);
    let mut tally = Tally::default();
    for seed in seeds {
        let market = Market::of(seed, &config);
        let settings = ValueSettings {
            as_of: market.as_of,
            currency: config.currency,
            without: None,
        };
        let records = InMemory {
            sales: market.sales.clone(),
            comps: market.comps.iter().map(|c| (c.clone(), 1.0)).collect(),
        };
        let model = ValueModel {
            priors: Priors::shipped(),
            settings,
        };
        let Ok(fitted) = model.fit(&records, &mut Unwatched) else {
            continue;
        };
        let rules = rules::Rules::of(&market, &config.currency);
        for fresh in &market.fresh {
            let price = config.currency.units(fresh.sale_price);
            let error = |guess: f64| (guess / price - 1.0).abs();
            let here = facts(&fresh.bike, market.as_of, &config.currency);
            let value = fitted.ln_value(&here);
            tally.model.push(error(value.exp()));
            tally.oracle.push(error(fresh.oracle));
            if std::env::var("W_P").is_ok() {
                let o = |v: Option<f64>| v.unwrap_or(f64::NAN);
                let row = fitted.row(&here);
                let lev: f64 = fitted.parts.iter().map(|p| p.share * p.fit.leverage(&row)).sum();
                let tot = (fitted.one_sale(&here).iter().map(|(w, t)| w * t.scale * t.scale).sum::<f64>()).sqrt();
                println!("Q,{},{},{},{},{}", fitted.own_variance.sqrt(), lev.sqrt(), tot, fitted.own_freedom, value - price.ln());
                println!("P,{seed},{},{},{},{},{},{},{}", fresh.bike.style, o(fresh.bike.age(market.as_of)), o(fresh.bike.condition.map(|c| c.grade() as f64)), o(fresh.bike.tier.map(|c| c.grade() as f64)), fresh.bike.size().map_or("-".to_string(), |s| s.to_string()), o(fresh.bike.new_price.map(|p| config.currency.units(p).ln())), value - fresh.oracle.ln());
            }
            tally.lean.push(value - fresh.oracle.ln());
            for (errors, guess) in tally
                .rules
                .iter_mut()
                .zip(rules.guess(&fresh.bike, market.as_of))
            {
                errors.extend(guess.map(error));
            }
            let sale = fitted.one_sale(&here);
            let (low, high) = (quantile(&sale, 0.1), quantile(&sale, 0.9));
            tally.held.push((low..=high).contains(&price.ln()));
            tally.widths.push(high - low);
        }
    }
    tally
}

/// One row of the table.
pub fn row(own: usize, comps: usize, tally: &Tally) -> String {
    let m = Tally::median_of;
    format!(
        "{own:>4} {comps:>5}  {:>6.1} {:>6.1} {:>6.2}  {:>6.1} {:>6.1} {:>6.1}  {:>6.1} {:>6.3} {:>+7.3} {:>6.3}",
        m(&tally.model),
        m(&tally.oracle),
        tally.ratio(),
        m(&tally.rules[0]),
        m(&tally.rules[1]),
        m(&tally.rules[2]),
        100.0 * tally.coverage(),
        median(tally.widths.clone()),
        tally.lean.iter().sum::<f64>() / tally.lean.len().max(1) as f64,
        { let n = tally.lean.len() as f64; let m = tally.lean.iter().sum::<f64>() / n; (tally.lean.iter().map(|v| (v - m).powi(2)).sum::<f64>() / n).sqrt() },
    )
}

/// The heading of the table.
pub const HEADING: &str =
    " own comps   model oracle  ratio     ols   five  style   held%  width    lean";

/// The whole table: `cargo test --release --test suite market_table -- --ignored --nocapture`
/// would hide it from the usual run, so it is a plain test over few markets; set
/// WHEELWORTH_MARKETS for more.
#[test]
fn market_table() {
    let markets: u64 = std::env::var("WHEELWORTH_MARKETS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(8);
    println!("{HEADING}");
    let cells = std::env::var("W_C").unwrap_or_default();
    for own in [0, 5, 15, 40, 120] {
        for comps in [0, 30, 200, 2000] {
            if own + comps == 0 || (!cells.is_empty() && !cells.contains(&format!("{own}/{comps},"))) {
                continue;
            }
            let tally = { let f: u64 = std::env::var("W_S").ok().and_then(|v| v.parse().ok()).unwrap_or(1000); tally(own, comps, f..f + markets) };
            println!("{}", row(own, comps, &tally));
            // Even the thinnest books must not be wild.
            assert!(
                tally.ratio() < 4.0,
                "own {own}, comps {comps}: {}",
                tally.ratio()
            );
            assert!(tally.model.iter().all(|e| e.is_finite()));
        }
    }
}
