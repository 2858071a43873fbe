//! A corpus of hostile files, made anew for every run by generators with a fixed
//! seed. Every file is refused with its place and the book as it was, or read with
//! exactly the values that stand in it; nothing between, and never a panic.

mod case;
mod csv_text;
mod dress;
mod encodings;
mod forms;
mod judged;
mod numbers;
#[cfg(unix)]
mod places;
mod reading;
mod rows;
mod slips;
mod tables;
mod values;

use case::{Bench, Tally};
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;
use tables::{KEPT, Table};

/// Slips for each kind of file.
const SLIPS: usize = 60;

/// Tries every case for a kind of file; all that went wrong is told together.
fn try_all(kind: &str) {
    let table: &Table = KEPT.iter().find(|table| table.kind == kind).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(20_260_502);
    let groups = [
        ("values", values::cases(table, &mut random)),
        ("dresses", dress::cases(table, &mut random)),
        ("encodings", encodings::cases(table, &mut random)),
        ("slips", slips::cases(table, SLIPS, &mut random)),
    ];
    let bench = Bench::new(table);
    let mut wrong = Vec::new();
    let files: usize = groups.iter().map(|(_, cases)| cases.len()).sum();
    assert!(files > 300, "{files} files of {kind}");
    for (group, cases) in groups {
        let mut tally = Tally::default();
        for case in &cases {
            wrong.extend(bench.try_case(case, &mut tally).err());
        }
        let Tally { refused, accepted } = tally;
        println!("{kind}, {group}: {refused} refused, {accepted} accepted");
        assert_eq!(refused + accepted, cases.len() - bad_codes(&wrong));
        assert!(refused > 0 && (accepted > 0 || group == "encodings"));
    }
    assert!(
        wrong.is_empty(),
        "{} cases:\n\n{}",
        wrong.len(),
        wrong.join("\n\n")
    );
}

fn bad_codes(wrong: &[String]) -> usize {
    wrong
        .iter()
        .filter(|why| why.contains(": exit status "))
        .count()
}

#[test]
fn sales_are_refused_or_read_as_they_stand() {
    try_all("sales");
}

#[test]
fn comps_are_refused_or_read_as_they_stand() {
    try_all("comps");
}

#[test]
fn asks_are_refused_or_read_as_they_stand() {
    try_all("asks");
}

#[test]
fn costs_are_refused_or_read_as_they_stand() {
    try_all("costs");
}

#[test]
fn gifts_are_refused_or_read_as_they_stand() {
    try_all("gifts");
}
