//! The book as the model's source of records.

use super::failure::Failure;
use crate::accounts::DirectCost;
use crate::book::Book;
use crate::pricing::{Records, RecordsError};
use crate::trade::{AskChange, Comparable, Cost, Day, Sale};
use std::collections::HashMap;

/// The book's sales, asks and costs in memory, its comps streamed, double listings counted once.
pub struct BookRecords<'a> {
    book: &'a Book,
    sales: Vec<Sale>,
    asks: Vec<AskChange>,
    costs: Vec<Cost>,
    weights: HashMap<i64, f64>,
}

impl<'a> BookRecords<'a> {
    /// Reads them and finds the double listings known on `as_of`.
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
            costs: book.costs()?,
            weights,
        })
    }

    /// Money spent, whenever it was.
    pub fn costs(&self) -> &[Cost] {
        &self.costs
    }

    /// What a bike cost up to the day `as_of`, each cost counted once.
    pub fn direct_cost(&self, sale: &Sale, as_of: Day) -> DirectCost {
        let costs = self.costs.iter();
        let of_bike = costs.filter(|cost| cost.bike.as_deref() == Some(&sale.id));
        DirectCost::of(sale, of_bike.filter(|cost| cost.on <= as_of))
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
