//! Where records come from, as the history and messages name it.

use std::path::Path;

/// In the history, the file of what was recorded without a file.
const RECORDED: &str = "record";

/// What stands for standard input where a file is named.
pub(crate) const STANDARD_INPUT: &str = "-";

/// A file as it is named to the user.
pub(crate) fn named(file: &Path) -> &Path {
    match file.to_str() {
        Some(STANDARD_INPUT) => Path::new("standard input"),
        _ => file,
    }
}

/// Where rows come from.
#[derive(Clone, Copy)]
pub(crate) enum Source<'a> {
    /// The lines of a file.
    File(&'a Path),
    /// One row of flags.
    Flags,
}

impl Source<'_> {
    /// Its name in the history.
    pub(crate) fn name(self) -> String {
        match self {
            Source::Flags => RECORDED.into(),
            // A file of this very name, told apart.
            Source::File(path) if path.as_os_str() == RECORDED => format!("./{RECORDED}"),
            Source::File(path) => named(path).display().to_string(),
        }
    }

    /// Where a line is, to stand before what is said of it; line 0 is the whole.
    pub(crate) fn place(self, line: u64) -> String {
        match self {
            Source::Flags => String::new(),
            Source::File(path) if line == 0 => format!("{}: ", named(path).display()),
            Source::File(path) => format!("{}, line {line}: ", named(path).display()),
        }
    }
}
