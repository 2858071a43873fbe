//! The command to run next, and what is told of a file as a whole.

use crate::cli::failure::Failure;
use crate::cli::rows::findings::Found;
use crate::cli::source::{Source, named};
use crate::intake::{FileNote, FileProblem, Kind, Reader, Settings};
use std::path::Path;

/// The command to run next, as the values of the file suggest; nothing where they suggest
/// nothing.
///
/// # Errors
/// The file cannot be read once more.
pub(super) fn command<K: Kind>(
    reader: &Reader<K>,
    file: &Path,
    settings: &Settings,
    found: &Found,
) -> Result<String, FileProblem> {
    let mut proposal = reader.proposal()?;
    for word in found.words() {
        if !proposal.words.contains(&word) {
            proposal.words.push(word);
        }
    }
    if found.another_bike()
        && !settings
            .also
            .iter()
            .any(|said| said.starts_with("--prefix"))
    {
        let year = year_of(file).unwrap_or_else(|| settings.today.year().to_string());
        proposal.prefix = Some(format!("{year}-"));
        proposal.look_at.push(format!(
            "--prefix {year}- puts {year}- before each id of the file, as other bikes have these \
             ids in the book; if they are the same bikes, leave it out and add --correct."
        ));
    }
    if proposal.is_empty() {
        return Ok(String::new());
    }
    let mut lines =
        vec!["To run next, with what the values suggest; change what is wrong:".to_string()];
    lines.push(format!(
        "  {}",
        proposal.command(K::COMMAND, named(file), settings)
    ));
    lines.extend(proposal.look_at);
    Ok(lines.join("\n"))
}

/// The year that a file's name tells, as `2024.csv` or `sales-2024.xlsx`.
fn year_of(file: &Path) -> Option<String> {
    let name = file.file_stem()?.to_str()?;
    let mut numbers = name.split(|c: char| !c.is_ascii_digit());
    let year = |digits: &&str| digits.len() == 4 && (digits.starts_with("20"));
    numbers.find(year).map(String::from)
}

/// What was left out of a file, in words.
pub(super) fn told(notes: &[FileNote], source: Source<'_>) -> Vec<String> {
    let one = |note: &FileNote| format!("{}{note}", source.place(note.line()));
    notes.iter().map(one).collect()
}

/// A refusal that also tells what was left out.
pub(super) fn with_notes(refusal: Failure, notes: &[FileNote], source: Source<'_>) -> Failure {
    told(notes, source)
        .into_iter()
        .fold(refusal, Failure::with_hint)
}
