//! CSV text from cells and back, by the csv crate alone.

/// How a file is written.
#[derive(Clone, Copy, Debug)]
pub struct Dress {
    /// Between cells.
    pub separator: u8,
    /// After each row.
    pub line_end: &'static str,
    /// Whether every cell is in quotes.
    pub quoted: bool,
}

/// As the program itself writes.
pub const PLAIN: Dress = Dress {
    separator: b',',
    line_end: "\n",
    quoted: false,
};

/// The text of rows.
pub fn write(rows: &[Vec<String>], dress: Dress) -> String {
    let lines = rows.iter().map(|row| {
        let mut writer = csv::WriterBuilder::new()
            .delimiter(dress.separator)
            .quote_style(match dress.quoted {
                true => csv::QuoteStyle::Always,
                false => csv::QuoteStyle::Necessary,
            })
            .from_writer(Vec::new());
        writer.write_record(row).unwrap();
        let line = String::from_utf8(writer.into_inner().unwrap()).unwrap();
        format!("{}{}", line.strip_suffix('\n').unwrap(), dress.line_end)
    });
    lines.collect()
}

/// The cells of a text, whatever their number in a row.
pub fn read(text: &[u8], separator: u8) -> Vec<Vec<String>> {
    let reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text);
    let rows = reader.into_byte_records().map(|row| {
        let row = row.unwrap();
        let cells = row
            .iter()
            .map(|cell| String::from_utf8_lossy(cell).into_owned());
        cells.collect()
    });
    rows.collect()
}
