//! How a value is kept in a column, and back. One description of each table
//! serves writing, comparing, showing a change, and undoing it.

use crate::trade::{
    Bike, Condition, CostKind, Currency, Day, LeftAs, Money, Outcome, SeatTube, Style, Tier, Years,
};
use rusqlite::types::{Null, Type, ValueRef};
use rusqlite::{Error, Result, Row, Statement};

/// What a column's numbers mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::book) enum Kind {
    Text,
    /// Text or a number as it stands.
    Plain,
    /// The row of a bike among the sales; read as the bike's id.
    BikeRow,
    Style,
    Years,
    Condition,
    Tier,
    SeatTube,
    Money,
    Day,
    Outcome,
    SpentOn,
    LeftAs,
    /// Hundredths of an hour.
    Hours,
    /// Tenths of a day.
    Days,
    /// Follows from the others and is not shown.
    Derived,
}

/// A table of records: the key columns first.
pub(in crate::book) struct Table {
    pub name: &'static str,
    pub keys: usize,
    pub columns: &'static [Column],
}

/// A column's name, and what its values mean.
pub(in crate::book) type Column = (&'static str, Kind);

impl Table {
    /// The place of a column among all. For constants: a name that the table lacks
    /// does not compile.
    pub(in crate::book) const fn place(&self, name: &str) -> usize {
        let mut at = 0;
        while !same(self.columns[at].0.as_bytes(), name.as_bytes()) {
            at += 1;
        }
        at
    }

    /// Each column as it is read, in SQL and by its name. The sales are to be joined
    /// where a row of a bike is among them.
    pub(in crate::book) fn read(&self) -> impl Iterator<Item = (String, Column)> {
        self.columns.iter().map(|column| match column {
            (_, Kind::BikeRow) => ("sales.bike".to_string(), *column),
            (name, _) => (format!("{}.\"{name}\"", self.name), *column),
        })
    }

    /// All columns as they are read, for a SELECT.
    pub(in crate::book) fn list(&self) -> String {
        self.read()
            .map(|(sql, _)| sql)
            .collect::<Vec<_>>()
            .join(", ")
    }
}

/// The place of a name in a list, likewise.
pub(in crate::book) const fn place(list: &[&str], name: &str) -> usize {
    let mut at = 0;
    while !same(list[at].as_bytes(), name.as_bytes()) {
        at += 1;
    }
    at
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    let mut at = 0;
    while at < a.len() && at < b.len() && a[at] == b[at] {
        at += 1;
    }
    at == a.len() && at == b.len()
}

/// A value on its way into a column or out of one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::book) enum Cell<'a> {
    Null,
    Int(i64),
    Text(&'a str),
}

impl<'a> Cell<'a> {
    pub(in crate::book) fn bind(self, statement: &mut Statement<'_>, place: usize) -> Result<()> {
        match self {
            Cell::Null => statement.raw_bind_parameter(place, Null),
            Cell::Int(number) => statement.raw_bind_parameter(place, number),
            Cell::Text(text) => statement.raw_bind_parameter(place, text),
        }
    }

    pub(in crate::book) fn from_row(row: &'a Row<'_>, column: usize) -> Result<Self> {
        match row.get_ref(column)? {
            ValueRef::Null => Ok(Cell::Null),
            ValueRef::Integer(number) => Ok(Cell::Int(number)),
            text @ ValueRef::Text(_) => Ok(Cell::Text(text.as_str()?)),
            _ => Err(nonsense(column)),
        }
    }

    pub(in crate::book) fn to_json(self) -> serde_json::Value {
        match self {
            Cell::Null => serde_json::Value::Null,
            Cell::Int(number) => number.into(),
            Cell::Text(text) => text.into(),
        }
    }

    /// `None` for what this room never wrote.
    pub(in crate::book) fn from_json(value: Option<&'a serde_json::Value>) -> Option<Self> {
        match value {
            None | Some(serde_json::Value::Null) => Some(Cell::Null),
            Some(serde_json::Value::String(text)) => Some(Cell::Text(text)),
            Some(number) => number.as_i64().map(Cell::Int),
        }
    }

    /// As a person reads it; empty when unknown.
    pub(in crate::book) fn show(self, kind: Kind, currency: &Currency) -> String {
        let number = match self {
            Cell::Null => return String::new(),
            Cell::Text(text) => return text.to_string(),
            Cell::Int(number) => number,
        };
        let shown = match kind {
            Kind::Style => Style::ALL.get(number as usize).map(Style::to_string),
            Kind::Outcome => Outcome::ALL.get(number as usize).map(Outcome::to_string),
            Kind::SpentOn => CostKind::ALL.get(number as usize).map(CostKind::to_string),
            Kind::LeftAs => LeftAs::ALL.get(number as usize).map(LeftAs::to_string),
            Kind::Years => to_years(number).map(|years| years.to_string()),
            Kind::Condition => {
                Condition::from_grade(number as u8).map(|grade| format!("{number} {grade}"))
            }
            Kind::Tier => Tier::from_grade(number as u8).map(|tier| format!("{number} {tier}")),
            Kind::SeatTube => SeatTube::from_number(number).map(|tube| tube.to_string()),
            Kind::Money => Some(currency.plain(Money::from_minor(number))),
            Kind::Day => to_day(number).map(|day| day.to_string()),
            Kind::Hours => Some(format!("{}.{:02}", number / 100, number % 100)),
            Kind::Days => Some(format!("{}.{}", number / 10, number % 10)),
            Kind::Text | Kind::Plain | Kind::BikeRow | Kind::Derived => None,
        };
        shown.unwrap_or_else(|| number.to_string())
    }
}

/// The error for a value that this room never wrote: the book is damaged.
pub(in crate::book) fn nonsense(column: usize) -> Error {
    Error::FromSqlConversionFailure(column, Type::Null, "a value that makes no sense".into())
}

/// A grade of a condition.
pub(in crate::book) fn condition(value: Option<Condition>) -> Cell<'static> {
    int(value.map(Condition::grade))
}

