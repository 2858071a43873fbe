//! Listings found because they were there on the day of looking are the
//! slow ones. Late entry mends that; taking their ages as they are does not.

use crate::support::tolerance::assert_near;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use statrs::function::gamma::gamma;
use wheelworth::statistics::survival::weibull::{Episode, WeibullFit, WeibullModel};

/// Scale (days) and shape of the true Weibull.
const TRUTH: (f64, f64) = (40.0, 1.2);

/// `scale (-ln(1 - p))^(1 / shape)`.
fn quantile((scale, shape): (f64, f64), p: f64) -> f64 {
    scale * (-(-p).ln_1p()).powf(1.0 / shape)
}

/// `scale Gamma(1 + 1 / shape)`.
fn mean((scale, shape): (f64, f64)) -> f64 {
    scale * gamma(1.0 + 1.0 / shape)
}

/// Listings begin evenly over 400 days (no more than 1 in 10^6 lasts longer); those
/// still there on the last are followed for 30 days more.
fn window(seed: u64, begun: usize) -> Vec<Episode> {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    let mut found = Vec::new();
    for _ in 0..begun {
        let age = 400.0 * chance.random::<f64>();
        let life = quantile(TRUTH, chance.random());
        if life > age {
            let exit = life.min(age + 30.0);
            found.push(Episode {
                x: vec![1.0],
                entry: age,
                exit,
                event: f64::from(u8::from(exit == life)),
                weight: 1.0,
            });
        }
    }
    found
}

fn fit(rows: &[Episode]) -> WeibullFit {
    WeibullModel::flat(&["intercept"]).fit(rows).unwrap()
}

/// Mean of the fits' (location, ln s), of their stated errors squared, and the
/// number of fits.
fn mean_of(fits: &[WeibullFit]) -> ([f64; 2], [f64; 2]) {
    let n = fits.len() as f64;
    let mean = |of: &dyn Fn(&WeibullFit) -> f64| fits.iter().map(of).sum::<f64>() / n;
    (
        [mean(&|f| f.coefficients[0]), mean(&|f| f.ln_scale)],
        [mean(&|f| f.covariance[0]), mean(&|f| f.covariance[3])],
    )
}

#[test]
fn late_entry_recovers_the_days_and_ages_alone_do_not() {
    let books = 100;
    let windows: Vec<_> = (0..books).map(|seed| window(seed, 2_400)).collect();
    let truth = [TRUTH.0.ln(), -TRUTH.1.ln()];

    let fits: Vec<_> = windows.iter().map(|rows| fit(rows)).collect();
    let (average, variance) = mean_of(&fits);
    for i in 0..2 {
        // Four errors of a mean of 100, plus the bias of likelihood of about
        // its variance (order 1 / events).
        let room = 4.0 * (variance[i] / books as f64).sqrt() + variance[i];
        assert_near("with entry", average[i], truth[i], room);
    }
    // The stated errors are those seen: a variance of 100 is known to
    // sqrt(2 / 99) = 14 %, four of which are 57 %.
    for (i, of) in [
        |f: &WeibullFit| f.coefficients[0],
        |f: &WeibullFit| f.ln_scale,
    ]
    .iter()
    .enumerate()
    {
        let seen = fits
            .iter()
            .map(|f| (of(f) - average[i]).powi(2))
            .sum::<f64>()
            / 99.0;
        assert_near("variance seen", seen / variance[i], 1.0, 0.57);
    }

    let naive: Vec<_> = windows
        .iter()
        .map(|rows| {
            let from_start = rows.iter().map(|e| Episode {
                entry: 0.0,
                ..e.clone()
            });
            fit(&from_start.collect::<Vec<_>>())
        })
        .collect();
    let (wrong, variance) = mean_of(&naive);
    // Ages alone say 1.9 times the days (a simulation with scipy of one window of
    // 225, to one decimal): far beyond any error of the fit, in each window too.
    let days = mean((wrong[0].exp(), (-wrong[1]).exp())) / mean(TRUTH);
    assert_near("times too slow", days, 1.9, 0.1);
    for fit in &naive {
        let off = fit.coefficients[0] - truth[0];
        assert!(off > 4.0 * variance[0].sqrt(), "only {off} too long");
    }
}
