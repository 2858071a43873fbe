//! What was typed for one event.

use crate::cli::how_written::{Dates, Decimal};
use crate::intake::Kind;
use std::marker::PhantomData;

/// What was typed after `record sale` and its like.
#[derive(Debug)]
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
    pub(super) kind: PhantomData<K>,
}

impl<K: Kind> Typed<K> {
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
