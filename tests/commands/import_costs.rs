//! `import costs`: money spent on bikes and on the workshop.

use crate::support::workshop::{Output, Workshop};
use wheelworth::book::Book;
use wheelworth::trade::{Cost, Day, Money};

/// B-1 was sold, B-2 stands.
pub const BIKES: &str = "\
bike,style,bought_on,sold_on,sold_price,purchase,parts
B-1,road,2025-09-01,2025-12-20,240,60,50
B-2,city,2026-02-01,,,20,
";

pub const COSTS: &str = "\
bike,on,kind,item,amount,from_box
B-1,2025-09-01,purchase,,60,
B-1,2025-09-10,part,chain,20,no
B-1,2025-09-12,supply,cables,30,
B-2,2026-02-10,part,tyres,28,
B-2,2026-02-10,part,saddle,15,yes
,2026-01-05,supply,grease,18,
";

pub fn with_bikes() -> Workshop {
    Workshop::new().sales(BIKES)
}

fn with_costs() -> Workshop {
    let workshop = with_bikes();
    import(&workshop, "costs.csv", COSTS);
    workshop
}

/// A file of costs, imported.
#[track_caller]
fn import(workshop: &Workshop, name: &str, csv: &str) -> Output {
    workshop.file(name, csv);
    workshop
        .run(&["import", "costs", &format!("@{name}")])
        .done()
}

/// What standard error says of a file of these rows.
#[track_caller]
fn told(rows: &str) -> String {
    let csv = format!("bike,on,kind,item,amount,from_box\n{rows}\n");
    import(&with_bikes(), "costs.csv", &csv).err
}

fn costs(workshop: &Workshop) -> Vec<Cost> {
    Book::open(&workshop.book()).unwrap().costs().unwrap()
}

/// Amounts in the book, in order of the days.
fn amounts(workshop: &Workshop) -> Vec<i64> {
    costs(workshop).iter().map(|c| c.amount.minor()).collect()
}

