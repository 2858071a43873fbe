//! A priced bike with what stands beside its quote: data alone, filled where a bike
//! is asked about.

use super::Quote;
use crate::pricing::inspection::InspectionVerdict;
use crate::pricing::records::nearest::Neighbour;

/// A quote with its neighbours.
pub struct Priced {
    /// The quote.
    pub quote: Quote,
    /// Nearest comps, nearest first; empty when many bikes were priced at once.
    pub comps: Vec<Neighbour>,
    /// Nearest own sales.
    pub sales: Vec<Neighbour>,
    /// What its latest inspection says; `None` too where no own bike is priced.
    pub verdict: Option<InspectionVerdict>,
}
