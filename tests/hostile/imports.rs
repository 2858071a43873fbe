//! Imports that go wrong on the way: nothing of the user's is lost, nothing is
//! half done, and what is odd is told.

use crate::support::workshop::Workshop;

const ONE: &str = "listing,style,made,condition,tier,seat_tube,ask,first_seen\n\
    a1,road,2015,4,3,53cm,250,2026-04-01\n";
const TWO: &str = "listing,style,made,condition,tier,seat_tube,ask,first_seen\n\
    b1,city,2012,3,2,50cm,90,2026-04-05\n";

/// All tables as they would be exported.
fn tables(workshop: &Workshop) -> Vec<String> {
    let tables = ["sales", "comps", "asks", "costs", "gifts"].map(|table| {
        let name = format!("now-{table}.csv");
        let _ = std::fs::remove_file(workshop.path(&name));
        let line = ["export", table, &format!("@{name}")];
        workshop.run(&line).done();
        workshop.text(&name)
    });
    tables.into()
}

#[test]
fn a_file_of_the_name_that_rejects_are_first_written_under_stays() {
    let workshop = Workshop::new();
    workshop.file("some.csv", format!("{ONE}a2,boat,,,,,1,\n"));
    workshop.file("bad.csv.part", "a list of parts");
    let line = ["import", "comps", "@some.csv", "--skip-bad", "@bad.csv"];
    workshop.run(&line).says(3, &[]);
    assert_eq!(workshop.text("bad.csv.part"), "a list of parts");
    assert!(workshop.text("bad.csv").contains("\na2,boat,"));
    let files = ["bad.csv", "bad.csv.part", "book.sqlite", "some.csv"];
    assert_eq!(workshop.files(), files);
}

