//! Why what was typed cannot be recorded: a row's problems in words of flags.

use super::recordable::Recordable;
use super::typed::Typed;
use crate::cli::failure::Failure;
use crate::intake::{BadRow, CellProblem, FileProblem, RowProblem};

/// Whose fault it is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fault {
    /// What was typed cannot be read.
    OfFlags,
    /// The book says no.
    OfBook,
}

/// The failure of a row, every problem of it in one go.
pub(crate) fn cannot<K: Recordable>(bad: &BadRow, typed: &Typed<K>, fault: Fault) -> Failure {
    let (mut messages, mut hints) = (Vec::new(), Vec::new());
    for problem in &bad.problems {
        let (message, hint) = in_words(problem, typed);
        messages.push(message);
        hints.push(match bad.problems.len() {
            1 => hint,
            _ => format!("{}: {hint}", typed.flag(&problem.column)),
        });
    }
    let message = messages.join("\n");
    match fault {
        Fault::OfFlags => Failure::Usage { message, hints },
        Fault::OfBook => Failure::Refused { message, hints },
    }
}

/// The failure of a row that cannot even be read.
pub(crate) fn unreadable(problem: FileProblem) -> Failure {
    match problem {
        FileProblem::LineTooLong { .. } => Failure::usage(
            "record: what was given is longer than 1 MiB",
            "Shorten the texts.",
        ),
        other => other.into(),
    }
}

fn in_words<K: Recordable>(problem: &RowProblem, typed: &Typed<K>) -> (String, String) {
    let flag = typed.flag(&problem.column);
    let named = match typed.get(&problem.column) {
        Some(_) => format!("{flag} '{}'", problem.value),
        None => format!("{flag} (not given, so '{}')", problem.value),
    };
    let field = K::FIELDS.iter().find(|field| field.name == problem.column);
    if let Some(field) = field.filter(|field| field.required && problem.value.is_empty()) {
        let mend = format!("Give {flag} a value: {}.", field.what);
        return (format!("{named}: expected a value"), mend);
    }
    let problem = CellProblem::new(
        with_flags(&problem.expected, typed),
        with_flags(&problem.mend, typed).replace("Fill in --", "Give --"),
    );
    if problem.mend.contains("--dates") {
        // What is recorded takes the order of day and month as a file does.
        return (
            format!("{named}: expected {}", problem.expected),
            problem.mend,
        );
    }
    Failure::flag_words(&flag, &named, &problem)
}

/// Names of columns in a text as flags. Those of one word are words of English
/// too, and stay.
fn with_flags<K: Recordable>(text: &str, typed: &Typed<K>) -> String {
    let columns = K::FIELDS.iter().map(|field| field.name);
    columns
        .filter(|name| name.contains('_'))
        .fold(text.to_string(), |text, name| {
            text.replace(name, &typed.flag(name))
        })
}
