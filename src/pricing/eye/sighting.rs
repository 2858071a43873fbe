//! What was said of a bike before its sale, beside what it brought.

/// Where a look at a bike comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EyeSource {
    /// Guesses, made before the program had said anything.
    Guess,
    /// First asks: a guess and a habit of asking.
    FirstAsk,
    /// Nothing yet: what is believed of an eye before any record.
    Trade,
}

/// A sold bike as its owner saw it. All in log points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sighting {
    /// ln of the guess (or first ask) less ln of the value told without this sale.
    pub guess: f64,
    /// ln of the sale price less the same.
    pub price: f64,
    /// Variance of the bike's own worth around that value.
    pub bike: f64,
    /// Variance of a sale around the bike's own worth: who comes, how they haggle.
    pub luck: f64,
}

/// By how much an eye missed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Miss {
    /// ln of the guess less what the sale says of the bike's worth.
    pub off: f64,
    /// Variance of what the sale says.
    pub variance: f64,
}

impl Sighting {
    pub(super) fn miss(&self) -> Miss {
        let all = self.bike + self.luck;
        let told = if all > 0.0 { self.bike / all } else { 0.0 };
        Miss {
            off: self.guess - told * self.price,
            variance: told * self.luck,
        }
    }
}
