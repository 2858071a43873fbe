//! The cells of the sheets of an `.ods` workbook (OASIS OpenDocument 1.3, part 3,
//! sections 9.1 and 19): values only, read as they come.
//!
//! Not by calamine: its reader of this format never ends at a text that breaks off within
//! a table, and makes room for every cell that a repeat count names.

use super::archive::DAMAGED;
use super::cell::{Cell, Holds};
use super::table::{Cells, TOO_LARGE};
use super::xlsx::of_iso;
use crate::trade::Currency;
use quick_xml::Reader;
use quick_xml::escape::resolve_xml_entity;
use quick_xml::events::{BytesRef, BytesStart, Event};
use std::collections::BTreeSet;
use std::io::{BufReader, Cursor};
use zip::ZipArchive;

/// Most cells that a repeat count may make of one with something in it.
const MOST_REPEATS: u32 = 1 << 14;

/// Most sheets of a workbook.
const MOST_SHEETS: usize = 10_000;

/// A sheet as read.
pub(in crate::intake) struct Sheet {
    pub(in crate::intake) name: String,
    pub(in crate::intake) hidden: bool,
    pub(in crate::intake) cells: Cells,
}

/// Reads the sheets of a workbook of which [`super::archive::check`] has seen the parts.
pub(in crate::intake) fn sheets(bytes: &[u8], currency: Currency) -> Result<Vec<Sheet>, String> {
    let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|_| DAMAGED.to_string())?;
    let encrypted = match zip.by_name("META-INF/manifest.xml") {
        Ok(part) => {
            std::io::read_to_string(part).is_ok_and(|text| text.contains("encryption-data"))
        }
        Err(_) => false,
    };
    if encrypted {
        return Err("it is protected with a password".into());
    }
    let part = zip
        .by_name("content.xml")
        .map_err(|_| DAMAGED.to_string())?;
    let mut xml = Reader::from_reader(BufReader::new(part));
    let config = xml.config_mut();
    config.expand_empty_elements = true;
    let mut reading = Reading {
        currency,
        sheets: Vec::new(),
        hidden: BTreeSet::new(),
        style: String::new(),
        row: Repeated::default(),
        column: Repeated::default(),
        cell: None,
        within: 0,
    };
    let (mut buffer, mut depth) = (Vec::new(), 0_u64);
    loop {
        buffer.clear();
        let event = xml
            .read_event_into(&mut buffer)
            .map_err(|_| DAMAGED.to_string())?;
        match &event {
            // Broken off, or with something behind its end.
            Event::Eof if depth == 0 => return Ok(reading.sheets),
            Event::Eof => return Err(DAMAGED.into()),
            Event::Start(_) => depth += 1,
            Event::End(_) => depth = depth.checked_sub(1).ok_or(DAMAGED)?,
            _ => {}
        }
        reading.take(&event)?;
    }
}

/// A row or a cell that stands once or more.
#[derive(Clone, Copy, Default)]
struct Repeated {
    at: u32,
    times: u32,
}

impl Repeated {
    fn next(&mut self, times: u32) {
        self.at = self.at.saturating_add(self.times);
        self.times = times;
    }
}

/// A cell under way.
struct Open {
    value: Option<Cell>,
    /// What works its value out.
    formula: Option<String>,
    is_error: bool,
    text: String,
    paragraphs: u32,
}

struct Reading {
    currency: Currency,
    sheets: Vec<Sheet>,
    /// Styles of tables that are not shown.
    hidden: BTreeSet<String>,
    /// The style that is being read.
    style: String,
    row: Repeated,
    column: Repeated,
    cell: Option<Open>,
    /// How deep within what is no text of the cell: remarks, drawings, sheets in sheets.
    within: u32,
}

/// An attribute of a tag, its entities resolved.
fn attribute(tag: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = tag.try_get_attribute(name).ok().flatten()?;
    let value = quick_xml::escape::unescape(&found.value).ok()?;
    Some(value.into_owned())
}

/// How often a row or a cell stands.
fn times(tag: &BytesStart<'_>, name: &str) -> Result<u32, String> {
    match attribute(tag, name) {
        None => Ok(1),
        Some(count) => count.trim().parse().map_err(|_| DAMAGED.to_string()),
    }
}

