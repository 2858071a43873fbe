//! `record`: one event without a file.

use super::import_costs::with_bikes;
use super::import_gifts::with_beneficiaries;
use crate::support::workshop::{ASKS, COMPS, Output, SALES, TODAY, Workshop};
use wheelworth::book::Book;
use wheelworth::trade::Sale;

/// `record` with these words.
#[track_caller]
fn record(workshop: &Workshop, words: &[&str]) -> Output {
    workshop.run(&[&["record"], words].concat()).done()
}

fn sales(workshop: &Workshop) -> Vec<Sale> {
    Book::open(&workshop.book()).unwrap().sales().unwrap()
}

#[test]
fn a_sale_changes_only_what_is_given_and_is_taken_back() {
    let workshop = Workshop::new().sales(SALES);
    let before = sales(&workshop);
    let line = [
        "sale",
        "--bike",
        "B-49",
        "--sold-on",
        "2026-04-30",
        "--sold-price",
        "150",
    ];
    let output = record(&workshop, &line);
    insta::assert_snapshot!(output.out, @r"
    B-49: sold_on unknown -> 2026-04-30, sold_price unknown -> 150.00
    Recorded as import 2; 'wheelworth import --undo 2' takes it back.
    ");
    assert_eq!(output.err, "");
    let (mut after, known) = (sales(&workshop), before.clone());
    let bike = after.iter_mut().find(|sale| sale.id == "B-49").unwrap();
    assert!(bike.sold.take().is_some());
    assert_eq!(after, known);
    assert_eq!(record(&workshop, &line).out, "Nothing changed.\n");
    workshop.run(&["import", "--undo", "2"]).done();
    assert_eq!(sales(&workshop), before);
}

#[test]
fn every_bike_keeps_the_rest_of_its_record() {
    let workshop = Workshop::new().sales(SALES);
    for sale in sales(&workshop) {
        record(&workshop, &["sale", "--bike", &sale.id, "--note", "'=mine"]);
        let now = Book::open(&workshop.book()).unwrap().sale(&sale.id);
        let noted = Sale {
            note: Some("'=mine".into()),
            ..sale
        };
        assert_eq!(now.unwrap().unwrap(), noted);
        // A second time nothing is taken off the note.
        let again = ["sale", "--bike", &noted.id, "--hours", "7"];
        record(&workshop, &again);
        let now = Book::open(&workshop.book()).unwrap().sale(&noted.id);
        assert_eq!(now.unwrap().unwrap().note, noted.note);
    }
}

/// Rows of the shipped files, typed one by one, make the book that their import
/// makes.
#[test]
fn what_is_typed_is_what_a_file_says() {
    let imported = Workshop::new().sales(SALES).asks(ASKS);
    let typed = Workshop::new();
    for (kind, file) in [("sale", SALES), ("ask", ASKS)] {
        let mut reader = csv::Reader::from_reader(file.as_bytes());
        let header = reader.headers().unwrap().clone();
        for row in reader.records() {
            let row = row.unwrap();
            let cells = header.iter().zip(&row);
            let flags = cells.filter(|(_, cell)| !cell.is_empty());
            let flags: Vec<String> = flags
                .flat_map(|(name, cell)| [format!("--{}", name.replace('_', "-")), cell.into()])
                .collect();
            let flags: Vec<&str> = flags.iter().map(String::as_str).collect();
            record(&typed, &[&[kind], &flags[..]].concat());
        }
    }
    assert_eq!(sales(&typed), sales(&imported));
    let asks = |workshop: &Workshop| Book::open(&workshop.book()).unwrap().asks().unwrap();
    assert_eq!(asks(&typed), asks(&imported));
}

#[test]
fn a_new_bike_is_told_with_what_is_known_of_it() {
    let workshop = with_bikes();
    let line = [
        "sale",
        "--bike",
        "B-9",
        "--style",
        "Road",
        "--made",
        "2014",
        "--condition",
        "tidy",
    ];
    let line = [&line[..], &["--seat-tube", "21in", "--purchase", "40"]].concat();
    insta::assert_snapshot!(record(&workshop, &line).out, @r"
    B-9 is new: style road, made 2014, condition 4, seat_tube 53.34cm, purchase 40.00
    Recorded as import 2; 'wheelworth import --undo 2' takes it back.
    ");
}

#[test]
fn an_empty_value_empties_the_field() {
    let workshop = with_bikes();
    let line = [
        "sale",
        "--bike",
        "B-1",
        "--sold-on",
        "",
        "--sold-price=",
        "--parts",
        "",
    ];
    let output = record(&workshop, &line);
    let change =
        "B-1: sold_on 2025-12-20 -> unknown, sold_price 240.00 -> unknown, parts 50.00 -> unknown";
    assert!(output.out.starts_with(change), "{}", output.out);
}

#[test]
fn an_unusual_price_is_told_when_the_price_is_recorded() {
    let workshop = Workshop::new().sales(SALES).comps(COMPS);
    let output = record(&workshop, &["sale", "--bike", "B-49", "--ask", "9999"]);
    assert!(
        output.err.starts_with("caution 1: 9,999.00 EUR is ")
            && output.err.contains("check the decimal point"),
        "{}",
        output.err
    );
    let output = record(&workshop, &["sale", "--bike", "B-49", "--note", "stands"]);
    assert_eq!(output.err, "");
}

#[test]
fn a_cost_is_of_today_and_each_counts() {
    let workshop = with_bikes();
    let line = [
        "cost", "--bike", "B-2", "--kind", "part", "--item", "chain", "--amount", "12",
    ];
    let output = record(&workshop, &line);
    insta::assert_snapshot!(output.out, @r"
    cost of 12.00 EUR for B-2 on 2026-05-02: part, chain
    Recorded as import 2; 'wheelworth import --undo 2' takes it back.
    ");
    assert_eq!(output.err, "");
    let again = record(&workshop, &line);
    assert!(
        again
            .out
            .ends_with("Recorded as import 3; 'wheelworth import --undo 3' takes it back.\n")
    );
    insta::assert_snapshot!(again.err, @"caution 1: an identical cost was in the book already; both count now, so take this one back if it is the same");
    let costs = Book::open(&workshop.book()).unwrap().costs().unwrap();
    assert_eq!((costs.len(), costs[0].on), (2, TODAY));
    // A file that holds one of them adds nothing.
    let csv = "bike,on,kind,item,amount\nB-2,2026-05-02,part,chain,12\n";
    workshop.file("costs.csv", csv);
    let file = workshop.run(&["import", "costs", "@costs.csv"]).done();
    assert!(file.out.contains("1 unchanged"), "{}", file.out);
}

#[test]
fn a_cost_of_the_workshop_and_one_from_the_box() {
    let workshop = with_bikes();
    let words = |line: &[&str]| {
        let output = record(&workshop, &[&["cost"], line].concat());
        output.out.lines().next().unwrap().to_string()
    };
    insta::assert_snapshot!(words(&["--kind", "supply", "--amount", "0.5"]), @"cost of 0.50 EUR for the workshop on 2026-05-02: supply");
    insta::assert_snapshot!(words(&["--kind", "part", "--amount", "4", "--bike", "B-2", "--from-box", "--on", "2026-04-30"]), @"cost of 4.00 EUR for B-2 on 2026-04-30: part, from the parts box");
    insta::assert_snapshot!(words(&["--kind", "part", "--amount", "4", "--from-box", "no"]), @"cost of 4.00 EUR for the workshop on 2026-05-02: part");
}

#[test]
fn cautions_are_those_of_a_file_without_a_place() {
    let workshop = with_bikes();
    let line = ["cost", "--bike", "B-1", "--kind", "part", "--amount", "20"];
    insta::assert_snapshot!(record(&workshop, &line).err, @r"
    caution 1: B-1 was sold on 2025-12-20, 133 days before this cost of 2026-05-02; check the bike and the day
    caution 2: B-1: 20.00 EUR counts for parts now, by your list of costs, and no more the 50.00 in your list of bikes; record any cost that is missing
    ");
    let line = ["sale", "--bike", "B-1", "--parts", "55"];
    insta::assert_snapshot!(record(&workshop, &line).err, @r"caution 1: B-1: 20.00 EUR counts for parts now, by your list of costs, and no more the 55.00 in your list of bikes; record any cost that is missing");
}

#[test]
fn a_gift_goes_to_the_only_beneficiary_and_a_reference_changes_it() {
    let workshop = with_beneficiaries(&["Ferry Lane Reading Room"]);
    let line = ["gift", "--amount", "60", "--reference", "T-1"];
    insta::assert_snapshot!(record(&workshop, &line).out, @r"
    gift of 60.00 EUR to Ferry Lane Reading Room on 2026-05-02, reference T-1
    Recorded as import 1; 'wheelworth import --undo 1' takes it back.
    ");
    let line = [
        "gift",
        "--reference",
        "T-1",
        "--amount",
        "65",
        "--on",
        "2026-05-01",
    ];
    insta::assert_snapshot!(record(&workshop, &line).out, @r"
    gift T-1: on 2026-05-02 -> 2026-05-01, amount 60.00 -> 65.00
    Recorded as import 2; 'wheelworth import --undo 2' takes it back.
    ");
    let line = ["gift", "--reference", "T-1", "--amount", "70"];
    let later = ["--book", "@book.sqlite", "--as-of", "2026-06-01", "record"];
    let output = workshop.run_as_typed(&[&later[..], &line].concat(), TODAY);
    // The day of the answer is for new gifts only.
    assert!(
        output
            .done()
            .out
            .starts_with("gift T-1: amount 65.00 -> 70.00\n")
    );
}

#[test]
fn a_gift_without_a_reference_is_one_more() {
    let workshop = with_beneficiaries(&["Ferry Lane Reading Room"]);
    let line = ["gift", "--amount", "60"];
    assert_eq!(record(&workshop, &line).err, "");
    let said = "caution 1: an identical gift was in the book already; both count now, so take this one back if it is the same\n";
    assert_eq!(record(&workshop, &line).err, said);
    let line = ["gift", "--amount", "60", "--reference", "T-1"];
    let err = record(&workshop, &line).err;
    assert!(err.starts_with("caution 1: a gift of 60.00 EUR to Ferry Lane"));
    let gifts = Book::open(&workshop.book()).unwrap().gifts().unwrap();
    assert_eq!(gifts.len(), 3);
}

#[test]
fn an_ask_is_of_today_and_updates_that_day() {
    let bikes = "bike,style,listed_on,ask\nB-2,city,2026-03-01,120\n";
    let workshop = Workshop::new().sales(bikes);
    insta::assert_snapshot!(record(&workshop, &["ask", "--bike", "B-2", "--ask", "110"]).out, @r"
    B-2 is asked at 110.00 EUR from 2026-05-02 on
    Recorded as import 2; 'wheelworth import --undo 2' takes it back.
    ");
    let output = record(&workshop, &["ask", "--bike", "B-2", "--ask", "125"]);
    assert!(
        output
            .out
            .starts_with("B-2 on 2026-05-02: ask 110.00 -> 125.00\n")
    );
    insta::assert_snapshot!(output.err, @"caution 1: B-2 is asked at 125.00 EUR from 2026-05-02 on, more than the 120.00 EUR before; check that it is meant");
}

#[test]
fn a_dry_run_says_what_would_be_and_leaves_the_book_byte_for_byte() {
    let workshop = with_bikes();
    let before = workshop.book_bytes();
    let line = ["cost", "--kind", "fee", "--amount", "2", "--dry-run"];
    insta::assert_snapshot!(record(&workshop, &line).out, @r"
    cost of 2.00 EUR for the workshop on 2026-05-02: fee
    Dry run: the book is as it was.
    ");
    assert!(workshop.book_bytes() == before);
}

#[test]
fn recorded_as_json() {
    let workshop = with_bikes();
    let json = |line: &[&str]| record(&workshop, &[line, &["--format", "json"]].concat()).json();
    let cost = ["cost", "--kind", "fee", "--amount", "2"];
    let expected = serde_json::json!({
        "import": 2, "kind": "cost", "dry_run": false,
        "added": 1, "updated": 0, "unchanged": 0, "changes": [], "cautions": [],
        "told": ["cost of 2.00 EUR for the workshop on 2026-05-02: fee"],
    });
    assert_eq!(json(&cost), expected);
    let sale = ["sale", "--bike", "B-2", "--purchase", "25"];
    let expected = serde_json::json!({
        "import": 3, "kind": "sale", "dry_run": false, "added": 0, "updated": 1,
        "unchanged": 0, "changes": ["B-2: purchase 20.00 -> 25.00"], "cautions": [],
        "told": [],
    });
    assert_eq!(json(&sale), expected);
    let unchanged = json(&sale);
    assert_eq!(
        (&unchanged["import"], &unchanged["unchanged"]),
        (&().into(), &1.into())
    );
}

#[test]
fn in_the_history_its_file_is_record() {
    let workshop = with_bikes();
    record(&workshop, &["cost", "--kind", "fee", "--amount", "2"]);
    let json = workshop.run(&["import", "costs", "--history", "--format", "json"]);
    let json = json.done().json();
    let file = "record: cost of 2.00 EUR for the workshop on 2026-05-02: fee";
    assert_eq!(
        (&json[0]["file"], &json[0]["kind"]),
        (&file.into(), &"costs".into())
    );
    // A file of that very name does not take what was recorded for its own.
    workshop.file("record", "on,kind,amount\n2026-04-01,fee,3\n");
    let book = workshop.book();
    let mut program = crate::support::program::program(workshop.folder());
    let line = ["--as-of", "2026-05-02", "import", "costs", "record"];
    let output = program.arg("--book").arg(book).args(line).output().unwrap();
    let said = crate::support::program::both(&output);
    assert!(
        said.contains("1 row added") && !said.contains("caution"),
        "{said}"
    );
}

#[test]
fn the_flags_are_the_columns() {
    for (kind, csv) in [
        ("sale", SALES),
        ("ask", ASKS),
        ("cost", super::import_costs::COSTS),
        ("gift", super::import_gifts::GIFTS),
    ] {
        let help = Workshop::empty()
            .run(&["record", kind, "--help"])
            .done()
            .out;
        let example = format!("Example: wheelworth record {kind} --");
        assert!(help.contains(&example), "{help}");
        for column in csv.lines().next().unwrap().split(',') {
            let flag = format!("      --{} ", column.replace('_', "-"));
            assert!(help.contains(&flag), "'{flag}' in {help}");
        }
        assert!(help.lines().all(|line| line.chars().count() <= 100));
    }
}

#[test]
fn the_history_says_what_was_recorded() {
    let workshop = Workshop::new().sales("bike,style\nB-1,road\n");
    let cost = ["record", "cost", "--bike", "B-1", "--kind", "part"];
    let more = ["--item", "chain", "--amount", "12", "--on", "2026-04-30"];
    workshop.run(&[&cost[..], &more[..]].concat()).done();
    let history = workshop.run(&["import", "--history"]).done();
    let line = "record: cost of 12.00 EUR for B-1 on 2026-04-30: part, chain";
    assert!(history.out.contains(line), "{}", history.out);
}

#[test]
fn an_old_file_that_has_a_sold_bike_on_hand_again_is_told() {
    let old = "bike,style,purchase,sold_on,sold_price\nB-1,road,40,,\n";
    let workshop = Workshop::new().sales(old);
    let sold = ["--sold-on", "2026-04-20", "--sold-price", "90"];
    workshop
        .run(&[&["record", "sale", "--bike", "B-1"], &sold[..]].concat())
        .done();
    workshop.file("old.csv", old);
    let output = workshop.run(&["import", "sales", "@old.csv"]).done();
    let words = "B-1 was sold on 2026-04-20 for 90.00 by the book, and is on hand again now";
    assert!(output.err.contains(words), "{}", output.err);
}
