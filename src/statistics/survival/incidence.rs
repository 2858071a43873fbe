//! Shares that have ended by one of two causes: the Aalen-Johansen estimate.
//!
//! `F_c(t) = sum S(t-) d_c / n` over the ages up to t, S the share still there
//! (Aalen & Johansen 1978, from memory). Counting the other cause as censored
//! instead would answer what happened if it did not exist.

use super::problem::DurationProblem;
use super::risk_sets::{Course, risk_sets};

/// What has ended by each of two causes, by age.
#[derive(Clone, Debug, PartialEq)]
pub struct Incidence {
    /// The rises, earliest first.
    pub rises: Vec<Rise>,
    /// Sum of the weights of the lives that were seen for any time.
    pub lives: f64,
    /// Sum of the events of each cause.
    pub events: [f64; 2],
    /// Longest age seen.
    pub last: f64,
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
    /// Share not ended.
    pub survival: f64,
}

impl Incidence {
    /// The two shares by age. Risk sets are those of the survival curve: under
    /// watch at t are the lives with `entry < t <= exit`.
    ///
    /// # Errors
    /// As for [`SurvivalCurve::of`](super::kaplan_meier::SurvivalCurve::of).
    pub fn of(courses: &[Course]) -> Result<Self, DurationProblem> {
        let sets = risk_sets(courses.iter().copied())?;
        let (mut survival, mut share) = (1.0, [0.0_f64; 2]);
        let mut rises = Vec::with_capacity(sets.moments.len());
        for at in &sets.moments {
            for (share, events) in share.iter_mut().zip(at.events) {
                *share += survival * events / at.at_risk;
            }
            survival *= at.left / at.at_risk;
            rises.push(Rise {
                time: at.time,
                at_risk: at.at_risk,
                share: share.map(|share| share.min(1.0)),
                survival,
            });
        }
        Ok(Self {
            rises,
            lives: sets.lives,
            events: sets.events,
            last: sets.last,
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
}