#[test]
fn costs_go_in_without_a_word_of_doubt() {
    let workshop = with_bikes();
    let output = import(&workshop, "costs.csv", COSTS);
    insta::assert_snapshot!(output.out, @r"
    @costs.csv: 6 rows added, 0 updated, 0 unchanged.
    Import 2; 'wheelworth import --undo 2' takes it back.
    ");
    // 60 and 20 + 30 are what the sales say too.
    assert_eq!(output.err, "");
    assert_eq!(amounts(&workshop), [6000, 2000, 3000, 1800, 2800, 1500]);
    let last = costs(&workshop).pop().unwrap();
    let saddle = (last.bike.as_deref(), last.item.as_deref(), last.from_box);
    assert_eq!(saddle, (Some("B-2"), Some("saddle"), true));
    assert_eq!(costs(&workshop)[3].bike, None);
}

#[test]
fn the_same_file_again_changes_nothing() {
    let workshop = with_costs();
    let before = workshop.book_bytes();
    let again = import(&workshop, "costs.csv", COSTS);
    let said = "@costs.csv: 0 rows added, 0 updated, 6 unchanged.\nNothing changed.\n";
    assert_eq!((again.out.as_str(), again.err.as_str()), (said, ""));
    // Under another name and in another dress too.
    let other = COSTS.replace(',', ";").replace(";60;", ";60,00 €;");
    let again = import(&workshop, "other.csv", &other);
    assert!(again.out.contains("6 unchanged"), "{}", again.out);
    assert!(workshop.book_bytes() == before);
}

#[test]
fn identical_rows_in_one_file_both_count() {
    let row = "B-2,2026-02-10,part,tube,6,\n";
    let workshop = with_bikes();
    let header = COSTS.lines().next().unwrap();
    let twice = format!("{header}\n{row}{row}");
    let output = import(&workshop, "costs.csv", &twice);
    let said = "@costs.csv: lines 2 and 3 are the same; both count.";
    assert!(output.err.contains(said), "{}", output.err);
    assert_eq!(amounts(&workshop), [600, 600]);
    // Nothing new, nothing told.
    assert_eq!(import(&workshop, "costs.csv", &twice).err, "");
    // A third one is one more, the two are there.
    let output = import(&workshop, "more.csv", &format!("{twice}{row}"));
    assert!(output.out.contains("1 row added, 0 updated, 2 unchanged"));
    insta::assert_snapshot!(output.err, @r"
    caution 1: @more.csv: lines 2, 3 and 4 are the same; all count. If it is one cost, take this import back, and keep one of the rows
    caution 2: @more.csv: 2 rows were in the book already and count once; if one of them is a further cost like it, add it with 'wheelworth record cost'
    ");
    assert_eq!(amounts(&workshop), [600, 600, 600]);
}

#[test]
fn a_row_that_left_the_file_still_counts_and_is_told_with_its_import() {
    let workshop = with_costs();
    let mended = COSTS.replace("tyres,28", "tyres,29");
    let dry = ["import", "costs", "@costs.csv", "--dry-run"];
    workshop.file("costs.csv", &mended);
    let tried = workshop.run(&dry).done();
    let output = import(&workshop, "costs.csv", &mended);
    assert_eq!(tried.err, output.err);
    insta::assert_snapshot!(output.err, @r"
    caution 1: @costs.csv: 5 rows were in the book already and count once; if one of them is a further cost like it, add it with 'wheelworth record cost'
    caution 2: @costs.csv: 1 row of import 2 is no longer in the file of this name and still counts; if that is wrong, take import 2 back with 'wheelworth import --undo 2', then import the file again
    ");
    assert_eq!(amounts(&workshop).len(), 7);
    // The mend mends it.
    workshop.run(&["import", "--undo", "2"]).done();
    import(&workshop, "costs.csv", &mended);
    // The tyres of import 3 stayed, so they stand before the saddle of that day.
    assert_eq!(amounts(&workshop), [6000, 2000, 3000, 1800, 2900, 1500]);
    // A second correction leaves rows of two imports behind.
    let few = COSTS.lines().take(3).collect::<Vec<_>>().join("\n");
    insta::assert_snapshot!(import(&workshop, "costs.csv", &few).err, @"caution 1: @costs.csv: 1 row of import 3 and 3 rows of import 4 are no longer in the file of this name and still count; if that is wrong, take those imports back, the last first, with 'wheelworth import --undo N', then import the file again");
    // Another file leaves nothing behind.
    let other = "on,kind,amount\n2026-03-01,fee,2\n";
    assert_eq!(import(&workshop, "other.csv", other).err, "");
}

#[test]
fn an_import_is_listed_and_taken_back() {
    let workshop = with_costs();
    let history = workshop.run(&["import", "costs", "--history"]).done();
    let line = "   2  2026-05-02  costs   6 added  0 updated  0 unchanged";
    assert!(history.out.starts_with(line), "{}", history.out);
    workshop.refuses(
        &["import", "--undo", "1"],
        &["asks, costs, refunds or inspections of its bikes, 5 in all"],
    );
    workshop.run(&["import", "--undo", "2"]).done();
    assert_eq!(costs(&workshop), []);
    workshop.run(&["import", "--undo", "1"]).done();
}

#[test]
fn a_cost_before_the_purchase_or_long_after_the_sale_is_told() {
    insta::assert_snapshot!(told("B-1,2025-08-31,fee,,60,"), @"caution 1: @costs.csv, line 2: B-1 was bought on 2025-09-01, but this cost is of 2025-08-31; correct the day that is wrong");
    insta::assert_snapshot!(told("B-1,2026-03-21,fee,,3,"), @"caution 1: @costs.csv, line 2: B-1 was sold on 2025-12-20, 91 days before this cost of 2026-03-21; check the bike and the day");
    for quiet in [
        "B-1,2025-09-01,fee,,3,",
        "B-1,2026-03-20,fee,,3,", // 90 days after
        ",2001-01-01,fee,,3,",
        "B-2,2026-05-02,fee,,3,",
    ] {
        assert_eq!(told(quiet), "", "{quiet}");
    }
}

#[test]
fn costs_that_count_in_place_of_another_sum_are_told_once_a_column() {
    let rows = "B-1,2025-09-01,fee,,3,\nB-1,2025-09-10,part,chain,12,\nB-1,2025-09-11,supply,,8,\n\
                B-1,2025-09-12,purchase,,61,";
    insta::assert_snapshot!(told(rows), @r"
    caution 1: @costs.csv, line 3: B-1: 20.00 EUR counts for parts now, by your list of costs, and no more the 50.00 in your list of bikes; record any cost that is missing
    caution 2: @costs.csv, line 5: B-1: 61.00 EUR counts for purchase now, by your list of costs, and no more the 60.00 in your list of bikes; nothing to do if that is all of it; else record the others too
    ");
    // What was taken from the box replaces nothing; what nobody said is not replaced.
    assert_eq!(told("B-1,2025-09-10,part,chain,12,yes"), "");
    assert_eq!(told("B-2,2026-02-10,part,chain,12,"), "");
}

#[test]
fn a_sum_that_is_complete_later_is_told_no_more() {
    let workshop = with_bikes();
    let header = COSTS.lines().next().unwrap();
    let first = format!("{header}\nB-1,2025-09-10,part,chain,20,\n");
    assert!(
        import(&workshop, "a.csv", &first)
            .err
            .contains("20.00 EUR counts for parts now")
    );
    let fee = format!("{header}\nB-1,2025-09-10,fee,,2,\n");
    assert_eq!(import(&workshop, "b.csv", &fee).err, "");
    let rest = format!("{header}\nB-1,2025-09-10,part,tyres,30,\n");
    assert_eq!(import(&workshop, "c.csv", &rest).err, "");
}

#[test]
fn a_column_of_the_sales_that_the_costs_stand_for_is_told_when_it_changes() {
    let workshop = with_costs();
    workshop.file("sales.csv", BIKES.replace("240,60,50", "230,60,55"));
    let output = workshop.run(&["import", "sales", "@sales.csv"]).done();
    insta::assert_snapshot!(output.err, @r"caution 1: @sales.csv, line 2: B-1: 50.00 EUR counts for parts now, by your list of costs, and no more the 55.00 in your list of bikes; record any cost that is missing");
    let again = workshop.run(&["import", "sales", "@sales.csv"]).done();
    assert_eq!(again.err, "");
}

#[test]
fn columns_of_other_names_and_dates_are_read_and_remembered() {
    let workshop = with_bikes();
    let csv = "Rad;Tag;Art;Betrag\nB-1;10/09/2025;fee;3,50\n";
    workshop.file("own.csv", csv);
    let columns = ["bike=Rad", "on=Tag", "kind=Art", "amount=Betrag"];
    let columns = columns.iter().flat_map(|pair| ["--column", pair]);
    let line = ["import", "costs", "@own.csv", "--dates", "dmy"];
    let line: Vec<&str> = line.into_iter().chain(columns).collect();
    workshop.run(&line).done();
    let cost = costs(&workshop).pop().unwrap();
    let found = (cost.on, cost.amount);
    assert_eq!(found, (Day::constant(2025, 9, 10), Money::from_minor(350)));
    let again = import(&workshop, "own.csv", csv);
    assert!(again.out.contains("1 unchanged"), "{}", again.out);
}

#[test]
fn blanks_around_an_id_are_taken_away_and_told() {
    let err = told(" B-2 ,2026-02-10,part,,28,");
    assert_eq!(
        err,
        "caution 1: @costs.csv, line 2: blanks around bike 'B-2' were taken away\n"
    );
}

#[test]
fn costs_as_json() {
    let workshop = with_bikes();
    workshop.file("costs.csv", COSTS);
    let line = ["import", "costs", "@costs.csv", "--format", "json"];
    let expected = serde_json::json!({
        "file": "@costs.csv", "kind": "costs", "dry_run": false, "import": 2,
        "added": 6, "updated": 0, "unchanged": 0, "set_aside": 0,
        "changes": [], "cautions": [],
    });
    assert_eq!(workshop.run(&line).done().json(), expected);
}
