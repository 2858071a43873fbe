//! The file of rows that were set aside.

use super::failure::Failure;
use crate::intake::{BadRow, REJECTS_COLUMNS, RowProblem};
use std::path::{Path, PathBuf};

/// The file of rows set aside: their cells as they stood, line and reasons.
/// It is written under another name and put in place when the import is done.
pub struct Rejects {
    writer: csv::Writer<std::fs::File>,
    part: PathBuf,
    path: PathBuf,
}

impl Drop for Rejects {
    /// An import that failed leaves no half-written file behind.
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.part);
    }
}

impl Rejects {
    pub fn new(path: &Path, header: &[String]) -> Result<Self, Failure> {
        let cannot = |e: std::io::Error| {
            Failure::refused(
                format!("{}: cannot be written: {e}", path.display()),
                "Name another file for --skip-bad.",
            )
        };
        if path.exists() {
            return Err(Failure::refused(
                format!("{}: is there already", path.display()),
                "Name a new file for --skip-bad, so that nothing is lost.",
            ));
        }
        let mut part = path.as_os_str().to_owned();
        part.push(".part");
        let part = PathBuf::from(part);
        let file = std::fs::File::create(&part).map_err(cannot)?;
        let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(file);
        let titles = header.iter().map(String::as_str).chain(REJECTS_COLUMNS);
        writer.write_record(titles).map_err(|e| cannot(e.into()))?;
        Ok(Self {
            writer,
            part,
            path: path.to_path_buf(),
        })
    }

    pub fn write(&mut self, bad: &BadRow) -> Result<(), Failure> {
        let reasons: Vec<String> = bad.problems.iter().map(RowProblem::to_string).collect();
        let line = bad.line.to_string();
        let cells = bad.cells.iter().map(String::as_str).chain([line.as_str()]);
        let joined = reasons.join("; ");
        self.writer
            .write_record(cells.chain([joined.as_str()]))
            .map_err(|e| {
                Failure::refused(
                    format!("{}: cannot be written: {e}", self.part.display()),
                    "Check the disk.",
                )
            })
    }

    pub fn finish(mut self, wanted: bool) -> Result<(), Failure> {
        let done = self.writer.flush().and_then(|()| {
            if wanted {
                std::fs::rename(&self.part, &self.path)
            } else {
                std::fs::remove_file(&self.part)
            }
        });
        done.map_err(|e| {
            Failure::refused(
                format!("{}: cannot be written: {e}", self.path.display()),
                "Check the disk.",
            )
        })
    }
}
