//! How far two numbers may differ, in one place, each with its reason.

/// Two routes to the same double-precision number in a well-conditioned
/// problem: some tens of roundings of 1e-16 each.
pub const SAME_NUMBER: f64 = 1e-12;

/// A value computed by a reference library in double precision and cited in
/// full; the room is for the condition numbers of a few thousand met here.
pub const REFERENCE_LIBRARY: f64 = 1e-10;

/// A value cited to eight decimals.
pub const EIGHT_DECIMALS: f64 = 5.1e-9;

/// A value cited to ten decimals.
pub const TEN_DECIMALS: f64 = 5.1e-11;

/// A value cited to six decimals.
pub const SIX_DECIMALS: f64 = 5.1e-7;

/// A value printed to five decimals.
pub const FIVE_DECIMALS: f64 = 5.1e-6;

/// Asserts that `found` is within `tolerance` of `expected`, in the numbers' own unit.
#[track_caller]
pub fn assert_near(what: &str, found: f64, expected: f64, tolerance: f64) {
    let off = (found - expected).abs();
    assert!(
        off <= tolerance,
        "{what}: {found:?}, expected {expected:?}, off by {off:.1e} where {tolerance:.1e} is allowed"
    );
}

/// The same relative to the larger of 1 and the expected value.
#[track_caller]
pub fn assert_close(what: &str, found: f64, expected: f64, tolerance: f64) {
    assert_near(what, found, expected, tolerance * expected.abs().max(1.0));
}

/// [`assert_close`] entry by entry.
#[track_caller]
pub fn assert_all_close(what: &str, found: &[f64], expected: &[f64], tolerance: f64) {
    assert_eq!(found.len(), expected.len(), "{what}: lengths");
    for (i, (f, e)) in found.iter().zip(expected).enumerate() {
        assert_close(&format!("{what} [{i}]"), *f, *e, tolerance);
    }
}

/// Digits that agree with a certified value: the log relative error
/// `-log10(|q - c| / |c|)`, or the log absolute error `-log10 |q|` where c is 0
/// (`McCullough` 1998, The American Statistician 52:358-366, from memory). At
/// most 15, the digits that NIST certifies.
pub fn correct_digits(found: f64, certified: f64) -> f64 {
    let off = if certified == 0.0 {
        found.abs()
    } else {
        ((found - certified) / certified).abs()
    };
    (-off.log10()).clamp(0.0, 15.0)
}

/// The fewest [`correct_digits`] of several values; 0 for a NaN.
pub fn fewest_digits(found: &[f64], certified: &[f64]) -> f64 {
    assert_eq!(found.len(), certified.len());
    found
        .iter()
        .zip(certified)
        .map(|(f, c)| correct_digits(*f, *c))
        .map(|d| if d.is_nan() { 0.0 } else { d })
        .fold(15.0, f64::min)
}
