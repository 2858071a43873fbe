//! What was learnt from the records, kept beside them for as long as nothing in the
//! book changes.
//!
//! Whether something changed is told by two numbers in the file's header
//! (<https://www.sqlite.org/fileformat2.html>): the change counter, one more with
//! every transaction that changes the file, whichever program makes it, and the schema
//! cookie, one more with every change of a table and in every copy that `VACUUM`
//! makes (whose counter starts anew). What is kept is for exactly one pair of
//! them. Besides, every import and every undoing takes the mark away
//! ([`Book::write`]), so that it is gone in a book that was rebuilt from a dump and
//! then used. In write-ahead mode, where the counter may stand still, nothing is kept
//! or read. Keeping is a favour: whatever is odd, locked or write-protected, the
//! records are read as ever.

use super::connection::Book;
use super::file::connect::WAIT;
use rusqlite::{OptionalExtension, Transaction, TransactionBehavior, params};
use std::fs::File;
use std::io::{Read, Seek, SeekFrom};
use std::time::Duration;

/// Answers kept at most.
const KEPT: i64 = 2;

/// Where the header holds the change counter and the schema cookie.
const COUNTER: usize = 24;
const COOKIE: usize = 40;

/// A state of the book: two equal ones hold the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct State {
    counter: u32,
    cookie: u32,
}

/// Something kept.
pub struct Kept<'b> {
    book: &'b Book,
    number: i64,
    /// The model's bytes.
    pub model: Vec<u8>,
}

impl Kept<'_> {
    /// Shows `take` the parts in order; `None` when one is damaged or `take` said so.
    pub fn each_part(&self, mut take: impl FnMut(&[u8]) -> Option<()>) -> Option<()> {
        let sql = "SELECT comps, sum FROM learnt_comps WHERE learnt = ?1 ORDER BY part";
        let mut statement = self.book.connection.prepare(sql).ok()?;
        let mut rows = statement.query([self.number]).ok()?;
        while let Some(row) = rows.next().ok()? {
            let part = row.get_ref(0).ok()?.as_blob().ok()?;
            if sum(part) != row.get::<_, i64>(1).ok()? {
                return None;
            }
            take(part)?;
        }
        Some(())
    }
}

impl Book {
    /// The present state; `None` where it cannot be told.
    pub fn state(&self) -> Option<State> {
        self.reading()?.0
    }

    /// What `read` makes of what was kept under `key`, if the book is in `state`
    /// still and `read` finds it sound. The book stays as it is meanwhile.
    pub fn learnt<T>(
        &self,
        key: &str,
        state: State,
        read: impl FnOnce(Kept<'_>) -> Option<T>,
    ) -> Option<T> {
        let (here, reading) = self.reading()?;
        if here != Some(state) || marked(&reading) != Some(state) {
            return None;
        }
        let sql = "SELECT number, model, sum FROM learnt WHERE key = ?1";
        let found = reading.query_row(sql, [key], |row| {
            Ok((
                row.get(0)?,
                row.get::<_, Vec<u8>>(1)?,
                row.get::<_, i64>(2)?,
            ))
        });
        let (number, model, its_sum) = found.optional().ok()??;
        if sum(&model) != its_sum {
            return None;
        }
        let book = self;
        read(Kept {
            book,
            number,
            model,
        })
    }

    /// Keeps what was learnt from the book in `state`, unless it has changed since or
    /// somebody else is busy with it. Says whether it is kept.
    pub fn keep_learnt<'p>(
        &self,
        key: &str,
        state: State,
        model: &[u8],
        parts: impl Iterator<Item = &'p [u8]>,
    ) -> bool {
        if self.connection.is_readonly("main").unwrap_or(true) {
            return false;
        }
        // Nobody is waited for.
        let _ = self.connection.busy_timeout(Duration::ZERO);
        let kept = self.try_to_keep(key, state, model, parts);
        let _ = self.connection.busy_timeout(WAIT);
        kept.is_some()
    }

