//! An import: one transaction that adds and updates records, all or nothing.

use super::alike::{Alike, Repeat};
use super::column_maps::ToRemember;
use super::likeness;
use super::put::Put;
use super::writer::{There, Writer};
use crate::book::connection::Book;
use crate::book::file::writing::Writing;
use crate::book::problem::BookProblem;
use crate::book::tables::asks::{self, ASKS};
use crate::book::tables::comps::{self, COMPS};
use crate::book::tables::costs::{self, COSTS};
use crate::book::tables::gifts::{self, GIFTS};
use crate::book::tables::inspections;
use crate::book::tables::offers::{self, OFFERS};
use crate::book::tables::returns::{self, RETURNS};
use crate::book::tables::sales::{self, SALES};
use crate::book::tables::stored::{Table, from_day};
use crate::trade::inspection::Inspection;
use crate::trade::{AskChange, Comparable, Cost, Day, Gift, KeptOffer, Return, Sale};
use rusqlite::params;
use std::collections::HashMap;

/// What an import did.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ImportSummary {
    /// Its number in the history; `None` when it changed nothing.
    pub number: Option<i64>,
    /// Records that were not there before.
    pub added: u64,
    /// Records that differed.
    pub updated: u64,
    /// Records that were there already, the same.
    pub unchanged: u64,
}

/// An import under way. Dropping it leaves the book as it was.
pub struct Import<'b> {
    book: &'b Book,
    sales: Option<Writer<'b>>,
    returns: Option<Writer<'b>>,
    offers: Option<Writer<'b>>,
    asks: Option<Writer<'b>>,
    comps: Option<Writer<'b>>,
    costs: Option<Writer<'b>>,
    gifts: Option<Writer<'b>>,
    alike: Alike,
    sources: HashMap<String, i64>,
    transaction: Writing<'b>,
    kind: String,
    file: String,
    on: Day,
    number: i64,
    begun: bool,
    done: ImportSummary,
    to_remember: Vec<ToRemember>,
    index_later: Option<String>,
    broken: Option<BookProblem>,
}

impl Book {
    /// Begins an import of `file`: `kind` and `file` are for the history.
    /// Until it is committed or dropped, no other program can write. Within
    /// [`Book::together`] it is kept only when all of them are.
    ///
    /// # Errors
    /// The book is in use for longer than five seconds, or may not be written.
    pub fn begin_import(
        &mut self,
        kind: &str,
        file: &str,
        on: Day,
    ) -> Result<Import<'_>, BookProblem> {
        let book = &*self;
        book.check_writable()?;
        let begun = Writing::begin(&book.connection);
        let transaction = begun.map_err(|error| book.problem(&error))?;
        book.forget_learnt();
        let next = "SELECT coalesce(max(number), 0) + 1 FROM imports";
        let number = transaction
            .query_row(next, [], |row| row.get(0))
            .map_err(|error| book.problem(&error))?;
        Ok(Import {
            book,
            sales: None,
            returns: None,
            offers: None,
            asks: None,
            comps: None,
            costs: None,
            gifts: None,
            alike: Alike::default(),
            sources: HashMap::new(),
            transaction,
            kind: kind.to_string(),
            file: file.to_string(),
            on,
            number,
            begun: false,
            done: ImportSummary::default(),
            to_remember: Vec::new(),
            index_later: None,
            broken: None,
        })
    }
}

