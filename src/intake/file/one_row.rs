//! One row that is in no file, read as a file's row is: what was typed as flags.

use super::reader::Reader;
use crate::intake::kind::Kind;
use crate::intake::problems::file::FileProblem;
use crate::intake::settings::Settings;
use csv::Writer;
use std::io::{Cursor, Error};

impl<K: Kind> Reader<K> {
    /// A reader of one row: `cells` in the order of [`Kind::FIELDS`], each as it
    /// was typed. What one cell says of the sign before decimals is nothing to the
    /// others: `settings` alone says it. `name` stands for the path in messages.
    ///
    /// # Errors
    /// A row longer than 1 MiB; otherwise the columns are those of the kind.
    pub fn of_one_row(
        cells: &[String],
        name: &str,
        settings: &Settings,
    ) -> Result<Self, FileProblem> {
        let failed = |source: Error| FileProblem::ReadFailed {
            path: name.into(),
            line: 1,
            source,
        };
        let mut writer = Writer::from_writer(Vec::new());
        let header = K::FIELDS.iter().map(|field| field.name);
        writer.write_record(header).map_err(|e| failed(e.into()))?;
        writer.write_record(cells).map_err(|e| failed(e.into()))?;
        let text = writer
            .into_inner()
            .map_err(|e| failed(Error::other(e.to_string())))?;
        let settings = Settings {
            guarded: false,
            ..settings.clone()
        };
        Self::from_reader(Box::new(Cursor::new(text)), name, &settings)
    }
}
