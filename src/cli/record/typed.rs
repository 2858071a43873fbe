//! What was typed for one event.

use crate::cli::how_written::{Dates, Decimal};
use crate::intake::Kind;
use clap::Args;
use std::marker::PhantomData;

/// What was typed after `record sale` and its like.
#[derive(Clone, Debug)]
pub(crate) struct Typed<K> {
    /// In the order of the kind's fields.
    pub(super) cells: Vec<Option<String>>,
    /// `--dry-run`.
    pub dry_run: bool,
    /// `--correct`.
    pub correct: bool,
    /// `--dates`.
    pub dates: Option<Dates>,
    /// `--decimal`.
    pub decimal: Option<Decimal>,
    /// Further bikes, where several are named: `--bike A --bike B`.
    pub others: Vec<String>,
    /// Columns whose flags have names of their own here.
    pub(super) names: Names,
    pub(super) kind: PhantomData<K>,
}

/// Columns, each with the flag that it is typed with.
pub(crate) type Names = &'static [(&'static str, &'static str)];

/// How an event is recorded.
#[derive(Clone, Copy, Debug, Args)]
pub(crate) struct How {
    /// Order of day and month in dates such as 03/02/2024; the book keeps it
    #[arg(long, value_enum)]
    pub dates: Option<Dates>,
    /// Sign before the decimals of amounts such as 1.234; the book keeps it
    #[arg(long, value_enum)]
    pub decimal: Option<Decimal>,
    /// Say what would be recorded; leave the book as it is
    #[arg(long)]
    pub dry_run: bool,
}

impl<K: Kind> Typed<K> {
    /// What was typed in another way than by the columns' own flags.
    pub(crate) fn of(cells: &[(&str, Option<String>)], names: Names, how: How) -> Self {
        let cell = |name: &str| cells.iter().find(|(column, _)| *column == name);
        let cells = K::FIELDS.iter().map(|field| cell(field.name)?.1.clone());
        Self {
            cells: cells.collect(),
            dry_run: how.dry_run,
            correct: false,
            dates: how.dates,
            decimal: how.decimal,
            others: Vec::new(),
            names,
            kind: PhantomData,
        }
    }

    /// The flag that a column is typed with.
    pub(crate) fn flag(&self, column: &str) -> String {
        let own = self.names.iter().find(|(name, _)| *name == column);
        own.map_or_else(|| flag_of(column), |(_, flag)| (*flag).to_string())
    }

    /// What was typed for a column, blanks at its ends taken away.
    pub(crate) fn get(&self, column: &str) -> Option<&str> {
        let place = K::FIELDS.iter().position(|field| field.name == column)?;
        self.cells.get(place)?.as_deref().map(str::trim)
    }

    /// The cells of a row: what was typed, over those that it starts from.
    pub(crate) fn over(&self, start: Vec<String>) -> Vec<String> {
        let typed = self.cells.iter().cloned();
        let both = start.into_iter().zip(typed);
        both.map(|(start, typed)| typed.unwrap_or(start)).collect()
    }
}

/// The flag of a column: `--sold-price` of `sold_price`.
pub(crate) fn flag_of(column: &str) -> String {
    format!("--{}", column.replace('_', "-"))
}
