//! Money handed back to buyers, held against the sales: what cannot be true is
//! refused, and a sale that came back with its bike is taken out of the bike's record.

use super::importable::{Importable, Meet, Refusal};
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::cli::unknown_bike::UnknownBikes;
use crate::intake::{CellProblem, Returns, made_visible};
use crate::report::text::amounts;
use crate::trade::{Currency, Money, Return, Sale};
use std::collections::BTreeMap;

/// The user's own bikes, as the book and the file have them.
pub(crate) struct Sold {
    bikes: BTreeMap<String, Sale>,
    unknown: UnknownBikes,
    currency: Currency,
    /// Rows that were put: line, bike and day.
    put: Vec<(u64, Return)>,
}

impl Importable for Returns {
    type Beside = Sold;
    const ONE: &'static str = "return";
    const ID: &'static str = "bike";

    fn beside(book: &Book) -> Result<Sold, BookProblem> {
        let sales = book.sales()?.into_iter();
        Ok(Sold {
            bikes: sales.map(|sale| (sale.id.clone(), sale)).collect(),
            unknown: UnknownBikes::of(book)?,
            currency: book.settings().currency,
            put: Vec::new(),
        })
    }

    /// The bike is stock again where it came back.
    fn put(
        import: &mut Import<'_>,
        record: &Return,
        _: Repeat,
        _: Meet<'_, Return>,
    ) -> Result<Put, BookProblem> {
        let put = import.put_return(record)?;
        if record.back.is_some()
            && let Some(sale) = import.sale(&record.bike)?
            && sale.sold == record.back
        {
            import.put_sale(&Sale { sold: None, ..sale })?;
        }
        Ok(put)
    }

    fn put_before_ids(record: &mut Return, prefix: &str) {
        record.bike.insert_str(0, prefix);
    }

    fn name(record: &Return) -> String {
        format!("return of {} on {}", record.bike, record.on)
    }

    fn twice(record: &Return) -> Refusal {
        let expected = format!("a day that stands once for {} in the file", record.bike);
        let mend = "Put what was handed back on one day into one row.";
        ("on", CellProblem::new(expected, mend))
    }

    fn refusal(sold: &mut Sold, record: &Return) -> Option<Refusal> {
        let Some(sale) = sold.bikes.get(&record.bike) else {
            let ids = sold.bikes.keys().map(String::as_str);
            return Some(("bike", sold.unknown.problem(ids, &record.bike)));
        };
        if sale.returns.iter().any(|known| known == record) {
            return None;
        }
        let now = sale.sold.filter(|now| now.on <= record.on)?;
        let came_back = record.back.filter(|back| *back != now)?;
        if now.on == record.on && came_back.on < now.on {
            return None; // It came back from a sale of before, and was sold again that day.
        }
        let id = made_visible(&sale.id);
        let mend = "Correct the one that is wrong, or leave sold_on and sold_price empty where \
                    the buyer keeps the bike.";
        if came_back.on != now.on {
            let expected = format!("{}, the day on which {id} was sold by the book", now.on);
            return Some(("sold_on", CellProblem::new(expected, mend)));
        }
        let price = amounts::exact(now.price, &sold.currency);
        let expected = format!("{price}, for which {id} was sold by the book");
        Some(("sold_price", CellProblem::new(expected, mend)))
    }

    fn show(sold: &mut Sold, record: &Return, line: u64, put: &Put, _: &Currency) {
        if *put == Put::Unchanged {
            return;
        }
        if let Some(sale) = sold.bikes.get_mut(&record.bike) {
            sale.returns.retain(|known| known.on != record.on);
            sale.returns.push(record.clone());
            sale.returns.sort_by_key(|one| one.on);
            sale.sold = sale.sold.filter(|now| record.back != Some(*now));
        }
        sold.put.push((line, record.clone()));
    }

    fn doubts(sold: Sold, currency: &Currency) -> Vec<(u64, String)> {
        let doubt = |(line, one): &(u64, Return)| {
            let sale = sold.bikes.get(&one.bike)?;
            Some((*line, odd(sale, one, currency)?))
        };
        sold.put.iter().filter_map(doubt).collect()
    }
}

/// Money handed back of no sale, or more of it than was paid.
fn odd(sale: &Sale, one: &Return, currency: &Currency) -> Option<String> {
    let id = made_visible(&sale.id);
    let mut sales = sale.every_sale();
    let of = sales.find(|(sold, back)| sale.refunds_of(sold.on, *back).any(|other| other == one));
    let Some((sold, back)) = of else {
        return Some(format!(
            "the book knows no sale of {id} of which money could be handed back on {}; it counts \
             all the same",
            one.on
        ));
    };
    let all: Money = sale.refunds_of(sold.on, back).map(|one| one.refund).sum();
    (all > sold.price).then(|| {
        format!(
            "{} {currency} were handed back of the sale of {id} on {}, more than the {} that were \
             paid; correct what is wrong",
            amounts::exact(all, currency),
            sold.on,
            amounts::exact(sold.price, currency)
        )
    })
}
