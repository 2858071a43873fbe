//! The share that is given away, rounded once.

/// `share` (hundredths of a percent, 1 to 10,000) of an amount in minor units,
/// rounded half up to the minor unit; below 0 by symmetry, so that what is taken
/// back is what was given.
pub(super) fn of(amount: i128, share: u16) -> i128 {
    let whole = 10_000_i128;
    let twice = 2 * amount.abs() * i128::from(share);
    amount.signum() * ((twice + whole) / (2 * whole))
}
