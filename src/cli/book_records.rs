//! The book as the model's source of records.

use crate::accounts::DirectCost;
use crate::book::{Book, BookProblem, State};
use crate::pricing::asking::pace::{MONTHS, Turn};
use crate::pricing::{Records, RecordsError};
use crate::trade::calendar::days_between;
use crate::trade::{AskChange, Bike, Comparable, Cost, Currency, Day, Sale};
use jiff::ToSpan as _;
use std::cell::OnceCell;

/// The book's sales, asks and costs in memory, its comps streamed, double listings counted once.
pub(super) struct BookRecords<'b> {
    book: &'b Book,
    as_of: Day,
    state: Option<State>,
    sales: Vec<Sale>,
    asks: Vec<AskChange>,
    costs: Vec<Cost>,
    /// Rows that count less than 1, in order, with their weights.
    weights: OnceCell<Vec<(i64, f64)>>,
}

impl<'b> BookRecords<'b> {
    /// Reads them; the double listings are those known on `as_of`.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(super) fn of(book: &'b Book, as_of: Day) -> Result<Self, BookProblem> {
        let state = book.state();
        let (sales, asks, costs) = (book.sales()?, book.asks()?, book.costs()?);
        Ok(Self {
            book,
            as_of,
            state,
            sales,
            asks,
            costs,
            weights: OnceCell::new(),
        })
    }

    /// The book.
    pub(super) fn book(&self) -> &'b Book {
        self.book
    }

    /// The book's state before it was read.
    pub(super) fn state(&self) -> Option<State> {
        self.state
    }

    /// Money spent, whenever it was.
    pub(super) fn costs(&self) -> &[Cost] {
        &self.costs
    }

    /// What a bike cost up to the day `as_of`, each cost counted once.
    pub(super) fn direct_cost(&self, sale: &Sale, as_of: Day) -> DirectCost {
        let costs = self.costs.iter();
        let of_bike = costs.filter(|cost| cost.bike.as_deref() == Some(&sale.id));
        DirectCost::of(sale, of_bike.filter(|cost| cost.on <= as_of))
    }

    /// Own bikes of the last two years whose cost is known, bought and sold up to the
    /// day of the answer.
    pub(super) fn turns(&self, currency: &Currency) -> Vec<Turn> {
        let from = self.as_of.saturating_sub(MONTHS.months());
        let turn = |sale: &Sale| {
            let sold = sale.sold_by(self.as_of).filter(|sold| sold.on >= from)?;
            let cost = self.direct_cost(sale, self.as_of).known()?;
            let bought = sale.bought_on.or(sale.listed_on)?;
            let price = currency.units(sold.price);
            Some(Turn {
                price,
                margin: price - currency.units(cost),
                weeks: days_between(bought, sold.on).max(1) as f64 / 7.0,
            })
        };
        self.sales.iter().filter_map(turn).collect()
    }

    fn weights(&self) -> Result<&[(i64, f64)], BookProblem> {
        if self.weights.get().is_none() {
            let groups = self.book.double_listings(self.as_of)?;
            let _ = self.weights.set(weights(groups));
        }
        Ok(self.weights.get().map_or(&[], Vec::as_slice))
    }
}

impl Records for BookRecords<'_> {
    fn sales(&self) -> &[Sale] {
        &self.sales
    }

    fn each_comp(&self, visit: &mut dyn FnMut(i64, &Comparable, f64)) -> Result<(), RecordsError> {
        let mut weights = self.weights()?.iter().peekable();
        self.book.each_comp(&mut |row, comp| {
            // Both are in the order of rows; some may be gone meanwhile.
            while weights.next_if(|weight| weight.0 < row).is_some() {}
            let weight = weights.next_if(|weight| weight.0 == row);
            visit(row, comp, weight.map_or(1.0, |weight| weight.1));
        })?;
        Ok(())
    }

    fn each_price_as_it_comes(
        &self,
        visit: &mut dyn FnMut(i64, &Comparable),
    ) -> Result<(), RecordsError> {
        let alike = self.book.each_price_as_it_comes(visit)?;
        let _ = self.weights.set(weights(alike.groups_on(self.as_of)));
        Ok(())
    }

    fn bikes_of(&self, keys: &[i64]) -> Result<Vec<Option<(Bike, f64)>>, RecordsError> {
        let weights = self.weights()?;
        let bikes = keys.iter().zip(self.book.bikes_in(keys)?);
        let weigh = |(key, bike): (&i64, Option<Bike>)| Some((bike?, weight_at(weights, *key)));
        Ok(bikes.map(weigh).collect())
    }

    fn ask_changes(&self) -> &[AskChange] {
        &self.asks
    }
}

/// The weights of listings in groups of like ones, which each count as one bike, in
/// the order of rows.
pub(super) fn weights(groups: Vec<Vec<i64>>) -> Vec<(i64, f64)> {
    let mut weights: Vec<(i64, f64)> = Vec::new();
    for group in groups {
        let weight = 1.0 / group.len() as f64;
        weights.extend(group.into_iter().map(|row| (row, weight)));
    }
    weights.sort_unstable_by_key(|weight| weight.0);
    weights
}

/// The weight of the comp in a row; `weights` is in the order of rows.
pub(super) fn weight_at(weights: &[(i64, f64)], row: i64) -> f64 {
    let place = weights.binary_search_by_key(&row, |weight| weight.0);
    place.map_or(1.0, |place| weights[place].1)
}
