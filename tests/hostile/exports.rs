//! Parquet files of other programs and damaged ones on their way in, and places
//! where an export cannot be written.

use crate::support::workshop::Workshop;
use polars::prelude::{Column, DataFrame, NamedFrom as _, Series};
use polars_io::prelude::ParquetWriter;
use wheelworth::book::Book;
use wheelworth::trade::{Day, Sale, Years};

/// Written by pandas; `tests/fixtures/pandas-sales.py` shows what it holds.
const PANDAS: &[u8] = include_bytes!("../fixtures/pandas-sales.parquet");

fn file(columns: Vec<Series>) -> Vec<u8> {
    let columns = columns.into_iter().map(Column::from).collect();
    let mut frame = DataFrame::new_infer_height(columns).unwrap();
    let mut bytes = Vec::new();
    ParquetWriter::new(&mut bytes).finish(&mut frame).unwrap();
    bytes
}

fn series<T, V: AsRef<[T]>>(name: &str, values: V) -> Series
where
    Series: polars::prelude::NamedFrom<V, [T]>,
{
    Series::new(name.into(), values)
}

#[test]
fn a_table_of_another_program_is_read_as_far_as_its_values_are_cells() {
    let workshop = Workshop::new();
    workshop.file("in.parquet", PANDAS);
    let output = workshop.run(&["import", "sales", "@in.parquet"]).done();
    assert!(output.out.contains("3 rows added"), "{}", output.out);
    let sales = Book::open(&workshop.book()).unwrap().sales().unwrap();
    let [first, second, third]: [Sale; 3] = sales.try_into().unwrap();
    // The values in the script, one by one. A text keeps its own apostrophe.
    let minor =
        |money: Option<wheelworth::trade::Money>| money.map(wheelworth::trade::Money::minor);
    assert_eq!(first.id, "P-1");
    assert_eq!(first.bike.style.word(), "road");
    assert_eq!(first.bike.made, Some(Years::from(2016)));
    assert_eq!(
        first
            .bike
            .condition
            .map(wheelworth::trade::Condition::grade),
        Some(4)
    );
    assert_eq!(first.bike.tier.map(wheelworth::trade::Tier::grade), Some(3));
    assert_eq!(
        first
            .bike
            .seat_tube
            .and_then(wheelworth::trade::SeatTube::tenths),
        Some(5334)
    );
    assert_eq!(minor(first.bike.new_price), Some(123_450));
    assert_eq!(first.bought_on, Some(Day::constant(2026, 1, 2)));
    assert_eq!(first.listed_on, Some(Day::constant(2026, 2, 1)));
    assert_eq!(minor(first.ask), Some(18_000));
    // Midnight in its time zone is 23:00 of the day before in UTC.
    assert_eq!(first.sold.unwrap().on, Day::constant(2026, 3, 1));
    assert_eq!(minor(first.sold.map(|s| s.price)), Some(17_250));
    assert_eq!(first.fees, None);
    assert_eq!(first.hours, Some(425));
    assert_eq!(first.note.as_deref(), Some("'=1+1"));
    assert_eq!((second.bike.made, second.listed_on), (None, None));
    assert_eq!(
        second
            .bike
            .seat_tube
            .and_then(wheelworth::trade::SeatTube::tenths),
        Some(2794)
    );
    assert_eq!((minor(second.ask), second.hours), (Some(7_999), None));
    assert_eq!(second.note.as_deref(), Some("5\" rack, blau"));
    assert_eq!(
        (third.bike.condition, third.sold, third.ask),
        (None, None, None)
    );
}

#[test]
fn a_bad_cell_is_told_with_its_line_and_column_as_in_a_csv_file() {
    let workshop = Workshop::new();
    let bytes = file(vec![
        series("listing", ["c1", "c2", "c3", "c4"]),
        series("style", ["road", "rode", "city", "road"]),
        // 0.1 + 0.2; and a number with three decimals, which in a text would be
        // thousands.
        series("ask", [100.0, 0.1 + 0.2, 1.234, f64::NAN]),
    ]);
    workshop.file("bad.parquet", bytes);
    let said = [
        "3 rows of @bad.parquet cannot be used; nothing was imported",
        "@bad.parquet, line 3, column 2 'style': 'rode', expected a style",
        "Did you mean road?",
        "@bad.parquet, line 3, column 3 'ask': '0.30000000000000004', expected an amount",
        "@bad.parquet, line 4, column 3 'ask': '1.2340', expected an amount with at most 2",
        "@bad.parquet, line 5, column 3 'ask': 'NaN', expected an amount in EUR",
    ];
    workshop.refuses(&["import", "comps", "@bad.parquet"], &said);
    // The bad rows go into a CSV file, which comes in when it is mended.
    let line = ["import", "comps", "@bad.parquet", "--skip-bad", "@rest.csv"];
    workshop.run(&line).says(3, &[]);
    let rest = workshop.text("rest.csv");
    assert!(rest.starts_with("listing,style,ask,line,reasons\nc2,rode,0.30000000000000004,3,"));
    workshop.file(
        "rest.csv",
        rest.replace("rode,0.30000000000000004", "road,3"),
    );
    let line = ["import", "comps", "@rest.csv", "--skip-bad", "@last.csv"];
    workshop.run(&line).says(3, &[]);
    let counts = Book::open(&workshop.book()).unwrap().counts().unwrap();
    assert_eq!(counts.comps, 2);
}

