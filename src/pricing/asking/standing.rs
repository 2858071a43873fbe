//! Chances of a sale at asks that are given, not chosen.

use super::prospects::{Prospects, Subject, WEEK};
use crate::pricing::time_on_market::FittedTime;

/// Chance of a sale within each of `days` (above 0) of one that is listed now at
/// `asks` (age in days from which on, ln ask; by age, the first at 0; not empty),
/// over what is not known of its value and of the pace. Within a week the hazard
/// is even.
pub fn chances_within<const N: usize>(
    time: &FittedTime,
    subject: &Subject<'_>,
    asks: &[(f64, f64)],
    days: [f64; N],
) -> [f64; N] {
    let longest = days.into_iter().fold(WEEK, f64::max);
    let weeks = (longest / WEEK).ceil() as usize;
    let prospects = Prospects::of(time, &time.fit, subject, weeks);
    let ends = asks.iter().skip(1).map(|a| a.0).chain([f64::INFINITY]);
    let stretches: Vec<(f64, f64, f64)> = asks
        .iter()
        .zip(ends)
        .map(|((from, ask), to)| (*from, to, *ask))
        .collect();
    days.map(|until| {
        let mut hazards = vec![0.0; prospects.weights.len()];
        for week in 0..weeks {
            let (start, end) = (WEEK * week as f64, WEEK * (week + 1) as f64);
            for (from, to, ask) in &stretches {
                let part = (to.min(end).min(until) - from.max(start)).max(0.0) / WEEK;
                if part > 0.0 {
                    prospects.add_hazard(week, *ask, part, &mut hazards);
                }
            }
        }
        let unsold = |(hazard, weight): (&f64, &f64)| weight * (-hazard).exp();
        let stays: f64 = hazards.iter().zip(&prospects.weights).map(unsold).sum();
        (1.0 - stays).clamp(0.0, 1.0)
    })
}
