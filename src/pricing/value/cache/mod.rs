//! What was learnt from many comps, as bytes that can be kept and read back to the
//! last bit, so that the next answer from the same records need not read them all.
//!
//! Kept are the records reduced to an R factor, the listings that tell of the pace of
//! selling, and a few numbers a comp by which the ones like a bike are found
//! ([`index`]). What follows from them is worked out anew. Whoever keeps them has to
//! see that the records are still the same; [`key`] says all else that they depend
//! on. The model is written as CBOR (RFC 8949).

pub mod index;

use super::reduce::Reduced;
use crate::pricing::prior::priors::Priors;
use crate::pricing::time_on_market::SeenListings;
use crate::trade::{Currency, Day};
use index::Years;
use serde::{Deserialize, Serialize};

/// The rules by which records are reduced. Raise it with every change of what
/// [`Reduced`], [`SeenListings`] or [`index`] hold or mean, so that nothing learnt
/// by older rules is used within one version of the program.
pub const RULES: u32 = 7;

/// Comps from which on keeping what was learnt is worth it: with fewer, an answer
/// takes a tenth of a second anyway.
pub const ENOUGH: usize = 20_000;

/// What the answer depends on besides the records: the day, the program's version
/// and its rules, and the shipped beliefs.
pub fn key(as_of: Day) -> String {
    format!(
        "{}, rules {RULES}, beliefs {:016x}, as of {as_of}",
        env!("CARGO_PKG_VERSION"),
        Priors::shipped_fingerprint()
    )
}

/// What is kept of the model.
pub struct KeptModel {
    /// The records, reduced.
    pub reduced: Reduced,
    /// Listings that tell of the pace.
    pub listings: SeenListings,
    /// Model years that the comps name by number.
    pub years: Vec<Years>,
}

#[derive(Serialize, Deserialize)]
struct Written<R, L, Y> {
    reduced: R,
    listings: L,
    years: Y,
}

/// The bytes of what was learnt; `None` if it cannot be written.
pub fn to_bytes(reduced: &Reduced, listings: &SeenListings, years: &[Years]) -> Option<Vec<u8>> {
    let whole = Written {
        reduced,
        listings: listings.kept(),
        years,
    };
    let mut bytes = Vec::new();
    ciborium::into_writer(&whole, &mut bytes).ok()?;
    Some(bytes)
}

/// Back from [`to_bytes`]; `None` for anything else.
pub fn from_bytes(bytes: &[u8], as_of: Day, currency: Currency) -> Option<KeptModel> {
    let whole: Written<Reduced, _, Vec<Years>> = ciborium::from_reader(bytes).ok()?;
    Some(KeptModel {
        reduced: whole.reduced,
        listings: SeenListings::from_kept(whole.listings, as_of, currency),
        years: whole.years,
    })
}