/// A grade of a component tier.
pub(in crate::book) fn tier(value: Option<Tier>) -> Cell<'static> {
    int(value.map(Tier::grade))
}

fn int<T: Into<i64>>(value: Option<T>) -> Cell<'static> {
    value.map_or(Cell::Null, |value| Cell::Int(value.into()))
}

pub(in crate::book) fn money(value: Option<Money>) -> Cell<'static> {
    int(value.map(Money::minor))
}

pub(in crate::book) fn number(value: Option<i64>) -> Cell<'static> {
    int(value)
}

/// A year as it stands, a range as its first and last year side by side.
fn from_years(years: Years) -> i64 {
    match years.exact() {
        Some(year) => year.into(),
        None => i64::from(years.first()) * BESIDE + i64::from(years.last()),
    }
}

/// Moves the first year of a range before the four digits of the last.
const BESIDE: i64 = 10_000;

fn to_years(number: i64) -> Option<Years> {
    if let Ok(year) = i16::try_from(number) {
        return Some(Years::from(year));
    }
    let first = i16::try_from(number / BESIDE).ok()?;
    let last = (number % BESIDE) as i16;
    Years::range(first, last).filter(|years| first >= 1000 && years.exact().is_none())
}

pub(in crate::book) fn from_day(day: Day) -> i64 {
    i64::from(day.year()) * 10_000 + i64::from(day.month()) * 100 + i64::from(day.day())
}

pub(in crate::book) fn to_day(number: i64) -> Option<Day> {
    let year = i16::try_from(number / 10_000).ok()?;
    Day::new(year, (number / 100 % 100) as i8, (number % 100) as i8).ok()
}

pub(in crate::book) fn day(value: Option<Day>) -> Cell<'static> {
    int(value.map(from_day))
}

/// The six features, in the order that both tables keep them in.
pub(in crate::book) const BIKE: [Column; 6] = [STYLE, MADE, CONDITION, TIER, SEAT_TUBE, NEW_PRICE];
pub(in crate::book) const STYLE: Column = ("style", Kind::Style);
pub(in crate::book) const MADE: Column = ("made", Kind::Years);
pub(in crate::book) const CONDITION: Column = ("condition", Kind::Condition);
pub(in crate::book) const TIER: Column = ("tier", Kind::Tier);
pub(in crate::book) const SEAT_TUBE: Column = ("seat_tube", Kind::SeatTube);
pub(in crate::book) const NEW_PRICE: Column = ("new_price", Kind::Money);

