//! The files of `offer`: jobs, parts, a table of codes, and what they may hold together.

use crate::cli::column_pairs::column_pairs;
use crate::cli::failure::Failure;
use crate::cli::whole_file::{self, judged_rows};
use crate::intake::{CellProblem, DateCodes, Field, Jobs, Kind, Parts, Settings};
use crate::pricing::offer::sets::MOST_JOBS;
use crate::trade::{Job, Part};
use std::collections::HashMap;
use std::path::Path;

/// What did not happen where a file cannot be used.
const NO_OFFER: &str = "no offer was made";

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
        let refused = |job: &Job, line| {
            let first = lines.insert(job.name.to_lowercase(), line)?;
            let expected = format!("each job once; it stands on line {first} already");
            let mend = "Give the two different names, or put them together.";
            Some(("job", CellProblem::new(expected, mend)))
        };
        let jobs = judged_rows::<Jobs>(file, &settings, NO_OFFER, refused)?;
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
        Ok(jobs.into_iter().map(|(_, job)| job).collect())
    }

    /// How the table of date codes is read.
    pub(crate) fn date_codes(&self) -> Result<Settings, Failure> {
        self.settings::<DateCodes>()
    }

    /// The parts.
    pub(crate) fn parts(&self, file: &Path) -> Result<Vec<Part>, Failure> {
        let settings = self.settings::<Parts>()?;
        let parts = whole_file::rows::<Parts>(file, &settings, NO_OFFER)?;
        Ok(parts.into_iter().map(|(_, part)| part).collect())
    }
}
