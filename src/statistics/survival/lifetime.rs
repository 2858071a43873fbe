//! What a Weibull lifetime says of days: means, medians, what remains.

use statrs::function::gamma::ln_gamma;

/// A Weibull lifetime, `S(t) = exp(-(t / scale)^shape)`.
///
/// The closed forms follow from the incomplete gamma function of `1 / shape`
/// (Johnson, Kotz & Balakrishnan, *Continuous Univariate Distributions*, vol. 1,
/// ch. 21, from memory). They are written in the few terms that neither overflow
/// nor cancel, for any shape: a series of positive terms below
/// `z = 1 / shape + 1`, `z = (t / scale)^shape`, and a continued fraction above
/// (Abramowitz & Stegun 6.5.29 and 6.5.31, from memory).
///
/// ```
/// use wheelworth::statistics::survival::lifetime::Lifetime;
/// let days = Lifetime { scale: 40.0, shape: 1.5 };
/// assert!((days.mean() - 36.1098117).abs() < 1e-7);
/// assert!((days.remaining_mean(20.0) - 26.5609109).abs() < 1e-7);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lifetime {
    /// Age by which 63 % have ended, above 0.
    pub scale: f64,
    /// Above 1 ends come faster with age, below 1 slower; above 0.
    pub shape: f64,
}

/// Terms after which a series or fraction is cut off; near `z = 1 / shape + 1`
/// some tens are needed, at a shape of 0.001 about 300.
const TERMS: usize = 5_000;

impl Lifetime {
    /// The lifetime with `ln T = location + exp(ln_scale) W`, the parameters of
    /// a [`WeibullFit`](super::weibull::WeibullFit).
    pub fn of(location: f64, ln_scale: f64) -> Self {
        Self {
            scale: location.exp(),
            shape: (-ln_scale).exp(),
        }
    }

    fn hazard(&self, t: f64) -> f64 {
        (t.max(0.0) / self.scale).powf(self.shape)
    }

    /// Share that lives beyond age `t`.
    pub fn survival(&self, t: f64) -> f64 {
        (-self.hazard(t)).exp()
    }

    /// Age by which a share `p` has ended, `0 <= p < 1`.
    pub fn quantile(&self, p: f64) -> f64 {
        self.scale * (-(-p).ln_1p()).powf(1.0 / self.shape)
    }

    /// Age by which half have ended.
    pub fn median(&self) -> f64 {
        self.quantile(0.5)
    }

    /// Mean age at the end, `scale Gamma(1 + 1 / shape)`. It rests on the far tail,
    /// and is infinite where a double holds no such number (shapes below
    /// about 0.006): show [`restricted_mean`](Self::restricted_mean) instead.
    pub fn mean(&self) -> f64 {
        (self.scale.ln() + ln_gamma(1.0 + 1.0 / self.shape)).exp()
    }

    /// Mean age at the end, none counted beyond `until`.
    pub fn restricted_mean(&self, until: f64) -> f64 {
        let z = self.hazard(until);
        if until <= 0.0 {
            0.0
        } else if z < self.turn() {
            until * (-z).exp() * self.series(z)
        } else {
            self.mean() - (-z).exp() * self.beyond(until, z)
        }
    }

    /// Mean time still to come at age `age`; infinite where the mean is.
    pub fn remaining_mean(&self, age: f64) -> f64 {
        let z = self.hazard(age);
        if age <= 0.0 {
            self.mean()
        } else if z < self.turn() {
            z.exp() * self.mean() - age * self.series(z)
        } else {
            self.beyond(age, z)
        }
    }

    /// Mean time still to come at age `age`, none counted beyond `until` more.
    pub fn remaining_restricted_mean(&self, age: f64, until: f64) -> f64 {
        let age = age.max(0.0);
        let (now, then) = (self.hazard(age), self.hazard(age + until));
        if until <= 0.0 {
            0.0
        } else if now < self.turn() {
            let area = self.restricted_mean(age + until) - self.restricted_mean(age);
            (now.exp() * area).min(until)
        } else {
            let left = if then.is_finite() {
                (now - then).exp()
            } else {
                0.0
            };
            self.beyond(age, now) - left * self.beyond(age + until, then)
        }
    }

    /// Time by which a share `p` of those of age `age` have ended.
    pub fn remaining_quantile(&self, age: f64, p: f64) -> f64 {
        let (age, hazard) = (age.max(0.0), self.hazard(age));
        let more = -(-p).ln_1p();
        if hazard > more {
            // The same without the difference of two nearly equal ages.
            age * ((more / hazard).ln_1p() / self.shape).exp_m1()
        } else {
            self.scale * (hazard + more).powf(1.0 / self.shape) - age
        }
    }

    /// Time by which half of those of age `age` have ended.
    pub fn remaining_median(&self, age: f64) -> f64 {
        self.remaining_quantile(age, 0.5)
    }

    /// Where the series hands over to the fraction.
    fn turn(&self) -> f64 {
        1.0 + 1.0 / self.shape
    }

    /// `sum z^n / ((a + 1) ... (a + n))` with `a = 1 / shape`, so that the
    /// area below S up to t is `t exp(-z)` times it.
    fn series(&self, z: f64) -> f64 {
        let a = 1.0 / self.shape;
        let (mut sum, mut term) = (1.0, 1.0);
        for n in 1..TERMS {
            term *= z / (a + n as f64);
            sum += term;
            if term < 1e-17 * sum {
                break;
            }
        }
        sum
    }

    /// Area below S beyond age t, over S(t): `a t / (z + (1 - a) / (1 + 1 / (z +
    /// ...)))`, in the form of Lentz (Numerical Recipes, ch. 6.2, from memory).
    fn beyond(&self, t: f64, z: f64) -> f64 {
        let a = 1.0 / self.shape;
        if z > 1e15 {
            return a * t / z;
        }
        let mut b = z + 1.0 - a;
        let mut c = f64::INFINITY;
        let mut d = 1.0 / b;
        let mut fraction = d;
        for n in 1..TERMS {
            let n = n as f64;
            let numerator = -n * (n - a);
            b += 2.0;
            d = 1.0 / (numerator * d + b);
            c = b + numerator / c;
            fraction *= c * d;
            if (c * d - 1.0).abs() < 1e-16 {
                break;
            }
        }
        a * t * fraction
    }
}
