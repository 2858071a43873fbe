//! `import gifts`: money handed to a beneficiary.

use crate::support::workshop::{Output, Workshop};
use wheelworth::book::Book;

pub const GIFTS: &str = "\
on,beneficiary,amount,reference
2026-01-10,Ferry Lane Reading Room,60,T-1
2026-02-10,Ferry Lane Reading Room,40,
2026-02-10,Ferry Lane Reading Room,40,
";

/// A book that names its beneficiaries.
pub fn with_beneficiaries(names: &[&str]) -> Workshop {
    let workshop = Workshop::empty();
    let named = names.iter().flat_map(|name| ["--beneficiary", name]);
    let line = ["start", "--currency", "EUR"].into_iter().chain(named);
    workshop.run(&line.collect::<Vec<_>>()).done();
    workshop
}

fn ferry_lane() -> Workshop {
    with_beneficiaries(&["Ferry Lane Reading Room"])
}

#[track_caller]
fn import(workshop: &Workshop, name: &str, csv: &str) -> Output {
    workshop.file(name, csv);
    workshop
        .run(&["import", "gifts", &format!("@{name}")])
        .done()
}

/// What standard error says of a file of these rows.
#[track_caller]
fn told(workshop: &Workshop, rows: &str) -> String {
    let csv = format!("on,beneficiary,amount,reference\n{rows}\n");
    import(workshop, "rows.csv", &csv).err
}

/// Day, amount and reference of every gift in the book.
fn gifts(workshop: &Workshop) -> Vec<String> {
    let gifts = Book::open(&workshop.book()).unwrap().gifts().unwrap();
    let words = gifts.iter().map(|g| {
        let reference = g.reference.as_deref().unwrap_or("-");
        format!("{} {} {reference}", g.on, g.amount.minor())
    });
    words.collect()
}