/// Parts of a cell that are no text of it.
const ASIDE: [&str; 4] = ["office:annotation", "draw:frame", "draw:g", "table:table"];

impl Reading {
    fn take(&mut self, event: &Event<'_>) -> Result<(), String> {
        match event {
            Event::Start(tag) if self.cell.is_some() => self.start_in_cell(tag),
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag.name().as_ref()),
            Event::Text(text) if self.within == 0 => {
                if let Some(cell) = self.cell.as_mut().filter(|cell| cell.paragraphs > 0) {
                    cell.text.push_str(&text.xml10_content());
                }
                Ok(())
            }
            Event::CData(text) if self.within == 0 => {
                if let Some(cell) = self.cell.as_mut().filter(|cell| cell.paragraphs > 0) {
                    cell.text.push_str(text);
                }
                Ok(())
            }
            Event::GeneralRef(entity) if self.within == 0 => match &mut self.cell {
                Some(cell) => {
                    cell.text.push_str(&resolved(entity)?);
                    Ok(())
                }
                None => Ok(()),
            },
            _ => Ok(()),
        }
    }

    fn start(&mut self, tag: &BytesStart<'_>) -> Result<(), String> {
        match tag.name().as_ref() {
            "style:style" => self.style = attribute(tag, "style:name").unwrap_or_default(),
            "style:table-properties"
                if attribute(tag, "table:display").as_deref() == Some("false") =>
            {
                self.hidden.insert(self.style.clone());
            }
            "table:table" => {
                if self.sheets.len() >= MOST_SHEETS {
                    return Err(TOO_LARGE.into());
                }
                let style = attribute(tag, "table:style-name").unwrap_or_default();
                self.sheets.push(Sheet {
                    name: attribute(tag, "table:name").unwrap_or_default(),
                    hidden: self.hidden.contains(&style),
                    cells: Cells::default(),
                });
                self.row = Repeated::default();
            }
            "table:table-row" => {
                self.row.next(times(tag, "table:number-rows-repeated")?);
                self.column = Repeated::default();
            }
            "table:table-cell" | "table:covered-table-cell" => {
                self.column
                    .next(times(tag, "table:number-columns-repeated")?);
                self.cell = Some(self.opened(tag)?);
            }
            _ => {}
        }
        Ok(())
    }

    /// A cell with the value that its tag gives; otherwise its text is its value.
    fn opened(&self, tag: &BytesStart<'_>) -> Result<Open, String> {
        let is_error = attribute(tag, "calcext:value-type").as_deref() == Some("error");
        let number = || -> Result<f64, String> {
            let value = attribute(tag, "office:value").unwrap_or_default();
            value.trim().parse().map_err(|_| DAMAGED.to_string())
        };
        let kind = attribute(tag, "office:value-type").unwrap_or_default();
        let value = match kind.as_str() {
            _ if is_error => None,
            "float" => Some(Cell::number(number()?)),
            "percentage" => Some(Cell::percent(number()?)),
            "currency" => {
                let code = attribute(tag, "office:currency").unwrap_or_default();
                Some(match code.as_str() {
                    code if code.is_empty() || code == self.currency.code() => {
                        Cell::number(number()?)
                    }
                    code => Cell::of_currency(number()?, code),
                })
            }
            "date" => attribute(tag, "office:date-value").map(|day| of_iso(&day)),
            "time" => attribute(tag, "office:time-value").map(|time| span(&time)),
            "boolean" => {
                let yes = attribute(tag, "office:boolean-value");
                Some(Cell::yes_or_no(yes.as_deref() == Some("true")))
            }
            "string" => attribute(tag, "office:string-value")
                .filter(|text| !text.is_empty())
                .map(|text| Cell::new(text, Holds::Text)),
            _ => None,
        };
        Ok(Open {
            value,
            // A formula that gives a text of nothing says that it is a text.
            formula: attribute(tag, "table:formula").filter(|_| kind.is_empty() && !is_error),
            is_error,
            text: String::new(),
            paragraphs: 0,
        })
    }

    fn start_in_cell(&mut self, tag: &BytesStart<'_>) -> Result<(), String> {
        let name = tag.name();
        let Some(cell) = self.cell.as_mut() else {
            return Ok(());
        };
        if self.within > 0 || ASIDE.contains(&name.as_ref()) {
            self.within += 1;
            return Ok(());
        }
        match name.as_ref() {
            "text:p" => {
                if cell.paragraphs > 0 {
                    cell.text.push('\n');
                }
                cell.paragraphs += 1;
            }
            "text:s" => {
                let blanks = times(tag, "text:c")?.min(1000);
                cell.text.extend(std::iter::repeat_n(' ', blanks as usize));
            }
            "text:tab" => cell.text.push('\t'),
            "text:line-break" => cell.text.push('\n'),
            _ => {}
        }
        Ok(())
    }

    fn end(&mut self, name: &str) -> Result<(), String> {
        if self.within > 0 {
            self.within -= 1;
            return Ok(());
        }
        if !matches!(name, "table:table-cell" | "table:covered-table-cell") {
            return Ok(());
        }
        let Some(open) = self.cell.take() else {
            return Ok(());
        };
        let cell = match open.value {
            Some(value) => value,
            None if open.is_error => Cell::new(open.text, Holds::Error),
            None if open.formula.is_some() && open.text.trim().is_empty() => {
                Cell::new(open.formula.unwrap_or_default(), Holds::Formula)
            }
            None => Cell::new(open.text, Holds::Text),
        };
        if cell.text.trim().is_empty() {
            return Ok(());
        }
        let Some(sheet) = self.sheets.last_mut() else {
            return Err(DAMAGED.into());
        };
        let (rows, columns) = (self.row.times, self.column.times);
        if rows.saturating_mul(columns) > MOST_REPEATS {
            return Err(TOO_LARGE.into());
        }
        for row in 0..rows {
            for column in 0..columns {
                let place = (
                    self.row.at.saturating_add(row),
                    self.column.at.saturating_add(column),
                );
                sheet.cells.put(place, &cell)?;
            }
        }
        Ok(())
    }
}

