//! Rows on their way into the book, from a file or from flags: each is put, held
//! against what the book has, and what is odd is told.

use super::findings::{Found, doubles, unusual};
use super::importable::{Changes, Importable, Refusal, priced_in_book};
use crate::book::{Book, Import, ImportSummary, Put, Repeat};
use crate::cli::failure::Failure;
use crate::cli::source::Source;
use crate::intake::Row;
use crate::pricing::records::unusual::AsksByStyle;
use crate::report::text::counts::many;
use crate::trade::{Currency, Day};
use std::collections::HashSet;

/// Fields that make the price of a bike and its like.
const PRICE: [&str; 3] = ["style", "ask", "sold_price"];

/// What a record becomes beside the one of its id, or why it may not; `None` where
/// there was none.
type Met<R> = Option<Result<R, Refusal>>;

/// Rows under way.
pub(crate) struct Rows<'a, K: Importable> {
    source: Source<'a>,
    as_of: Day,
    currency: Currency,
    beside: K::Beside,
    prices: AsksByStyle,
    /// Double listings that were there before.
    doubles: HashSet<Vec<i64>>,
    changes: Changes,
    /// Rows without an id that the book had already.
    again: u64,
    /// What was found so far.
    pub found: Found,
}

impl<'a, K: Importable> Rows<'a, K> {
    /// Rows of `source`, to be held against the book.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(crate) fn of(
        source: Source<'a>,
        book: &Book,
        as_of: Day,
        changes: Changes,
    ) -> Result<Self, Failure> {
        let currency = book.settings().currency;
        let mut prices = AsksByStyle::default();
        if K::DESCRIBES_A_BIKE {
            priced_in_book(book, &mut |style, price| {
                prices.push(style, currency.units(price), 0);
            })?;
        }
        let mut doubles = HashSet::new();
        if K::LISTED_TWICE {
            doubles.extend(book.double_listings(as_of)?);
        }
        Ok(Self {
            source,
            as_of,
            currency,
            beside: K::beside(book)?,
            prices,
            doubles,
            changes,
            again: 0,
            found: Found::default(),
        })
    }

    /// Puts a row, or says why it cannot be put.
    pub(crate) fn put(
        &mut self,
        import: &mut Import<'_>,
        mut row: Row<K::Record>,
    ) -> Result<Option<Refusal>, Failure> {
        let source = self.source;
        K::put_before_ids(&mut row.record, &self.changes.prefix);
        if let Some(words) = K::fill(&self.beside, &mut row.record) {
            self.found.tell(words);
        }
        if let Some(refusal) = K::refusal(&mut self.beside, &row.record) {
            return Ok(Some(refusal));
        }
        let another = K::another(&self.beside, &row.record);
        if let Some(refusal) = another.filter(|_| !self.changes.correct) {
            return Ok(Some(refusal));
        }
        let repeat = match source {
            Source::File(_) => Repeat::OfAFile,
            Source::Flags => Repeat::OneMore,
        };
        let (put, met) = self.put_beside(import, &row.record, repeat)?;
        let record = match &met {
            Some(Err(_)) | None => &row.record,
            Some(Ok(met)) => met,
        };
        match &put {
            Put::TwiceInFile => return Ok(Some(K::twice(record))),
            Put::Refused => return Ok(met.and_then(Result::err)),
            Put::Updated { changed } => self.found.changed(&K::name(record), changed),
            Put::Unchanged if K::may_repeat(record) => self.again += 1,
            Put::Added | Put::Unchanged => {}
        }
        K::show(&mut self.beside, record, row.line, &put, &self.currency);
        for note in row.notes {
            self.found.note(note, row.line, source);
        }
        if repeat == Repeat::OneMore && K::may_repeat(record) && K::is_there(&self.beside, record) {
            self.found.caution(|| {
                let one = K::ONE;
                format!(
                    "an identical {one} was in the book already; both count now, so take this one \
                     back if it is the same"
                )
            });
        }
        if let Some((style, price)) = K::priced(record).filter(|_| self.is_news(&put)) {
            let line = u32::try_from(row.line).unwrap_or(u32::MAX);
            self.prices.push(style, self.currency.units(price), line);
        }
        Ok(None)
    }

    /// Puts a record; also tells what it became beside the one of the same id.
    fn put_beside(
        &self,
        import: &mut Import<'_>,
        record: &K::Record,
        repeat: Repeat,
    ) -> Result<(Put, Met<K::Record>), Failure> {
        let mut met = None;
        let mut meet = |there: &K::Record| {
            let both = K::met(there, record, repeat, &self.changes);
            met.insert(both).as_ref().ok().cloned()
        };
        let put = K::put(import, record, repeat, &mut meet)?;
        Ok((put, met))
    }

    /// Whether its price is to be judged: not that of a bike of which something
    /// else was recorded.
    fn is_news(&self, put: &Put) -> bool {
        match (self.source, put) {
            (Source::File(_), _) | (_, Put::Added) => true,
            (_, Put::Updated { changed }) => changed.iter().any(|f| PRICE.contains(&f.field)),
            _ => false,
        }
    }

    /// Rows that earlier imports took from a file of this name and that were not
    /// put again: number of the import, and how many.
    pub(crate) fn left_behind(&self, import: &Import<'_>) -> Result<Vec<(i64, u64)>, Failure> {
        match self.source {
            Source::File(_) => Ok(import.no_longer_in_file()?),
            Source::Flags => Ok(Vec::new()),
        }
    }

    /// Everything that was found, when the import is done or was tried.
    pub(crate) fn finish(
        mut self,
        book: &Book,
        summary: &ImportSummary,
        left_behind: &[(i64, u64)],
    ) -> Result<Found, Failure> {
        let source = self.source;
        for (line, doubt) in K::doubts(self.beside, &self.currency) {
            self.found
                .caution(|| format!("{}{doubt}", source.place(line)));
        }
        unusual(&mut self.found, self.prices, source, &self.currency)?;
        if K::LISTED_TWICE && summary.number.is_some() {
            doubles(&mut self.found, book, self.as_of, &self.doubles)?;
        }
        self.found.left_unknown(source);
        self.found.close();
        // These are few and always told.
        let again = (self.again > 0 && summary.added > 0).then(|| counted_once::<K>(self.again));
        let emptied = match source {
            Source::File(_) => self.found.emptied(),
            Source::Flags => None, // typed as '' on purpose
        };
        let whole = match source {
            Source::File(_) if summary.number.is_some() => K::of_the_whole(book, self.as_of)?,
            _ => vec![],
        };
        let of_the_whole = again.into_iter().chain(still_counting(left_behind));
        let of_the_whole = of_the_whole.chain(whole);
        let of_the_whole = of_the_whole.chain(emptied);
        let of_the_whole = of_the_whole.map(|doubt| format!("{}{doubt}", source.place(0)));
        self.found.cautions.extend(of_the_whole);
        Ok(self.found)
    }
}

