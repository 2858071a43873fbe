//! Comps read by other threads: the same ones as by one.

use super::{full_comp, import, new_book};
use crate::book::Book;
use crate::trade::{Bike, Comparable, Style};

/// More than other threads are started for.
const MANY: usize = 20_050;

fn book_of(count: usize) -> (tempfile::TempDir, Book) {
    let (folder, mut book) = new_book();
    let comps: Vec<Comparable> = (0..count)
        .map(|n| Comparable {
            listing: format!("listing {n}"),
            ask: crate::trade::Money::from_minor(100 + n as i64 % 7_000),
            last_ask: None,
            ..full_comp()
        })
        .collect();
    import(&mut book, &comps);
    (folder, book)
}

#[test]
fn every_comp_comes_once_with_its_row_whoever_reads_it() {
    for count in [0, 1, 700, MANY] {
        let (_folder, book) = book_of(count);
        let (mut in_order, mut as_they_come) = (Vec::new(), Vec::new());
        book.each_comp(&mut |row, comp| in_order.push((row, comp.clone())))
            .unwrap();
        let alike = book
            .each_price_as_it_comes(&mut |row, comp| as_they_come.push((row, comp.clone())))
            .unwrap();
        assert_eq!(in_order.len(), count);
        assert!(in_order.is_sorted_by_key(|comp| comp.0));
        for (n, (_, comp)) in in_order.iter().enumerate() {
            assert_eq!(comp.listing, format!("listing {n}"));
        }
        as_they_come.sort_by_key(|comp| comp.0);
        let without_bike = |(row, comp): &(i64, Comparable)| {
            let bike = Bike::of(Style::Other);
            (
                *row,
                Comparable {
                    bike,
                    ..comp.clone()
                },
            )
        };
        let expected: Vec<_> = in_order.iter().map(without_bike).collect();
        assert!(as_they_come == expected, "{count} comps");
        let day = crate::trade::Day::constant(2030, 1, 1);
        let groups = alike.groups_on(day);
        assert_eq!(groups, book.double_listings(day).unwrap());
        // Asks come round every 7,000.
        assert_eq!(groups.len(), if count == MANY { 7_000 } else { 0 });
    }
}

/// Whether few are looked up or many are read in turn.
#[test]
fn the_bikes_of_rows_are_theirs() {
    let (_folder, mut book) = new_book();
    let style = |n: usize| Style::ALL[n % Style::ALL.len()];
    let comps: Vec<Comparable> = (0..1_000)
        .map(|n| Comparable {
            listing: format!("listing {n}"),
            bike: Bike::of(style(n)),
            ..full_comp()
        })
        .collect();
    import(&mut book, &comps);
    for step in [1, 7, 500] {
        // From the last on, one of them twice, and two that are not there.
        let mut rows: Vec<i64> = (1..=1_000).rev().step_by(step).collect();
        rows.extend([1_000, 0, 1_001]);
        let there = |row: &i64| (1..=1_000).contains(row).then(|| style(*row as usize - 1));
        let expected: Vec<_> = rows.iter().map(|row| there(row).map(Bike::of)).collect();
        assert_eq!(book.bikes_in(&rows).unwrap(), expected, "every {step}th");
    }
    assert_eq!(book.bikes_in(&[]).unwrap(), []);
}

#[test]
fn a_damaged_row_in_either_half_is_told() {
    for row in [3, MANY - 3] {
        let (_folder, book) = book_of(MANY);
        let spoil = format!("UPDATE comps SET outcome = 77 WHERE row = {row}");
        book.connection
            .execute_batch(&format!(
                "PRAGMA ignore_check_constraints = 1; PRAGMA foreign_keys = 0; {spoil}"
            ))
            .unwrap();
        let mut shown = 0;
        assert!(
            book.each_price_as_it_comes(&mut |_, _| shown += 1).is_err(),
            "row {row}"
        );
        assert!(shown < MANY);
    }
}
