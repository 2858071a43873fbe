//! The built program, run as a user runs it.

use std::path::Path;
use std::process::{Command, Output};

/// The program, to be run in `folder`, with none of the user's own settings.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_wheelworth"));
    command.current_dir(folder).env_remove("WHEELWORTH_BOOK");
    command
}

/// The program as somebody whom the permissions of files hold: also where the superuser runs
/// the tests, who then needs `setpriv` (of util-linux).
#[cfg(unix)]
pub fn without_powers(folder: &Path) -> Command {
    use std::os::unix::fs::MetadataExt as _;
    // Whoever made the folder of this test runs it.
    if std::fs::metadata(folder).unwrap().uid() != 0 {
        return program(folder);
    }
    let mut command = Command::new("setpriv");
    command
        .args(["--bounding-set", "-all", "--inh-caps", "-all"])
        .arg(env!("CARGO_BIN_EXE_wheelworth"))
        .current_dir(folder)
        .env_remove("WHEELWORTH_BOOK");
    command
}

/// Standard output, then standard error.
pub fn both(output: &Output) -> String {
    [&output.stdout, &output.stderr]
        .map(|bytes| String::from_utf8(bytes.clone()).unwrap())
        .concat()
}
