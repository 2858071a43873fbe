//! The cells of a sheet of an `.xlsx` workbook: values only, so that no macro runs and no
//! link is followed.

use super::archive::DAMAGED;
use super::cell::{Cell, Holds, is_percent, marks_of};
use super::table::Cells;
use crate::intake::cells::currency_signs::{Mark, mark};
use crate::trade::Currency;
use calamine::{
    DataRef, ExcelDateTime, Reader as _, SheetType, SheetVisible, Style, Xlsx, XlsxError,
};
use std::collections::BTreeSet;
use std::io::Cursor;

/// An opened workbook.
pub(in crate::intake) struct Workbook<'b> {
    inner: Xlsx<Cursor<&'b [u8]>>,
    currency: Currency,
}

impl<'b> Workbook<'b> {
    /// Opens a workbook of which [`super::archive::check`] has seen the parts.
    pub(in crate::intake) fn open(bytes: &'b [u8], currency: Currency) -> Result<Self, String> {
        let inner = Xlsx::new(Cursor::new(bytes)).map_err(|error| in_words(&error))?;
        Ok(Self { inner, currency })
    }

    /// Names of the sheets in order, each with whether it is hidden.
    pub(in crate::intake) fn sheets(&self) -> Vec<(String, bool)> {
        let sheets = self.inner.sheets_metadata().iter();
        let sheets = sheets.filter(|sheet| sheet.typ == SheetType::WorkSheet);
        sheets
            .map(|sheet| (sheet.name.clone(), sheet.visible != SheetVisible::Visible))
            .collect()
    }

    /// The cells of a sheet.
    pub(in crate::intake) fn cells(&mut self, sheet: &str) -> Result<Cells, String> {
        let (mut cells, mut empty) = (Cells::default(), BTreeSet::new());
        let reader = self.inner.worksheet_cells_reader(sheet);
        let mut reader = reader.map_err(|error| in_words(&error))?;
        loop {
            let next = reader.next_cell_with_style_id();
            let Some((cell, style)) = next.map_err(|error| in_words(&error))? else {
                break;
            };
            let place = cell.get_position();
            let style = reader.styles().get(style);
            match value(cell.get_value(), style, &self.currency) {
                Some(cell) => cells.put(place, &cell)?,
                None => {
                    empty.insert(place);
                }
            }
        }
        drop(reader);
        self.formulas(sheet, &empty, &mut cells)?;
        Ok(cells)
    }

    /// Puts the formulas of cells without a value, which are not empty.
    fn formulas(
        &mut self,
        sheet: &str,
        empty: &BTreeSet<(u32, u32)>,
        cells: &mut Cells,
    ) -> Result<(), String> {
        if empty.is_empty() {
            return Ok(());
        }
        let reader = self.inner.worksheet_cells_reader(sheet);
        let mut reader = reader.map_err(|error| in_words(&error))?;
        while let Some(cell) = reader.next_formula().map_err(|error| in_words(&error))? {
            let (place, formula) = (cell.get_position(), cell.get_value());
            if !formula.is_empty() && empty.contains(&place) {
                cells.put(place, &Cell::new(format!("={formula}"), Holds::Formula))?;
            }
        }
        Ok(())
    }
}

/// What the library says, for people.
fn in_words(error: &XlsxError) -> String {
    match error {
        XlsxError::Password => "it is protected with a password".into(),
        XlsxError::WorksheetNotFound(name) => format!("its sheet '{name}' is not in the file"),
        _ => DAMAGED.into(),
    }
}

fn value(value: &DataRef<'_>, style: Option<&Style>, currency: &Currency) -> Option<Cell> {
    Some(match value {
        DataRef::Empty => return None,
        DataRef::String(text) | DataRef::DurationIso(text) => Cell::new(text.as_str(), Holds::Text),
        DataRef::SharedString(text) => Cell::new(*text, Holds::Text),
        DataRef::Int(number) => Cell::new(number.to_string(), Holds::Number),
        DataRef::Float(number) => {
            let format = style.and_then(|style| style.number_format.as_ref());
            let format = format.map_or("", |format| format.format_code.as_str());
            let is_another = |sign: &String| mark(sign, currency) == Mark::Another;
            match marks_of(format).into_iter().find(is_another) {
                _ if is_percent(format) => Cell::percent(*number),
                Some(sign) => Cell::of_currency(*number, &sign),
                None => Cell::number(*number),
            }
        }
        DataRef::Bool(yes) => Cell::yes_or_no(*yes),
        DataRef::DateTime(day) => day_or_time(day),
        DataRef::DateTimeIso(text) => of_iso(text),
        DataRef::Error(error) => Cell::new(error.to_string(), Holds::Error),
    })
}

/// A day as `2026-03-04`, with `14:30` behind it where it has a time of day; a time of
/// day alone as `14:30`; a span of time in hours.
fn day_or_time(when: &ExcelDateTime) -> Cell {
    if when.is_duration() {
        return Cell::number(when.as_f64() * 24.0);
    }
    let (year, month, day, hour, minute, second, _) = when.to_ymd_hms_milli();
    if when.as_f64() < 1.0 {
        return Cell::new(format!("{hour:02}:{minute:02}"), Holds::Text);
    }
    let date = format!("{year:04}-{month:02}-{day:02}");
    match (hour, minute, second) {
        (0, 0, 0) => Cell::new(date, Holds::Day),
        _ => Cell::new(format!("{date} {hour:02}:{minute:02}"), Holds::DayAndTime),
    }
}

/// A day as ISO 8601 writes it, its time of day likewise.
pub(in crate::intake) fn of_iso(text: &str) -> Cell {
    let text = text.trim();
    match text.split_once('T') {
        None => Cell::new(text, Holds::Day),
        Some((date, time)) if time.bytes().all(|b| !b.is_ascii_digit() || b == b'0') => {
            Cell::new(date, Holds::Day)
        }
        Some((date, time)) => {
            let time = time.get(..5).unwrap_or(time);
            Cell::new(format!("{date} {time}"), Holds::DayAndTime)
        }
    }
}
