//! Whole files in every dress: separators, line ends, quotes, marks, headers.

use super::case::{Case, FILE, Must};
use super::csv_text::{Dress, PLAIN, write};
use super::tables::{Holds, KEPT, Table};
use rand::Rng as _;
use rand_chacha::ChaCha8Rng;

/// The good rows in dresses that are read, and in others that are refused.
pub fn cases(table: &Table, random: &mut ChaCha8Rng) -> Vec<Case> {
    let good = Good {
        cells: table.cells(),
        table,
    };
    let mut cases = good.separators_and_line_ends(random);
    cases.extend(good.days());
    cases.extend(good.header());
    cases.extend(good.rows(random));
    cases.extend(good.quotes(random));
    cases
}

/// The good rows of a kind.
pub struct Good<'a> {
    /// Header and rows.
    pub cells: Vec<Vec<String>>,
    /// The kind.
    pub table: &'a Table,
}

/// With semicolons between cells.
pub const SEMICOLONS: Dress = Dress {
    separator: b';',
    ..PLAIN
};

impl Good<'_> {
    /// A file that must be read as the good rows.
    pub fn read(&self, name: &str, bytes: impl Into<Vec<u8>>) -> Case {
        Case::new(name, bytes, Must::Accept(self.rows_of_it(), Vec::new()))
    }

    /// The rows without the header.
    pub fn rows_of_it(&self) -> Vec<Vec<String>> {
        self.cells[1..].to_vec()
    }

    fn with_header(&self, change: impl FnOnce(&mut Vec<String>)) -> String {
        let mut cells = self.cells.clone();
        change(&mut cells[0]);
        write(&cells, PLAIN)
    }

    fn separators_and_line_ends(&self, random: &mut ChaCha8Rng) -> Vec<Case> {
        let plain = write(&self.cells, PLAIN);
        let mut cases = Vec::new();
        for (separator, between) in [(b',', "commas"), (b';', "semicolons"), (b'\t', "tabs")] {
            for (line_end, ends) in [("\n", "LF"), ("\r\n", "CRLF"), ("\r", "CR")] {
                for quoted in [false, true] {
                    let dress = Dress {
                        separator,
                        line_end,
                        quoted,
                    };
                    let name = format!("{between}, {ends}, quoted: {quoted}");
                    cases.push(self.read(&name, write(&self.cells, dress)));
                }
            }
        }
        let mixed: String = plain
            .lines()
            .map(|line| format!("{line}{}", ["\n", "\r\n", "\r"][random.random_range(0..3)]))
            .collect();
        let comma = |cell: &String| match cell.parse::<f64>() {
            Ok(_) if cell.contains('.') => cell.replace('.', ","),
            _ => cell.clone(),
        };
        let commas: Vec<Vec<String>> = self
            .cells
            .iter()
            .map(|row| row.iter().map(comma).collect())
            .collect();
        let spreadsheet = Dress {
            line_end: "\r\n",
            ..SEMICOLONS
        };
        let spaced = plain.replace('\n', "\n\n  \n");
        cases.extend([
            self.read("mixed line ends", mixed),
            self.read("no line end at the end", plain.trim_end()),
            self.read("a mark before it", format!("\u{feff}{plain}")),
            self.read(
                "decimal commas",
                format!("\u{feff}{}", write(&commas, spreadsheet)),
            ),
            self.read("blank lines", format!("\n\r\n  \n{spaced}\n\n")),
            self.read("rows of nothing", format!("{plain},,\n , ,\n\"\",\"\"\n")),
            Case::refused(
                "bars",
                plain.replace(',', "|"),
                &["one column only", "line 1"],
            ),
            Case::refused("blanks", plain.replace(',', " "), &["one column only"]),
            Case::refused(
                "header with commas, rows with semicolons",
                {
                    let (header, _) = plain.split_once('\n').unwrap();
                    let rows = write(&self.cells[1..], SEMICOLONS);
                    format!("{header}\n{rows}")
                },
                &["line 2: "],
            ),
        ]);
        // Only what is imported may have something above its header: there it is told.
        let is_kept = KEPT.iter().any(|table| table.kind == self.table.kind);
        for (name, above) in [
            ("a hint of the separator first", "sep=,\n"),
            ("a title above", "My bikes, 2025\n\n"),
        ] {
            let text = format!("{above}{plain}");
            cases.push(match is_kept {
                true => self.read(name, text),
                false => Case::refused(name, text, &["line 1"]),
            });
        }
        cases
    }

    /// Every day with the day or the month first, and `--dates` to say so.
    fn days(&self) -> Vec<Case> {
        let columns = self.table.columns.iter();
        let is_day: Vec<bool> = columns.map(|column| column.1 == Holds::Day).collect();
        if !is_day.contains(&true) {
            return Vec::new();
        }
        let written = |places: [usize; 3], sign: &str| {
            let cell = |(cell, is_day): (&String, &bool)| {
                let parts: Vec<&str> = cell.split('-').collect();
                match (*is_day, parts.as_slice()) {
                    (true, [_, _, _]) => places.map(|place| parts[place]).join(sign),
                    _ => cell.clone(),
                }
            };
            let row = |row: &Vec<String>| row.iter().zip(&is_day).map(cell).collect();
            let rows: Vec<Vec<String>> = self.cells.iter().map(row).collect();
            write(&rows, PLAIN)
        };
        vec![
            self.read("day first", written([2, 1, 0], "/"))
                .with(&["--dates", "dmy"]),
            self.read("month first", written([1, 2, 0], "-"))
                .with(&["--dates", "mdy"]),
            // Some day of every table is later than the twelfth.
            Case::refused(
                "day first and said to be month first",
                written([2, 1, 0], "."),
                &["expected a day that the calendar has"],
            )
            .with(&["--dates", "mdy"]),
        ]
    }

    fn header(&self) -> Vec<Case> {
        let first = self.cells[0][0].clone();
        let required = self
            .table
            .columns
            .iter()
            .rposition(|column| column.2)
            .unwrap();
        let (needed, ..) = self.table.columns[required];
        let line_1 = |what: String| format!("{FILE}, line 1: the header does not fit:{what}");
        let mut reversed = self.cells.clone();
        reversed.iter_mut().for_each(|row| row.reverse());
        let mut wider = self.cells.clone();
        for (at, row) in wider.iter_mut().enumerate() {
            row.insert(
                1,
                if at == 0 {
                    "Farbe, genau".into()
                } else {
                    format!("a\tb{at}")
                },
            );
        }
        let mut trailing = self.cells.clone();
        trailing
            .iter_mut()
            .for_each(|row| row.extend([String::new(), String::new()]));
        let twice: Vec<Vec<String>> = self
            .cells
            .iter()
            .map(|row| [row.clone(), vec![row[0].clone()]].concat())
            .collect();
        let upper = self.with_header(|header| {
            header
                .iter_mut()
                .for_each(|name| *name = name.to_uppercase());
        });
        let padded = self.with_header(|header| {
            header
                .iter_mut()
                .for_each(|name| *name = format!("\u{a0} {name}\u{2003}"));
        });
        let renamed = self.with_header(|header| header[0] = "Nr. §".into());
        let refused = |name: &str, text: String, said: &[&str]| Case::refused(name, text, said);
        let width = self.cells[0].len();
        vec![
            self.read("columns the other way round", write(&reversed, PLAIN)),
            self.read("header in capitals", upper),
            self.read("blanks around names", padded),
            self.read("nameless columns at the end", write(&trailing, PLAIN)),
            self.read("a column left out", write(&wider, PLAIN))
                .with(&["--ignore", "Farbe, genau"]),
            self.read("a column by another name", &*renamed)
                .with(&["--column", &format!("{first}=Nr. §")]),
            refused(
                "a column that is not known",
                write(&wider, PLAIN),
                &[&line_1(String::new()), "column 2, 'Farbe, genau'"],
            ),
            refused(
                "another name, nothing said",
                renamed,
                &[&line_1(String::new()), "'Nr. §'"],
            ),
            refused(
                "a column twice",
                write(&twice, PLAIN),
                &[&line_1(format!(
                    " columns 1 and {} are both '{first}'",
                    width + 1
                ))],
            ),
            refused(
                "a needed column is missing",
                self.with_header(|header| {
                    header[required] = format!("{needed}\u{200b}");
                }),
                &[
                    &format!("the column '{needed}' is missing"),
                    "\u{fffd}",
                    "line 1",
                ],
            ),
            refused(
                "a name is empty",
                self.with_header(|header| header[0].clear()),
                &["column 1 has no name"],
            ),
            // Programs that put marks in front do so to files that have one.
            self.read(
                "two marks",
                format!("\u{feff}\u{feff}{}", write(&self.cells, PLAIN)),
            ),
            refused(
                "three marks",
                format!("\u{feff}\u{feff}\u{feff}{}", write(&self.cells, PLAIN)),
                &["line 1", &format!("'\u{fffd}{first}'")],
            ),
            refused("no header", write(&self.cells[1..], PLAIN), &["line 1"]),
            refused(
                "a header of formulas",
                self.with_header(|header| {
                    header
                        .iter_mut()
                        .for_each(|name| *name = format!("={name}"));
                }),
                &["line 1", "is missing"],
            ),
            refused(
                "a name that a terminal obeys",
                self.with_header(|header| {
                    header[0] = format!("\u{1b}[2J{first}");
                }),
                &["line 1", &format!("'\u{fffd}[2J{first}'")],
            ),
            refused(
                "a header alone",
                self.cells[0].join(","),
                &["has a header and no rows"],
            ),
            refused(
                "a header and blanks",
                format!("{}\n\n , \n\"\"\n", self.cells[0].join(",")),
                &["has a header and no rows"],
            ),
            refused(
                "very many columns",
                format!("{}\n1\n", "a,".repeat(100_000)),
                &["line 1"],
            ),
            refused(
                "one very long name",
                format!("{},{}\n1,2\n", first, "n".repeat(500_000)),
                &["line 1"],
            ),
        ]
    }
}
