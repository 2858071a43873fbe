//! The header of a file: what stands above it, its columns, and what to say where it does
//! not fit.

use super::columns::{Columns, take_rejects_columns};
use super::divider::divider;
use super::proposing::{self, Values};
use super::records::Records;
use super::totals::calls_itself_a_total;
use crate::intake::kind::Kind;
use crate::intake::problems::columns::ColumnProblem;
use crate::intake::problems::file::FileProblem;
use crate::intake::problems::notes::FileNote;
use crate::intake::problems::pointing::shortened;
use crate::intake::problems::proposal::{IMPORT, Proposal};
use crate::intake::settings::Settings;

/// Most columns of a header for which a command is proposed: one with more is that of
/// another kind of file.
const MOST_COLUMNS: usize = 60;

/// Most bytes of rows that are looked at (64 MiB).
const MOST_BYTES: usize = 1 << 26;

/// Reads the header and matches its columns.
pub(in crate::intake) fn read_header<K: Kind>(
    records: &mut Records,
    settings: &Settings,
    notes: &mut Vec<FileNote>,
) -> Result<Columns, FileProblem> {
    notes.extend(pass_titles(records, settings)?);
    records.check_quotes()?;
    let (path, line) = (records.path.clone(), records.line);
    let names = records.cells.iter().map(|name| name.trim().to_string());
    let mut header: Vec<String> = names.collect();
    if header
        .iter()
        .rposition(|name| !name.is_empty())
        .unwrap_or(0)
        == 0
    {
        let header = shortened(header.first().map_or("", String::as_str));
        return Err(FileProblem::OneColumn { path, line, header });
    }
    let added = take_rejects_columns(&mut header, settings);
    let found = Columns::find(header.clone(), added, K::FIELDS, settings);
    found.map_err(|problems| {
        let proposal = proposed::<K>(records, &header, settings, &problems);
        let proposal = proposal.filter(|proposal| !proposal.is_empty());
        let said = without_wrong(settings, &problems);
        FileProblem::Columns {
            ready: proposal
                .as_ref()
                .is_none_or(|proposal| proposal.missing.is_empty()),
            command: proposal.map(|proposal| {
                let command = proposal.command(K::COMMAND, &path, &said);
                [vec![command], proposal.look_at].concat().join("\n")
            }),
            path,
            line,
            header,
            problems,
        }
    })
}

/// Reads on to the header; tells what stands above it.
fn pass_titles(
    records: &mut Records,
    settings: &Settings,
) -> Result<Option<FileNote>, FileProblem> {
    let (mut titles, mut lines, mut text) = (records.titles, None, String::new());
    loop {
        if !records.advance()? {
            let path = records.path.clone();
            return Err(FileProblem::Empty { path });
        }
        let blank = records.cells.as_slice().trim().is_empty();
        if blank && (settings.untidy || records.cells.len() <= 1) {
            continue;
        }
        if titles == 0 {
            break;
        }
        titles -= 1;
        let (first, _) = lines.unwrap_or((records.line, 0));
        lines = Some((first, records.line));
        for cell in records
            .cells
            .iter()
            .map(str::trim)
            .filter(|cell| !cell.is_empty())
        {
            if text.len() < 200 {
                text = if text.is_empty() {
                    cell.to_string()
                } else {
                    format!("{text}, {cell}")
                };
            }
        }
    }
    let text = shortened(&text);
    Ok(lines.map(|lines| FileNote::AboveHeader { lines, text }))
}

/// What to say of the columns, and then of the values that they are found to hold; `None`
/// where no column is unknown.
fn proposed<K: Kind>(
    records: &mut Records,
    header: &[String],
    settings: &Settings,
    problems: &[ColumnProblem],
) -> Option<Proposal> {
    problems.iter().find(|problem| problem.is_a_stranger())?;
    if header.len() > MOST_COLUMNS {
        return None;
    }
    let (mut rows, mut typed, mut bytes) = (Vec::new(), Vec::new(), 0);
    let most = |rows: usize, bytes: usize| rows < proposing::MOST_ROWS && bytes < MOST_BYTES;
    while most(rows.len(), bytes) && records.advance().unwrap_or(false) {
        let cells = &records.cells;
        let left_out = cells.iter().any(calls_itself_a_total) || divider(cells).is_some();
        if !cells.as_slice().trim().is_empty() && !left_out {
            bytes += cells.as_slice().len() + 8 * cells.len();
            let of_row = (0..cells.len().min(64)).filter(|column| records.is_number(*column));
            typed.push(of_row.fold(0_u64, |bits, column| bits | 1 << column));
            rows.push(cells.clone());
        }
    }
    let sample = rows.get(..rows.len().min(proposing::SAMPLE)).unwrap_or(&[]);
    let said = without_wrong(settings, problems);
    let mut proposal = proposing::columns(header, K::FIELDS, &said, sample);
    let mut mapped = said.clone();
    mapped.columns.extend(proposal.columns.iter().cloned());
    mapped.ignore.extend(proposal.ignore.iter().cloned());
    if K::COMMAND.starts_with(IMPORT) {
        let at = proposing::places(header, K::FIELDS, &mapped);
        let mut values = Values::of(K::FIELDS, at, &mapped);
        for (row, typed) in rows.iter().zip(&typed) {
            values.take(row, &|column| column < 64 && typed >> column & 1 == 1);
        }
        values.proposed(&mut proposal);
    }
    Some(proposal)
}

/// What was said already and is not wrong.
fn without_wrong(settings: &Settings, problems: &[ColumnProblem]) -> Settings {
    let mut said = settings.clone();
    said.columns.retain(|pair| {
        !problems.iter().any(|problem| match problem {
            ColumnProblem::NotInFile { ours, theirs, .. }
            | ColumnProblem::NoSuchField { ours, theirs, .. } => {
                (ours, theirs) == (&pair.0, &pair.1)
            }
            _ => false,
        })
    });
    said
}
