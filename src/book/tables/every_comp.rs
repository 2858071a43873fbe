//! Reading every comp, or the bikes of many; by several threads where that pays.

use super::ahead;
use super::comps::{Part, bike_columns, blank, stream};
use super::stored;
use crate::book::connection::Book;
use crate::book::file::connect::{WAIT, connect};
use crate::book::import::likeness::{self, LikeListings};
use crate::book::problem::BookProblem;
use crate::trade::{Bike, Comparable};
use rusqlite::{Connection, OptionalExtension};

/// Comps for each wanted one up to which all are read in turn: to look one up takes as
/// long as to pass over about so many (7 us and 0.11 us in a book of 200,000).
const A_LOOK: usize = 60;

/// Comps from which on a second thread reads ahead: with fewer it is not worth
/// opening the book once more.
const MANY: i64 = 20_000;

impl Book {
    /// Streams every comp with its row number, in the order in which they first
    /// came in. Of many, a second thread reads the next ones meanwhile.
    ///
    /// # Errors
    /// The book cannot be read or is damaged; what was streamed before stands.
    pub fn each_comp(&self, take: &mut dyn FnMut(i64, &Comparable)) -> Result<(), BookProblem> {
        let last = self.last_comp()?;
        let read = if self.is_worth_reading_ahead(last) {
            let reader = self.one_more_reader()?;
            ahead::each(vec![(reader, 1..=last)], Part::Whole, take)
        } else {
            self.each_here(last, Part::Whole, take)
        };
        read.map_err(|error| self.problem(&error))
    }

    fn each_here(
        &self,
        last: i64,
        part: Part,
        take: &mut dyn FnMut(i64, &Comparable),
    ) -> rusqlite::Result<()> {
        let mut comp = blank();
        stream(&self.connection, 1..=last, part, &mut comp, |row, comp| {
            take(row, comp);
            true
        })
    }

    /// Shows every comp without its bike, with its row number and in any order, and
    /// returns those that are alike. Of many, two threads read a half each and a third
    /// one looks for those alike.
    ///
    /// # Errors
    /// As [`Book::each_comp`].
    pub fn each_price_as_it_comes(
        &self,
        take: &mut dyn FnMut(i64, &Comparable),
    ) -> Result<LikeListings, BookProblem> {
        let last = self.last_comp()?;
        if !self.is_worth_reading_ahead(last) {
            let read = self.each_here(last, Part::Price, take);
            read.map_err(|error| self.problem(&error))?;
            return self.like_listings();
        }
        let middle = last / 2;
        let readers = [1..=middle, middle + 1..=last].map(|rows| {
            let reader = self.one_more_reader()?;
            Ok((reader, rows))
        });
        let readers = readers.into_iter().collect::<Result<_, BookProblem>>()?;
        let other = self.one_more_reader()?;
        let (read, alike) = std::thread::scope(|scope| {
            let alike = scope.spawn(move || likeness::all_alike(&other));
            let read = ahead::each(readers, Part::Price, take);
            let alike = alike.join();
            let alike = alike.unwrap_or_else(|fault| std::panic::resume_unwind(fault));
            (read, alike)
        });
        read.and(alike).map_err(|error| self.problem(&error))
    }

    fn last_comp(&self) -> Result<i64, BookProblem> {
        let last = "SELECT coalesce(max(row), 0) FROM comps";
        self.connection
            .query_row(last, [], |row| row.get(0))
            .map_err(|error| self.problem(&error))
    }

    fn is_worth_reading_ahead(&self, last: i64) -> bool {
        // Within an import, other readers would not see what is not finished yet.
        last >= MANY && self.connection.is_autocommit() && ahead::pays()
    }

    /// A connection for another thread that reads the comps once from end to end.
    fn one_more_reader(&self) -> Result<Connection, BookProblem> {
        let reader = connect(&self.path, WAIT)?;
        // At most 1 MB (negative: in KiB).
        let small = reader.pragma_update(None, "cache_size", -1000);
        small.map_err(|error| self.problem(&error))?;
        Ok(reader)
    }

    /// The bikes of the comps in these rows; `None` where there is no comp.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn bikes_in(&self, rows: &[i64]) -> Result<Vec<Option<Bike>>, BookProblem> {
        let last = self.last_comp()?;
        let all = usize::try_from(last).is_ok_and(|last| last < rows.len() * A_LOOK);
        let bikes = if all {
            self.bikes_by_reading_all(rows)
        } else {
            self.bikes_by_looking_up(rows)
        };
        bikes.map_err(|error| self.problem(&error))
    }

    fn bikes_by_looking_up(&self, rows: &[i64]) -> rusqlite::Result<Vec<Option<Bike>>> {
        let one = format!("SELECT {} FROM comps WHERE row = ?1", bike_columns());
        let mut one = self.connection.prepare(&one)?;
        rows.iter()
            .map(|row| {
                one.query_row([row], |row| stored::read_bike(row, 0))
                    .optional()
            })
            .collect()
    }

    fn bikes_by_reading_all(&self, wanted: &[i64]) -> rusqlite::Result<Vec<Option<Bike>>> {
        let mut places: Vec<(i64, usize)> = wanted.iter().copied().zip(0..).collect();
        places.sort_unstable();
        let mut places = places.into_iter().peekable();
        let mut bikes = vec![None; wanted.len()];
        let mut all = self.connection.prepare(&format!(
            "SELECT row, {} FROM comps ORDER BY row",
            bike_columns()
        ))?;
        let mut rows = all.query([])?;
        while let Some(row) = rows.next()? {
            let number: i64 = row.get(0)?;
            while places.next_if(|place| place.0 < number).is_some() {}
            while let Some((_, place)) = places.next_if(|place| place.0 == number) {
                bikes[place] = Some(stored::read_bike(row, 1)?);
            }
        }
        Ok(bikes)
    }
}
