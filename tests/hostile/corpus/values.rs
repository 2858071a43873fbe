//! Every odd form of a value, in a row of every kind of file that may hold it.

use super::case::{Case, Must, place};
use super::csv_text::{PLAIN, write};
use super::forms::{Form, forms};
use super::tables::{Holds, Table};
use rand::Rng as _;
use rand::seq::IndexedRandom as _;
use rand_chacha::ChaCha8Rng;
use std::collections::BTreeMap;

/// One case a form, in a column and a row drawn at random; every column once at
/// least where there are as many forms.
pub fn cases(table: &Table, random: &mut ChaCha8Rng) -> Vec<Case> {
    let cells = table.cells();
    let mut by_kind: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for (at, (_, holds, _)) in table.columns.iter().enumerate() {
        let kind = match holds {
            Holds::Price | Holds::Amount => "money".to_string(),
            other => format!("{other:?}"),
        };
        by_kind.entry(kind).or_default().push(at);
    }
    let mut cases = Vec::new();
    for columns in by_kind.values() {
        let turn = random.random_range(0..columns.len());
        for round in 0.. {
            let column = columns[(turn + round) % columns.len()];
            let filled: Vec<usize> = (1..cells.len())
                .filter(|row| !cells[*row][column].is_empty())
                .collect();
            let Some(row) = filled.choose(random) else {
                continue;
            };
            let (name, holds, _) = table.columns[column];
            let forms = forms(holds, &cells[*row][column]);
            let Some((text, form)) = forms.get(round) else {
                break;
            };
            cases.push(case(&cells, (*row, column, name), text, form));
        }
    }
    for (column, (name, holds, required)) in table.columns.iter().enumerate() {
        if *required {
            cases.push(case(&cells, (1, column, name), "", &Form::Refused));
            cases.push(case(&cells, (2, column, name), " \u{a0}", &Form::Refused));
        }
        if *holds == Holds::Id {
            cases.push(twice(table, column));
        }
    }
    cases
}

fn case(
    cells: &[Vec<String>],
    (row, column, name): (usize, usize, &str),
    text: &str,
    form: &Form,
) -> Case {
    let mut hostile = cells.to_vec();
    hostile[row][column] = text.to_string();
    let bytes = write(&hostile, PLAIN);
    let mut rows = cells[1..].to_vec();
    let shown: String = text.chars().take(40).collect();
    let title = format!("{name} '{}'", shown.escape_debug());
    match form {
        Form::Refused => {
            let said = place(row, column, name);
            Case::refused(title, bytes, &[&said])
        }
        Form::Same => Case::new(title, bytes, Must::Accept(rows, Vec::new())),
        Form::Other(value) => {
            rows[row - 1][column].clone_from(value);
            Case::new(title, bytes, Must::Accept(rows, Vec::new()))
        }
    }
}

/// The id of the first row again in the last, with the names beside it: an id of
/// a listing is one within its source.
fn twice(table: &Table, column: usize) -> Case {
    let cells = table.cells();
    let mut hostile = cells.clone();
    let last = hostile.len() - 1;
    for (at, (_, holds, _)) in table.columns.iter().enumerate() {
        if at == column || *holds == Holds::Name {
            hostile[last][at].clone_from(&cells[1][at]);
        }
    }
    let name = table.columns[column].0;
    let said = [&place(last, column, name), "stands once in the file"];
    Case::refused(format!("{name} twice"), write(&hostile, PLAIN), &said)
}
