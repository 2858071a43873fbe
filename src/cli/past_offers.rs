//! What the kept offers teach.

use crate::accounts::forecast::{errors, forecasts};
use crate::book::{Book, BookProblem};
use crate::pricing::offer::OfferCorrection;
use crate::trade::Day;

/// What the kept offers teach that were bought and sold by `as_of`.
///
/// # Errors
/// The book cannot be read.
pub(super) fn learnt(book: &Book, as_of: Day) -> Result<OfferCorrection, BookProblem> {
    let offers = book.offers(as_of)?;
    if offers.is_empty() {
        return Ok(OfferCorrection::default());
    }
    let all = forecasts(&offers, &book.sales()?, &book.costs()?, as_of);
    Ok(OfferCorrection::from_errors(&errors(&all)))
}
