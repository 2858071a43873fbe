//! One bike listed twice: comps that are alike in all that is known of them.

use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::book::tables::stored;
use crate::trade::calendar::days_between;
use crate::trade::{Bike, Condition, Day, Money, SeatTube, Tier, Years};
use rusqlite::{Connection, Transaction, TransactionBehavior};

/// Two like listings may be one bike when they appeared at most this many days
/// apart: a seller lists at two places within weeks. A choice without a source.
const DAYS_APART: i64 = 30;

/// How many of model year, condition, tier and seat tube must be known: with
/// fewer, many different bikes are alike. A choice without a source.
const KNOWN_AT_LEAST: usize = 3;

/// FNV-1a, 64 bits (IETF draft-eastlake-fnv; constants from there).
const OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
const PRIME: u64 = 0x0000_0100_0000_01b3;

/// A number that is the same for bikes alike in style, model year, condition,
/// tier, seat tube and standing ask (FNV-1a over these, unknown as a value of
/// its own). `None` when too little is known; a range of model years is no known
/// year and a size class no known seat tube, since many bikes share it, but bikes alike
/// share it too. It is kept in
/// books: don't change it.
pub(in crate::book) fn of(bike: &Bike, ask: Money) -> Option<i64> {
    let features = [
        bike.made.and_then(Years::exact).map(i64::from),
        bike.condition.map(Condition::grade).map(i64::from),
        bike.tier.map(Tier::grade).map(i64::from),
        bike.seat_tube.and_then(SeatTube::tenths),
    ];
    if features.iter().flatten().count() < KNOWN_AT_LEAST {
        return None;
    }
    let [made, condition, tier, seat_tube] = features.map(|value| value.unwrap_or(i64::MIN));
    let all = [
        bike.style.index() as i64,
        made,
        condition,
        tier,
        seat_tube,
        ask.minor(),
    ];
    let range = bike.made.filter(|made| made.exact().is_none());
    let range = range.map(|range| [range.first(), range.last()].map(i64::from));
    let class = bike.seat_tube.filter(|tube| tube.tenths().is_none());
    let class = class.map(SeatTube::number);
    let hash = all
        .iter()
        .chain(range.iter().flatten())
        .chain(&class)
        .flat_map(|value| value.to_le_bytes())
        .fold(OFFSET, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(PRIME)
        });
    Some(hash as i64)
}

/// Drops the index of likenesses when there is no comp yet, and returns the SQL
/// that makes it again at the end of the import. Entering a million scattered
/// numbers one by one costs four times what sorting them once does.
pub(in crate::book) fn put_off_index(connection: &Connection) -> rusqlite::Result<Option<String>> {
    if connection.query_row("SELECT EXISTS (SELECT 1 FROM comps)", [], |row| row.get(0))? {
        return Ok(None);
    }
    let sql = "SELECT sql FROM sqlite_schema WHERE name = 'comps_by_likeness'";
    let sql = connection.query_row(sql, [], |row| row.get(0))?;
    connection.execute_batch("DROP INDEX comps_by_likeness")?;
    Ok(Some(sql))
}

/// Makes the index again. `SQLite` sorts within the cache's size, so the cache is
/// made small meanwhile: the two together stay within it.
pub(in crate::book) fn make_index(connection: &Connection, sql: &str) -> rusqlite::Result<()> {
    let size: i64 = connection.pragma_query_value(None, "cache_size", |row| row.get(0))?;
    connection.pragma_update(None, "cache_size", size / 4)?;
    let made = connection.execute_batch(sql);
    connection.pragma_update(None, "cache_size", size)?;
    made
}

/// Comps that have a like among the others, with what says which of them are one
/// bike.
#[derive(Clone, Debug, Default)]
pub struct LikeListings(Vec<LikeListing>);

#[derive(Clone, Debug)]
struct LikeListing {
    likeness: i64,
    /// As stored, first seen or else listed, and when all was known of it.
    day: i64,
    known: i64,
    row: i64,
}

