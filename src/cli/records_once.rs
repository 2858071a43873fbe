//! All records read once, and shown as they were known on any day: what is tried
//! hundreds of times need not read the book as often.

use super::book_records::{weight_at, weights};
use crate::book::{Book, BookProblem, LikeListings};
use crate::pricing::{Records, RecordsError};
use crate::trade::{AskChange, Bike, Comparable, Day, Sale};

/// Sales, asks and comps in memory.
pub(super) struct RecordsOnce {
    sales: Vec<Sale>,
    asks: Vec<AskChange>,
    /// With their rows, in the order of these.
    comps: Vec<(i64, Comparable)>,
    alike: LikeListings,
}

impl RecordsOnce {
    /// Reads the book.
    ///
    /// # Errors
    /// When it cannot be read.
    pub(super) fn of(book: &Book) -> Result<Self, BookProblem> {
        let mut comps = Vec::new();
        book.each_comp(&mut |row, comp| comps.push((row, comp.clone())))?;
        Ok(Self {
            sales: book.sales()?,
            asks: book.asks()?,
            comps,
            alike: book.like_listings()?,
        })
    }

    /// The records with the double listings known on `day` counted once.
    pub(super) fn known_on(&self, day: Day) -> OnDay<'_> {
        OnDay {
            records: self,
            weights: weights(self.alike.groups_on(day)),
        }
    }
}

/// The records on a day.
pub(super) struct OnDay<'r> {
    records: &'r RecordsOnce,
    weights: Vec<(i64, f64)>,
}

impl Records for OnDay<'_> {
    fn sales(&self) -> &[Sale] {
        &self.records.sales
    }

    fn each_comp(&self, visit: &mut dyn FnMut(i64, &Comparable, f64)) -> Result<(), RecordsError> {
        let mut weights = self.weights.iter().peekable();
        for (row, comp) in &self.records.comps {
            let weight = weights.next_if(|weight| weight.0 == *row);
            visit(*row, comp, weight.map_or(1.0, |weight| weight.1));
        }
        Ok(())
    }

    fn each_price_as_it_comes(
        &self,
        visit: &mut dyn FnMut(i64, &Comparable),
    ) -> Result<(), RecordsError> {
        let comps = self.records.comps.iter();
        comps.for_each(|(row, comp)| visit(*row, comp));
        Ok(())
    }

    fn bikes_of(&self, keys: &[i64]) -> Result<Vec<Option<(Bike, f64)>>, RecordsError> {
        let comps = &self.records.comps;
        let bike = |key: &i64| {
            let place = comps.binary_search_by_key(key, |comp| comp.0).ok()?;
            Some((comps[place].1.bike, weight_at(&self.weights, *key)))
        };
        Ok(keys.iter().map(bike).collect())
    }

    fn ask_changes(&self) -> &[AskChange] {
        &self.records.asks
    }
}
