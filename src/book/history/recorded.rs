//! Records as they stood on a day: what later imports and undoings changed is
//! taken out again.
//!
//! A record has a state for each import that wrote it: the present one in its
//! table, earlier ones in `superseded`, and those that an undoing took out in
//! `taken_back`. A state was in the book at the end of a day when its import
//! was made by then and not undone by then; the latest of those is the record.

use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::book::tables::stored::{self, Kind, Table, from_day};
use crate::book::tables::{costs, gifts, returns, sales};
use crate::trade::{Cost, Day, Gift, Return, Sale};
use rusqlite::{Row, Transaction};
use std::cmp::Ordering;
use std::collections::HashMap;

/// Sales, costs and gifts as the book had them at the end of a day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recorded {
    /// By the bytes of the bike's id.
    pub sales: Vec<Sale>,
    /// By day, then as recorded.
    pub costs: Vec<Cost>,
    /// By day, then as recorded.
    pub gifts: Vec<Gift>,
}

/// A table whose state can be told for any day.
struct Past<T> {
    table: &'static Table,
    /// What names a record, in SQL: it stays when the record is taken out and
    /// comes again, which a row number does not.
    key: &'static str,
    /// The table, with that of the bikes where a record names one.
    from: &'static str,
    /// Reads all columns of the table.
    read: fn(&Row<'_>) -> rusqlite::Result<T>,
    /// In SQL, and the same of two records with their rows.
    order: &'static str,
    compare: fn(&State<T>, &State<T>) -> Ordering,
}

/// A record in one of its states.
struct State<T> {
    /// The import that gave it this state.
    written_by: i64,
    row: i64,
    record: T,
}

fn past_sales() -> Past<Sale> {
    Past {
        table: &sales::SALES,
        key: "sales.bike",
        from: "sales",
        read: sales::sale,
        order: "sales.bike",
        compare: |a, b| a.record.id.cmp(&b.record.id),
    }
}

/// A cost names its bike by the bike's id, because an undoing may free the row.
/// It has no state in `superseded`: its mark holds all of it, so it never changes.
fn past_costs() -> Past<Cost> {
    Past {
        table: &costs::COSTS,
        key: "costs.mark",
        from: "costs LEFT JOIN sales ON sales.row = costs.bike",
        read: costs::cost,
        order: "costs.\"on\", costs.row",
        compare: |a, b| (a.record.on, a.row).cmp(&(b.record.on, b.row)),
    }
}

fn past_gifts() -> Past<Gift> {
    Past {
        table: &gifts::GIFTS,
        key: "gifts.mark",
        from: "gifts",
        read: gifts::gift,
        order: "gifts.\"on\", gifts.row",
        compare: |a, b| (a.record.on, a.row).cmp(&(b.record.on, b.row)),
    }
}

fn past_returns() -> Past<Return> {
    Past {
        table: &returns::RETURNS,
        key: "sales.bike || char(31) || returns.\"on\"",
        from: "returns JOIN sales ON sales.row = returns.bike",
        read: returns::one,
        order: "sales.bike, returns.\"on\"",
        compare: |a, b| (&a.record.bike, a.record.on).cmp(&(&b.record.bike, b.record.on)),
    }
}

/// The imports made up to the day `?1`.
const BY_THEN: &str = "(SELECT number FROM imports WHERE made_on <= ?1)";

impl<T> Past<T> {
    /// The columns with `show` of each, one after the other.
    fn list(&self, show: impl Fn(&str, &'static str) -> String) -> String {
        let shown = self.table.read().map(|(sql, (name, _))| show(&sql, name));
        shown.collect::<Vec<_>>().join(", ")
    }

    /// Keeps what import `?1` had written, on its way out.
    fn keep(&self) -> String {
        let kept = self.table.read();
        let kept = kept.filter(|(_, (_, kind))| *kind != Kind::Derived);
        let pairs: Vec<String> = kept
            .map(|(sql, (name, _))| format!("'{name}', {sql}"))
            .collect();
        format!(
            "INSERT INTO taken_back SELECT {table}.import, '{table}', {key}, {table}.row, \
             json_object({pairs}) FROM {from} WHERE {table}.import = ?1",
            table = self.table.name,
            key = self.key,
            pairs = pairs.join(", "),
            from = self.from
        )
    }

    /// The present states that were there by then. Columns: those of the
    /// record, import, row, key.
    fn present(&self) -> String {
        format!(
            "SELECT {columns}, {table}.import, {table}.row, {key} FROM {from} \
             WHERE {table}.import IN {BY_THEN} ORDER BY {order}",
            columns = self.table.list(),
            table = self.table.name,
            key = self.key,
            from = self.from,
            order = self.order
        )
    }

    /// States of before that were there by then: those of records that were
    /// changed later, and those that were undone later. Columns as in `present`.
    fn earlier(&self) -> String {
        let table = self.table.name;
        let is_key = |name: &str| {
            let mut keys = self.table.columns.iter().take(self.table.keys);
            keys.any(|(key, _)| *key == name)
        };
        let old = self.list(|sql, name| {
            if is_key(name) {
                sql.to_string()
            } else {
                format!("json_extract(old, '$.{name}')")
            }
        });
        let back = self.list(|_, name| format!("json_extract(state, '$.{name}')"));
        format!(
            "SELECT {old}, superseded.old_import, {table}.row, {key} \
                 FROM {from} JOIN superseded ON superseded.row = {table}.row \
                 WHERE superseded.kind = '{table}' AND superseded.old_import IN {BY_THEN} \
                     AND superseded.import NOT IN {BY_THEN} AND {table}.import NOT IN {BY_THEN} \
             UNION ALL \
             SELECT {back}, taken_back.import, taken_back.row, key FROM taken_back \
                 JOIN imports ON number = taken_back.import \
                 WHERE taken_back.kind = '{table}' AND made_on <= ?1 AND undone_on > ?1",
            key = self.key,
            from = self.from,
        )
    }

    /// The state in a row of `present` or `earlier`.
    fn state(&self, row: &Row<'_>) -> rusqlite::Result<State<T>> {
        let after = self.table.columns.len();
        Ok(State {
            written_by: row.get(after)?,
            row: row.get(after + 1)?,
            record: (self.read)(row)?,
        })
    }

    fn key(&self, row: &Row<'_>) -> rusqlite::Result<String> {
        stored::read_text(row, self.table.columns.len() + 2)
    }
}

/// Keeps what an import had written before its undoing takes it out.
pub(in crate::book) fn keep_taken_back(
    transaction: &Transaction<'_>,
    number: i64,
) -> rusqlite::Result<()> {
    for keep in [
        past_sales().keep(),
        past_costs().keep(),
        past_gifts().keep(),
        past_returns().keep(),
    ] {
        transaction.execute(&keep, [number])?;
    }
    Ok(())
}

impl Book {
    /// The records as the book had them at the end of `day`, by the days on
    /// which imports and undoings were made. A cost may name a bike that is not
    /// among them when its sale was imported as of a later day than the cost.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn recorded_by(&self, day: Day) -> Result<Recorded, BookProblem> {
        let recorded = || -> rusqlite::Result<Recorded> {
            let mut sales = self.past(&past_sales(), day)?;
            returns::put_to(&mut sales, self.past(&past_returns(), day)?);
            Ok(Recorded {
                sales,
                costs: self.past(&past_costs(), day)?,
                gifts: self.past(&past_gifts(), day)?,
            })
        };
        recorded().map_err(|error| self.problem(&error))
    }