/// What an entity stands for; only those of XML itself and characters by number are read,
/// so that none can stand for others.
fn resolved(entity: &BytesRef<'_>) -> Result<String, String> {
    if let Some(text) = resolve_xml_entity(entity) {
        return Ok(text.to_string());
    }
    match entity.resolve_char_ref() {
        Ok(Some(letter)) => Ok(letter.to_string()),
        _ => Err("it is damaged: it holds an entity of its own".into()),
    }
}

/// A span of time (`PT02H30M00S`) in hours.
fn span(text: &str) -> Cell {
    hours(text.trim()).map_or_else(|| Cell::new(text, Holds::Text), Cell::number)
}

/// The hours of a span as ISO 8601 writes it, its minus and its days too; `None` for one of
/// months or years, which have no number of hours.
fn hours(text: &str) -> Option<f64> {
    let (sign, span) = match text.strip_prefix('-') {
        Some(span) => (-1.0, span),
        None => (1.0, text),
    };
    let span = span.strip_prefix('P')?;
    let (days, time) = span.split_once('T').unwrap_or((span, ""));
    let units: [(&str, &[(char, f64)]); 2] = [
        (days, &[('D', 24.0)]),
        (time, &[('H', 1.0), ('M', 1.0 / 60.0), ('S', 1.0 / 3600.0)]),
    ];
    let mut sum = None;
    for (mut left, units) in units {
        for (unit, hours) in units {
            if let Some((number, after)) = left.split_once(*unit) {
                let number: f64 = number.replace(',', ".").parse().ok()?;
                sum = Some(sum.unwrap_or(0.0) + number * hours);
                left = after;
            }
        }
        if !left.is_empty() {
            return None;
        }
    }
    Some(sign * sum?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spans_of_time_are_hours() {
        assert_eq!(span("PT02H30M00S").text, "2.5");
        assert_eq!(span("PT90M").text, "1.5");
        assert_eq!(span("-PT2H").text, "-2");
        assert_eq!(span("P1DT2H").text, "26");
        for text in ["soon", "P1M", "PT", "P1YT2H"] {
            assert_eq!(span(text), Cell::new(text, Holds::Text));
        }
    }
}
