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
