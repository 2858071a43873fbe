//! The best plan for the true buyers, by one who knows them and the bike:
//! dynamic programming over weekly asks on price points.

use super::policy::{Policy, Prospect, Stretch, WEEKS};

/// The step of the price points for a value: the one of 1, 2, 5, 10, 20, 50, …
/// currency units that is nearest (in the logarithm) to 2 % of it.
pub fn step_for(value: f64) -> f64 {
    let near = |step: &f64| (step / (0.02 * value)).ln().abs();
    let steps = (0..5).flat_map(|e| [1.0, 2.0, 5.0].map(|s| s * 10_f64.powi(e)));
    steps
        .min_by(|a, b| near(a).total_cmp(&near(b)))
        .expect("there are steps")
}

/// Price points from half to twice the value, lowest first.
pub fn points(value: f64) -> Vec<f64> {
    points_between(0.5 * value, 2.0 * value, step_for(value))
}

/// Multiples of `step` that reach from `low` to `high`, lowest first.
pub fn points_between(low: f64, high: f64, step: f64) -> Vec<f64> {
    let (low, high) = ((low / step).floor().max(1.0), (high / step).ceil());
    (low as usize..=high as usize)
        .map(|n| n as f64 * step)
        .collect()
}

/// The best plan and what it is worth.
#[derive(Clone, Debug)]
pub struct Best {
    /// The plan.
    pub policy: Policy,
    /// Its expected present value.
    pub present_value: f64,
}

/// The best plan on the price points of the true worth, with at most so many
/// cuts (`None`: any number).
pub fn best(prospect: &Prospect, most_cuts: Option<usize>) -> Best {
    best_on(prospect, &points(prospect.worth), most_cuts)
}

/// The best plan with asks out of `asks` (lowest first).
pub fn best_on(prospect: &Prospect, asks: &[f64], most_cuts: Option<usize>) -> Best {
    let weeks: Vec<Vec<Stretch>> = (0..WEEKS)
        .map(|week| asks.iter().map(|ask| prospect.week(week, *ask)).collect())
        .collect();
    let (chosen, present_value) = solve(&weeks, prospect.left, most_cuts);
    let weekly: Vec<f64> = chosen.iter().map(|place| asks[*place]).collect();
    Best {
        policy: Policy::weekly(&weekly),
        present_value,
    }
}

/// The choice of an ask (by its place) for each period, never rising, that has
/// the greatest value; `periods[n][j]` is what ask `j` does in period `n`.
pub fn solve(periods: &[Vec<Stretch>], left: f64, most_cuts: Option<usize>) -> (Vec<usize>, f64) {
    let asks = periods[0].len();
    let levels = most_cuts.map_or(1, |cuts| cuts + 1);
    // values[c][j]: from this period on, its ask being j, with c cuts to spare.
    let mut values = vec![vec![left; asks]; levels];
    // moves[n][c][j]: the place of the ask after period n.
    let mut moves = vec![vec![vec![0; asks]; levels]; periods.len()];
    for (n, period) in periods.iter().enumerate().rev() {
        let mut now = values.clone();
        for c in 0..levels {
            let lower = match most_cuts {
                None => Some(&values[0]),
                Some(_) => c.checked_sub(1).map(|fewer| &values[fewer]),
            };
            let mut below = (0, f64::NEG_INFINITY);
            for j in 0..asks {
                let mut next = (j, values[c][j]);
                if below.1 > next.1 {
                    next = below;
                }
                if let Some(lower) = lower.filter(|lower| lower[j] > below.1) {
                    below = (j, lower[j]);
                }
                moves[n][c][j] = next.0;
                now[c][j] = period[j].gain + period[j].carry * next.1;
            }
        }
        values = now;
    }
    let top = &values[levels - 1];
    let first = (0..asks)
        .max_by(|a, b| top[*a].total_cmp(&top[*b]))
        .expect("there are asks");
    let (mut place, mut cuts) = (first, levels - 1);
    let mut chosen = Vec::with_capacity(periods.len());
    for step in &moves {
        chosen.push(place);
        let next = step[cuts][place];
        if next != place {
            cuts = cuts.saturating_sub(1);
        }
        place = next;
    }
    (chosen, top[first])
}
