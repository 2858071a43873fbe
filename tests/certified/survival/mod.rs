//! Durations: curves, Weibull fits and their closed forms, against printed
//! tables, other libraries and exact small cases.
//!
//! `data/` holds two sets as shipped in the Python package lifelines 0.30.3 (MIT,
//! `data/LICENSE.lifelines`): `leukemia.csv` (Freireich et al. 1963, *Blood*
//! 21:699-716) and `lung.csv` (North Central Cancer Treatment Group, Loprinzi et
//! al. 1994). Values of R are of R 4.2.2 with package survival 3.5-3 where not
//! said otherwise.

mod incidence;
mod kaplan_meier;
mod length_bias;
mod weibull;

use wheelworth::statistics::survival::kaplan_meier::Life;
use wheelworth::statistics::survival::weibull::Episode;

/// Rows of `data/NAME.csv`: the cells of the named columns. Rows in which one
/// of them is empty are left out, as R does.
fn rows(text: &str, columns: &[&str]) -> Vec<Vec<f64>> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().unwrap().clone();
    let places: Vec<usize> = columns
        .iter()
        .map(|c| header.iter().position(|h| h == *c).unwrap())
        .collect();
    let cells = reader.records().map(Result::unwrap).map(|record| {
        let row = places.iter().map(|&p| record[p].parse().ok());
        row.collect::<Option<Vec<f64>>>()
    });
    cells.flatten().collect()
}

/// Freireich's patients: weeks, relapse, placebo.
fn leukemia() -> Vec<Vec<f64>> {
    let all = rows(include_str!("data/leukemia.csv"), &["t", "status", "Rx"]);
    assert_eq!(all.len(), 42);
    all
}

/// The lung patients: days, death (0 or 1) and the named columns.
fn lung(columns: &[&str]) -> Vec<Vec<f64>> {
    let all = [&["time", "status"], columns].concat();
    rows(include_str!("data/lung.csv"), &all)
}

fn life(row: &[f64]) -> Life {
    Life {
        entry: 0.0,
        exit: row[0],
        event: row[1],
        weight: 1.0,
    }
}

/// An intercept and what follows the first two cells.
fn episode(row: &[f64]) -> Episode {
    Episode {
        x: [&[1.0], &row[2..]].concat(),
        entry: 0.0,
        exit: row[0],
        event: row[1],
        weight: 1.0,
    }
}

fn episodes(rows: &[Vec<f64>]) -> Vec<Episode> {
    rows.iter().map(|row| episode(row)).collect()
}