#[test]
fn gifts_go_in_and_identical_rows_both_count() {
    let workshop = ferry_lane();
    let output = import(&workshop, "gifts.csv", GIFTS);
    insta::assert_snapshot!(output.out, @r"
    @gifts.csv: 3 rows added, 0 updated, 0 unchanged.
    Import 1; 'wheelworth import --undo 1' takes it back.
    ");
    assert_eq!(output.err, "");
    let expected = [
        "2026-01-10 6000 T-1",
        "2026-02-10 4000 -",
        "2026-02-10 4000 -",
    ];
    assert_eq!(gifts(&workshop), expected);
    let before = workshop.book_bytes();
    let again = import(&workshop, "gifts.csv", GIFTS);
    assert!(again.out.ends_with("3 unchanged.\nNothing changed.\n"));
    assert_eq!(again.err, "");
    assert!(workshop.book_bytes() == before);
}

#[test]
fn a_reference_with_other_values_is_an_update() {
    let workshop = ferry_lane();
    import(&workshop, "gifts.csv", GIFTS);
    let changed = GIFTS.replace(
        "01-10,Ferry Lane Reading Room,60",
        "01-11,Ferry Lane Reading Room,65",
    );
    let output = import(&workshop, "gifts.csv", &changed);
    insta::assert_snapshot!(output.out, @r"
      gift T-1: on 2026-01-10 -> 2026-01-11, amount 60.00 -> 65.00
    @gifts.csv: 0 rows added, 1 updated, 2 unchanged.
    Import 2; 'wheelworth import --undo 2' takes it back.
    ");
    assert_eq!(output.err, "");
    workshop.run(&["import", "--undo", "2"]).done();
    assert_eq!(gifts(&workshop)[0], "2026-01-10 6000 T-1");
}

#[test]
fn only_gifts_without_a_reference_may_be_further_ones() {
    let workshop = ferry_lane();
    import(&workshop, "gifts.csv", GIFTS);
    let more = "2026-03-10,Ferry Lane Reading Room,10,T-2\n";
    let output = import(&workshop, "more.csv", &format!("{GIFTS}{more}"));
    insta::assert_snapshot!(output.err, @"caution 1: @more.csv: 2 rows were in the book already and count once; if one of them is a further gift like it, add it with 'wheelworth record gift'");
    let first = GIFTS.lines().take(2).collect::<Vec<_>>().join("\n");
    let output = import(
        &workshop,
        "ref.csv",
        &format!("{first}\n{}", more.replace("T-2", "T-3")),
    );
    assert_eq!(output.err, "");
}

#[test]
fn a_gift_that_left_the_file_still_counts_and_is_told() {
    let workshop = ferry_lane();
    import(&workshop, "gifts.csv", GIFTS);
    let less = GIFTS.lines().take(2).collect::<Vec<_>>().join("\n");
    let output = import(&workshop, "gifts.csv", &less);
    assert!(output.out.ends_with("Nothing changed.\n"));
    insta::assert_snapshot!(output.err, @"caution 1: @gifts.csv: 2 rows of import 1 are no longer in the file of this name and still count; if that is wrong, take import 1 back with 'wheelworth import --undo 1', then import the file again");
}

#[test]
fn somebody_whom_the_book_does_not_name_is_told_once_with_the_name_it_may_be() {
    let row = "2026-01-10,Ferry Lane Reading Rom,60,\n";
    insta::assert_snapshot!(told(&ferry_lane(), &format!("{row}{row}")), @r"caution 1: @rows.csv, line 2: 'Ferry Lane Reading Rom' is not among the book's beneficiaries; did you mean Ferry Lane Reading Room? Take it back; then import the file with --word 'beneficiary:Ferry Lane Reading Rom=Ferry Lane Reading Room', or record it with --beneficiary 'Ferry Lane Reading Room'. As it stands, the gift counts for 'Ferry Lane Reading Rom' alone, to whom nothing is due");
    insta::assert_snapshot!(told(&ferry_lane(), "2026-01-10,Q,60,"), @"caution 1: @rows.csv, line 2: 'Q' is not among the book's beneficiaries. As it stands, the gift counts for 'Q' alone, to whom nothing is due");
    let two = with_beneficiaries(&["Ferry Lane Reading Room", "Mill Street Kitchen"]);
    assert_eq!(told(&two, "2026-01-10,Mill Street Kitchen,60,"), "");
}

#[test]
fn in_a_book_that_names_nobody_a_name_like_another_is_told() {
    let workshop = with_beneficiaries(&[]);
    assert_eq!(told(&workshop, "2026-01-10,Mill Street Kitchen,60,"), "");
    insta::assert_snapshot!(told(&workshop, "2026-01-10,Mill Street Kitchen,60,\n2026-02-10,Mil Street Kitchen,60,"), @r"
    caution 1: @rows.csv, line 3: 'Mil Street Kitchen' is like 'Mill Street Kitchen', to whom other gifts went; if they are the same, correct the name
    caution 2: @rows.csv: 1 row was in the book already and counts once; if it is a further gift like it, add it with 'wheelworth record gift'
    ");
}

#[test]
fn a_gift_with_and_without_its_reference_looks_recorded_twice() {
    let workshop = ferry_lane();
    import(&workshop, "gifts.csv", GIFTS);
    let rows = "2026-01-10,Ferry Lane Reading Room,60,\n2026-02-10,Ferry Lane Reading Room,40,T-2";
    insta::assert_snapshot!(told(&workshop, rows), @r"
    caution 1: @rows.csv, line 2: a gift of 60.00 EUR to Ferry Lane Reading Room on 2026-01-10 is in the book already, with the reference T-1: it looks like the same gift recorded twice. Both count now; if it is one, take one back ('wheelworth import --history' lists the imports)
    caution 2: @rows.csv, line 3: a gift of 40.00 EUR to Ferry Lane Reading Room on 2026-02-10 is in the book already, without a reference: it looks like the same gift recorded twice. Both count now; if it is one, take one back ('wheelworth import --history' lists the imports)
    ");
    assert_eq!(gifts(&workshop).len(), 5);
    // Another day, another amount, two references: other gifts.
    for quiet in [
        "2026-01-11,Ferry Lane Reading Room,60,",
        "2026-01-10,Ferry Lane Reading Room,61,",
        "2026-03-01,Ferry Lane Reading Room,60,T-8",
        "2026-03-01,Ferry Lane Reading Room,60,T-9",
    ] {
        assert!(!told(&workshop, quiet).contains("twice"), "{quiet}");
    }
}

#[test]
fn gifts_as_json() {
    let workshop = ferry_lane();
    import(&workshop, "gifts.csv", GIFTS);
    workshop.file("gifts.csv", GIFTS.replace(",60,T-1", ",65,T-1"));
    let line = [
        "import",
        "gifts",
        "@gifts.csv",
        "--dry-run",
        "--format",
        "json",
    ];
    let expected = serde_json::json!({
        "file": "@gifts.csv", "kind": "gifts", "dry_run": true, "import": null,
        "added": 0, "updated": 1, "unchanged": 2, "set_aside": 0,
        "changes": ["gift T-1: amount 60.00 -> 65.00"], "cautions": [],
    });
    assert_eq!(workshop.run(&line).done().json(), expected);
}
