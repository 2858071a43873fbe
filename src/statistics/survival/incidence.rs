//! Shares that have ended by one of two causes: the Aalen-Johansen estimate.
//!
//! `F_c(t) = sum S(t-) d_c / n` over the ages up to t, S the share still there
//! (Aalen & Johansen 1978, from memory). Counting the other cause as censored
//! instead would answer what happened if it did not exist.

use super::kaplan_meier::{log_log, two_sided};
use super::problem::DurationProblem;
use super::risk_sets::{Course, risk_sets};

/// What has ended by each of two causes, by age.
#[derive(Clone, Debug, PartialEq)]
pub struct Incidence {
    /// Confidence of the limits.
    pub level: f64,
    /// The rises, earliest first.
    pub rises: Vec<Rise>,
    /// Sum of the weights of the lives that were seen for any time.
    pub lives: f64,
    /// Sum of the events of each cause.
    pub events: [f64; 2],
    /// Longest age seen.
    pub last: f64,
    z: f64,
}

/// Where the estimates stand after one age with events.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rise {
    /// Age.
    pub time: f64,
    /// Lives under watch just before.
    pub at_risk: f64,
    /// Share ended by each cause.
    pub share: [f64; 2],
    /// Standard error of each.
    pub standard_error: [f64; 2],
    /// Share not ended.
    pub survival: f64,
}

/// Running sums of the variance of one cause; see [`Incidence::of`].
#[derive(Clone, Copy, Default)]
struct Spread {
    share: f64,
    all: [f64; 3],
    own: f64,
    both: [f64; 2],
}

impl Incidence {
    /// The two shares by age. Risk sets are those of the survival curve: under
    /// watch at t are the lives with `entry < t <= exit`.
    ///
    /// The variance is the delta method's (Marubini & Valsecchi 1995, p. 341,
    /// from memory; with no censoring it is `F (1 - F) / n`), summed over the
    /// ages a up to t, with d events of both causes and d_c of this one among n:
    ///
    /// ```text
    ///   sum (F(t) - F(a))^2 d / (n (n - d)) + sum S(a-)^2 d_c (n - d_c) / n^3
    /// - 2 sum (F(t) - F(a)) S(a-) d_c / n^2
    /// ```
    ///
    /// # Errors
    /// As for [`SurvivalCurve::of`](super::kaplan_meier::SurvivalCurve::of).
    pub fn of(courses: &[Course], level: f64) -> Result<Self, DurationProblem> {
        let z = two_sided(level)?;
        let sets = risk_sets(courses.iter().copied())?;
        let mut survival = 1.0;
        let mut spreads = [Spread::default(); 2];
        let mut rises = Vec::with_capacity(sets.moments.len());
        for at in &sets.moments {
            let n = at.at_risk;
            for (spread, d) in spreads.iter_mut().zip(at.events) {
                let rise: f64 = survival * d / n;
                spread.share += rise;
                spread.own += rise * rise * (n - d) / (n * d.max(f64::MIN_POSITIVE));
                spread.both[0] += rise / n;
                spread.both[1] += spread.share * rise / n;
                if at.left > 0.0 {
                    let both = (at.events[0] + at.events[1]) / (n * at.left);
                    spread.all[0] += both;
                    spread.all[1] += both * spread.share;
                    spread.all[2] += both * spread.share * spread.share;
                }
            }
            survival *= at.left / n;
            rises.push(Rise {
                time: at.time,
                at_risk: n,
                share: spreads.map(|s| s.share.min(1.0)),
                standard_error: spreads.map(|s| s.variance().max(0.0).sqrt()),
                survival,
            });
        }
        Ok(Self {
            level,
            rises,
            lives: sets.lives,
            events: sets.events,
            last: sets.last,
            z,
        })
    }

    fn at(&self, t: f64) -> Option<&Rise> {
        let after = self.rises.partition_point(|rise| rise.time <= t);
        self.rises[..after].last()
    }

    /// Share ended by each cause by age `t`.
    pub fn share(&self, t: f64) -> [f64; 2] {
        self.at(t).map_or([0.0; 2], |rise| rise.share)
    }

    /// Standard error of each share.
    pub fn standard_error(&self, t: f64) -> [f64; 2] {
        self.at(t).map_or([0.0; 2], |rise| rise.standard_error)
    }

    /// Limits of each share, on the scale of `ln(-ln share)` (Choudhury 2002,
    /// *Statistics in Medicine* 21, from memory); the share itself at 0 and 1.
    pub fn limits(&self, t: f64) -> [(f64, f64); 2] {
        let (share, error) = (self.share(t), self.standard_error(t));
        [0, 1].map(|cause| log_log(share[cause], error[cause], self.z))
    }
}

impl Spread {
    /// The formula of [`Incidence::of`] with its squares multiplied out, so
    /// that one pass serves every age.
    fn variance(&self) -> f64 {
        let f = self.share;
        f * f * self.all[0] - 2.0 * f * self.all[1] + self.all[2] + self.own
            - 2.0 * (f * self.both[0] - self.both[1])
    }
}
