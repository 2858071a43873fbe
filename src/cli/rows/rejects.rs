//! The file of rows that were set aside.

use crate::cli::failure::Failure;
use crate::cli::written_file;
use crate::intake::{BadRow, REJECTS_COLUMNS, RowProblem};
use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};

/// The file of rows set aside: their cells as they stood, line and reasons.
/// It is written under another name, put in place before the import is made
/// lasting, and stays only if it was.
pub(crate) struct Rejects {
    writer: csv::Writer<File>,
    /// Where it is now.
    at: PathBuf,
    path: PathBuf,
    kept: bool,
}

impl Drop for Rejects {
    /// An import that failed leaves no file behind.
    fn drop(&mut self) {
        if !self.kept {
            let _ = fs::remove_file(&self.at);
        }
    }
}

impl Rejects {
    pub(crate) fn new(path: &Path, header: &[String]) -> Result<Self, Failure> {
        let cannot = |e: io::Error| {
            Failure::refused(
                format!("{}: cannot be written: {e}", path.display()),
                "Name another file for --skip-bad.",
            )
        };
        // A link that leads nowhere is there, too.
        if fs::symlink_metadata(path).is_ok() {
            return Err(Failure::refused(
                format!("{}: is there already", path.display()),
                "Name a new file for --skip-bad, so that nothing is lost.",
            ));
        }
        let (at, file) = written_file::new_beside(path).map_err(cannot)?;
        let writer = csv::WriterBuilder::new().flexible(true).from_writer(file);
        let mut rejects = Self {
            writer,
            at,
            path: path.to_path_buf(),
            kept: false,
        };
        let titles = header.iter().map(String::as_str).chain(REJECTS_COLUMNS);
        let titled = rejects.writer.write_record(titles);
        titled.map_err(|e| cannot(e.into()))?;
        Ok(rejects)
    }

    pub(crate) fn write(&mut self, bad: &BadRow) -> Result<(), Failure> {
        let reasons: Vec<String> = bad.problems.iter().map(RowProblem::to_string).collect();
        let line = bad.line.to_string();
        let cells = bad.cells.iter().map(String::as_str).chain([line.as_str()]);
        let joined = reasons.join("; ");
        let written = self.writer.write_record(cells.chain([joined.as_str()]));
        written.map_err(|e| self.cannot_go_on(&e.into()))
    }

    /// Puts the file in its place.
    pub(crate) fn put_in_place(&mut self) -> Result<(), Failure> {
        let placed = self
            .writer
            .flush()
            .and_then(|()| fs::rename(&self.at, &self.path));
        placed.map_err(|e| self.cannot_go_on(&e))?;
        self.at.clone_from(&self.path);
        Ok(())
    }

    /// Leaves the file where it is: the import is done.
    pub(crate) fn keep(mut self) {
        self.kept = true;
    }

    fn cannot_go_on(&self, error: &io::Error) -> Failure {
        Failure::refused(
            format!("{}: cannot be written: {error}", self.path.display()),
            "Check the disk.",
        )
    }
}
