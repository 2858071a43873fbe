//! The book as the model's source of records.

use super::failure::Failure;
use crate::book::Book;
use crate::pricing::{Records, RecordsError};
use crate::trade::{AskChange, Comparable, Day, Sale};
use std::collections::HashMap;

/// The book's sales and asks in memory, its comps streamed, double listings counted once.
pub struct BookRecords<'a> {
    book: &'a Book,
    sales: Vec<Sale>,
    asks: Vec<AskChange>,
    weights: HashMap<i64, f64>,
}

impl<'a> BookRecords<'a> {
    /// Reads the sales and finds the double listings known on `as_of`.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn of(book: &'a Book, as_of: Day) -> Result<Self, Failure> {
        let mut weights = HashMap::new();
        for group in book.double_listings(as_of)? {
            let weight = 1.0 / group.len() as f64;
            weights.extend(group.into_iter().map(|row| (row, weight)));
        }
        Ok(Self {
            book,
            sales: book.sales()?,
            asks: book.asks()?,
            weights,
        })
    }
}

impl Records for BookRecords<'_> {
    fn sales(&self) -> &[Sale] {
        &self.sales
    }

    fn each_comp(&self, visit: &mut dyn FnMut(&Comparable, f64)) -> Result<(), RecordsError> {
        self.book.each_comp(&mut |row, comp| {
            visit(comp, self.weights.get(&row).copied().unwrap_or(1.0))
        })?;
        Ok(())
    }

    fn ask_changes(&self) -> &[AskChange] {
        &self.asks
    }
}
