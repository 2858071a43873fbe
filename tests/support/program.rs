//! The built program, run as a user runs it.

use std::path::Path;
use std::process::{Command, Output};

/// The program, to be run in `folder`, with none of the user's own settings.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wheelworth"));
    command.current_dir(folder).env_remove("WHEELWORTH_BOOK");
    command
}

/// Standard output, then standard error.
pub fn both(output: &Output) -> String {
    [&output.stdout, &output.stderr]
        .map(|bytes| String::from_utf8(bytes.clone()).unwrap())
        .concat()
}
