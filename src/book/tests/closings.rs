//! Closed quarters: as written, once, all or none.

use super::*;
use crate::trade::Quarter;

fn closing(quarter: &str, closed_on: Day) -> Closing {
    let page = |name: &str, text: String| (name.to_string(), text);
    Closing {
        quarter: Quarter::read(quarter).unwrap(),
        closed_on,
        figures: format!("{{\"due\": 89.5, \"of\": \"{quarter} ü\"}}\r\n"),
        pages: vec![
            page("html whole", format!("<p>{quarter}\t'\"&\n</p>\n")),
            page(
                "text",
                format!("\u{feff}{quarter}\r\n\r\n{}", "x".repeat(9000)),
            ),
            page("empty", String::new()),
        ],
    }
}

fn without_pages(closing: &Closing) -> Closing {
    Closing {
        pages: vec![],
        ..closing.clone()
    }
}

/// A day of April 2026.
fn april(day: i8) -> Day {
    Day::constant(2026, 4, day)
}

#[test]
fn a_closed_quarter_comes_back_byte_for_byte() {
    let (folder, mut book) = new_book();
    // Not in their order: Q1 of 2026 comes after Q4 of 2025.
    let closings = [closing("2026-Q1", april(5)), closing("2025-Q4", april(5))];
    book.close(&closings).unwrap();
    drop(book);
    let book = Book::open(&folder.path().join(NAME)).unwrap();
    let told = [&closings[1], &closings[0]].map(without_pages);
    assert_eq!(book.closings(april(5)).unwrap(), told);
    for closing in &closings {
        for (name, page) in &closing.pages {
            let kept = book.closed_page(closing.quarter, name).unwrap();
            assert_eq!(kept.as_ref(), Some(page), "{name}");
        }
        assert_eq!(book.closed_page(closing.quarter, "csv").unwrap(), None);
    }
    let open = Quarter::read("2026-Q2").unwrap();
    assert_eq!(book.closed_page(open, "text").unwrap(), None);
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn closings_of_later_days_are_left_out() {
    let (_folder, mut book) = new_book();
    let [first, second] = [closing("2025-Q4", april(5)), closing("2026-Q1", april(9))];
    book.close(std::slice::from_ref(&first)).unwrap();
    book.close(std::slice::from_ref(&second)).unwrap();
    let both = [&first, &second].map(without_pages);
    for (day, closed) in [(4, 0), (5, 1), (8, 1), (9, 2)] {
        assert_eq!(book.closings(april(day)).unwrap(), both[..closed]);
    }
}

#[test]
fn a_quarter_is_closed_once_and_of_several_all_or_none() {
    let (_folder, mut book) = new_book();
    let first = closing("2026-Q1", april(5));
    book.close(std::slice::from_ref(&first)).unwrap();
    let before = fs::read(&book.path).unwrap();

    let mut again = closing("2026-Q1", april(9));
    again.figures = "other figures".into();
    let earlier = closing("2025-Q4", april(9));
    for several in [vec![again.clone()], vec![earlier.clone(), again]] {
        let problem = book.close(&several).unwrap_err();
        let message = problem.to_string();
        for said in ["2026-Q1", "was closed on 2026-04-05 already", NAME] {
            assert!(message.contains(said), "'{said}' in {message}");
        }
        let mend = problem.mend();
        for said in ["'wheelworth quarter 2026-Q1'", "a correction"] {
            assert!(mend.contains(said), "'{said}' in {mend}");
        }
        assert_eq!(problem.path(), book.path);
        assert_eq!(fs::read(&book.path).unwrap(), before, "not one byte");
    }
    // One that stands twice in one call is written neither time.
    let problem = book.close(&[earlier.clone(), earlier.clone()]).unwrap_err();
    assert!(
        matches!(&problem, BookProblem::ClosedAlready { quarter, .. } if quarter == "2025-Q4"),
        "{problem:?}"
    );
    assert_eq!(fs::read(&book.path).unwrap(), before);
    assert_eq!(book.closings(april(30)).unwrap(), [without_pages(&first)]);
    book.close(&[earlier]).unwrap();
    assert_eq!(book.closings(april(30)).unwrap().len(), 2);
}

#[test]
fn a_book_that_may_only_be_read_closes_nothing() {
    let (_folder, mut book) = new_book();
    let flags = rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY;
    book.connection = Connection::open_with_flags(&book.path, flags).unwrap();
    let problem = book.close(&[closing("2026-Q1", april(5))]).unwrap_err();
    assert!(
        matches!(problem, BookProblem::ReadOnly { .. }),
        "{problem:?}"
    );
    assert_eq!(book.closings(april(30)).unwrap(), []);
}
