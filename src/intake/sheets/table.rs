//! The cells of a sheet as the text of a CSV file, and where each stands in the sheet.
//!
//! Cells are kept sparsely, so that a sheet which says that it has a million rows costs
//! what stands in it. Columns without any cell are left out; each row of the sheet is one
//! record of the text, up to the last that is not empty.

use super::cell::{Cell, Holds};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Most cells at the top of a sheet that are looked at.
const MOST_TOP: usize = 1000;

/// Most cells of a sheet that are taken, and most bytes of their text: what is larger is
/// better kept as CSV, which is read in memory that does not grow.
const MOST_CELLS: usize = 20_000_000;
const MOST_TEXT: usize = 1 << 28;

/// Last row and column of a sheet in the programs that write them (1,048,576 and 16,384).
const MOST_ROWS: u32 = 1 << 20;
const MOST_COLUMNS: u32 = 1 << 14;

/// What is said of a sheet that is larger.
pub(in crate::intake) const TOO_LARGE: &str = "the sheet holds too much";

/// A cell in the text of all cells.
struct Place {
    row: u32,
    column: u32,
    end: u32,
    holds: Holds,
}

/// The cells of a sheet that are not empty, as they come.
#[derive(Default)]
pub(in crate::intake) struct Cells {
    text: String,
    places: Vec<Place>,
}

impl Cells {
    /// Takes in a cell by its row and column from 0; one of blanks alone is none.
    pub(in crate::intake) fn put(
        &mut self,
        (row, column): (u32, u32),
        cell: &Cell,
    ) -> Result<(), String> {
        if cell.text.trim().is_empty() {
            return Ok(());
        }
        let too_much = self.places.len() >= MOST_CELLS
            || self.text.len() + cell.text.len() > MOST_TEXT
            || row >= MOST_ROWS
            || column >= MOST_COLUMNS;
        if too_much {
            return Err(TOO_LARGE.into());
        }
        self.text.push_str(&cell.text);
        self.places.push(Place {
            row,
            column,
            end: self.text.len() as u32,
            holds: cell.holds,
        });
        Ok(())
    }

    /// Rows that are not empty.
    pub(in crate::intake) fn rows(&self) -> usize {
        let mut rows: Vec<u32> = self.places.iter().map(|place| place.row).collect();
        rows.sort_unstable();
        rows.dedup();
        rows.len()
    }

    /// The texts of the first so many rows, in the order in which they are kept.
    pub(in crate::intake) fn top(&self, rows: usize) -> Vec<&str> {
        let first = self.places.iter().map(|place| place.row).min().unwrap_or(0);
        let mut start = 0;
        let mut top = Vec::new();
        for place in &self.places {
            let end = place.end as usize;
            if (place.row - first) < rows as u32 && top.len() < MOST_TOP {
                top.push(self.text.get(start..end).unwrap_or(""));
            }
            start = end;
        }
        top
    }

    /// The text of the sheet `name`.
    pub(in crate::intake) fn into_text(self, name: &str) -> Result<SheetText, String> {
        let mut order: Vec<(u32, u32, u32)> = Vec::with_capacity(self.places.len());
        for (at, place) in self.places.iter().enumerate() {
            order.push((place.row, place.column, at as u32));
        }
        order.sort_unstable();
        if let Some(pair) = order
            .windows(2)
            .find(|pair| pair[0].0 == pair[1].0 && pair[0].1 == pair[1].1)
        {
            let cell = cell_name(pair[0].0, pair[0].1);
            return Err(format!("it is damaged: it holds the cell {cell} twice"));
        }
        let mut columns: Vec<u32> = order.iter().map(|(_, column, _)| *column).collect();
        columns.sort_unstable();
        columns.dedup();
        let mut sheet = Written::new(columns, name);
        for (row, column, at) in order {
            let at = at as usize;
            let start = at.checked_sub(1).and_then(|before| self.places.get(before));
            let start = start.map_or(0, |place| place.end as usize);
            let Some(place) = self.places.get(at) else {
                continue;
            };
            let text = self.text.get(start..place.end as usize).unwrap_or("");
            sheet.write(row, column, text, place.holds)?;
        }
        sheet.done()
    }
}

/// A CSV text under way.
struct Written {
    text: csv::Writer<Vec<u8>>,
    places: Places,
    /// Row and column of the text that come next, from 0.
    row: u32,
    column: usize,
    width: usize,
}

impl Written {
    fn new(columns: Vec<u32>, name: &str) -> Self {
        Self {
            text: csv::WriterBuilder::new()
                .flexible(true)
                .from_writer(Vec::new()),
            // A record of one empty cell would be a blank line.
            width: columns.len().max(2),
            places: Places {
                sheet: name.to_string(),
                columns,
                numbers: Vec::new(),
                odd: BTreeMap::new(),
                times: Vec::new(),
            },
            row: 0,
            column: 0,
        }
    }

    fn end_row(&mut self) -> Result<(), String> {
        while self.column < self.width {
            self.field("")?;
        }
        self.text
            .write_record(None::<&[u8]>)
            .map_err(|error| error.to_string())?;
        (self.row, self.column) = (self.row + 1, 0);
        Ok(())
    }

    fn field(&mut self, text: &str) -> Result<(), String> {
        if self.text.get_ref().len() > MOST_TEXT {
            return Err(TOO_LARGE.into());
        }
        self.column += 1;
        self.text
            .write_field(text)
            .map_err(|error| error.to_string())
    }

