//! Imports that have much to say: what must not grow with the square of the rows.

use crate::made_up::AS_OF;
use criterion::{Criterion, SamplingMode};
use std::ffi::OsString;
use std::fmt::Write as _;
use std::path::Path;
use wheelworth::cli::{self, DONE, REFUSED, Surroundings};

/// Runs the program on a book in `folder`; its exit status is `expected`.
fn run(folder: &Path, line: &[&str], expected: u8) {
    let book = folder.join("book.sqlite");
    let (book, day) = (book.to_string_lossy().into_owned(), AS_OF.to_string());
    let mut arguments = vec!["wheelworth", "--book", &book, "--as-of", &day];
    arguments.extend(line);
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let surroundings = Surroundings {
        today: AS_OF,
        progress: false,
        columns: usize::MAX,
        usual_book: folder.join("book.sqlite"),
    };
    let status = cli::run(
        arguments.iter().map(OsString::from),
        &mut out,
        &mut err,
        &surroundings,
    );
    assert_eq!(status, expected, "{}", String::from_utf8_lossy(&err));
}

/// 5,000 asks of bikes that nobody knows, each with a thousand names beside it;
/// 20,000 costs of one bike that come late; 20,000 names of those who were given to.
pub(crate) fn imports(criterion: &mut Criterion) {
    let folder = tempfile::tempdir().expect("a folder");
    let file = |name: &str, header: &str, rows: usize, row: &dyn Fn(usize) -> String| {
        let mut text = format!("{header}\n");
        (0..rows).for_each(|n| writeln!(text, "{}", row(n)).expect("room"));
        let path = folder.path().join(name);
        std::fs::write(&path, text).expect("a file");
        path.to_string_lossy().into_owned()
    };
    let sales = file("sales.csv", "bike,style,sold_on,sold_price", 1_000, &|n| {
        format!("bike {n},road,2026-01-05,100")
    });
    let asks = file("asks.csv", "bike,on,ask", 5_000, &|n| {
        format!("bkie {n},2026-04-01,9")
    });
    let costs = file("costs.csv", "bike,on,kind,item,amount", 20_000, &|n| {
        format!("bike 1,2026-04-30,part,no {n},1")
    });
    let gifts = file("gifts.csv", "on,beneficiary,amount", 20_000, &|n| {
        format!("2026-04-01,Room {n},1")
    });
    run(folder.path(), &["start", "--currency", "EUR"], DONE);
    run(folder.path(), &["import", "sales", &sales], DONE);
    let mut group = criterion.benchmark_group("import");
    group.sampling_mode(SamplingMode::Flat);
    for (name, kind, path, expected) in [
        ("5000 asks of unknown bikes", "asks", &asks, REFUSED),
        ("20000 late costs of one bike", "costs", &costs, DONE),
        ("20000 names", "gifts", &gifts, DONE),
    ] {
        let line = ["import", kind, path, "--dry-run"];
        group.bench_function(name, |bencher| {
            bencher.iter(|| run(folder.path(), &line, expected));
        });
    }
    group.finish();
}
