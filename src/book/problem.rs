//! What can go wrong with a book: a message that names the file, and a mend.

use std::path::{Path, PathBuf};

/// Why a book could not be made, opened, read or written.
/// The `Display` text says what is wrong and names the file; [`BookProblem::mend`] says
/// what to do about it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum BookProblem {
    /// No file there.
    #[error("there is no book at {}", .path.display())]
    Missing { path: PathBuf },
    /// `start` would have overwritten a file.
    #[error("{} exists already, and a book is never overwritten", .path.display())]
    Exists { path: PathBuf },
    /// The folder to make a book in is not there.
    #[error("there is no folder {} to keep the book {} in", .folder.display(), .path.display())]
    NoFolder { path: PathBuf, folder: PathBuf },
    /// A directory, a device or a pipe.
    #[error("{} is not a file but {what}", .path.display())]
    NotAFile { path: PathBuf, what: &'static str },
    /// A file of another kind, or of another program.
    #[error("{} is not a book of wheelworth: {why}", .path.display())]
    NotABook { path: PathBuf, why: String },
    /// Written by a later version of the program.
    #[error(
        "the book {} has version {version}; this program knows versions up to {known}",
        .path.display()
    )]
    Newer {
        path: PathBuf,
        version: i64,
        known: i64,
    },
    /// Cut short, or its content makes no sense.
    #[error("the book {} is damaged or cut short: {detail}", .path.display())]
    Damaged {
        path: PathBuf,
        detail: String,
        /// The latest copy of it that the program made, where there is one.
        copy: Option<PathBuf>,
    },
    /// Another program holds it and did not let go within the time-out.
    #[error(
        "the book {} is in use by another program ({})",
        .path.display(),
        .holder.as_deref().unwrap_or("which one cannot be known from here")
    )]
    InUse {
        path: PathBuf,
        holder: Option<String>,
    },
    /// The file or its folder may not be written.
    #[error("the book {} cannot be written: {detail}", .path.display())]
    ReadOnly { path: PathBuf, detail: String },
    /// The file may not be read.
    #[error("the book {} cannot be opened: {detail}", .path.display())]
    Unreadable { path: PathBuf, detail: String },
    /// No room left.
    #[error("no room is left on the disk of the book {}", .path.display())]
    Full { path: PathBuf },
    /// Any other failure of the file or of `SQLite`.
    #[error("the book {} failed: {detail}", .path.display())]
    Failed { path: PathBuf, detail: String },
    /// A setting that a book cannot keep.
    #[error("the book {} cannot keep this setting: {what}", .path.display())]
    Setting { path: PathBuf, what: String },
    /// `undo` of an import that never was.
    #[error("the book {} has no import {number}", .path.display())]
    NoSuchImport { path: PathBuf, number: i64 },
    /// `undo` of an import that is undone.
    #[error("import {number} of the book {} was undone on {on} already", .path.display())]
    AlreadyUndone {
        path: PathBuf,
        number: i64,
        on: String,
    },
    /// `undo` of an import whose rows a later one changed again.
    #[error(
        "import {number} of the book {} cannot be undone: import {later} ({file}) later changed \
         {rows} of its rows",
        .path.display()
    )]
    ChangedLater {
        path: PathBuf,
        number: i64,
        later: i64,
        file: String,
        rows: i64,
    },
    /// `undo` of an import that added bikes of which a later one put asks, costs or
    /// inspections.
    #[error(
        "import {number} of the book {} cannot be undone: import {later} ({file}) later put \
         asks, costs, refunds or inspections of its bikes, {rows} in all",
        .path.display()
    )]
    NamedLater {
        path: PathBuf,
        number: i64,
        later: i64,
        file: String,
        rows: i64,
    },
    /// An ask or a cost of a bike that is not among the sales.
    #[error("the book {} has no bike '{bike}'", .path.display())]
    NoSuchBike { path: PathBuf, bike: String },
    /// A bike cannot have an id that something else has.
    #[error("the id '{id}' is that of {by} in the book {}", .path.display())]
    IdTaken {
        path: PathBuf,
        id: String,
        by: &'static str,
    },
    /// `close` of a quarter that is closed.
    #[error("{quarter} of the book {} was closed on {on} already", .path.display())]
    ClosedAlready {
        path: PathBuf,
        quarter: String,
        on: String,
    },
}

