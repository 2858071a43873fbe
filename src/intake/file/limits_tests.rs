//! What has no end, fails, or is huge.

use super::hostile_tests::{open, placed, settings};
use crate::intake::{Comps, FileProblem, Reader};
use std::io::{self, Cursor, Read};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Gives the same bytes for ever, and counts them.
struct Endless(&'static [u8], Arc<AtomicUsize>);

impl Read for Endless {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        for (at, byte) in out.iter_mut().enumerate() {
            *byte = self.0[at % self.0.len()];
        }
        self.1.fetch_add(out.len(), Ordering::Relaxed);
        Ok(out.len())
    }
}

#[test]
fn a_line_without_end_is_given_up_soon() {
    for (start, piece) in [
        ("", "x"),
        ("", "x,"),
        ("listing,style,ask\nx1,", "road"),
        ("listing,style,ask\nx1,", "\"\""),
    ] {
        let read = Arc::new(AtomicUsize::new(0));
        let endless = Endless(piece.as_bytes(), read.clone());
        let input = Box::new(Cursor::new(start).chain(endless));
        let end = Reader::<Comps>::from_reader(input, "x.csv", &settings())
            .and_then(|mut reader| reader.next_row().map(|_| ()))
            .unwrap_err();
        let line = if start.is_empty() { 1 } else { 2 };
        match end {
            FileProblem::LineTooLong { line: found, .. } => assert_eq!(found, line),
            FileProblem::OpenQuote { line: found, .. } => {
                assert_eq!((found, piece), (line, "\"\""));
            }
            other => panic!("{other:?}"),
        }
        assert!(
            read.load(Ordering::Relaxed) < 3 << 20,
            "{} bytes read",
            read.load(Ordering::Relaxed)
        );
    }
}

#[test]
fn a_failing_disk_is_told() {
    struct Failing;
    impl Read for Failing {
        fn read(&mut self, _: &mut [u8]) -> io::Result<usize> {
            Err(io::Error::other("the disk is on fire"))
        }
    }
    let start = format!("listing,style,ask\n{}", "x,road,10\n".repeat(3));
    let input = Box::new(Cursor::new(start).chain(Failing));
    let problem = Reader::<Comps>::from_reader(input, "x.csv", &settings())
        .and_then(|mut reader| {
            loop {
                if reader.next_row()?.is_none() {
                    return Ok(());
                }
            }
        })
        .unwrap_err();
    assert!(matches!(problem, FileProblem::ReadFailed { .. }));
    assert!(problem.message().contains("the disk is on fire"));
}

#[test]
fn huge_cells_are_refused_in_short() {
    let huge = "9".repeat(1_000_000);
    for cell in [huge.clone(), format!("{huge}.123"), huge.replace('9', "x")] {
        for row in [
            format!("x2,board,{cell},10"),
            format!("x2,board,road,{cell}"),
        ] {
            let found = placed(&row);
            assert!(
                found.to_string().len() < 500 && found.line_text.len() < 500,
                "{found}"
            );
        }
    }
}

/// A NUL is the same wherever the system cuts the bytes: within what is judged at
/// first it makes the file no text, beyond it spoils a cell.
#[test]
fn what_kind_of_file_it_is_does_not_depend_on_how_the_bytes_arrive() {
    struct OneByOne(Cursor<Vec<u8>>);
    impl Read for OneByOne {
        fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
            let some = out.len().min(1);
            self.0.read(&mut out[..some])
        }
    }
    let rows = |before: usize| {
        let row = b"x,road,90\n".repeat(before);
        [&b"listing,style,ask\n"[..], &row, b"y,road,9\0\n"].concat()
    };
    for (before, is_text) in [(1, false), (7000, true)] {
        let file = rows(before);
        let input = OneByOne(Cursor::new(file.clone()));
        let slow = Reader::<Comps>::from_reader(Box::new(input), "x.csv", &settings());
        let fast = open::<Comps>(file, &settings());
        assert_eq!((slow.is_ok(), fast.is_ok()), (is_text, is_text));
    }
}
