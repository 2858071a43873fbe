//! Spreadsheets: any bytes behind the first ones of a zip archive or of an older document,
//! read as sales. Read or refused, with nothing that a terminal would obey.

use super::{TODAY, currency};
use wheelworth::intake::{Reader, Sales, Settings};

pub fn check(data: &[u8]) {
    let [how, bytes @ ..] = data else { return };
    let settings = Settings::new(currency(*how), TODAY);
    let mut reader = match Reader::<Sales>::from_text(bytes, "mine.xlsx", &settings) {
        Ok(reader) => reader,
        Err(problem) => {
            let said = format!("{} {}", problem.message(), problem.mend());
            assert!(
                said.contains("mine.xlsx") && !problem.mend().is_empty(),
                "{said}"
            );
            return;
        }
    };
    let (mut last, is_sheet) = (0, reader.is_sheet());
    while let Ok(Some(row)) = reader.next_row() {
        let (line, problems) = match row {
            Ok(row) => (row.line, Vec::new()),
            Err(bad) => (bad.line, bad.problems),
        };
        assert!(line > last, "row {line} after row {last}");
        last = line;
        for problem in problems {
            assert_eq!(problem.cell.is_some(), is_sheet, "{problem:?}");
            assert!(
                !problem.to_string().contains(|c: char| c.is_control()),
                "{problem:?}"
            );
        }
    }
}