impl BookProblem {
    /// What the user can do about it, in one sentence.
    pub fn mend(&self) -> String {
        match self {
            Self::Missing { .. } => {
                "Make one with 'wheelworth start', or name the right file with --book.".into()
            }
            Self::Exists { .. } => "Use that book, or name another file with --book.".into(),
            Self::NoFolder { folder, .. } => {
                format!(
                    "Make the folder {} first, or name another file.",
                    folder.display()
                )
            }
            Self::NotAFile { .. } => "Name the book's file itself with --book.".into(),
            Self::NotABook { .. } => {
                "Name the right file with --book, or make a book with 'wheelworth start'.".into()
            }
            Self::Newer { .. } => "Use the newer program; the book was left as it is.".into(),
            Self::Damaged { path, copy, .. } => format!(
                "{}, or make a new one and import your files again; keep {} until then.",
                put_back(copy.as_deref()),
                path.display()
            ),
            Self::InUse { .. } => {
                "Wait until the other program has finished, then try again.".into()
            }
            Self::ReadOnly { path, .. } => format!(
                "Allow writing to {} and to its folder, or copy the book to a place where you may \
                 write.",
                path.display()
            ),
            Self::Unreadable { path, .. } => {
                format!(
                    "Allow reading of {}, or name another file with --book.",
                    path.display()
                )
            }
            Self::Full { .. } => {
                "Make room on the disk and run the command again; the book is as it was before."
                    .into()
            }
            Self::Failed { .. } => "Try again; the book is as it was before the command.".into(),
            Self::Setting { .. } => "Give another value.".into(),
            Self::NoSuchImport { .. } | Self::AlreadyUndone { .. } => {
                "See the imports with --history.".into()
            }
            Self::ChangedLater { later, .. } | Self::NamedLater { later, .. } => {
                format!("Undo import {later} first.")
            }
            Self::NoSuchBike { .. } => "Import the sale of that bike first.".into(),
            Self::IdTaken { .. } => "Give the bike an id of its own.".into(),
            Self::ClosedAlready { quarter, .. } => format!(
                "Print its report again with 'wheelworth quarter {quarter}'; what changed since \
                 shows as a correction in a later quarter."
            ),
        }
    }

    /// The book's file.
    pub fn path(&self) -> &Path {
        match self {
            Self::Missing { path }
            | Self::Exists { path }
            | Self::NoFolder { path, .. }
            | Self::NotAFile { path, .. }
            | Self::NotABook { path, .. }
            | Self::Newer { path, .. }
            | Self::Damaged { path, .. }
            | Self::InUse { path, .. }
            | Self::ReadOnly { path, .. }
            | Self::Unreadable { path, .. }
            | Self::Full { path }
            | Self::Failed { path, .. }
            | Self::Setting { path, .. }
            | Self::NoSuchImport { path, .. }
            | Self::AlreadyUndone { path, .. }
            | Self::ChangedLater { path, .. }
            | Self::NamedLater { path, .. }
            | Self::NoSuchBike { path, .. }
            | Self::IdTaken { path, .. }
            | Self::ClosedAlready { path, .. } => path,
        }
    }
}

/// What to put in the place of a damaged book, `copy` where the program made one.
pub(in crate::book) fn put_back(copy: Option<&Path>) -> String {
    let last = "Put back your last copy of the book";
    match copy {
        Some(copy) => format!(
            "{last} ({} is how it was before the program last updated it)",
            copy.display()
        ),
        None => last.into(),
    }
}
