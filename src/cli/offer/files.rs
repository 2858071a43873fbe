//! The files of `offer`: jobs, parts, a table of codes, and what they may hold together.

use crate::cli::failure::Failure;
use crate::cli::import::column_pairs;
use crate::cli::problems::Problems;
use crate::intake::{CellProblem, DateCodes, Field, Jobs, Kind, Parts, Reader, Settings};
use crate::pricing::offer::sets::MOST_JOBS;
use crate::trade::{Job, Part};
use std::collections::HashMap;
use std::path::Path;

/// How both files are read.
pub(crate) struct Files<'a> {
    /// Where no more is said.
    pub settings: Settings,
    pub column: &'a [String],
    pub ignore: &'a [String],
    /// Whether a list of jobs, one of parts, and a table of codes is there.
    pub given: [bool; 3],
}

impl Files<'_> {
    /// Settings for one of the kinds: a pair of --column whose own name only
    /// another kind has that is there is the other's.
    fn settings<K: Kind>(&self) -> Result<Settings, Failure> {
        let has = |fields: &[Field], name: &str| {
            let name = name.trim();
            fields.iter().any(|f| f.name.eq_ignore_ascii_case(name))
        };
        let mut settings = self.settings.clone();
        settings.columns = column_pairs(self.column)?;
        let kinds = [Jobs::FIELDS, Parts::FIELDS, DateCodes::FIELDS];
        let of_another = |name: &str| {
            let there = self.given.iter().zip(kinds).filter(|(given, _)| **given);
            there.into_iter().any(|(_, fields)| has(fields, name))
        };
        settings
            .columns
            .retain(|(ours, _)| has(K::FIELDS, ours) || !of_another(ours));
        settings.ignore = self.ignore.to_vec();
        Ok(settings)
    }

    /// The jobs: each name once, no more than can be tried.
    pub(crate) fn jobs(&self, file: &Path) -> Result<Vec<Job>, Failure> {
        let settings = self.settings::<Jobs>()?;
        let mut lines: HashMap<String, u64> = HashMap::new();
        let jobs = rows::<Jobs>(file, &settings, |job, line| {
            let first = lines.insert(job.name.to_lowercase(), line)?;
            let expected = format!("each job once; it stands on line {first} already");
            let mend = "Give the two different names, or put them together.";
            Some(("job", CellProblem::new(expected, mend)))
        })?;
        if jobs.len() > MOST_JOBS {
            return Err(Failure::refused(
                format!(
                    "{}: {} jobs, and every set of them is tried: at most {MOST_JOBS}",
                    file.display(),
                    jobs.len()
                ),
                "Put jobs together that are done together anyway, such as all safety jobs.",
            ));
        }
        Ok(jobs)
    }

    /// How the table of date codes is read.
    pub(crate) fn date_codes(&self) -> Result<Settings, Failure> {
        self.settings::<DateCodes>()
    }

    /// The parts.
    pub(crate) fn parts(&self, file: &Path) -> Result<Vec<Part>, Failure> {
        let settings = self.settings::<Parts>()?;
        rows::<Parts>(file, &settings, |_, _| None)
    }
}

/// All rows, or everything that is wrong with them.
fn rows<K: Kind>(
    file: &Path,
    settings: &Settings,
    mut refused: impl FnMut(&K::Record, u64) -> Option<(&'static str, CellProblem)>,
) -> Result<Vec<K::Record>, Failure> {
    let mut reader = Reader::<K>::open(file, settings)?;
    let mut records = Vec::new();
    let mut problems = Problems::default();
    while let Some(row) = reader.next_row()? {
        match row {
            Ok(row) => match refused(&row.record, row.line) {
                Some((column, problem)) => {
                    problems.extend(reader.refuse(column, problem).problems);
                }
                None => records.push(row.record),
            },
            Err(bad) => problems.extend(bad.problems),
        }
    }
    problems.refused(file, "no offer was made")?;
    Ok(records)
}
