//! The program: hands arguments, writers, terminal and day to [`wheelworth::cli`].

use std::io::{IsTerminal as _, Write as _};
use std::process::ExitCode;
use wheelworth::cli::{self, Surroundings};

fn main() -> ExitCode {
    let surroundings = Surroundings {
        today: jiff::ZonedDateTime::now().date(),
        progress: std::io::stderr().is_terminal(),
        columns: columns(),
    };
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    let mut err = std::io::stderr();
    let code = cli::run(std::env::args_os(), &mut out, &mut err, &surroundings);
    match out.flush() {
        // A reader that closed the pipe early has all it wanted.
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            let _ = writeln!(err, "error: the result cannot be written: {error}");
            ExitCode::from(cli::REFUSED)
        }
        _ => ExitCode::from(code),
    }
}

/// Columns of the terminal: as `COLUMNS` says, else as it is, else 80.
fn columns() -> usize {
    const USUAL: usize = 80;
    /// Below this no screen can be read.
    const LEAST: usize = 40;
    let said = std::env::var("COLUMNS").ok();
    let said = said.and_then(|text| text.trim().parse::<usize>().ok());
    let there = || terminal_size::terminal_size().map(|(width, _)| usize::from(width.0));
    said.or_else(there).unwrap_or(USUAL).max(LEAST)
}
