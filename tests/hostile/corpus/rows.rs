//! Good files with one row, or the quotes of one cell, that are not as they
//! should be.

use super::case::{Case, FILE, Must};
use super::csv_text::{PLAIN, write};
use super::dress::{Good, SEMICOLONS};
use super::tables::Holds;
use rand::Rng as _;
use rand_chacha::ChaCha8Rng;

impl Good<'_> {
    /// A row too short, too long, twice, or of another kind.
    pub fn rows(&self, random: &mut ChaCha8Rng) -> Vec<Case> {
        let row = random.random_range(1..self.cells.len());
        let line = format!("{FILE}, line {}: ", row + 1);
        let place = format!("{FILE}, line {}", row + 1);
        let changed = |change: &dyn Fn(&mut Vec<String>)| {
            let mut cells = self.cells.clone();
            change(&mut cells[row]);
            write(&cells, PLAIN)
        };
        let width = self.cells[0].len();
        let inserted = |text: &str| {
            let mut lines: Vec<String> = self
                .cells
                .iter()
                .map(|cells| write(std::slice::from_ref(cells), PLAIN))
                .collect();
            lines.insert(row, text.to_string());
            lines.concat()
        };
        let cells = format!("expected {width} cells, as in the header, not ");
        let said = |count: usize| [line.clone(), format!("{cells}{count}")];
        let ragged = |name: &str, text: String, count: usize| {
            let said = said(count);
            Case::refused(name, text, &[&said[0], &said[1]])
        };
        let mut cases = vec![
            ragged("a cell too few", changed(&|row| drop(row.pop())), width - 1),
            ragged(
                "a cell too many",
                changed(&|row| row.push("x".into())),
                width + 1,
            ),
            ragged("a comment", inserted("# bought at the market\n"), 1),
            ragged("a line of signs", inserted("-----\n"), 1),
            self.read("blank cells too many", changed(&|row| row.push(" ".into()))),
            Case::refused(
                "the header again",
                inserted(&format!("{}\n", self.cells[0].join(","))),
                &[&place],
            ),
            Case::refused(
                "a row in semicolons",
                {
                    let text = write(&self.cells[row..=row], SEMICOLONS);
                    inserted(&text)
                },
                &[&place],
            ),
            Case::refused(
                "a row of two MiB",
                changed(&|row| row[1] = "x".repeat(1 << 21)),
                &[&format!("{place}: is longer than 1 MiB")],
            ),
            Case::refused(
                "a row of long numbers",
                changed(&|row| {
                    row.iter_mut().for_each(|cell| *cell = "9".repeat(10_000));
                }),
                &[&place],
            ),
        ];
        let again = inserted(&write(&self.cells[row..=row], PLAIN));
        let own_id = self
            .table
            .columns
            .iter()
            .any(|column| column.1 == Holds::Id);
        let no_id = self.table.columns.iter().zip(&self.cells[row]);
        let no_id = no_id
            .filter(|(column, _)| column.1 == Holds::Id)
            .all(|(_, id)| id.is_empty());
        let once = if self.table.kind == "asks" {
            true
        } else {
            own_id && !no_id
        };
        cases.push(if once {
            Case::refused(
                "a row twice",
                again,
                &[&format!("{FILE}, line {}", row + 2), "stands once"],
            )
        } else {
            let mut rows = self.rows_of_it();
            rows.push(self.cells[row].clone());
            Case::new("a row twice", again, Must::Accept(rows, Vec::new()))
        });
        cases
    }

    /// Quotes in a cell drawn at random.
    pub fn quotes(&self, random: &mut ChaCha8Rng) -> Vec<Case> {
        let row = random.random_range(1..self.cells.len());
        let column = random.random_range(0..self.cells[0].len());
        let text = |cell: &str| {
            let lines = self.cells.iter().enumerate().map(|(at, cells)| {
                let own = cells.iter().enumerate().map(|(place, text)| {
                    let quoted = text.contains(',');
                    match at == row && place == column {
                        true => cell.replace('@', text),
                        false if quoted => format!("\"{text}\""),
                        false => text.clone(),
                    }
                });
                own.collect::<Vec<_>>().join(",") + "\n"
            });
            lines.collect::<String>()
        };
        let line = format!("line {}", row + 1);
        // A later quote may close the one that was left open.
        let open = match self
            .cells
            .iter()
            .skip(row)
            .flatten()
            .any(|cell| cell.contains(','))
        {
            true => Case::refused("a quote never closed", text("\"@"), &[&line]),
            false => Case::refused(
                "a quote never closed",
                text("\"@"),
                &[&format!("{line}: a quote is opened here and never closed")],
            ),
        };
        let after = "expected nothing after the quote that closes the cell";
        vec![
            open,
            self.read("quotes around a cell", text("\"@\"")),
            self.read("blanks after a closing quote", text("\"@\"  ")),
            Case::refused(
                "text after a closing quote",
                text("\"@\"x"),
                &[&line, after],
            ),
            Case::refused(
                "a quote in the header",
                format!("\"{}", text("@").replace('"', "'")),
                &["line 1: a quote is opened here and never closed"],
            ),
            Case::refused("quotes of a typesetter", text("“@\n”"), &[&line]),
        ]
    }
}