fn counted_once<K: Importable>(again: u64) -> String {
    let one = K::ONE;
    let (were, of_them) = match again {
        1 => ("was in the book already and counts once", "it"),
        _ => ("were in the book already and count once", "one of them"),
    };
    format!(
        "{} {were}; if {of_them} is a further {one} like it, add it with 'wheelworth record {one}'",
        many(again as usize, "row")
    )
}

/// Imports that are named one by one.
const NAMED: usize = 5;

/// That rows of earlier imports left the file and still count.
fn still_counting(left_behind: &[(i64, u64)]) -> Option<String> {
    let all: u64 = left_behind.iter().map(|(_, rows)| rows).sum();
    let (are, count) = match all {
        0 => return None,
        1 => ("is", "counts"),
        _ => ("are", "count"),
    };
    let mut of: Vec<String> = left_behind
        .iter()
        .take(NAMED)
        .map(|(number, left)| format!("{} of import {number}", many(*left as usize, "row")))
        .collect();
    if left_behind.len() > NAMED {
        of.push("more of others".to_string());
    }
    let mend = match left_behind {
        [(only, _)] => {
            format!("take import {only} back with 'wheelworth import --undo {only}'")
        }
        _ => "take those imports back, the last first, with 'wheelworth import --undo N'".into(),
    };
    Some(format!(
        "{} {are} no longer in the file of this name and still {count}; if that is wrong, {mend}, \
         then import the file again",
        of.join(" and ")
    ))
}