    /// Most records were never changed: only those that were are compared by
    /// key and sorted anew.
    fn past<T>(&self, past: &Past<T>, day: Day) -> rusqlite::Result<Vec<T>> {
        let mut earlier: HashMap<String, State<T>> = HashMap::new();
        let mut statement = self.connection.prepare(&past.earlier())?;
        let mut rows = statement.query([from_day(day)])?;
        while let Some(row) = rows.next()? {
            let (key, state) = (past.key(row)?, past.state(row)?);
            match earlier.get(&key) {
                Some(later) if later.written_by > state.written_by => {}
                _ => drop(earlier.insert(key, state)),
            }
        }
        let mut statement = self.connection.prepare(&past.present())?;
        let mut rows = statement.query([from_day(day)])?;
        let mut states: Vec<State<T>> = Vec::new();
        while let Some(row) = rows.next()? {
            let state = past.state(row)?;
            if !earlier.is_empty() {
                let key = past.key(row)?;
                match earlier.get(&key) {
                    Some(later) if later.written_by > state.written_by => continue,
                    _ => drop(earlier.remove(&key)),
                }
            }
            states.push(state);
        }
        if !earlier.is_empty() {
            states.extend(earlier.into_values());
            states.sort_by(past.compare);
        }
        Ok(states.into_iter().map(|state| state.record).collect())
    }
}