    fn try_to_keep<'p>(
        &self,
        key: &str,
        state: State,
        model: &[u8],
        parts: impl Iterator<Item = &'p [u8]>,
    ) -> Option<()> {
        let immediate = TransactionBehavior::Immediate;
        let writing = Transaction::new_unchecked(&self.connection, immediate).ok()?;
        // Nobody else writes from here on, and the header is as before this.
        if self.header()? != state {
            return None;
        }
        if marked(&writing) != Some(state) {
            writing.execute("DELETE FROM learnt", []).ok()?;
        }
        writing
            .execute("DELETE FROM learnt WHERE key = ?1", [key])
            .ok()?;
        let last = "DELETE FROM learnt WHERE number NOT IN \
            (SELECT number FROM learnt ORDER BY number DESC LIMIT ?1)";
        writing.execute(last, [KEPT - 1]).ok()?;
        let orphans = "DELETE FROM learnt_comps WHERE learnt NOT IN (SELECT number FROM learnt)";
        writing.execute(orphans, []).ok()?;
        let insert = "INSERT INTO learnt (key, model, sum) VALUES (?1, ?2, ?3)";
        writing
            .execute(insert, params![key, model, sum(model)])
            .ok()?;
        let number = writing.last_insert_rowid();
        {
            let insert = "INSERT INTO learnt_comps (learnt, part, comps, sum) \
                VALUES (?1, ?2, ?3, ?4)";
            let mut insert = writing.prepare(insert).ok()?;
            for (place, part) in (0_i64..).zip(parts) {
                insert
                    .execute(params![number, place, part, sum(part)])
                    .ok()?;
            }
        }
        // The counter as this transaction will leave it.
        let counter = state.counter.wrapping_add(1);
        let mark = "INSERT OR REPLACE INTO learnt_from (one, counter, cookie) VALUES (1, ?1, ?2)";
        writing.execute(mark, params![counter, state.cookie]).ok()?;
        writing.commit().ok()
    }

    /// Begins to read: the state, which stays as long as the transaction.
    fn reading(&self) -> Option<(Option<State>, Transaction<'_>)> {
        let deferred = TransactionBehavior::Deferred;
        let reading = Transaction::new_unchecked(&self.connection, deferred).ok()?;
        // The first statement takes the lock that keeps writers out.
        let version = "SELECT schema_version FROM pragma_schema_version";
        let cookie: i64 = reading.query_row(version, [], |row| row.get(0)).ok()?;
        let mode = "SELECT journal_mode FROM pragma_journal_mode";
        let mode: String = reading.query_row(mode, [], |row| row.get(0)).ok()?;
        let state = self.header().filter(|state| {
            // The file is the one that is open, not another put in its place.
            i64::from(state.cookie) == cookie && mode == "delete"
        });
        Some((state, reading))
    }

    /// Counter and cookie in the file's header. `SQLite` has no words to ask for the
    /// counter. The second handle stays open as long as the book: closing it would
    /// take `SQLite`'s own locks away (<https://www.sqlite.org/howtocorrupt.html>, 2.2).
    fn header(&self) -> Option<State> {
        if self.header.get().is_none() {
            let _ = self.header.set(File::open(&self.path).ok()?);
        }
        let mut file = self.header.get()?;
        let mut header = [0; 100];
        file.seek(SeekFrom::Start(0)).ok()?;
        file.read_exact(&mut header).ok()?;
        let number = |at: usize| {
            let bytes = header.get(at..at + 4)?.try_into().ok()?;
            Some(u32::from_be_bytes(bytes))
        };
        Some(State {
            counter: number(COUNTER)?,
            cookie: number(COOKIE)?,
        })
    }
}

/// The state that what is kept is for.
fn marked(transaction: &Transaction<'_>) -> Option<State> {
    let sql = "SELECT counter, cookie FROM learnt_from";
    let found = transaction.query_row(sql, [], |row| {
        Ok(State {
            counter: row.get(0)?,
            cookie: row.get(1)?,
        })
    });
    found.optional().ok()?
}

/// A sum over bytes, by the step of FNV-1a on words of eight bytes (IETF
/// draft-eastlake-fnv; constants from there): a changed bit changes it.
fn sum(bytes: &[u8]) -> i64 {
    let step = |hash: u64, word: u64| {
        let mixed = (hash ^ word).wrapping_mul(0x0000_0100_0000_01b3);
        mixed ^ (mixed >> 29)
    };
    let (words, rest) = bytes.as_chunks::<8>();
    let hash = words
        .iter()
        .map(|word| u64::from_le_bytes(*word))
        .chain(rest.iter().map(|byte| u64::from(*byte)))
        .fold(0xcbf2_9ce4_8422_2325, step);
    step(hash, bytes.len() as u64) as i64
}
