//! The value model in a market that is not of its form, beside an oracle that
//! knows the market and beside plain rules on the same files.

use super::market::{Config, Market};
use super::{fitted, rules};
use crate::support::records::in_memory;
use wheelworth::pricing::design::features::facts;
use wheelworth::statistics::linear::robust::median;

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
        let records = in_memory(&market.sales, &market.comps, &[]);
        let Some(fitted) = fitted(&records, market.as_of, &config.currency) else {
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
            tally.lean.push(value - fresh.oracle.ln());
            for (errors, guess) in tally
                .rules
                .iter_mut()
                .zip(rules.guess(&fresh.bike, market.as_of))
            {
                errors.extend(guess.map(error));
            }
            let (low, high) = fitted.range(&here, 0.8);
            tally.held.push((low..=high).contains(&price.ln()));
            tally.widths.push(high - low);
        }
    }
    tally
}

/// One row of the table.
fn row(own: usize, comps: usize, tally: &Tally) -> String {
    let m = Tally::median_of;
    let n = tally.lean.len() as f64;
    format!(
        "{own:>4} {comps:>5}  {:>6.1} {:>6.1} {:>6.2}  {:>6.1} {:>6.1} {:>6.1}  {:>6.1} {:>6.3} {:>+7.3}",
        m(&tally.model),
        m(&tally.oracle),
        tally.ratio(),
        m(&tally.rules[0]),
        m(&tally.rules[1]),
        m(&tally.rules[2]),
        100.0 * tally.coverage(),
        median(tally.widths.clone()),
        tally.lean.iter().sum::<f64>() / n,
    )
}

const HEADING: &str =
    " own comps   model oracle  ratio     ols   five  style   held%  width    lean";

/// Markets simulated for each cell. `WHEELWORTH_MARKETS=120` gives the table of
/// src/guide/simulations.md in about six minutes.
pub fn markets(usual: u64) -> std::ops::Range<u64> {
    let wanted = std::env::var("WHEELWORTH_MARKETS")
        .ok()
        .and_then(|n| n.parse().ok());
    // The simulator was adjusted on seeds 0 to 59; these are others.
    1000..1000 + wanted.unwrap_or(usual)
}

/// The table, with bounds that only a catastrophe breaks.
#[test]
#[ignore = "a report: cargo test --test suite market_table -- --ignored --nocapture"]
fn market_table() {
    println!("{HEADING}");
    for own in [0, 5, 15, 40, 120] {
        for comps in [0, 30, 200, 2000] {
            if own + comps == 0 {
                continue;
            }
            let tally = tally(own, comps, markets(6));
            println!("{}", row(own, comps, &tally));
            // Even the thinnest books must not be wild, nor any range absurd.
            assert!(
                tally.ratio() < 2.5,
                "own {own}, comps {comps}: {}",
                tally.ratio()
            );
            assert!(
                tally
                    .model
                    .iter()
                    .chain(&tally.widths)
                    .all(|e| e.is_finite())
            );
            assert!(
                (0.6..=0.98).contains(&tally.coverage()),
                "own {own}, comps {comps}"
            );
        }
    }
}

/// The model beats every plain rule on the same files.
fn beats_the_rules(tally: &Tally) {
    let model = Tally::median_of(&tally.model);
    for errors in tally.rules.iter().filter(|e| !e.is_empty()) {
        assert!(
            model < Tally::median_of(errors),
            "{model} against {}",
            Tally::median_of(errors)
        );
    }
}

/// 40 own sales and 200 comps. Aimed at: 1.15 times the oracle. Reached: 1.18
/// over 120 markets. What is left: 0.03 to 0.04 of it is a lean (the day of the
/// answer lies on a short spring peak that 240 rows cannot show, and on a jump
/// of the market), the rest is 240 rows and about 30 effects to learn from them;
/// with 2,000 comps it is 1.06. The bound is a regression guard: the reached value
/// and two standard errors of 60 markets. The ranges aim at 77 to 83 % held; 120 markets
/// showed 82.5 %, and the bound adds two standard errors of 2,400 sales (0.8 points
/// each, were the sales of one market independent). Since ranges listen to where
/// sales run of late it is 83.5 %; the bound stays.
#[test]
fn a_typical_book_comes_near_the_oracle() {
    let tally = tally(40, 200, markets(60));
    println!("{HEADING}\n{}", row(40, 200, &tally));
    assert!(tally.ratio() < 1.25, "{}", tally.ratio());
    assert!(
        (0.77..=0.84).contains(&tally.coverage()),
        "{}",
        tally.coverage()
    );
    beats_the_rules(&tally);
}

/// 15 own sales and no comps: within 1.7 times the oracle. The ranges aim at 77 to
/// 83 % held; 120 markets showed 83.1 %, just above, and the bound, a regression guard,
/// adds two standard errors of 2,400 sales (0.8 points each). Since ranges listen to
/// where sales run of late it is 84.3 %; the bound stays.
#[test]
fn a_thin_book_is_usable() {
    let tally = tally(15, 0, markets(60));
    println!("{HEADING}\n{}", row(15, 0, &tally));
    assert!(tally.ratio() < 1.7, "{}", tally.ratio());
    assert!(
        (0.77..=0.847).contains(&tally.coverage()),
        "{}",
        tally.coverage()
    );
    beats_the_rules(&tally);
}
