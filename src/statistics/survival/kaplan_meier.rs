//! The Kaplan-Meier curve, with Greenwood's error and log-log limits.
//!
//! `S(t) = prod (1 - d / n)` over the ages up to t with events, d the events
//! and n the lives under watch (Kaplan & Meier 1958). Its error is Greenwood's,
//! `S sqrt(sum d / (n (n - d)))`, and the limits are taken on the scale of
//! `ln(-ln S)`, which keeps them between 0 and 1 (Kalbfleisch & Prentice, *The
//! Statistical Analysis of Failure Time Data*, ch. 1, from memory):
//! `S^exp(+-z e)`, `e = sqrt(sum d / (n (n - d))) / |ln S|`.

use super::problem::DurationProblem;
use super::risk_sets::{Course, risk_sets};
use statrs::distribution::{ContinuousCDF, Normal};

/// One life, by ages: seen from `entry` to `exit`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Life {
    /// Age at first sight; 0 unless it was found late.
    pub entry: f64,
    /// Age at the event, or when it was last seen.
    pub exit: f64,
    /// The share of it that is an event: 1 an event, 0 censored, between them
    /// where the reason of the end is partly known.
    pub event: f64,
    /// How many such lives the row stands for.
    pub weight: f64,
}

/// One fall of the curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Age.
    pub time: f64,
    /// Lives under watch just before.
    pub at_risk: f64,
    /// Events at that age.
    pub events: f64,
    /// Share that lives beyond it.
    pub survival: f64,
    /// Greenwood's standard error of `survival`; 0 where that is 0.
    pub standard_error: f64,
    /// Lower log-log limit.
    pub low: f64,
    /// Upper log-log limit.
    pub high: f64,
}

/// A Kaplan-Meier curve.
///
/// Before the first event the curve and both limits are 1: log-log limits say
/// nothing there. Where the curve reaches 0 the error is not defined; the lower
/// limit is 0 and the upper one stays as it was (judgement), 1 if there was none.
/// With late entries the curve can reach 0 while lives still enter, and stays
/// there.
///
/// ```
/// use wheelworth::statistics::survival::kaplan_meier::{Life, SurvivalCurve};
/// let life = |exit, event| Life { entry: 0.0, exit, event, weight: 1.0 };
/// let curve = SurvivalCurve::of(&[life(3.0, 1.0), life(4.0, 0.0), life(9.0, 1.0)], 0.95)?;
/// assert!((curve.survival(5.0) - 2.0 / 3.0).abs() < 1e-12);
/// assert_eq!(curve.median(), Some(9.0));
/// # Ok::<(), wheelworth::statistics::DurationProblem>(())
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct SurvivalCurve {
    /// Confidence of the limits, such as 0.95.
    pub level: f64,
    /// The falls of the curve, earliest first; empty without an event.
    pub steps: Vec<Step>,
    /// Sum of the weights of the lives that were seen for any time.
    pub lives: f64,
    /// Sum of their events.
    pub events: f64,
    /// Longest age seen.
    pub last: f64,
}

/// Room for rounding when a curve is compared with a share: the product of
/// some thousand factors.
const ROUNDING: f64 = 1e-12;

impl SurvivalCurve {
    /// The curve of these lives, with limits at `level`. A life with
    /// `exit <= entry` carries nothing. Weights count as that many lives, in
    /// the errors too.
    ///
    /// # Errors
    /// [`DurationProblem::Number`] for a number that is not finite, negative or
    /// (events) above 1, [`DurationProblem::Nothing`] when no life was seen for
    /// any time, [`DurationProblem::Level`] for a level outside (0, 1).
    pub fn of(lives: &[Life], level: f64) -> Result<Self, DurationProblem> {
        let z = two_sided(level)?;
        let sets = risk_sets(lives.iter().map(|life| Course {
            entry: life.entry,
            exit: life.exit,
            events: [life.event, 0.0],
            weight: life.weight,
        }))?;
        let mut steps = Vec::with_capacity(sets.moments.len());
        let (mut survival, mut spread, mut high) = (1.0, 0.0, 1.0);
        for at in &sets.moments {
            let mut low = 0.0;
            survival *= at.left / at.at_risk;
            if survival > 0.0 {
                spread += at.events[0] / (at.at_risk * at.left);
                (low, high) = log_log(survival, survival * spread.sqrt(), z);
            }
            steps.push(Step {
                time: at.time,
                at_risk: at.at_risk,
                events: at.events[0],
                survival,
                standard_error: if survival > 0.0 {
                    survival * spread.sqrt()
                } else {
                    0.0
                },
                low,
                high,
            });
        }
        Ok(Self {
            level,
            steps,
            lives: sets.lives,
            events: sets.events[0],
            last: sets.last,
        })
    }

    /// Share that lives beyond age `t`. After the longest age seen it stays.
    pub fn survival(&self, t: f64) -> f64 {
        let after = self.steps.partition_point(|step| step.time <= t);
        self.steps[..after].last().map_or(1.0, |step| step.survival)
    }

    fn first_at_most(&self, share: f64, of: impl Fn(&Step) -> f64) -> Option<f64> {
        let reached = self.steps.iter().find(|step| of(step) <= share + ROUNDING);
        reached.map(|step| step.time)
    }

    /// First age by which a share `p` of the lives has had its event; none if
    /// that many were never seen to.
    pub fn quantile(&self, p: f64) -> Option<f64> {
        self.first_at_most(1.0 - p, |step| step.survival)
    }

    /// First age at which half or less is left; none if that was never reached.
    pub fn median(&self) -> Option<f64> {
        self.quantile(0.5)
    }

    /// Limits of the median: the first ages at which the lower and the upper
    /// limit of the curve are at most one half (Brookmeyer & Crowley 1982, from
    /// memory). None where a limit never is.
    pub fn median_limits(&self) -> (Option<f64>, Option<f64>) {
        (
            self.first_at_most(0.5, |step| step.low),
            self.first_at_most(0.5, |step| step.high),
        )
    }

    /// Mean of the ages, none counted beyond `until`: the area below the curve
    /// up to there. After the longest age seen the curve is held level, so that
    /// part is an upper bound.
    pub fn restricted_mean(&self, until: f64) -> f64 {
        let (mut area, mut from, mut height) = (0.0, 0.0, 1.0);
        for step in self.steps.iter().take_while(|step| step.time < until) {
            area += height * (step.time - from);
            (from, height) = (step.time, step.survival);
        }
        area + height * f64::max(until - from, 0.0)
    }
}

/// Standard normal quantile that leaves `1 - level` outside, half on each side.
fn two_sided(level: f64) -> Result<f64, DurationProblem> {
    if !(level > 0.0 && level < 1.0) {
        return Err(DurationProblem::Level(level));
    }
    let normal = Normal::new(0.0, 1.0).map_err(|_| DurationProblem::Level(level))?;
    Ok(normal.inverse_cdf(0.5 + level / 2.0))
}

/// Limits of a share taken on the scale of `ln(-ln share)`; the share itself
/// where that scale ends (0 and 1).
fn log_log(share: f64, error: f64, z: f64) -> (f64, f64) {
    if share <= 0.0 || share >= 1.0 {
        return (share, share);
    }
    let reach = z * error / (share * -share.ln());
    (share.powf(reach.exp()), share.powf((-reach).exp()))
}
