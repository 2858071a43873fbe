//! The command to run next, ready to copy: what was said already, and what the names and
//! values of a file suggest.

use super::columns::{LONGEST, shell_word, word_flag};
use super::pointing::shortened;
use crate::intake::cells::decimal_sign::DecimalSign;
use crate::intake::cells::invisible::made_visible;
use crate::intake::settings::{DateOrder, Settings};
use std::path::Path;

/// How the commands begin that take every flag of an import.
pub(in crate::intake) const IMPORT: &str = "wheelworth import";

/// What to say of a file so that it can be read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proposal {
    /// Pairs (ours, theirs) for `--column`.
    pub columns: Vec<(String, String)>,
    /// Columns that every file of the kind must have and that none of the file looks like.
    pub missing: Vec<&'static str>,
    /// Columns for `--ignore`.
    pub ignore: Vec<String>,
    /// Our column, their word, what it may mean, for `--word`.
    pub words: Vec<(String, String, String)>,
    /// For `--dates`.
    pub dates: Option<DateOrder>,
    /// For `--decimal`.
    pub decimal: Option<DecimalSign>,
    /// For `--blank-bad`.
    pub blank_bad: bool,
    /// Text for `--prefix`.
    pub prefix: Option<String>,
    /// What to look at before it is run, sentences.
    pub look_at: Vec<String>,
}

impl Proposal {
    /// Whether there is nothing to say.
    pub fn is_empty(&self) -> bool {
        let Self {
            columns,
            missing,
            ignore,
            words,
            dates,
            decimal,
            blank_bad,
            prefix,
            look_at: _,
        } = self;
        let lists =
            columns.is_empty() && missing.is_empty() && ignore.is_empty() && words.is_empty();
        lists && dates.is_none() && decimal.is_none() && !blank_bad && prefix.is_none()
    }

    /// The whole command for `path`: `command` up to the file's name, what was said
    /// already, then what is proposed.
    pub fn command(&self, command: &str, path: &Path, said: &Settings) -> String {
        let mut words = vec![command.to_string()];
        words.push(match path.to_str() {
            Some("standard input") => "-".into(),
            _ => shell_word(&path.display().to_string()),
        });
        words.extend(
            said.sheet
                .iter()
                .map(|sheet| format!("--sheet {}", shell_word(sheet))),
        );
        // Other commands have no flag for how days and amounts are written.
        let import = command.starts_with(IMPORT);
        let dates = self.dates.or(said.dates).filter(|_| import);
        words.extend(dates.map(|order| match order {
            DateOrder::DayFirst => "--dates dmy".to_string(),
            DateOrder::MonthFirst => "--dates mdy".to_string(),
        }));
        let decimal = self.decimal.or(said.decimal).filter(|_| import);
        words.extend(decimal.map(|sign| format!("--decimal {}", sign.word())));
        let columns = said.columns.iter().chain(&self.columns);
        words.extend(columns.map(|(ours, theirs)| format!("--column {ours}={}", name(theirs))));
        let missing = self.missing.iter();
        words.extend(missing.map(|ours| format!("--column {ours}=THEIRS")));
        let ignore = said.ignore.iter().chain(&self.ignore);
        words.extend(ignore.map(|theirs| format!("--ignore {}", name(theirs))));
        let meanings = said.words.iter().chain(&self.words);
        words.extend(meanings.filter_map(|(column, theirs, ours)| word_flag(column, theirs, ours)));
        if self.blank_bad || said.blank_bad {
            words.push("--blank-bad".into());
        }
        words.extend(
            self.prefix
                .iter()
                .map(|text| format!("--prefix {}", shell_word(text))),
        );
        words.extend(said.also.iter().cloned());
        // What a terminal would obey cannot be typed either.
        made_visible(&words.join(" "))
    }
}

/// A name as it is typed.
fn name(word: &str) -> String {
    match word.len() {
        ..=LONGEST => shell_word(word),
        _ => shell_word(&shortened(word)),
    }
}
