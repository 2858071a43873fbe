//! Sales held against the asks and the costs of their bikes.

use super::import_asks::Listings;
use super::import_costs::counted_instead;
use super::importable::Importable;
use crate::accounts::DirectCost;
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::intake::Sales;
use crate::trade::{Cost, Currency, Money, Sale, Style};
use std::collections::HashMap;

/// What the book has of the user's own bikes.
pub struct OwnBikes {
    listings: Listings,
    costs: HashMap<String, Vec<Cost>>,
    /// Line of the file and words.
    doubts: Vec<(u64, String)>,
}

impl OwnBikes {
    /// Where a column was filled in, but the list of costs counts in its place.
    fn counted_instead(&mut self, sale: &Sale, line: u64, put: &Put, currency: &Currency) {
        let (Put::Updated { changed }, Some(costs)) = (put, self.costs.get(&sale.id)) else {
            return;
        };
        let replaced = DirectCost::of(sale, costs).replaced;
        let now = |column: &str| changed.iter().any(|change| change.field == column);
        for column in replaced.iter().filter(|replaced| now(replaced.column)) {
            let words = counted_instead(&sale.id, column, currency);
            self.doubts.push((line, words));
        }
    }
}

/// A bike that the book knew as sold and that is on hand again by this row.
fn taken_back(sale: &Sale, put: &Put) -> Option<String> {
    let Put::Updated { changed } = put else {
        return None;
    };
    let was = |field: &str| {
        let change = changed.iter().find(|change| change.field == field)?;
        (change.after.is_empty() && !change.before.is_empty()).then_some(&change.before)
    };
    let (on, price) = (was("sold_on")?, was("sold_price")?);
    Some(format!(
        "{} was sold on {on} for {price} by the book, and is on hand again now; if what you gave is older than that \
         sale, take this import back",
        sale.id
    ))
}

impl Importable for Sales {
    type Beside = OwnBikes;
    const ONE: &'static str = "sale";
    const ID: &'static str = "bike";
    const DESCRIBES_A_BIKE: bool = true;

    fn beside(book: &Book) -> Result<OwnBikes, BookProblem> {
        let mut costs: HashMap<String, Vec<Cost>> = HashMap::new();
        for cost in book.costs()? {
            if let Some(bike) = &cost.bike {
                costs.entry(bike.clone()).or_default().push(cost);
            }
        }
        Ok(OwnBikes {
            listings: Listings::of(book)?,
            costs,
            doubts: Vec::new(),
        })
    }

    fn put(import: &mut Import<'_>, record: &Sale, _: Repeat) -> Result<Put, BookProblem> {
        import.put_sale(record)
    }

    fn name(record: &Sale) -> String {
        record.id.clone()
    }

    fn priced(record: &Sale) -> Option<(Style, Money)> {
        Some((
            record.bike.style,
            record.sold.map(|s| s.price).or(record.ask)?,
        ))
    }

    fn show(beside: &mut OwnBikes, sale: &Sale, line: u64, put: &Put, currency: &Currency) {
        beside.listings.sold(sale, line, put, currency);
        beside.counted_instead(sale, line, put, currency);
        beside
            .doubts
            .extend(taken_back(sale, put).map(|words| (line, words)));
    }

    fn doubts(beside: OwnBikes, currency: &Currency) -> Vec<(u64, String)> {
        let mut doubts = beside.listings.doubts(currency);
        doubts.extend(beside.doubts);
        doubts.sort_by_key(|(line, _)| *line);
        doubts
    }
}
