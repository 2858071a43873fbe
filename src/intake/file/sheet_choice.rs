//! Which sheet of a spreadsheet is proposed where several are not empty: the one whose name
//! or columns fit the kind of file.

use super::synonyms::{field_of, plain};
use crate::intake::kind::Kind;
use crate::intake::problems::file::FileProblem;
use crate::intake::problems::proposal::IMPORT;
use crate::intake::problems::proposal::Proposal;
use crate::intake::settings::Settings;
use crate::intake::sheets::workbook::{self, Found, Input};
use std::collections::BTreeSet;
use std::path::Path;

/// Words in the names of sheets of each kind, in small letters. Common usage, no source.
const NAMES: &[(&str, &[&str])] = &[
    (
        "sales",
        &[
            "sales",
            "sale",
            "sold",
            "bikes",
            "bike",
            "verkäufe",
            "verkauf",
            "verkauft",
            "räder",
            "fahrräder",
            "stock",
            "bestand",
        ],
    ),
    (
        "costs",
        &[
            "costs", "cost", "expenses", "expense", "spending", "spent", "ausgaben", "ausgabe",
            "kosten", "parts", "teile",
        ],
    ),
    (
        "gifts",
        &[
            "gifts",
            "gift",
            "donations",
            "donation",
            "given",
            "spenden",
            "spende",
            "charity",
        ],
    ),
    (
        "comps",
        &[
            "comps", "seen", "listings", "adverts", "ads", "market", "markt", "gesehen",
            "anzeigen", "inserate", "asks",
        ],
    ),
    ("asks", &["asks", "prices", "price changes", "preise"]),
    (
        "returns",
        &["returns", "returned", "rückgaben", "rücknahmen"],
    ),
    ("offers", &["offers", "bids", "angebote"]),
    ("inspections", &["inspections", "checks", "prüfungen"]),
];

/// How much a name that fits counts beside a column that does.
const BY_NAME: usize = 100;

/// How well a sheet fits a kind, by its name and its first cells.
fn fits<K: Kind>(name: &str, top: &[&str]) -> usize {
    let words = NAMES.iter().find(|(kind, _)| *kind == K::NAME);
    let words = words.map_or(&[][..], |(_, words)| words);
    let name = plain(name);
    let named = words.contains(&name.as_str()) || name.split(' ').any(|word| words.contains(&word));
    let found: BTreeSet<&str> = top
        .iter()
        .filter_map(|cell| field_of(cell, K::FIELDS, |_| true))
        .collect();
    found.len() + if named { BY_NAME } else { 0 }
}

/// The text of a sheet where the input is a spreadsheet.
pub(in crate::intake) fn sheet_or_other<K: Kind>(
    input: Input,
    path: &Path,
    settings: &Settings,
) -> Result<Found, FileProblem> {
    let found = workbook::as_text(input, path, settings, &fits::<K>);
    found.map_err(|problem| match problem {
        FileProblem::SeveralSheets {
            path, sheets, fits, ..
        } => {
            let said = Settings {
                sheet: sheets.get(fits).map(|(name, _)| name.clone()),
                ..settings.clone()
            };
            let command = K::COMMAND.starts_with(IMPORT);
            let command = command.then(|| Proposal::default().command(K::COMMAND, &path, &said));
            FileProblem::SeveralSheets {
                path,
                sheets,
                fits,
                command,
            }
        }
        other => other,
    })
}

/// Where one of several sheets is proposed: the whole command for it, with what its columns
/// and values suggest.
pub(in crate::intake) fn in_sheet<R>(
    mut problem: FileProblem,
    settings: &Settings,
    again: impl FnOnce(&Settings) -> Result<R, FileProblem>,
) -> FileProblem {
    if let FileProblem::SeveralSheets {
        sheets,
        fits,
        command: Some(command),
        ..
    } = &mut problem
    {
        let said = Settings {
            sheet: sheets.get(*fits).map(|(name, _)| name.clone()),
            ..settings.clone()
        };
        if let Err(FileProblem::Columns {
            command: Some(whole),
            ready: true,
            ..
        }) = again(&said)
        {
            *command = whole;
        }
    }
    problem
}