    fn write(&mut self, row: u32, column: u32, text: &str, holds: Holds) -> Result<(), String> {
        while self.row < row {
            self.end_row()?;
        }
        let at = self.places.columns.binary_search(&column).unwrap_or(0);
        while self.column < at {
            self.field("")?;
        }
        self.field(text)?;
        self.places.note(u64::from(row) + 1, at, holds);
        Ok(())
    }

    fn done(mut self) -> Result<SheetText, String> {
        if self.column > 0 {
            self.end_row()?;
        }
        let text = self.text.into_inner().map_err(|error| error.to_string())?;
        Ok(SheetText {
            text: text.into(),
            places: Arc::new(self.places),
        })
    }
}

/// The text of a sheet, and where its cells stand.
#[derive(Clone, Debug)]
pub(in crate::intake) struct SheetText {
    pub(in crate::intake) text: Arc<[u8]>,
    pub(in crate::intake) places: Arc<Places>,
}

/// Where the cells of the text stand in the sheet, and what they hold.
#[derive(Debug)]
pub(in crate::intake) struct Places {
    /// Name of the sheet.
    pub(in crate::intake) sheet: String,
    /// For each column of the text that of the sheet, from 0, in order.
    columns: Vec<u32>,
    /// A bit for each cell of the text, by rows: whether it is a number.
    numbers: Vec<u64>,
    /// Cells that are no value a field can hold, by row (from 1) and column of the text.
    odd: BTreeMap<(u64, usize), Holds>,
    /// Row (from 1) and column of the text of days with a time of day.
    times: Vec<(u64, usize)>,
}

impl Places {
    fn bit(&self, row: u64, column: usize) -> (usize, u64) {
        let bit = (row as usize).saturating_sub(1) * self.columns.len() + column;
        (bit / 64, 1 << (bit % 64))
    }

    fn note(&mut self, row: u64, column: usize, holds: Holds) {
        match holds {
            Holds::Text | Holds::Day => {}
            Holds::Number => {
                let (word, bit) = self.bit(row, column);
                if self.numbers.len() <= word {
                    self.numbers.resize(word + 1, 0);
                }
                if let Some(word) = self.numbers.get_mut(word) {
                    *word |= bit;
                }
            }
            Holds::DayAndTime => self.times.push((row, column)),
            Holds::Percent | Holds::YesOrNo | Holds::Error | Holds::Formula => {
                self.odd.insert((row, column), holds);
            }
        }
    }

    /// Whether a cell of the text was a number in the sheet.
    pub(in crate::intake) fn is_number(&self, row: u64, column: usize) -> bool {
        let (word, bit) = self.bit(row, column);
        column < self.columns.len() && self.numbers.get(word).is_some_and(|word| word & bit != 0)
    }

    /// What a cell holds that no field can.
    pub(in crate::intake) fn odd(&self, row: u64, column: usize) -> Option<Holds> {
        self.odd.get(&(row, column)).copied()
    }

    /// How many days have a time of day, and the name of the first such cell.
    pub(in crate::intake) fn times(&self) -> Option<(usize, String)> {
        let (row, column) = self.times.first()?;
        Some((self.times.len(), self.cell(*row, *column)))
    }

    /// Name of a cell by its row (from 1) and column of the text: `C2`.
    pub(in crate::intake) fn cell(&self, row: u64, column: usize) -> String {
        let column = self.columns.get(column).copied().unwrap_or(column as u32);
        cell_name((row as u32).saturating_sub(1), column)
    }
}

/// Name of a cell by its row and column from 0: `A1`, `AB20`.
fn cell_name(row: u32, column: u32) -> String {
    let mut letters = Vec::new();
    let mut left = column + 1;
    while left > 0 {
        let letter = ((left - 1) % 26) as u8;
        letters.push(char::from(b'A' + letter));
        left = (left - 1) / 26;
    }
    letters.reverse();
    format!("{}{}", letters.into_iter().collect::<String>(), row + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(cell: &str) -> Cell {
        Cell::new(cell, Holds::Text)
    }

    #[test]
    fn columns_without_cells_are_left_out_and_rows_keep_their_numbers() {
        let mut cells = Cells::default();
        cells.put((3, 5), &Cell::number(12.5)).unwrap();
        cells.put((1, 2), &text("a,b")).unwrap();
        cells.put((1, 5), &text("c")).unwrap();
        cells.put((9, 9), &text("  ")).unwrap();
        assert_eq!(cells.rows(), 2);
        let sheet = cells.into_text("S").unwrap();
        let expected = "\"\",\n\"a,b\",c\n,\n,12.5\n".replace("\"\",\n", ",\n");
        assert_eq!(std::str::from_utf8(&sheet.text).unwrap(), expected);
        assert!(sheet.places.is_number(4, 1) && !sheet.places.is_number(2, 1));
        assert_eq!(sheet.places.cell(4, 1), "F4");
    }

    #[test]
    fn cells_have_the_names_of_spreadsheets() {
        assert_eq!(cell_name(0, 0), "A1");
        assert_eq!(cell_name(19, 27), "AB20");
        assert_eq!(cell_name(1_048_575, 16_383), "XFD1048576");
    }

    #[test]
    fn what_no_sheet_can_hold_is_refused() {
        let mut cells = Cells::default();
        assert!(cells.put((1 << 20, 0), &text("x")).is_err());
        assert!(cells.put((0, 1 << 14), &text("x")).is_err());
        cells.put((0, 0), &text("x")).unwrap();
        cells.put((0, 0), &text("y")).unwrap();
        assert!(cells.into_text("S").unwrap_err().contains("A1 twice"));
    }
}
