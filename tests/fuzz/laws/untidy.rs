//! A title above a file and a total below it change nothing of what is read: the currency
//! by the first byte, then a number for each bike, as many as there are bytes.

use super::{TODAY, currency};
use wheelworth::intake::{Comps, FileNote, Reader, Settings};
use wheelworth::trade::Comparable;

/// Rows, the lines on which they stand, and what was left out.
type Read = (Vec<Comparable>, Vec<u64>, Vec<FileNote>);

fn read(text: &str, settings: &Settings) -> Read {
    let mut reader = Reader::<Comps>::from_text(text.as_bytes(), "comps.csv", settings).unwrap();
    let (mut rows, mut lines) = (Vec::new(), Vec::new());
    while let Some(row) = reader.next_row().unwrap() {
        let row = row.unwrap();
        rows.push(row.record);
        lines.push(row.line);
    }
    (rows, lines, reader.notes().to_vec())
}

pub fn check(data: &[u8]) {
    let [how, asks @ ..] = data else { return };
    if asks.is_empty() {
        return;
    }
    let settings = Settings::new(currency(*how), TODAY);
    let asks: Vec<u32> = asks
        .iter()
        .take(100)
        .map(|byte| u32::from(*byte) + 1)
        .collect();
    let rows = asks
        .iter()
        .enumerate()
        .map(|(at, ask)| format!("c{at},road,2026-03-01,{ask}\n"));
    let rows: String = rows.collect();
    let header = "listing,style,first_seen,ask\n";
    let (plain, lines, notes) = read(&format!("{header}{rows}"), &settings);
    assert!(
        plain.len() == asks.len()
            && notes
                .iter()
                .all(|note| matches!(note, FileNote::LikeATotal { .. }))
    );
    let sum: u32 = asks.iter().sum();
    for title in ["What I saw\n\n", "Bikes 2025,,,\n,,,\nas of May\n"] {
        for total in [
            format!("Total,,,{sum}\n"),
            format!(",,,\n,,Summe:,{sum}\n"),
            format!("Sum,,,{}\n", sum + 1),
        ] {
            let (untidy, moved, notes) = read(&format!("{title}{header}{rows}{total}"), &settings);
            assert_eq!(untidy, plain);
            let down = title.lines().count() as u64;
            assert!(
                moved
                    .iter()
                    .zip(&lines)
                    .all(|(now, before)| *now == before + down)
            );
            assert!(
                matches!(notes[0], FileNote::AboveHeader { .. }),
                "{notes:?}"
            );
            assert!(
                notes
                    .iter()
                    .any(|note| matches!(note, FileNote::Total { by_name: true, .. })),
                "{notes:?}"
            );
        }
    }
    // A sum without a name is told from two rows on.
    if asks.len() >= 2 {
        let (untidy, _, notes) = read(&format!("{header}{rows},,,{sum}\n"), &settings);
        assert_eq!(untidy, plain);
        assert!(
            notes
                .iter()
                .any(|note| matches!(note, FileNote::Total { by_name: false, .. })),
            "{notes:?}"
        );
    }
}
