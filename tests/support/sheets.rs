//! Spreadsheets made for a test.

use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use std::io::{Cursor, Write as _};
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

/// A cell of a sheet.
#[derive(Clone, Debug)]
pub enum Cell {
    Text(String),
    Number(f64),
    /// `2025-03-04`, or with a time of day behind a blank.
    Day(String),
    /// A number under a format of its own.
    Shown(f64, &'static str),
    YesOrNo(bool),
    /// A formula and its last value.
    Formula(&'static str, &'static str),
    Empty,
}

/// A cell of a CSV as somebody types it into a spreadsheet: days and numbers get a type.
pub fn typed(cell: &str) -> Cell {
    let parts: Vec<&str> = cell.split('-').collect();
    let is_day =
        parts.len() == 3 && parts[0].len() == 4 && parts.iter().all(|p| p.parse::<u16>().is_ok());
    match cell.parse::<f64>() {
        _ if cell.is_empty() => Cell::Empty,
        _ if is_day => Cell::Day(cell.into()),
        Ok(number) => Cell::Number(number),
        Err(_) => Cell::Text(cell.into()),
    }
}

/// The cells of a CSV text without line breaks in its cells, each as somebody types it; a
/// blank line is a row of nothing.
pub fn cells(text: &str) -> Vec<Vec<Cell>> {
    let row = |line: &str| {
        let mut reader = csv::ReaderBuilder::new();
        let reader = reader.has_headers(false).from_reader(line.as_bytes());
        let record = reader.into_records().next().map(Result::unwrap);
        record.map_or_else(Vec::new, |record| record.iter().map(typed).collect())
    };
    text.lines().map(row).collect()
}

/// An `.xlsx` workbook with these sheets.
pub fn xlsx(sheets: &[(&str, Vec<Vec<Cell>>)]) -> Vec<u8> {
    let mut workbook = Workbook::new();
    for (name, rows) in sheets {
        let sheet = workbook.add_worksheet();
        sheet.set_name(*name).unwrap();
        for (row, cells) in (0..).zip(rows) {
            for (column, cell) in (0..).zip(cells) {
                match cell {
                    Cell::Empty => {}
                    Cell::Text(text) => {
                        sheet.write_string(row, column, text).unwrap();
                    }
                    Cell::Number(number) => {
                        sheet.write_number(row, column, *number).unwrap();
                    }
                    Cell::YesOrNo(yes) => {
                        sheet.write_boolean(row, column, *yes).unwrap();
                    }
                    Cell::Day(day) => {
                        let when = ExcelDateTime::parse_from_str(day).unwrap();
                        let format = Format::new().set_num_format("dd/mm/yyyy");
                        sheet
                            .write_datetime_with_format(row, column, &when, &format)
                            .unwrap();
                    }
                    Cell::Shown(number, format) => {
                        let format = Format::new().set_num_format(*format);
                        sheet
                            .write_number_with_format(row, column, *number, &format)
                            .unwrap();
                    }
                    Cell::Formula(formula, result) => {
                        let formula = Formula::new(*formula).set_result(*result);
                        sheet.write_formula(row, column, formula).unwrap();
                    }
                }
            }
        }
    }
    workbook.save_to_buffer().unwrap()
}

/// A zip archive of these parts.
pub fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in parts {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(content).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// An `.ods` workbook with this as its tables.
pub fn ods_of(tables: &str) -> Vec<u8> {
    let content = format!(
        "<?xml version=\"1.0\"?><office:document-content><office:body><office:spreadsheet>\n\
         {tables}\n</office:spreadsheet></office:body></office:document-content>"
    );
    zipped(&[
        (
            "mimetype",
            b"application/vnd.oasis.opendocument.spreadsheet",
        ),
        ("META-INF/manifest.xml", b"<manifest:manifest/>"),
        ("content.xml", content.as_bytes()),
    ])
}

/// An `.ods` workbook with these sheets, and the empty rows that programs write after the
/// last.
pub fn ods(sheets: &[(&str, Vec<Vec<Cell>>)]) -> Vec<u8> {
    let mut tables = String::new();
    let safe = |text: &str| {
        text.replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('"', "&quot;")
    };
    for (name, rows) in sheets {
        tables += &format!("<table:table table:name=\"{}\">", safe(name));
        for cells in rows {
            tables += "<table:table-row>";
            for cell in cells {
                let (kind, text) = match cell {
                    Cell::Empty => (String::new(), String::new()),
                    Cell::Text(text) => ("office:value-type=\"string\"".into(), safe(text)),
                    Cell::Number(number) => (
                        format!("office:value-type=\"float\" office:value=\"{number}\""),
                        format!("{number:.1} as shown"),
                    ),
                    Cell::Day(day) => {
                        let day = day.replace(' ', "T");
                        let kind =
                            format!("office:value-type=\"date\" office:date-value=\"{day}\"");
                        (kind, "as shown".into())
                    }
                    Cell::Shown(number, format) if format.contains('%') => (
                        format!("office:value-type=\"percentage\" office:value=\"{number}\""),
                        "as shown".into(),
                    ),
                    Cell::Shown(number, code) => (
                        format!(
                            "office:value-type=\"currency\" office:currency=\"{code}\" office:value=\"{number}\""
                        ),
                        "as shown".into(),
                    ),
                    Cell::YesOrNo(yes) => (
                        format!("office:value-type=\"boolean\" office:boolean-value=\"{yes}\""),
                        "as shown".into(),
                    ),
                    Cell::Formula(_, result) => (
                        "office:value-type=\"string\" calcext:value-type=\"error\"".into(),
                        safe(result),
                    ),
                };
                let text = match text.as_str() {
                    "" => String::new(),
                    text => format!("<text:p>{text}</text:p>"),
                };
                tables += &format!("<table:table-cell {kind}>{text}</table:table-cell>");
            }
            tables += "</table:table-row>\n";
        }
        tables += "<table:table-row table:number-rows-repeated=\"1048000\"><table:table-cell \
                   table:number-columns-repeated=\"16384\"/></table:table-row></table:table>";
    }
    ods_of(&tables)
}
