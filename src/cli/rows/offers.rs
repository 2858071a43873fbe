//! Offers that were made, from a file that the program wrote.

use super::importable::{Importable, Meet, Refusal};
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::intake::{CellProblem, Offers};
use crate::trade::KeptOffer;

impl Importable for Offers {
    type Beside = ();
    const ONE: &'static str = "offer";
    const ID: &'static str = "bike";

    fn beside(_: &Book) -> Result<(), BookProblem> {
        Ok(())
    }

    fn put(
        import: &mut Import<'_>,
        record: &KeptOffer,
        _: Repeat,
        _: Meet<'_, KeptOffer>,
    ) -> Result<Put, BookProblem> {
        import.put_offer(record)
    }

    fn put_before_ids(record: &mut KeptOffer, prefix: &str) {
        record.bike.insert_str(0, prefix);
    }

    fn name(record: &KeptOffer) -> String {
        format!("offer for {} on {}", record.bike, record.on)
    }

    fn twice(record: &KeptOffer) -> Refusal {
        let expected = format!("a day that stands once for {} in the file", record.bike);
        let mend = "Keep the row that is right: the last offer of a day counts.";
        ("on", CellProblem::new(expected, mend))
    }
}