#[test]
fn an_import_that_fails_leaves_no_rejects_behind() {
    let workshop = Workshop::new();
    workshop.file("bad.csv.part", "mine");
    let rows = format!("{ONE}a2,boat,,,,,1,\n").into_bytes();
    workshop.file(
        "some.csv",
        [rows, b"a3,ro\xffad,,,,,1,\n".to_vec()].concat(),
    );
    let line = ["import", "comps", "@some.csv", "--skip-bad", "@bad.csv"];
    workshop.refuses(&line, &["@some.csv, line 4: is not UTF-8"]);
    assert_eq!(workshop.text("bad.csv.part"), "mine");
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_nowhere_is_not_written_over() {
    let workshop = Workshop::new();
    workshop.file("some.csv", format!("{ONE}a2,boat,,,,,1,\n"));
    std::os::unix::fs::symlink("nowhere", workshop.path("bad.csv")).unwrap();
    let line = ["import", "comps", "@some.csv", "--skip-bad", "@bad.csv"];
    workshop.refuses(&line, &["@bad.csv: is there already"]);
    let link = std::fs::read_link(workshop.path("bad.csv")).unwrap();
    assert_eq!(link.to_str(), Some("nowhere"));
}

#[test]
fn a_dry_run_with_skip_bad_does_not_say_that_rejects_are_written() {
    let workshop = Workshop::new();
    workshop.file("some.csv", format!("{ONE}a2,boat,,,,,1,\n"));
    let line = ["import", "comps", "@some.csv", "--skip-bad", "@bad.csv"];
    let output = workshop.run(&[&line[..], &["--dry-run"]].concat());
    output.says(3, &[]);
    let said = "The rows set aside, with the reasons, would be in @bad.csv.";
    assert!(output.out.contains(said), "{}", output.out);
    assert_eq!(workshop.files(), ["book.sqlite", "some.csv"]);
}

#[test]
fn a_dry_run_tells_of_one_bike_listed_twice_as_the_import_does() {
    // Alike in all features and the ask, 20 days apart.
    let twin = ONE.replace("a1", "a9").replace("04-01", "04-21");
    let told = "a1 and a9 look like one bike listed 2 times; each counts 1/2";
    for first_in_the_book in [true, false] {
        let workshop = if first_in_the_book {
            Workshop::new().comps(ONE)
        } else {
            Workshop::new()
        };
        workshop.file("one.csv", ONE);
        workshop.file("twin.csv", &twin);
        let files: &[&str] = match first_in_the_book {
            true => &["@twin.csv"],
            false => &["@one.csv", "@twin.csv"],
        };
        let line = [&["import", "comps"], files].concat();
        let before = workshop.book_bytes();
        let dry = workshop.run(&[&line[..], &["--dry-run"]].concat()).done();
        assert!(workshop.book_bytes() == before);
        let wet = workshop.run(&line).done();
        assert_eq!(dry.err, format!("caution 1: {told}\n"));
        assert_eq!(dry.err, wet.err);
    }
}

#[test]
fn a_dry_run_names_no_import() {
    let workshop = Workshop::new();
    workshop.file("one.csv", ONE);
    let line = [
        "import",
        "comps",
        "@one.csv",
        "--dry-run",
        "--format",
        "json",
    ];
    let found = workshop.run(&line).done().json();
    assert_eq!(found["import"], serde_json::Value::Null);
    assert_eq!(
        (&found["added"], &found["dry_run"]),
        (&1.into(), &true.into())
    );
}

/// Whatever is wrong with the last file, and wherever in it, the first ones are
/// not in the book either.
#[test]
fn several_files_go_in_together_or_not_at_all() {
    let workshop = Workshop::new().comps("listing,style,ask\nz1,road,300\n");
    workshop.file("one.csv", ONE);
    let before = tables(&workshop);
    let bytes: [(&str, Vec<u8>); 5] = [
        (
            "cannot be used; nothing was imported",
            TWO.replace("city", "cty").into(),
        ),
        ("is not UTF-8", [TWO.as_bytes(), b"b2,\xff\n"].concat()),
        ("never closed", format!("{TWO}b2,\"road").into()),
        ("is empty", Vec::new()),
        (
            "the header does not fit",
            TWO.replace("tier", "teer").into(),
        ),
    ];
    for (said, bytes) in bytes {
        workshop.file("two.csv", bytes);
        for more in [&[][..], &["--dry-run"]] {
            let line = ["import", "comps", "@one.csv", "@two.csv"];
            let nothing = "help: Nothing was imported of any of the 2 files.";
            let line = [&line[..], more].concat();
            workshop.refuses(&line, &["@two.csv", said, nothing]);
        }
    }
    let line = ["import", "comps", "@one.csv", "@nowhere.csv", "@one.csv"];
    workshop.refuses(&line, &["@nowhere.csv", "any of the 3 files"]);
    assert_eq!(tables(&workshop), before);
    let history = workshop.run(&["import", "--history"]).done().out;
    assert!(!history.contains("one.csv"), "{history}");
}

/// What the first file brings, the second may name; each can be taken back.
#[test]
fn a_later_file_is_held_against_the_files_before_it() {
    let workshop = Workshop::new();
    workshop.file("one.csv", "listing,style,ask\na1,road,100\na2,city,50\n");
    workshop.file("two.csv", "listing,style,ask\na1,road,100\na2,city,60\n");
    let line = ["import", "comps", "@one.csv", "@two.csv", "@two.csv"];
    let output = workshop.run(&line).done();
    assert_eq!(
        output.out,
        "@one.csv: 2 rows added, 0 updated, 0 unchanged.\n\
         Import 1; 'wheelworth import --undo 1' takes it back.\n  \
         a2: ask 50.00 -> 60.00\n\
         @two.csv: 0 rows added, 1 updated, 1 unchanged.\n\
         Import 2; 'wheelworth import --undo 2' takes it back.\n\
         @two.csv: 0 rows added, 0 updated, 2 unchanged.\n\
         Nothing changed.\n"
    );
    workshop.run(&["import", "--undo", "2"]).done();
    assert!(tables(&workshop)[1].contains("a2,,city,,,,,,,,,50.00,"));
    workshop.run(&["import", "--undo", "1"]).done();
    assert!(workshop.run(&["check"]).done().out.contains("0 comps"));
}

/// The column map is remembered though the rows were all there.
#[test]
fn a_map_is_remembered_of_files_that_change_nothing() {
    let workshop = Workshop::new();
    for name in ["one.csv", "two.csv"] {
        workshop.file(name, "No,style,ask\na1,road,100\n");
    }
    let map = ["--column", "listing=No"];
    let line = ["import", "comps", "@one.csv", "@two.csv"];
    workshop.run(&[&line[..], &map].concat()).done();
    let output = workshop.run(&line).done();
    assert!(output.out.contains("Columns as the last time: listing=No."));
}

fn told(rows: &str, more: &[&str]) -> String {
    let workshop = Workshop::new();
    let header = "bike,style,listed_on,ask,sold_on,sold_price";
    workshop.file("sales.csv", format!("{header}\n{rows}\n"));
    let line = [&["import", "sales", "@sales.csv"], more].concat();
    workshop.run(&line).done().err
}

#[test]
fn a_sale_with_a_slipped_digit_beside_its_own_ask_is_told() {
    // 180 of 200 with a digit too many, and one too few.
    let row = |price: &str| format!("S1,road,2026-03-01,200,2026-03-10,{price}");
    let many = "caution 1: @sales.csv, line 2: S1 was sold for 1,800.00 EUR, 9 times its first \
        ask of 200.00 EUR; check the decimal point of both\n";
    assert_eq!(told(&row("1800"), &[]), many);
    assert_eq!(told(&row("1800"), &["--dry-run"]), many);
    let few = "S1 was sold for 18.00 EUR, 1/11 of its first ask of 200.00 EUR";
    assert!(told(&row("18"), &[]).contains(few));
    // Marked down, dear, without an ask.
    for price in ["60", "210", "999"] {
        assert_eq!(told(&row(price), &[]), "", "{price}");
    }
    // Given away, perhaps.
    assert!(told(&row("0"), &[]).contains("sold for 0: if it was given away"));
    assert_eq!(told("S1,road,2026-03-01,,2026-03-10,1800", &[]), "");
}

#[test]
fn a_slipped_digit_is_told_when_it_comes_in_and_not_again() {
    let workshop = Workshop::new().sales(
        "bike,style,listed_on,ask,sold_on,sold_price\nS1,road,2026-03-01,200,2026-03-10,180\n",
    );
    let record = |more: &[&str]| {
        let line = [&["record", "sale", "--bike", "S1"], more].concat();
        workshop.run(&line).done().err
    };
    let said = "S1 was sold for 1,800.00 EUR, 9 times its first ask";
    assert!(record(&["--sold-price", "1800"]).contains(said));
    assert!(!record(&["--note", "blue"]).contains(said));
    let said = "S1 was sold for 1,800.00 EUR, 90 times its first ask";
    assert!(record(&["--ask", "20"]).contains(said));
}

#[test]
fn ids_that_look_the_same_are_told() {
    let other = |rows: &str| told(rows, &[]);
    let pairs = [
        ("B-1", "b-1", "the ids B-1 and b-1 look nearly the same"),
        ("B 1", "B\u{a0}1", "look nearly the same"),
        (
            "B-1",
            "B-1\u{200b}",
            "bike 'B-1\u{fffd}' holds an invisible character, U+200B",
        ),
        (
            "B-1",
            "\u{200f}B-1",
            "the ids B-1 and \u{fffd}B-1 look nearly the same",
        ),
    ];
    for (one, two, said) in pairs {
        let found = other(&format!("{one},road,,,,\n{two},city,,,,"));
        assert!(found.contains("line 3"), "{found}");
        assert!(found.contains(said), "{found}");
        assert!(found.contains("count as two bikes"), "{found}");
    }
    assert_eq!(other("B-1,road,,,,\nB-10,city,,,,\nC-1,city,,,,"), "");
}

/// The letter ü as one character and as u with dots above (Unicode Standard
/// Annex 15).
#[test]
fn an_unknown_bike_that_looks_known_is_told_apart() {
    let workshop = Workshop::new().sales("bike,style\nBü-1,road\n");
    workshop.file(
        "costs.csv",
        "bike,on,kind,amount\nBu\u{308}-1,2026-04-01,part,5\n",
    );
    let said = "Did you mean Bü-1 (they differ at character 2: U+0075 here, U+00FC there)?";
    workshop.refuses(
        &["import", "costs", "@costs.csv"],
        &["line 2, column 1 'bike'", said],
    );
    workshop.file(
        "costs.csv",
        "bike,on,kind,amount\nBü-\u{ad}1,2026-04-01,part,5\n",
    );
    let said = [
        "'Bü-\u{fffd}1', expected a bike that is among the sales",
        "Take out the invisible character U+00AD (shown as \u{fffd}).",
    ];
    // The book says it, so the mend is the book's.
    workshop.refuses(&["import", "costs", "@costs.csv"], &said[..1]);
}

/// More than 1 GiB that begins as a Parquet file does; nothing of it is read.
#[test]
fn a_huge_parquet_file_is_refused_unread() {
    let workshop = Workshop::new();
    let path = workshop.file("huge.parquet", "PAR1");
    let file = std::fs::OpenOptions::new().write(true).open(path).unwrap();
    file.set_len((1 << 30) + 1).unwrap(); // A file with a hole: it takes no room.
    let said = "@huge.parquet: cannot be read as a Parquet file: it is larger than 1 GiB";
    workshop.refuses(&["import", "comps", "@huge.parquet"], &[said]);
}

#[test]
fn messages_stay_short_however_wide_the_file() {
    let workshop = Workshop::new();
    let names: Vec<String> = (0..50_000).map(|n| format!("c\u{1b}{n}")).collect();
    workshop.file("wide.csv", format!("{}\n1\n", names.join(",")));
    let line = ["import", "comps", "@wide.csv", "--column", "ask=price"];
    let said = [
        "--column ask=price: the file has no column 'price'",
        "and 49950 more",
    ];
    let output = workshop.refuses(&line, &said);
    assert!(output.err.len() < 20_000, "{} bytes", output.err.len());
    assert!(!output.err.contains('\u{1b}'));
}

/// Bad rows are counted, and only the first are kept.
#[test]
fn files_to_price_and_offer_tell_the_first_thousand_problems() {
    let workshop = Workshop::new();
    let file = |name: &str, header: &str, row: &str| {
        workshop.file(name, format!("{header}\n{}", row.repeat(1500)));
    };
    file("bikes.csv", "bike,style", "b,boat\n");
    file("jobs.csv", "job,cost", "tyres,lots\n");
    file("sheet.csv", "item,result", "front tyre,maybe\n");
    for (line, said) in [
        ("price --from @bikes.csv", "@bikes.csv; nothing was priced"),
        (
            "offer --style road --jobs @jobs.csv",
            "@jobs.csv; no offer was made",
        ),
        ("inspect @sheet.csv", "@sheet.csv; the bike was not judged"),
    ] {
        let words: Vec<&str> = line.split(' ').collect();
        let said = format!("1500 problems in {said}");
        let output = workshop.refuses(&words, &[&said, "line 1001, "]);
        assert!(!output.err.contains("line 1002, "), "{line}");
    }
}
