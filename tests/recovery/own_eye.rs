//! The user's own eye in simulated markets: what a guess of known noise makes of the
//! price, with a record of guesses, with first asks alone, and with none.

use super::against_market::{Tally, markets};
use super::fitted;
use super::market::{Config, Market, stream};
use crate::support::records::in_memory;
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};
use wheelworth::pricing::design::features::facts;
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::statistics::distribution::student_t::quantile;
use wheelworth::trade::Money;

/// What a sale brings in the middle against the bike's worth on the day of listing (ln),
/// so that an honest guess is of the sale and not of the worth. Mean over own sales of
/// these markets.
const A_SALE: f64 = -0.03;
/// What the simulated user asks above the worth.
const FIRST_ASK: f64 = 0.03;

/// How somebody sees.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Sees {
    /// The sale to come, give or take this much (ln).
    GiveOrTake(f64),
    /// The same, all too dear by the second number (ln).
    TooDear(f64, f64),
    /// Some other bike.
    Nothing,
}

/// What the book holds of earlier bikes.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Record {
    Guesses,
    FirstAsks,
    None,
}

impl Sees {
    /// ln of a guess of a bike of this worth, among others.
    fn ln_guess(self, rng: &mut ChaCha8Rng, ln_worth: f64, others: &[f64]) -> f64 {
        let noise: f64 = StandardNormal.sample(rng);
        match self {
            Sees::GiveOrTake(sd) => ln_worth + A_SALE + sd * noise,
            Sees::TooDear(sd, bias) => ln_worth + A_SALE + bias + sd * noise,
            Sees::Nothing => others[rng.random_range(0..others.len())],
        }
    }
}

/// Errors of the price with the guess, and of what stands beside it.
#[derive(Default)]
struct Seen {
    with: Vec<f64>,
    without: Vec<f64>,
    eye: Vec<f64>,
    oracle: Vec<f64>,
    held: Vec<bool>,
    widths: Vec<f64>,
    counts: Vec<f64>,
    lean: f64,
}

impl Seen {
    fn of(
        own: usize,
        comps: usize,
        sees: Sees,
        record: Record,
        seeds: std::ops::Range<u64>,
    ) -> Self {
        let mut seen = Self::default();
        for seed in seeds {
            let config = Config::new(own, comps);
            let mut market = Market::of(seed, &config);
            let mut rng = stream(seed, 77);
            remember(&mut market, &config, sees, record, &mut rng);
            let records = in_memory(&market.sales, &market.comps, &[]);
            let Some(fitted) = fitted(&records, market.as_of, &config.currency) else {
                continue;
            };
            seen.market(&fitted, &market, sees, &mut rng);
        }
        seen
    }

    /// The fresh bikes of one market.
    fn market(&mut self, fitted: &FittedValue, market: &Market, sees: Sees, rng: &mut ChaCha8Rng) {
        let others: Vec<f64> = market.fresh.iter().map(|bike| bike.ln_worth).collect();
        for fresh in &market.fresh {
            let guess = sees.ln_guess(rng, fresh.ln_worth, &others);
            let ln_price = fitted.currency.units(fresh.sale_price).ln();
            let error = |ln: f64| ((ln - ln_price).exp() - 1.0).abs();
            let here = facts(&fresh.bike, market.as_of, &fitted.currency);
            let without = fitted.ln_value(&here);
            let look = fitted
                .eye
                .look(guess - without, fitted.bike_variance(&here));
            let mut sale = fitted.one_sale(&here);
            look.over(&mut sale, fitted.luck_variance());
            self.with.push(error(without + look.moves));
            self.without.push(error(without));
            self.eye.push(error(guess));
            self.oracle.push(error(fresh.oracle.ln()));
            let (low, high) = (quantile(&sale, 0.1), quantile(&sale, 0.9));
            self.held.push((low..=high).contains(&ln_price));
            self.widths.push(high - low);
            self.counts.push(look.weight);
            self.lean += without + look.moves - fresh.oracle.ln();
        }
    }

    fn of_oracle(&self, errors: &[f64]) -> f64 {
        Tally::median_of(errors) / Tally::median_of(&self.oracle)
    }

    fn coverage(&self) -> f64 {
        self.held.iter().filter(|held| **held).count() as f64 / self.held.len() as f64
    }

