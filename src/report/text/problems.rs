//! Row problems as messages that point into the file.

use crate::intake::RowProblem;
use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use std::path::Path;

/// Draws every problem with its line and the mend.
pub fn render(path: &Path, problems: &[RowProblem]) -> String {
    let renderer = Renderer::plain();
    let shown = path.display().to_string();
    let mut out = String::new();
    for problem in problems {
        out.push_str(&one(&renderer, &shown, problem));
        out.push_str("\n\n");
    }
    out
}

fn one(renderer: &Renderer, path: &str, problem: &RowProblem) -> String {
    let place = problem.place();
    let place = if problem.column.is_empty() {
        format!("{path}, {place}")
    } else {
        format!(
            "{path}, {place}, column {} '{}'",
            problem.column_number, problem.column
        )
    };
    let title = if problem.value.is_empty() {
        format!("{place}: expected {}", problem.expected)
    } else {
        format!(
            "{place}: '{}', expected {}",
            problem.value, problem.expected
        )
    };
    // A span must lie within the text and on its characters' bounds.
    let text = problem.line_text.as_str();
    let whole = 0..text.len();
    let at = if text.get(problem.at.clone()).is_some() {
        problem.at.clone()
    } else {
        whole
    };
    let line = usize::try_from(problem.line).unwrap_or(usize::MAX);
    let snippet = Snippet::source(text)
        .line_start(line)
        .annotation(AnnotationKind::Primary.span(at));
    let group = Level::ERROR
        .primary_title(title)
        .element(snippet)
        .element(Level::HELP.message(&problem.mend));
    renderer.render(&[group])
}
