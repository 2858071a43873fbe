//! One table of prices in markets of five forms: error over the oracle's, lean and how
//! ranges held, beside least squares and ridge on the same rows.
//!
//! ```text
//! WHEELWORTH_MARKETS=40 cargo test --test suite market_cells -- --ignored --nocapture
//! ```
//!
//! prints it; the seeds from 300,000 on were used for nothing else.
//! `WHEELWORTH_SEED=310000` takes others.

use super::market::form::Form;
use super::market::{Config, Market};
use super::rivals::{Rival, columns, rows};
use jiff::ToSpan;
use wheelworth::pricing::design::features::facts;
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::statistics::distribution::student_t::{Predictive, quantile};
use wheelworth::statistics::linear::robust::median;

/// Own sales and comps of the cells.
pub const CELLS: [(usize, usize); 13] = [
    (0, 30),
    (0, 200),
    (0, 2000),
    (15, 0),
    (15, 30),
    (15, 200),
    (15, 2000),
    (40, 0),
    (40, 30),
    (40, 200),
    (40, 2000),
    (120, 0),
    (120, 2000),
];

/// How one way of pricing did, over all markets of a cell.
#[derive(Default)]
pub struct Way {
    /// Errors as parts of the sale price.
    pub errors: Vec<f64>,
    /// Mean of ln(estimate / oracle) of each market.
    pub leans: Vec<f64>,
    /// Share of the sales within their 80 % range, of each market.
    pub held: Vec<f64>,
}

/// Mean and its standard error.
fn mean_and_error(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (mean, (squares / (n - 1.0).max(1.0) / n).sqrt())
}

/// ln of a bike's price, of the oracle's and of a way's value, and the sale that it tells.
type Told = (f64, f64, f64, Vec<(f64, Predictive)>);

impl Way {
    /// The median error.
    pub fn error(&self) -> f64 {
        median(self.errors.clone())
    }

    /// The mean lean and its standard error, in percent.
    pub fn lean(&self) -> (f64, f64) {
        let (mean, error) = mean_and_error(&self.leans);
        (100.0 * mean, 100.0 * error)
    }

    /// The share held and its standard error, in percent.
    pub fn coverage(&self) -> (f64, f64) {
        let (mean, error) = mean_and_error(&self.held);
        (100.0 * mean, 100.0 * error)
    }

    /// Takes in a market by its fresh bikes; the ranges are those of `level`.
    fn market(&mut self, told: &[Told], level: f64) {
        let n = told.len() as f64;
        let (mut lean, mut held) = (0.0, 0.0);
        let tail = (1.0 - level) / 2.0;
        for (ln_price, ln_oracle, value, sale) in told {
            self.errors.push(((value - ln_price).exp() - 1.0).abs());
            lean += value - ln_oracle;
            let ends = quantile(sale, tail)..=quantile(sale, 1.0 - tail);
            held += f64::from(u8::from(ends.contains(ln_price)));
        }
        self.leans.push(lean / n);
        self.held.push(held / n);
    }
}

/// The model, least squares, ridge, and the oracle's errors.
#[derive(Default)]
pub struct Cell {
    /// The model.
    pub model: Way,
    /// The rivals.
    pub rivals: [Way; 2],
    /// Errors of the oracle.
    pub oracle: Vec<f64>,
}

/// Prices the fresh bikes of `seeds` markets, which end on five days spread over the year:
/// on a spring day alone every value leans low, on an autumn day high.
pub fn cell(form: Form, (own, comps): (usize, usize), seeds: std::ops::Range<u64>) -> Cell {
    let usual = Config::new(own, comps);
    let mut cell = Cell::default();
    for seed in seeds {
        let config = Config {
            form,
            start: usual.start.saturating_add((73 * (seed % 5) as i64).days()),
            ..usual.clone()
        };
        one_market(&Market::of(seed, &config), &config, &mut cell);
    }
    cell
}

fn one_market(market: &Market, config: &Config, cell: &mut Cell) {
    let currency = config.currency;
    let records = InMemory {
        sales: market.sales.clone(),
        comps: market.comps.iter().map(|c| (c.clone(), 1.0)).collect(),
        asks: Vec::new(),
    };
    let model = ValueModel {
        priors: Priors::shipped(),
        settings: ValueSettings {
            as_of: market.as_of,
            currency,
            without: None,
        },
    };
    let fitted = model.fit(&records, &mut Unobserved).expect("a fit");
    let rows = rows(market, &currency);
    let rivals = [Rival::least_squares(&rows), Rival::ridge(&rows)];
    let (mut ours, mut theirs) = (vec![], [vec![], vec![]]);
    for fresh in &market.fresh {
        let ln_price = currency.units(fresh.sale_price).ln();
        let ln_oracle = fresh.oracle.ln();
        let here = facts(&fresh.bike, market.as_of, &currency);
        let sale = fitted.one_sale(&here);
        ours.push((ln_price, ln_oracle, fitted.ln_value(&here), sale));
        let x = columns(&fresh.bike, market.as_of, false, market.as_of, &currency);
        for (told, rival) in theirs.iter_mut().zip(&rivals) {
            let sale = rival.as_ref().expect("a fit").one_sale(&x);
            told.push((ln_price, ln_oracle, sale.location, vec![(1.0, sale)]));
        }
        let miss = (ln_oracle - ln_price).exp() - 1.0;
        cell.oracle.push(miss.abs());
    }
    cell.model.market(&ours, fitted.levels.that_holds(0.8));
    for (way, told) in cell.rivals.iter_mut().zip(&theirs) {
        way.market(told, 0.8);
    }
}

pub const HEADING: &str = "form            own comps  oracle |  ratio   lean   +-  held   +- |    ols   lean  held |  ridge   lean  held";

/// One row of the table.
pub fn line(form: Form, (own, comps): (usize, usize), cell: &Cell) -> String {
    let oracle = median(cell.oracle.clone());
    let (lean, lean_error) = cell.model.lean();
    let (held, held_error) = cell.model.coverage();
    let mut line = format!(
        "{:<14} {own:>4} {comps:>5}   {:>5.1} | {:>6.2} {lean:>+6.1} {lean_error:>4.1} {held:>5.1} {held_error:>4.1}",
        form.name(),
        100.0 * oracle,
        cell.model.error() / oracle,
    );
    for rival in &cell.rivals {
        let ratio = rival.error() / oracle;
        let (lean, held) = (rival.lean().0, rival.coverage().0);
        line += &format!(" | {ratio:>6.2} {lean:>+6.1} {held:>5.1}");
    }
    line
}

/// Seeds of a run.
pub fn seeds(usual: u64) -> std::ops::Range<u64> {
    let number = |name: &str| std::env::var(name).ok().and_then(|n| n.parse::<u64>().ok());
    let from = number("WHEELWORTH_SEED").unwrap_or(300_000);
    from..from + number("WHEELWORTH_MARKETS").unwrap_or(usual)
}

/// Prints the table.
#[test]
#[ignore = "a report: cargo test --test suite market_cells -- --ignored --nocapture"]
fn market_cells_table() {
    println!("{HEADING}");
    for form in Form::ALL {
        for size in CELLS {
            println!("{}", line(form, size, &cell(form, size, seeds(20))));
        }
    }
}