impl Import<'_> {
    /// Puts a bike of the user's own, told by its id, in place of what is there.
    ///
    /// # Errors
    /// The book cannot be read or written; nothing more can be put then.
    pub fn put_sale(&mut self, sale: &Sale) -> Result<Put, BookProblem> {
        self.put_sale_beside(sale, &mut |_| Some(sale.clone()))
    }

    /// Puts a bike of the user's own, told by its id. Where it is there, `meet` is
    /// shown what is there and tells what is put in its place; nothing for `None`.
    ///
    /// # Errors
    /// As [`Import::put_sale`].
    pub fn put_sale_beside(
        &mut self,
        sale: &Sale,
        meet: &mut dyn FnMut(&Sale) -> Option<Sale>,
    ) -> Result<Put, BookProblem> {
        self.usable()?;
        let mut put = || {
            self.begin()?;
            let writer = writer(&mut self.sales, self.book, &SALES)?;
            match writer.put_if_new(&sales::cells(sale), self.number)? {
                There::Not => Ok(Put::Added),
                There::ByThisImport => Ok(Put::TwiceInFile),
                There::Row => {
                    let there = sales::by_id(&self.transaction, &sale.id)?;
                    let there = there.ok_or(rusqlite::Error::QueryReturnedNoRows)?;
                    match meet(&there) {
                        None => Ok(Put::Refused),
                        Some(met) => writer.put_over(&sales::cells(&met), self.number, self.book),
                    }
                }
            }
        };
        let put = put();
        self.count(put)
    }

    /// Puts money handed back to a buyer, told by its bike and day. The sale that came
    /// back is the caller's to take out of the bike's record.
    ///
    /// # Errors
    /// The book has no such bike.
    pub fn put_return(&mut self, one: &Return) -> Result<Put, BookProblem> {
        self.usable()?;
        let bike = self.row_of_bike(&one.bike)?;
        let put = self.begin().and_then(|()| {
            let writer = writer(&mut self.returns, self.book, &RETURNS)?;
            writer.put(&returns::cells(one, bike), self.number, self.book)
        });
        self.count(put)
    }

    /// A bike of the user's own as it stands in this import.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn sale(&self, id: &str) -> Result<Option<Sale>, BookProblem> {
        sales::by_id(&self.transaction, id).map_err(|error| self.book.problem(&error))
    }

    /// Puts a price change of an own listing, told by its bike and day.
    ///
    /// # Errors
    /// The book has no such bike; then the change is left out, and others can
    /// still be put.
    pub fn put_ask(&mut self, change: &AskChange) -> Result<Put, BookProblem> {
        self.usable()?;
        let bike = self.row_of_bike(&change.bike)?;
        let put = self.begin().and_then(|()| {
            let writer = writer(&mut self.asks, self.book, &ASKS)?;
            writer.put(&asks::cells(change, bike), self.number, self.book)
        });
        self.count(put)
    }

    /// Puts a cost. Two identical ones in one import both count; one that is
    /// there already is [`Put::Unchanged`].
    ///
    /// # Errors
    /// The book has no such bike; then the cost is left out, and others can
    /// still be put.
    pub fn put_cost(&mut self, cost: &Cost, repeat: Repeat) -> Result<Put, BookProblem> {
        self.usable()?;
        let bike = cost.bike.as_deref().map(|id| self.row_of_bike(id));
        let bike = bike.transpose()?;
        let put = self.begin().and_then(|()| {
            let writer = writer(&mut self.costs, self.book, &COSTS)?;
            let likeness = costs::likeness(cost);
            let mark = self
                .alike
                .mark(&self.transaction, &COSTS, likeness, repeat)?;
            writer.put(&costs::cells(cost, &mark, bike), self.number, self.book)
        });
        self.count(put)
    }

    /// Puts a gift, told by its reference; without one as a cost is.
    ///
    /// # Errors
    /// As [`Import::put_sale`].
    pub fn put_gift(&mut self, gift: &Gift, repeat: Repeat) -> Result<Put, BookProblem> {
        self.usable()?;
        let put = self.begin().and_then(|()| {
            let writer = writer(&mut self.gifts, self.book, &GIFTS)?;
            let mark = if let Some(reference) = &gift.reference {
                gifts::mark_of_reference(reference)
            } else {
                let likeness = gifts::likeness(gift);
                self.alike
                    .mark(&self.transaction, &GIFTS, likeness, repeat)?
            };
            writer.put(&gifts::cells(gift, &mark), self.number, self.book)
        });
        self.count(put)
    }

    /// Puts an inspection. The same of the same bike on the same day is
    /// [`Put::Unchanged`]; any other is a record of its own.
    ///
    /// # Errors
    /// The book has no such bike.
    pub fn put_inspection(&mut self, inspection: &Inspection) -> Result<Put, BookProblem> {
        self.usable()?;
        let bike = self.row_of_bike(&inspection.bike)?;
        let put = self
            .begin()
            .and_then(|()| inspections::put(&self.transaction, inspection, bike, self.number));
        self.count(put)
    }

    /// Puts an offer, told by its bike and day: the later one of a day counts.
    ///
    /// # Errors
    /// As [`Import::put_sale`].
    pub fn put_offer(&mut self, offer: &KeptOffer) -> Result<Put, BookProblem> {
        self.usable()?;
        let put = self.begin().and_then(|()| {
            let jobs = offers::jobs_text(offer);
            let cells = offers::cells(offer, jobs.as_deref());
            let writer = writer(&mut self.offers, self.book, &OFFERS)?;
            writer.put(&cells, self.number, self.book)
        });
        self.count(put)
    }

    /// Costs or gifts that earlier imports took from a file of this name and
    /// that this one has not put: number of the import, and how many rows.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn no_longer_in_file(&self) -> Result<Vec<(i64, u64)>, BookProblem> {
        let mut left: Vec<(i64, u64)> = Vec::new();
        for (table, writer) in [(&COSTS, &self.costs), (&GIFTS, &self.gifts)] {
            let mut rows = || -> rusqlite::Result<()> {
                let mut statement = self.transaction.prepare(&format!(
                    "SELECT number, row FROM {} JOIN imports ON number = import \
                     WHERE imports.kind = ?1 AND file = ?2 AND number <> ?3 ORDER BY number",
                    table.name
                ))?;
                let mut rows = statement.query(params![self.kind, self.file, self.number])?;
                while let Some(row) = rows.next()? {
                    let (number, row): (i64, i64) = (row.get(0)?, row.get(1)?);
                    let there = writer.as_ref().is_some_and(|w| w.seen.contains(row));
                    match left.last_mut() {
                        _ if there => {}
                        Some((last, count)) if *last == number => *count += 1,
                        _ => left.push((number, 1)),
                    }
                }
                Ok(())
            };
            rows().map_err(|error| self.book.problem(&error))?;
        }
        Ok(left)
    }

    fn row_of_bike(&self, id: &str) -> Result<i64, BookProblem> {
        asks::row_of_bike(&self.transaction, id)
            .map_err(|error| self.book.problem(&error))?
            .ok_or_else(|| BookProblem::NoSuchBike {
                path: self.book.path.clone(),
                bike: id.to_string(),
            })
    }

    /// Puts a comparable, told by its source and listing, in place of what is there.
    ///
    /// # Errors
    /// As [`Import::put_sale`].
    pub fn put_comp(&mut self, comp: &Comparable) -> Result<Put, BookProblem> {
        self.put_comp_beside(comp, &mut |_| Some(comp.clone()))
    }

    /// Puts a comparable, told by its source and listing. Where it is there, `meet` is
    /// shown what is there and tells what is put in its place; nothing for `None`.
    ///
    /// # Errors
    /// As [`Import::put_sale`].
    pub fn put_comp_beside(
        &mut self,
        comp: &Comparable,
        meet: &mut dyn FnMut(&Comparable) -> Option<Comparable>,
    ) -> Result<Put, BookProblem> {
        self.usable()?;
        let mut put = || {
            self.begin()?;
            let source = self.source(&comp.source)?;
            if self.comps.is_none() {
                self.index_later = likeness::put_off_index(&self.transaction)?;
            }
            let writer = writer(&mut self.comps, self.book, &COMPS)?;
            match writer.put_if_new(&comps::cells(comp, source), self.number)? {
                There::Not => Ok(Put::Added),
                there => {
                    let in_file = matches!(there, There::ByThisImport);
                    let there = comps::by_key(&self.transaction, source, &comp.listing)?;
                    let there = there.ok_or(rusqlite::Error::QueryReturnedNoRows)?;
                    if in_file && !is_another_look(&there, comp) {
                        return Ok(Put::TwiceInFile);
                    }
                    match meet(&there) {
                        None if in_file => Ok(Put::TwiceInFile),
                        None => Ok(Put::Refused),
                        Some(met) => {
                            writer.put_over(&comps::cells(&met, source), self.number, self.book)
                        }
                    }
                }
            }
        };
        let put = put();
        self.count(put)
    }

    /// Remembers the columns given for a header, for the next file like it.
    /// They are kept even when the import changes no record.
    pub fn remember_columns(
        &mut self,
        header: &[String],
        map: &[(String, String)],
        dates: Option<&str>,
    ) {
        self.to_remember
            .push(ToRemember::new(&self.kind, header, map, dates));
    }

    /// What it did so far; dropping it then leaves the book as it was.
    pub fn so_far(&self) -> ImportSummary {
        self.done
    }

    /// Makes the import lasting. One that changed nothing leaves no entry in
    /// the history.
    ///
    /// # Errors
    /// A record could not be put (the same problem again), no room on the disk,
    /// or the book is being read for longer than five seconds; then nothing of
    /// the import is kept.
    pub fn commit(self) -> Result<ImportSummary, BookProblem> {
        self.usable()?;
        let Import {
            book,
            transaction,
            number,
            to_remember,
            index_later,
            mut done,
            ..
        } = self;
        let changed = done.added + done.updated > 0;
        let finish = || -> rusqlite::Result<()> {
            let transaction = if changed {
                index_later
                    .iter()
                    .try_for_each(|sql| likeness::make_index(&transaction, sql))?;
                transaction
            } else {
                transaction.roll_back()?;
                if to_remember.is_empty() {
                    return Ok(());
                }
                Writing::begin(&book.connection)?
            };
            to_remember
                .iter()
                .try_for_each(|columns| columns.write(&transaction))?;
            transaction.execute(
                "UPDATE imports SET added = ?2, updated = ?3, unchanged = ?4 WHERE number = ?1",
                params![
                    number,
                    done.added as i64,
                    done.updated as i64,
                    done.unchanged as i64
                ],
            )?;
            transaction.commit()
        };
        finish().map_err(|error| book.problem(&error))?;
        done.number = changed.then_some(number);
        Ok(done)
    }

    /// After a failure `SQLite` may have ended the transaction by itself, and
    /// what is put then would be kept: so nothing can be put any more.
    fn usable(&self) -> Result<(), BookProblem> {
        self.broken.clone().map_or(Ok(()), Err)
    }

    /// Enters the import in the history before the first record names it.
    fn begin(&mut self) -> rusqlite::Result<()> {
        if !self.begun {
            self.transaction.execute(
                "INSERT INTO imports (number, made_on, kind, file) VALUES (?1, ?2, ?3, ?4)",
                params![self.number, from_day(self.on), self.kind, self.file],
            )?;
            self.begun = true;
        }
        Ok(())
    }

    fn source(&mut self, name: &str) -> rusqlite::Result<i64> {
        if let Some(number) = self.sources.get(name) {
            return Ok(*number);
        }
        let number = comps::number_of_source(&self.transaction, name)?;
        self.sources.insert(name.to_string(), number);
        Ok(number)
    }

    fn count(&mut self, put: rusqlite::Result<Put>) -> Result<Put, BookProblem> {
        let put = put.map_err(|error| self.book.problem(&error));
        let put = put.inspect_err(|problem| self.broken = Some(problem.clone()))?;
        match put {
            Put::Added => self.done.added += 1,
            Put::Updated { .. } => self.done.updated += 1,
            Put::Unchanged => self.done.unchanged += 1,
            Put::TwiceInFile | Put::Refused => {}
        }
        Ok(put)
    }
}

fn writer<'a, 'b>(
    place: &'a mut Option<Writer<'b>>,
    book: &'b Book,
    table: &'static Table,
) -> rusqlite::Result<&'a mut Writer<'b>> {
    Ok(match place {
        Some(writer) => writer,
        None => place.insert(Writer::new(&book.connection, table)?),
    })
}

/// Whether a second row of a listing in one file is a look at it on another day.
fn is_another_look(there: &Comparable, comp: &Comparable) -> bool {
    let day = |comp: &Comparable| comp.first_seen.or(comp.last_seen);
    day(comp).is_some() && day(comp) != day(there)
}
