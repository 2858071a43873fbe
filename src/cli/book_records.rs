//! The book as the model's source of records.

use crate::accounts::DirectCost;
use crate::book::{Book, BookProblem};
use crate::pricing::{Records, RecordsError};
use crate::trade::{AskChange, Comparable, Cost, Day, Sale};
use std::borrow::Borrow;
use std::collections::HashMap;

/// The book's sales, asks and costs in memory, its comps streamed, double listings counted once.
/// The book is borrowed, or its own.
pub struct BookRecords<B: Borrow<Book>> {
    book: B,
    sales: Vec<Sale>,
    asks: Vec<AskChange>,
    costs: Vec<Cost>,
    weights: HashMap<i64, f64>,
}

impl<B: Borrow<Book>> BookRecords<B> {
    /// Reads them and finds the double listings known on `as_of`.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub fn of(book: B, as_of: Day) -> Result<Self, BookProblem> {
        let mut weights = HashMap::new();
        let kept = book.borrow();
        for group in kept.double_listings(as_of)? {
            let weight = 1.0 / group.len() as f64;
            weights.extend(group.into_iter().map(|row| (row, weight)));
        }
        let (sales, asks, costs) = (kept.sales()?, kept.asks()?, kept.costs()?);
        Ok(Self {
            book,
            sales,
            asks,
            costs,
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

impl<B: Borrow<Book>> Records for BookRecords<B> {
    fn sales(&self) -> &[Sale] {
        &self.sales
    }

    fn each_comp(&self, visit: &mut dyn FnMut(&Comparable, f64)) -> Result<(), RecordsError> {
        self.book.borrow().each_comp(&mut |row, comp| {
            visit(comp, self.weights.get(&row).copied().unwrap_or(1.0))
        })?;
        Ok(())
    }

    fn ask_changes(&self) -> &[AskChange] {
        &self.asks
    }
}