impl LikeListings {
    /// Groups of comps that may be one bike listed more than once: alike (see
    /// `of`; only rows whose whole story was known on `as_of`, since the last ask is
    /// part of it), and each first seen (or listed, where that is unknown) at most 30
    /// days after the one before. Rows without either day are left out. Each
    /// group is in order of that day; the groups are in order of their first row.
    pub fn groups_on(&self, as_of: Day) -> Vec<Vec<i64>> {
        let as_of = stored::from_day(as_of);
        let mut groups: Vec<Vec<i64>> = Vec::new();
        let mut before: Option<(i64, Day)> = None;
        for one in self.0.iter().filter(|one| one.known <= as_of) {
            let Some(day) = stored::to_day(one.day) else {
                continue; // refused when it was read
            };
            let goes_on = before.is_some_and(|(like, last)| {
                like == one.likeness && days_between(last, day) <= DAYS_APART
            });
            match groups.last_mut().filter(|_| goes_on) {
                Some(group) => group.push(one.row),
                None => groups.push(vec![one.row]),
            }
            before = Some((one.likeness, day));
        }
        groups.retain(|group| group.len() > 1);
        groups.sort_unstable_by_key(|group| group.iter().min().copied());
        groups
    }
}

impl Book {
    /// The comps that are alike, whenever they were known of.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn like_listings(&self) -> Result<LikeListings, BookProblem> {
        all_alike(&self.connection).map_err(|error| self.problem(&error))
    }

    /// See [`LikeListings::groups_on`].
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn double_listings(&self, as_of: Day) -> Result<Vec<Vec<i64>>, BookProblem> {
        Ok(self.like_listings()?.groups_on(as_of))
    }
}

/// The comps that are alike. The index of likenesses is read from end to end, then
/// the rows of those that are shared in the order in which they stand in the file:
/// jumping from one to the next by likeness took four times as long for a million
/// comps.
pub(in crate::book) fn all_alike(connection: &Connection) -> rusqlite::Result<LikeListings> {
    // One lock for all rows: taking it for each costs more than reading them.
    let alone = connection.is_autocommit();
    let deferred = TransactionBehavior::Deferred;
    let reading = || Transaction::new_unchecked(connection, deferred);
    let _reading = alone.then(reading).transpose()?;
    let all = "SELECT likeness, row FROM comps WHERE likeness IS NOT NULL ORDER BY likeness";
    let mut statement = connection.prepare(all)?;
    let mut rows = statement.query([])?;
    let mut shared: Vec<(i64, i64)> = Vec::new();
    let mut before: Option<(i64, i64)> = None;
    let mut taken = false;
    while let Some(row) = rows.next()? {
        let here: (i64, i64) = (row.get(1)?, row.get(0)?);
        let same = before.filter(|(_, likeness)| *likeness == here.1);
        if let Some(first) = same {
            shared.extend((!taken).then_some(first));
            shared.push(here);
        }
        taken = same.is_some();
        before = Some(here);
    }
    shared.sort_unstable();
    let days = "SELECT coalesce(first_seen, listed_on) AS day, \
        coalesce(last_seen, ended_on, first_seen, listed_on) FROM comps \
        WHERE row = ?1 AND day IS NOT NULL";
    let mut days = connection.prepare(days)?;
    let mut found = Vec::with_capacity(shared.len());
    for (row, likeness) in shared {
        let mut rows = days.query([row])?;
        let Some(here) = rows.next()? else { continue };
        let (day, known) = (stored::read_day(here, 0)?, here.get(1)?);
        found.push(LikeListing {
            likeness,
            day: stored::from_day(day.ok_or_else(|| stored::nonsense(0))?),
            known,
            row,
        });
    }
    found.sort_unstable_by_key(|one| (one.likeness, one.day, one.row));
    Ok(LikeListings(found))
}
