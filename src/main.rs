//! The program: hands arguments, writers, terminal and day to [`wheelworth::cli`].

use std::io::{IsTerminal as _, Write as _};
use std::process::ExitCode;
use wheelworth::cli::{self, Surroundings};

fn main() -> ExitCode {
    let surroundings = Surroundings {
        today: jiff::ZonedDateTime::now().date(),
        progress: std::io::stderr().is_terminal(),
        columns: cli::terminal_columns(),
        usual_book: cli::usual_book(),
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