    fn row(&self, name: &str) -> String {
        let m = Tally::median_of;
        let mean = |all: &[f64]| all.iter().sum::<f64>() / all.len() as f64;
        format!(
            "{name:<34} {:>6.1} {:>6.1} {:>6.1} {:>6.1}  {:>5.2} {:>5.2} {:>5.2}  {:>6.1} {:>6.3} {:>6.2} {:>+7.3}",
            m(&self.oracle),
            m(&self.eye),
            m(&self.without),
            m(&self.with),
            self.of_oracle(&self.eye),
            self.of_oracle(&self.without),
            self.of_oracle(&self.with),
            100.0 * self.coverage(),
            mean(&self.widths),
            mean(&self.counts),
            self.lean / self.with.len() as f64,
        )
    }
}

/// Writes down what was seen of the earlier bikes.
fn remember(
    market: &mut Market,
    config: &Config,
    sees: Sees,
    record: Record,
    rng: &mut ChaCha8Rng,
) {
    let money = |ln: f64| {
        config
            .currency
            .round(ln.exp())
            .unwrap_or(Money::from_minor(1))
    };
    for (sale, ln_worth) in market.sales.iter_mut().zip(&market.ln_worth) {
        let guess = sees.ln_guess(rng, *ln_worth, &market.ln_worth);
        let ask = guess - A_SALE + FIRST_ASK;
        sale.guess = (record == Record::Guesses).then(|| money(guess));
        sale.ask = (record == Record::FirstAsks).then(|| money(ask));
    }
}

const HEADING: &str = "own comps  eye, record                oracle    eye  alone   both  | over oracle: eye alone both  held%  width  counts   lean";

/// With `WHEELWORTH_MARKETS=60` the table of src/guide/simulations.md.
#[test]
#[ignore = "a report: cargo test --test suite eye_table -- --ignored --nocapture"]
fn eye_table() {
    println!("{HEADING}");
    for (own, comps) in [(40, 200), (15, 0), (15, 200), (0, 200)] {
        for sees in [0.1, 0.15, 0.2, 0.3]
            .map(Sees::GiveOrTake)
            .into_iter()
            .chain([Sees::TooDear(0.15, 0.3), Sees::Nothing])
        {
            for record in [Record::Guesses, Record::FirstAsks, Record::None] {
                if own == 0 && record != Record::None {
                    continue;
                }
                let seen = Seen::of(own, comps, sees, record, markets(2));
                let name = format!("{own:>3} {comps:>4}  {sees:?}, {record:?}");
                println!("{}", seen.row(&name));
                assert!(seen.with.iter().chain(&seen.widths).all(|e| e.is_finite()));
            }
        }
    }
}

/// A guess of noise 0.15 beside the price: better than the better of eye and price alone,
/// and against the oracle that sees the row but not the bike.
fn a_good_eye(own: usize, comps: usize) -> Seen {
    let seen = Seen::of(
        own,
        comps,
        Sees::GiveOrTake(0.15),
        Record::Guesses,
        markets(60),
    );
    println!(
        "{HEADING}\n{}",
        seen.row(&format!("{own:>3} {comps:>4}  0.15, guesses"))
    );
    let [with, without, eye] =
        [&seen.with, &seen.without, &seen.eye].map(|errors| Tally::median_of(errors));
    assert!(
        with < without.min(eye),
        "{with} with, {without} without, {eye} by eye"
    );
    assert!(
        (0.77..=0.83).contains(&seen.coverage()),
        "{}",
        seen.coverage()
    );
    seen
}

/// Aimed at: 0.88 times the oracle.
#[test]
fn a_good_eye_in_a_typical_book() {
    let seen = a_good_eye(40, 200);
    let ratio = seen.of_oracle(&seen.with);
    assert!(ratio <= 0.88, "{ratio}");
}

/// Aimed at: the oracle itself.
#[test]
fn a_good_eye_in_a_thin_book() {
    let seen = a_good_eye(15, 0);
    let ratio = seen.of_oracle(&seen.with);
    assert!(ratio <= 1.0, "{ratio}");
}

/// An eye that sees some other bike costs 1 % of the error at most, which is the aim. With
/// 15 sales and no comps the aim is missed: over 240 markets it costs 1.3 %, and 60 stray by
/// 1 % from that, so 3 % there is a regression guard.
#[test]
fn a_useless_eye_costs_nothing() {
    for (own, comps, most) in [(40, 200, 1.01), (15, 0, 1.03)] {
        let seen = Seen::of(own, comps, Sees::Nothing, Record::Guesses, markets(60));
        println!(
            "{HEADING}\n{}",
            seen.row(&format!("{own:>3} {comps:>4}  nothing, guesses"))
        );
        let cost = Tally::median_of(&seen.with) / Tally::median_of(&seen.without);
        assert!(cost <= most, "{own} and {comps}: {cost}");
    }
}
