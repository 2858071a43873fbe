//! A hostile file, what must become of it, and the bench on which that is seen.

use super::csv_text::read;
use super::tables::{KEPT, Table};
use crate::support::workshop::{Output, Workshop};
use std::collections::BTreeMap;

/// Name of the file under test.
pub const FILE: &str = "@case.csv";

/// What must become of a file.
#[derive(Clone, Debug)]
pub enum Must {
    /// Exit status 1, with each of these on standard error, and nothing changed.
    Refuse(Vec<String>),
    /// Exit status 0, and afterwards the table holds these rows and no others;
    /// each of the texts is on standard error.
    Accept(Vec<Vec<String>>, Vec<String>),
    /// Refused with one of these lines, or accepted with these rows. `None`: an
    /// independent reading finds a cell that it cannot read.
    Either(Vec<u64>, Option<Vec<Vec<String>>>),
}

/// A hostile file.
#[derive(Clone, Debug)]
pub struct Case {
    /// What is hostile about it.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Flags of the command.
    pub flags: Vec<String>,
    /// What must become of it.
    pub must: Must,
}

impl Case {
    /// A case without flags.
    pub fn new(name: impl Into<String>, bytes: impl Into<Vec<u8>>, must: Must) -> Self {
        Self {
            name: name.into(),
            bytes: bytes.into(),
            flags: Vec::new(),
            must,
        }
    }

    /// A file that must be refused with these words.
    pub fn refused(name: impl Into<String>, bytes: impl Into<Vec<u8>>, said: &[&str]) -> Self {
        let said = said.iter().map(|said| (*said).to_string()).collect();
        Self::new(name, bytes, Must::Refuse(said))
    }

    /// The same with flags.
    pub fn with(mut self, flags: &[&str]) -> Self {
        self.flags = flags.iter().map(|flag| (*flag).to_string()).collect();
        self
    }
}

/// How many cases were refused and accepted.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    /// Exit status 1.
    pub refused: usize,
    /// Exit status 0.
    pub accepted: usize,
}

/// A book into which the files of a kind go, one at a time.
pub struct Bench {
    workshop: Workshop,
    kind: &'static str,
    book: Vec<u8>,
    before: BTreeMap<&'static str, Vec<Vec<String>>>,
}

impl Bench {
    /// A book with what files of the kind need.
    pub fn new(table: &Table) -> Self {
        let workshop = match table.bikes {
            "" => Workshop::new(),
            bikes => Workshop::new().sales(bikes),
        };
        let mut bench = Self {
            kind: table.kind,
            book: workshop.book_bytes(),
            before: BTreeMap::new(),
            workshop,
        };
        let _ = std::fs::remove_file(bench.workshop.path("sales.csv"));
        bench.before = bench.tables();
        bench
    }

    /// The rows of every table in the book, in an order of their own.
    fn tables(&self) -> BTreeMap<&'static str, Vec<Vec<String>>> {
        let rows = |kind: &'static str| {
            let name = format!("out-{kind}.csv");
            let line = ["export", kind, &format!("@{name}")];
            self.workshop.run(&line).done();
            let text = self.workshop.text(&name);
            std::fs::remove_file(self.workshop.path(&name)).unwrap();
            let mut rows = read(text.as_bytes(), b',').split_off(1);
            rows.sort();
            (kind, rows)
        };
        KEPT.iter().map(|table| rows(table.kind)).collect()
    }

    /// Tries a case; the book is as it was afterwards.
    pub fn try_case(&self, case: &Case, tally: &mut Tally) -> Result<(), String> {
        self.workshop.file(&FILE[1..], &case.bytes);
        let flags = case.flags.iter().map(String::as_str);
        let line: Vec<&str> = ["import", self.kind, FILE]
            .into_iter()
            .chain(flags)
            .collect();
        let output = self.workshop.run(&line);
        let found = match output.code {
            0 => {
                tally.accepted += 1;
                self.accepted(case, &output)
            }
            1 => {
                tally.refused += 1;
                self.refused(case, &output)
            }
            code => Err(format!("exit status {code}")),
        };
        self.workshop.file("book.sqlite", &self.book);
        found.map_err(|why| {
            let shown = String::from_utf8_lossy(&case.bytes);
            let shown: String = shown.chars().take(1500).collect();
            let (kind, name) = (self.kind, &case.name);
            format!(
                "{kind}, {name}: {why}\n{shown}\n{}\n{}",
                output.out, output.err
            )
        })
    }

    fn refused(&self, case: &Case, output: &Output) -> Result<(), String> {
        refusal(&case.must, output)?;
        if self.workshop.book_bytes() != self.book {
            return Err("refused, and the book is not as it was".into());
        }
        if self.workshop.files() != ["book.sqlite", &FILE[1..]] {
            return Err(format!("refused, and left {:?}", self.workshop.files()));
        }
        Ok(())
    }

    fn accepted(&self, case: &Case, output: &Output) -> Result<(), String> {
        let (rows, told) = match &case.must {
            Must::Refuse(_) => return Err("accepted".into()),
            Must::Accept(rows, told) => (rows, told.as_slice()),
            Must::Either(_, Some(rows)) => (rows, &[][..]),
            Must::Either(_, None) => {
                let found = &self.tables()[self.kind];
                return Err(format!("accepted, and cannot be read: {found:?}"));
            }
        };
        let mut expected = self.before.clone();
        let mut rows = rows.clone();
        rows.sort();
        expected.insert(self.kind, rows);
        let found = self.tables();
        if found != expected {
            let (found, expected) = (&found[self.kind], &expected[self.kind]);
            return Err(format!("the book holds\n{found:?}\nand not\n{expected:?}"));
        }
        match told.iter().find(|told| !output.err.contains(*told)) {
            Some(told) => Err(format!("'{told}' is not told")),
            None => Ok(()),
        }
    }
}

/// Whether a refusal is as it must be: it names the file and the place, says what
/// to do, and gives no result.
pub fn refusal(must: &Must, output: &Output) -> Result<(), String> {
    let said = match must {
        Must::Refuse(said) => said.as_slice(),
        Must::Accept(..) => return Err("refused".into()),
        Must::Either(lines, _) => {
            let place = output.err.split(&format!("{FILE}, line ")).nth(1);
            let digits = place.map(|rest| rest.split(|c: char| !c.is_ascii_digit()).next());
            let line = digits
                .flatten()
                .and_then(|digits| digits.parse::<u64>().ok());
            if !line.is_some_and(|line| lines.contains(&line)) {
                return Err(format!("refused at line {line:?}, not at one of {lines:?}"));
            }
            &[]
        }
    };
    if !output.out.is_empty() {
        return Err("refused with a result".into());
    }
    let wanted = [FILE, "help: "];
    let wanted = wanted.into_iter().chain(said.iter().map(String::as_str));
    for said in wanted {
        if !output.err.contains(said) {
            return Err(format!("'{said}' is not said"));
        }
    }
    if output.err.len() > 60_000 {
        return Err(format!("{} bytes of message", output.err.len()));
    }
    Ok(())
}

/// Where a cell is: line and column of the file, with the column's name.
pub fn place(row: usize, column: usize, name: &str) -> String {
    format!("{FILE}, line {}, column {} '{name}'", row + 1, column + 1)
}