pub(in crate::book) fn bike(bike: &Bike) -> [Cell<'static>; 6] {
    [
        Cell::Int(bike.style.index() as i64),
        int(bike.made.map(from_years)),
        condition(bike.condition),
        tier(bike.tier),
        int(bike.seat_tube.map(SeatTube::number)),
        money(bike.new_price),
    ]
}

/// The integer in a column, if it holds one.
pub(in crate::book) fn read_number(row: &Row<'_>, column: usize) -> Result<Option<i64>> {
    match row.get_ref(column)? {
        ValueRef::Integer(number) => Ok(Some(number)),
        ValueRef::Null => Ok(None),
        _ => Err(nonsense(column)),
    }
}

/// A count in a column.
pub(in crate::book) fn read_count(row: &Row<'_>, column: usize) -> Result<u64> {
    u64::try_from(row.get::<_, i64>(column)?).map_err(|_| nonsense(column))
}

/// A value read with `decode`; NULL stays unknown, nonsense is an error.
fn read<T>(row: &Row<'_>, column: usize, decode: impl Fn(i64) -> Option<T>) -> Result<Option<T>> {
    match read_number(row, column)? {
        None => Ok(None),
        Some(number) => decode(number).map(Some).ok_or_else(|| nonsense(column)),
    }
}

pub(in crate::book) fn read_money(row: &Row<'_>, column: usize) -> Result<Option<Money>> {
    Ok(read_number(row, column)?.map(Money::from_minor))
}

pub(in crate::book) fn read_day(row: &Row<'_>, column: usize) -> Result<Option<Day>> {
    read(row, column, to_day)
}

pub(in crate::book) fn read_text(row: &Row<'_>, column: usize) -> Result<String> {
    Ok(row.get_ref(column)?.as_str()?.to_string())
}

pub(in crate::book) fn read_outcome(row: &Row<'_>, column: usize) -> Result<Outcome> {
    let outcome = |number: i64| Outcome::ALL.get(usize::try_from(number).ok()?).copied();
    read(row, column, outcome)?.ok_or_else(|| nonsense(column))
}

pub(in crate::book) fn read_cost_kind(row: &Row<'_>, column: usize) -> Result<CostKind> {
    let kind = |number: i64| CostKind::ALL.get(usize::try_from(number).ok()?).copied();
    read(row, column, kind)?.ok_or_else(|| nonsense(column))
}

/// Reads how a bike left.
pub(in crate::book) fn read_left_as(row: &Row<'_>, column: usize) -> Result<Option<LeftAs>> {
    let how = |number: i64| LeftAs::ALL.get(usize::try_from(number).ok()?).copied();
    read(row, column, how)
}

/// Reads a condition.
pub(in crate::book) fn read_condition(row: &Row<'_>, column: usize) -> Result<Option<Condition>> {
    read(row, column, |n| {
        Condition::from_grade(u8::try_from(n).ok()?)
    })
}

/// Reads a component tier.
pub(in crate::book) fn read_tier(row: &Row<'_>, column: usize) -> Result<Option<Tier>> {
    read(row, column, |n| Tier::from_grade(u8::try_from(n).ok()?))
}

/// Reads the six features, in the order of [`BIKE`] from the column `from` on.
pub(in crate::book) fn read_bike(row: &Row<'_>, from: usize) -> Result<Bike> {
    read_bike_if_known(row, from)?.ok_or_else(|| nonsense(from))
}

/// The same where a bike may be unknown: then its style is.
pub(in crate::book) fn read_bike_if_known(row: &Row<'_>, from: usize) -> Result<Option<Bike>> {
    let style = |number: i64| Style::ALL.get(usize::try_from(number).ok()?).copied();
    let Some(style) = read(row, from, style)? else {
        return Ok(None);
    };
    Ok(Some(Bike {
        style,
        made: read(row, from + 1, to_years)?,
        condition: read_condition(row, from + 2)?,
        tier: read_tier(row, from + 3)?,
        seat_tube: read(row, from + 4, SeatTube::from_number)?,
        new_price: read_money(row, from + 5)?,
    }))
}
