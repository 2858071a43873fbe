//! The tables of settings: what `start` sets, and a place for settings by name.

use super::stored;
use crate::book::connection::Book;
use crate::book::file::failure::{damaged, from_sqlite};
use crate::book::problem::BookProblem;
use crate::book::settings::Settings;
use crate::trade::{Beneficiary, Currency, Give, Giving};
use rusqlite::{Connection, OptionalExtension, params};
use std::path::Path;

/// Writes the settings of a new book.
pub(in crate::book) fn write(
    connection: &Connection,
    path: &Path,
    settings: &Settings,
) -> Result<(), BookProblem> {
    if let Some(what) = settings.fault() {
        return Err(BookProblem::Setting {
            path: path.to_path_buf(),
            what,
        });
    }
    let rows = || -> rusqlite::Result<()> {
        connection.execute(
            "INSERT INTO workshop VALUES (1, ?1, ?2, ?3, ?4)",
            params![
                settings.currency.code(),
                settings.giving.give.word(),
                settings.giving.share,
                settings.giving.year_starts
            ],
        )?;
        for who in &settings.giving.beneficiaries {
            connection.execute(
                "INSERT INTO beneficiaries (name, weight) VALUES (?1, ?2)",
                params![who.name, who.weight],
            )?;
        }
        Ok(())
    };
    rows().map_err(|error| from_sqlite(path, &error))
}

/// Reads the settings back.
pub(in crate::book) fn read(connection: &Connection, path: &Path) -> Result<Settings, BookProblem> {
    let rows = || -> rusqlite::Result<Settings> {
        let mut settings = connection.query_row(
            "SELECT currency, give, share, year_starts FROM workshop",
            [],
            |row| {
                let currency = Currency::from_code(row.get_ref(0)?.as_str()?)
                    .ok_or_else(|| stored::nonsense(0))?;
                let give = Give::from_word(row.get_ref(1)?.as_str()?)
                    .ok_or_else(|| stored::nonsense(1))?;
                let (share, year_starts) = (row.get(2)?, row.get(3)?);
                Ok(Settings {
                    currency,
                    giving: Giving {
                        give,
                        share,
                        year_starts,
                        beneficiaries: vec![],
                    },
                })
            },
        )?;
        let mut statement =
            connection.prepare("SELECT name, weight FROM beneficiaries ORDER BY position")?;
        let all = statement.query_map([], |row| {
            Ok(Beneficiary {
                name: row.get(0)?,
                weight: row.get(1)?,
            })
        })?;
        settings.giving.beneficiaries = all.collect::<Result<_, _>>()?;
        Ok(settings)
    };
    rows().map_err(|error| match error {
        rusqlite::Error::QueryReturnedNoRows => damaged(path, "its settings are missing"),
        other => from_sqlite(path, &other),
    })
}

impl Book {
    /// What `start` set.
    pub fn settings(&self) -> &Settings {
        &self.settings
    }

    /// A setting kept by name, if there is one.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn setting(&self, key: &str) -> Result<Option<String>, BookProblem> {
        self.connection
            .query_row("SELECT value FROM settings WHERE key = ?1", [key], |row| {
                row.get(0)
            })
            .optional()
            .map_err(|error| self.problem(&error))
    }

    /// Keeps a setting by name in place of an earlier one.
    ///
    /// # Errors
    /// The book cannot be written.
    pub fn keep_setting(&self, key: &str, value: &str) -> Result<(), BookProblem> {
        self.connection
            .execute(
                "INSERT OR REPLACE INTO settings VALUES (?1, ?2)",
                [key, value],
            )
            .map(|_| ())
            .map_err(|error| self.problem(&error))
    }
}