#[test]
fn columns_are_mapped_ignored_and_missed_as_in_a_csv_file() {
    let workshop = Workshop::new();
    let lists = Series::new("tags".into(), [series("", [1, 2]), series("", [3, 4])]);
    let bytes = file(vec![
        series("id, old;new", ["c1", "c2"]),
        series("style", ["road", "city"]),
        lists,
        series("ask", [100, 120]),
    ]);
    workshop.file("in.parquet", bytes);
    let refused = |more: &[&str], said: &[&str]| {
        let line = [&["import", "comps", "@in.parquet"], more].concat();
        workshop.refuses(&line, said);
    };
    let said = [
        "@in.parquet, column 'tags': holds lists; expected text",
        "--ignore tags",
    ];
    refused(&[], &said);
    let said = [
        "the column 'listing' is missing",
        "column 1, 'id, old;new', is not known",
    ];
    refused(&["--ignore", "tags"], &said);
    let map = ["--ignore", "tags", "--column", "listing=id, old;new"];
    let line = [&["import", "comps", "@in.parquet"], &map[..]].concat();
    let output = workshop.run(&line).done();
    assert!(output.out.contains("2 rows added"), "{}", output.out);
    // Remembered for the next file like it.
    let output = workshop
        .run(&["import", "comps", "@in.parquet", "--ignore", "tags"])
        .done();
    assert!(output.out.contains("2 unchanged"), "{}", output.out);
}

#[test]
fn amounts_of_another_currency_are_refused() {
    let pounds = Workshop::in_currency("GBP").sales("bike,style,ask\nB-1,road,100\n");
    pounds.run(&["export", "sales", "@out.parquet"]).done();
    let euros = Workshop::new();
    euros.file(
        "in.parquet",
        std::fs::read(pounds.path("out.parquet")).unwrap(),
    );
    let said = [
        "@in.parquet: its amounts are in GBP, the book's in EUR",
        "Import it into a book in GBP",
    ];
    euros.refuses(&["import", "sales", "@in.parquet"], &said);
}

/// Every cut, and bytes changed at random: a message, never a panic, and nothing
/// in the book but whole rows that can be true.
#[test]
fn damaged_files_are_refused() {
    use rand::{Rng as _, SeedableRng as _};
    let workshop = Workshop::new().sales("bike,style,ask\nB-1,road,100\nB-2,city,80\n");
    workshop.run(&["export", "sales", "@out.parquet"]).done();
    let whole = std::fs::read(workshop.path("out.parquet")).unwrap();
    for cut in (4..whole.len()).step_by(97) {
        workshop.file("cut.parquet", &whole[..cut]);
        let said = [
            "@cut.parquet: cannot be read as a Parquet file",
            "help: Write the file again",
        ];
        workshop.refuses(&["import", "sales", "@cut.parquet"], &said);
    }
    let mut random = rand_chacha::ChaCha8Rng::seed_from_u64(1);
    for _ in 0..300 {
        let mut bytes = whole.clone();
        for _ in 0..random.random_range(1..4) {
            let at = random.random_range(4..bytes.len());
            bytes[at] = random.random();
        }
        workshop.file("bad.parquet", &bytes);
        let output = workshop.run(&["import", "sales", "@bad.parquet", "--dry-run"]);
        assert!(output.code <= 1, "{output:?}");
    }
}

#[test]
fn a_place_where_nothing_can_be_written() {
    let workshop = Workshop::new().sales("bike,style\nB-1,road\n");
    std::fs::create_dir(workshop.path("folder.csv")).unwrap();
    let refused = |file: &str, said: &str| {
        workshop.refuses(
            &["export", "sales", file],
            &[said, "help: Name another file"],
        );
    };
    refused("@folder.csv", "@folder.csv: is a folder");
    refused("@nowhere/out.csv", "@nowhere/out.csv: cannot be written");
    workshop.run(&["export", "sales", "@kept.csv"]).done();
    let mut rights = std::fs::metadata(workshop.path("kept.csv"))
        .unwrap()
        .permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(workshop.path("kept.csv"), rights).unwrap();
    refused(
        "@kept.csv",
        "@kept.csv: is there already and write-protected",
    );
}

#[test]
fn no_book_no_export() {
    let workshop = Workshop::empty();
    let output = workshop.run(&["export", "sales", "@out.csv"]);
    output.says(1, &["@book.sqlite", "help: "]);
    assert!(workshop.files().is_empty());
}
