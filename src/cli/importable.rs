//! Kinds of record that can be put into the book.

use crate::book::{Book, BookProblem, Import, Put};
use crate::intake::{Comps, Kind, Sales};
use crate::trade::{Comparable, Money, Sale, Style};

/// A kind of record that can be put into the book.
pub trait Importable: Kind {
    /// Our name of the id column.
    const ID: &'static str;
    /// Puts it.
    fn put(import: &mut Import<'_>, record: &Self::Record) -> Result<Put, BookProblem>;
    /// Its name for the user.
    fn name(record: &Self::Record) -> String;
    /// Style and ask (or sale price), to find unusual ones.
    fn priced(record: &Self::Record) -> Option<(Style, Money)>;
}

impl Importable for Sales {
    const ID: &'static str = "bike";

    fn put(import: &mut Import<'_>, record: &Sale) -> Result<Put, BookProblem> {
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
}

impl Importable for Comps {
    const ID: &'static str = "listing";

    fn put(import: &mut Import<'_>, record: &Comparable) -> Result<Put, BookProblem> {
        import.put_comp(record)
    }

    fn name(record: &Comparable) -> String {
        if record.source.is_empty() {
            record.listing.clone()
        } else {
            format!("{} ({})", record.listing, record.source)
        }
    }

    fn priced(record: &Comparable) -> Option<(Style, Money)> {
        Some((record.bike.style, record.ask))
    }
}

/// Style and price of everything in the book: what an import is compared with.
pub fn priced_in_book(book: &Book, see: &mut dyn FnMut(Style, Money)) -> Result<(), BookProblem> {
    book.sales()?
        .iter()
        .filter_map(Sales::priced)
        .for_each(|(style, price)| see(style, price));
    book.each_comp(&mut |_, comp| see(comp.bike.style, comp.ask))
}
