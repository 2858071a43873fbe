//! Why a command did not do its job: a message, the mend, the exit status.

use super::context::{DONE, REFUSED, USAGE};
use super::other_kind;
use crate::book::BookProblem;
use crate::intake::{CellProblem, FileProblem};
use crate::pricing::market::MarketProblem;
use crate::pricing::time_on_market::NoTime;
use crate::pricing::value::recipe::NoFit;
use std::fmt;

/// A failure, ready to be printed.
#[derive(Debug)]
pub(super) enum Failure {
    /// The input or the book says no.
    Refused {
        /// What was found.
        message: String,
        /// What to do about it.
        hints: Vec<String>,
    },
    /// The command line makes no sense.
    Usage {
        /// What was found.
        message: String,
        /// What to do about it.
        hints: Vec<String>,
    },
    /// Whoever read the output has closed it.
    OutputClosed,
}

impl Failure {
    /// The input or the book says no.
    pub(super) fn refused(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Failure::Refused {
            message: message.into(),
            hints: vec![hint.into()],
        }
    }

    /// Wrong usage.
    pub(super) fn usage(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Failure::Usage {
            message: message.into(),
            hints: vec![hint.into()],
        }
    }

    /// An answer that cannot be written as JSON.
    pub(super) fn unwritten(error: impl fmt::Display) -> Self {
        Self::refused(format!("the answer cannot be written: {error}"), "")
    }

    /// The same with one more line of what to do or to know.
    pub(super) fn with_hint(mut self, hint: impl Into<String>) -> Self {
        if let Failure::Refused { hints, .. } | Failure::Usage { hints, .. } = &mut self {
            hints.push(hint.into());
        }
        self
    }

    /// A flag whose value cannot be read.
    pub(super) fn flag(flag: &str, value: &str, problem: &CellProblem) -> Self {
        let (message, hint) = Self::flag_words(flag, &format!("{flag} '{value}'"), problem);
        // Only files and what is recorded are read with --decimal.
        let hint = if hint.contains("--decimal") {
            "Write it without a sign for the thousands, and with all its decimals.".into()
        } else {
            hint
        };
        Failure::usage(message, hint)
    }

    /// The message and the mend of a flag, which `named` tells with its value.
    ///
    /// Mends speak of cells of a file; where a flag is meant, 'leave the cell
    /// empty' becomes 'leave the flag out'.
    pub(super) fn flag_words(flag: &str, named: &str, problem: &CellProblem) -> (String, String) {
        let mend = match problem.mend_by_a_value() {
            // Only files and what is recorded are read with --dates.
            _ if flag == "--as-of" || problem.mend.contains("--dates") => {
                "Write it as YYYY-MM-DD.".to_string()
            }
            Some(mend) => format!("{mend}, or leave {flag} out."),
            None => problem
                .mend
                .replace("Leave the cell empty", &format!("Leave {flag} out"))
                .replace(" of the cell", ""),
        };
        (format!("{named}: expected {}", problem.expected), mend)
    }

    /// Exit status.
    pub(super) fn code(&self) -> u8 {
        match self {
            Failure::Refused { .. } => REFUSED,
            Failure::Usage { .. } => USAGE,
            Failure::OutputClosed => DONE,
        }
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::Refused { message, hints } | Failure::Usage { message, hints } => {
                writeln!(f, "error: {}", without_codes(message.trim_end()))?;
                hints
                    .iter()
                    .filter(|h| !h.is_empty())
                    .try_for_each(|hint| writeln!(f, "help: {hint}"))
            }
            Failure::OutputClosed => Ok(()),
        }
    }
}

/// A message without the numbers of the system's errors, ` (os error 2)`.
fn without_codes(message: &str) -> String {
    let mut parts = message.split(" (os error ");
    let first = parts.next().unwrap_or_default().to_string();
    parts.fold(first, |said, part| {
        said + part.split_once(')').map_or(part, |(_, after)| after)
    })
}

impl From<BookProblem> for Failure {
    fn from(problem: BookProblem) -> Self {
        let hint = problem.mend();
        Failure::refused(problem.to_string(), hint)
    }
}

impl From<FileProblem> for Failure {
    fn from(problem: FileProblem) -> Self {
        let other = |proposed: &str| {
            let command = other_kind::command_for(problem.header()?)?;
            // A flag may be what is wrong with a file of the very kind.
            (!proposed.starts_with(command)).then_some(command)
        };
        let command = problem.proposed().and_then(other);
        let hint = match command {
            Some(command) => format!("That is another kind of file. To read it: {command} FILE"),
            None => problem.mend(),
        };
        Failure::refused(problem.message(), hint)
    }
}

impl From<std::io::Error> for Failure {
    fn from(error: std::io::Error) -> Self {
        if error.kind() == std::io::ErrorKind::BrokenPipe {
            return Failure::OutputClosed;
        }
        Failure::refused(
            format!("cannot write the result: {error}"),
            "Check the disk and try again.",
        )
    }
}

impl From<MarketProblem> for Failure {
    fn from(problem: MarketProblem) -> Self {
        match problem {
            MarketProblem::Fit(problem) => problem.into(),
            MarketProblem::Records(error) => NoFit::Records(error).into(),
            other => Failure::refused(other.to_string(), "Run 'wheelworth check'."),
        }
    }
}

impl From<NoFit> for Failure {
    fn from(problem: NoFit) -> Self {
        match problem {
            NoFit::Records(error) => match error.downcast::<BookProblem>() {
                Ok(problem) => (*problem).into(),
                Err(error) => Failure::refused(error.to_string(), "Run 'wheelworth check'."),
            },
            NoFit::NoRecords => {
                Failure::refused("the book has no prices yet", "Import sales or comps first.")
            }
            NoFit::Fit(problem) => Failure::refused(
                format!("the records could not be fitted: {problem}"),
                "Look for wild prices; 'wheelworth import --history' lists what was imported.",
            ),
        }
    }
}

impl From<NoTime> for Failure {
    fn from(problem: NoTime) -> Self {
        Failure::refused(
            format!("the days on market could not be fitted: {problem}"),
            "Look for wild dates; 'wheelworth import --history' lists what was imported.",
        )
    }
}
