//! Records as they stood on a day: what later imports and undoings changed is
//! taken out again.

use super::sales::{SALES, sale};
use super::stored::{Table, from_day};
use super::{Book, BookProblem, costs, gifts};
use crate::trade::{Cost, Day, Gift, Sale};
use rusqlite::{Row, Transaction};

/// Sales, costs and gifts as the book had them at the end of a day.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Recorded {
    /// By the bytes of the bike's id.
    pub sales: Vec<Sale>,
    /// By day.
    pub costs: Vec<Cost>,
    /// By day.
    pub gifts: Vec<Gift>,
}

/// The columns of a table whose state can be told for any day, and what names
/// a record there. A cost names its bike by its id.
struct Past {
    table: &'static Table,
    key: &'static str,
    from: &'static str,
    /// Column in SQL of the table, and its name in kept states.
    columns: Vec<(String, &'static str)>,
}

impl Past {
    fn sales() -> Self {
        Self::of(&SALES, "sales.bike", "sales")
    }

    fn costs() -> Self {
        let from = "costs LEFT JOIN sales ON sales.row = costs.bike";
        let mut past = Self::of(&costs::COSTS, "costs.mark", from);
        for (sql, name) in &mut past.columns {
            if *name == "bike" {
                *sql = "sales.bike".into();
            }
        }
        past
    }

    fn gifts() -> Self {
        Self::of(&gifts::GIFTS, "gifts.mark", "gifts")
    }

    fn of(table: &'static Table, key: &'static str, from: &'static str) -> Self {
        let columns = table.columns.iter().filter(|(name, _)| *name != "mark");
        Self {
            table,
            key,
            from,
            columns: columns
                .map(|(name, _)| (format!("{}.\"{name}\"", table.name), *name))
                .collect(),
        }
    }

    /// What an import had written, on its way out.
    fn keep(&self) -> String {
        let pairs: Vec<String> = self
            .columns
            .iter()
            .map(|(sql, name)| format!("'{name}', {sql}"))
            .collect();
        format!(
            "INSERT INTO taken_back SELECT {table}.import, '{table}', {key}, json_object({pairs}) \
             FROM {from} WHERE {table}.import = ?1",
            table = self.table.name,
            key = self.key,
            pairs = pairs.join(", "),
            from = self.from
        )
    }

    /// Every record in the state that the latest import up to the day `?1` gave
    /// it, those that were undone by then left out. Of the rows of a group,
    /// SQLite shows the one with the greatest `written_by`
    /// (https://www.sqlite.org/lang_select.html#bareagg).
    fn select(&self, order: &str) -> String {
        let list = |show: &dyn Fn(usize, &(String, &'static str)) -> String| {
            let shown: Vec<String> = self
                .columns
                .iter()
                .enumerate()
                .map(|(place, column)| show(place, column))
                .collect();
            shown.join(", ")
        };
        let (table, key, from) = (self.table.name, self.key, self.from);
        let keys = &self.table.columns[..self.table.keys];
        let now = list(&|place, (sql, _)| format!("{sql} AS c{place}"));
        let out = list(&|place, _| format!("c{place}"));
        let old = list(&|_, (sql, name)| {
            if keys.iter().any(|(key, _)| key == name) {
                sql.clone()
            } else {
                format!("json_extract(old, '$.{name}')")
            }
        });
        let back = list(&|_, (_, name)| format!("json_extract(state, '$.{name}')"));
        format!(
            "WITH states AS ( \
                 SELECT {key} AS key, {table}.import AS written_by, {now} FROM {from} \
                 UNION ALL \
                 SELECT {key}, superseded.old_import, {old} FROM superseded \
                     JOIN {table} ON {table}.row = superseded.row {rest} \
                     WHERE superseded.kind = '{table}' \
                 UNION ALL \
                 SELECT key, taken_back.import, {back} FROM taken_back \
                     JOIN imports ON number = taken_back.import \
                     WHERE taken_back.kind = '{table}' AND undone_on > ?1) \
             SELECT {out}, max(written_by) FROM states JOIN imports ON number = written_by \
             WHERE made_on <= ?1 GROUP BY key ORDER BY {order}",
            rest = from.strip_prefix(table).unwrap_or_default(),
        )
    }
}

/// Keeps what an import had written before its undoing takes it out.
pub(super) fn keep_taken_back(transaction: &Transaction<'_>, number: i64) -> rusqlite::Result<()> {
    [Past::sales(), Past::costs(), Past::gifts()]
        .iter()
        .try_for_each(|past| transaction.execute(&past.keep(), [number]).map(|_| ()))
}

impl Book {
    /// The records as the book had them at the end of `day`, by the days on
    /// which imports and undoings were made.
    pub fn recorded_by(&self, day: Day) -> Result<Recorded, BookProblem> {
        let recorded = || -> rusqlite::Result<Recorded> {
            Ok(Recorded {
                sales: self.past(&Past::sales(), "c0", day, sale)?,
                costs: self.past(&Past::costs(), "c1, key", day, costs::cost)?,
                gifts: self.past(&Past::gifts(), "c0, key", day, gifts::gift)?,
            })
        };
        recorded().map_err(|error| self.problem(error))
    }

    fn past<T>(
        &self,
        past: &Past,
        order: &str,
        day: Day,
        read: fn(&Row<'_>) -> rusqlite::Result<T>,
    ) -> rusqlite::Result<Vec<T>> {
        let mut statement = self.connection.prepare(&past.select(order))?;
        statement.query_map([from_day(day)], read)?.collect()
    }
}
