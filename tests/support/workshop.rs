//! A workshop for a test: a folder of its own, a book in it, a fixed day.

use std::ffi::OsString;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use wheelworth::cli::{self, Surroundings};
use wheelworth::trade::Day;

/// The day on which every workshop stands still.
pub const TODAY: Day = Day::constant(2026, 5, 2);

/// The shipped records, a workshop that has been running for a while.
pub const SALES: &str = include_str!("../../datasets/sales.csv");
/// How it marked them down.
pub const ASKS: &str = include_str!("../../datasets/asks.csv");
/// What it has seen of other people's bikes.
pub const COMPS: &str = include_str!("../../datasets/comps.csv");

/// A folder with a book. It goes away with the value.
pub struct Workshop {
    folder: TempDir,
}

/// What a command did.
#[derive(Clone, Debug, PartialEq)]
pub struct Output {
    /// Exit status.
    pub code: u8,
    /// Standard output; the workshop's folder is written as `@`.
    pub out: String,
    /// Standard error, likewise.
    pub err: String,
}

impl Workshop {
    /// A folder without a book.
    pub fn empty() -> Self {
        let folder = tempfile::Builder::new().prefix("workshop").tempdir();
        Self {
            folder: folder.unwrap(),
        }
    }

    /// A folder with an empty book in euros.
    pub fn new() -> Self {
        Self::in_currency("EUR")
    }

    /// A folder with an empty book in some currency.
    pub fn in_currency(code: &str) -> Self {
        let workshop = Self::empty();
        workshop.run(&["start", "--currency", code]).done();
        workshop
    }

    /// A folder with an empty book in euros for a beneficiary; `rule`: more words of `start`.
    pub fn giving_to(name: &str, rule: &[&str]) -> Self {
        let workshop = Self::empty();
        let start = ["start", "--currency", "EUR", "--beneficiary", name];
        workshop.run(&[&start, rule].concat()).done();
        workshop
    }

    /// A workshop with the shipped sales, comps and asks.
    pub fn busy() -> Self {
        Self::new().sales(SALES).comps(COMPS).asks(ASKS)
    }

    /// The same with a file `sales.csv` imported.
    #[track_caller]
    pub fn sales(self, csv: &str) -> Self {
        self.file("sales.csv", csv);
        self.run(&["import", "sales", "@sales.csv"]).done();
        self
    }

    /// The same with a file `comps.csv` imported.
    #[track_caller]
    pub fn comps(self, csv: &str) -> Self {
        self.file("comps.csv", csv);
        self.run(&["import", "comps", "@comps.csv"]).done();
        self
    }

    /// The same with a file `asks.csv` imported.
    #[track_caller]
    pub fn asks(self, csv: &str) -> Self {
        self.file("asks.csv", csv);
        self.run(&["import", "asks", "@asks.csv"]).done();
        self
    }

    /// Its folder.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Path of a file in its folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder().join(name)
    }

    /// Writes a file into its folder.
    pub fn file(&self, name: &str, content: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, content).unwrap();
        path
    }

    /// Text of a file in its folder.
    #[track_caller]
    pub fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Path of the book.
    pub fn book(&self) -> PathBuf {
        self.path("book.sqlite")
    }

    /// The book, byte by byte.
    #[track_caller]
    pub fn book_bytes(&self) -> Vec<u8> {
        std::fs::read(self.book()).unwrap()
    }

    /// Names of the files in its folder, in order.
    pub fn files(&self) -> Vec<String> {
        let entries = std::fs::read_dir(self.folder()).unwrap();
        let name = |e: std::io::Result<std::fs::DirEntry>| e.unwrap().file_name().into_string();
        let mut names: Vec<String> = entries.map(|e| name(e).unwrap()).collect();
        names.sort();
        names
    }

    /// Runs a command on its book, on [`TODAY`]. A word that starts with `@` is a
    /// file of the folder.
    pub fn run(&self, words: &[&str]) -> Output {
        let book = ["--book", "@book.sqlite"];
        self.run_as_typed(&[&book, words].concat(), TODAY)
    }

    /// Runs a command on its book, on [`TODAY`], on a screen of so many columns.
    pub fn run_on_screen(&self, words: &[&str], columns: usize) -> Output {
        let book = ["--book", "@book.sqlite"];
        self.run_in_columns(&[&book, words].concat(), TODAY, columns)
    }

    /// Runs a command that names its book itself, on a day.
    pub fn run_as_typed(&self, words: &[&str], today: Day) -> Output {
        self.run_in_columns(words, today, usize::MAX)
    }

    /// The same on a screen of so many columns.
    pub fn run_in_columns(&self, words: &[&str], today: Day, columns: usize) -> Output {
        let words = words.iter().map(|word| match word.strip_prefix('@') {
            Some(name) => self.path(name).into_os_string(),
            None => OsString::from(word),
        });
        let line = std::iter::once(OsString::from("wheelworth")).chain(words);
        let surroundings = Surroundings {
            today,
            progress: false,
            columns,
            usual_book: self.book(),
        };
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code = cli::run(line, &mut out, &mut err, &surroundings);
        let folder = format!("{}/", self.folder().display());
        let text = |bytes| String::from_utf8(bytes).unwrap().replace(&folder, "@");
        Output {
            code,
            out: text(out),
            err: text(err),
        }
    }

    /// Runs a command on its book, on [`TODAY`], by the built program and held to the
    /// permissions of files whoever runs the tests.
    #[cfg(unix)]
    pub fn run_without_powers(&self, words: &[&str]) -> Output {
        let mut command = super::program::without_powers(self.folder());
        command
            .args(["--as-of", "2026-05-02"])
            .env("WHEELWORTH_BOOK", "book.sqlite");
        command.args(words.iter().map(|word| match word.strip_prefix('@') {
            Some(name) => self.path(name).into_os_string(),
            None => OsString::from(word),
        }));
        let output = command.output().unwrap();
        let folder = format!("{}/", self.folder().display());
        let text = |bytes| String::from_utf8(bytes).unwrap().replace(&folder, "@");
        Output {
            code: output.status.code().unwrap().try_into().unwrap(),
            out: text(output.stdout),
            err: text(output.stderr),
        }
    }

    /// Asserts that a command is refused (exit status 1) with every one of
    /// `said` on standard error, nothing on standard output, and the book and
    /// the folder as they were.
    #[track_caller]
    pub fn refuses(&self, words: &[&str], said: &[&str]) -> Output {
        let (before, files) = (self.book_bytes(), self.files());
        let output = self.run(words);
        output.says(1, said);
        assert_eq!(output.out, "", "standard output of {words:?}");
        assert!(self.book_bytes() == before, "{words:?} changed the book");
        assert_eq!(self.files(), files, "files after {words:?}");
        output
    }
}

impl Output {
    /// Asserts exit status 0.
    #[track_caller]
    pub fn done(self) -> Self {
        assert_eq!(self.code, 0, "standard error:\n{}", self.err);
        self
    }

    /// Asserts the exit status and that every one of `said` is on standard error.
    #[track_caller]
    pub fn says(&self, code: u8, said: &[&str]) {
        assert_eq!(
            self.code, code,
            "out:\n{}\nstandard error:\n{}",
            self.out, self.err
        );
        for words in said {
            assert!(
                self.err.contains(words),
                "'{words}' is not in standard error:\n{}",
                self.err
            );
        }
    }

    /// Standard output as JSON.
    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|e| panic!("{e}\n{}\nstandard error:\n{}", self.out, self.err))
    }
}
