//! `price --date-code`: the model year by the user's own table. The codes are
//! invented.

use crate::support::workshop::{Output, Workshop};

const TABLE: &str = "\
prefix,position,meaning
K,2,A=2003 B=2004 C=2005
K,3-4,20yy
,1..2,yy
Q,2,\"A=1986,A=2006,B=2007\"
R,2,A=2005..2008
R,3,200y
";

fn workshop() -> Workshop {
    let workshop = Workshop::new();
    workshop.file("codes.csv", TABLE);
    workshop
}

fn price(workshop: &Workshop, code: &str, more: &[&str]) -> Output {
    let line = ["price", "--style", "road", "--new-price", "900"];
    let table = ["--date-codes", "@codes.csv", "--date-code", code];
    workshop.run(&[&line[..], &table, more].concat())
}

fn made(output: Output) -> String {
    let output = output.done();
    let bike = output.out.lines().next().unwrap().to_string();
    bike.split(", ").nth(1).unwrap().to_string()
}

#[test]
fn a_code_gives_the_year_or_the_years_that_all_its_rows_leave() {
    let workshop = workshop();
    let output = price(&workshop, "KB04X", &[]).done();
    assert_eq!(
        output.err,
        "date code 'KB04X': made 2004, by line 2, 3 of @codes.csv\n"
    );
    assert_eq!(made(output), "2004");
    assert_eq!(made(price(&workshop, " kb04 ", &[])), "2004");
    // Line 3 alone: Z has no meaning on line 2.
    assert_eq!(made(price(&workshop, "KZ11", &[])), "2011");
    assert_eq!(made(price(&workshop, "RAx", &[])), "2005..2008");
    assert_eq!(made(price(&workshop, "RA7", &[])), "2007");
    assert_eq!(made(price(&workshop, "QB", &[])), "2007");
}

#[test]
fn the_price_is_that_of_the_years_typed() {
    let workshop = workshop();
    let by_code = price(&workshop, "RAx", &["--format", "json"]).done();
    let line = "price --style road --new-price 900 --made 2005..2008 --format json";
    let words: Vec<&str> = line.split(' ').collect();
    assert_eq!(by_code.out, workshop.run(&words).done().out);
}

#[test]
fn made_narrows_what_a_code_leaves_open() {
    let workshop = workshop();
    let open = price(&workshop, "QA", &[]);
    open.says(1, &["--date-code 'QA': it may mean 1986, 2006", "--made"]);
    assert_eq!(
        made(price(&workshop, "QA", &["--made", "2000..2010"])),
        "2006"
    );
    assert_eq!(
        made(price(&workshop, "14X", &["--made", "2000-2026"])),
        "2014"
    );
    assert_eq!(
        made(price(&workshop, "RAx", &["--made", "2007..2012"])),
        "2007..2008"
    );
}

/// Digits fit a year in every century. Before 1950 and after the day of the answer
/// is unlikely (judgement, no source), unless nothing else fits or somebody says so.
#[test]
fn digits_alone_are_read_as_the_likely_year() {
    let workshop = workshop();
    let output = price(&workshop, "98", &[]).done();
    assert_eq!(
        output.err,
        "date code '98': made 1998, by line 4 of @codes.csv; 1898 would fit too, and is unlikely: say about when with \
         --made if it is\n"
    );
    assert_eq!(made(output), "1998");
    assert_eq!(made(price(&workshop, "14X", &[])), "2014");
    assert_eq!(made(price(&workshop, "26", &[])), "2026");
    assert_eq!(
        made(price(&workshop, "98", &["--made", "1890..1900"])),
        "1898"
    );
    // 1949 is the only one up to now, and 1827 to 2027 are all unlikely.
    assert_eq!(made(price(&workshop, "50", &[])), "1950");
    price(&workshop, "27", &[]).says(1, &["it may mean 1827, 1927, 2027"]);
    price(&workshop, "49", &[]).says(1, &["it may mean 1849, 1949"]);
    // Years that the table itself names all count.
    workshop.file(
        "codes.csv",
        "prefix,position,meaning\nQ,2,\"A=1938,A=1998\"\n",
    );
    price(&workshop, "QA", &[]).says(1, &["it may mean 1938, 1998"]);
}

#[test]
fn help_says_how_a_position_is_written_and_what_made_does() {
    for command in ["price", "offer"] {
        let help = Workshop::empty().run(&[command, "--help"]).done().out;
        let words: Vec<&str> = help.split_whitespace().collect();
        let help = words.join(" ");
        for said in ["3..4 for two", "where --made gives a year or a range too"] {
            assert!(help.contains(said), "{command}: {help}");
        }
    }
}

#[test]
fn a_contradiction_is_told_and_nothing_priced() {
    let workshop = workshop();
    let typed = price(&workshop, "KB04", &["--made", "2011"]);
    typed.says(
        1,
        &["--made 2011 and the code contradict one another: @codes.csv says 2004"],
    );
    let rows = price(&workshop, "KB05", &[]);
    rows.says(1, &["leave no year", "line 2: 2004", "line 3: 2005"]);
    assert_eq!((typed.out, rows.out), (String::new(), String::new()));
}

#[test]
fn a_code_that_no_row_reads_says_why_row_by_row() {
    let output = price(&workshop(), "RZ", &[]);
    assert_eq!((output.code, output.out.as_str()), (1, ""));
    insta::assert_snapshot!(output.err, @r"
    error: --date-code 'RZ': no row of @codes.csv reads it
      line 2 is for codes that begin with 'K'
      line 3 is for codes that begin with 'K'
      line 4 has no meaning for 'RZ' at 1..2
      line 5 is for codes that begin with 'Q'
      line 6 has no meaning for 'Z' at 2
      line 7 reads character 3, and the code is shorter
    help: Check the code, add a row to @codes.csv, or give --made instead.
    ");
}

#[test]
fn years_after_the_day_of_the_answer_are_not_meant() {
    let workshop = workshop();
    assert_eq!(
        made(price(&workshop, "27", &["--made", "1990..2027"])),
        "2027"
    );
    price(&workshop, "KX60", &[]).says(1, &["leave no year", "line 3: no year up to now"]);
}

#[test]
fn a_bad_table_is_told_with_line_column_and_value() {
    let workshop = workshop();
    workshop.file(
        "codes.csv",
        "prefix,position,meaning\nK,0,yy\nK,2,the year\nK,2-3,A=2003\nK,2,A=3\nK,2,\n",
    );
    price(&workshop, "K1", &[]).says(
        1,
        &[
            "5 problems in @codes.csv; nothing was priced",
            "line 2, column 2 'position': '0', expected a place in the code from 1 to 100",
            "line 3, column 3 'meaning': 'the year', expected a list such as A=1998 B=1999",
            "line 4, column 3 'meaning': 'A=2003', expected as many characters",
            "line 5, column 3 'meaning': 'A=3', expected after 'A=' a model year of four digits",
            "line 6, column 3 'meaning': expected a value for meaning",
        ],
    );
    workshop.file("codes.csv", "prefix,place,meaning\nK,2,yyyy\n");
    price(&workshop, "K1", &[]).says(
        1,
        &[
            "'place'",
            "wheelworth price --date-code CODE --date-codes @codes.csv",
        ],
    );
    workshop.file("codes.csv", "prefix,position,meaning\n");
    price(&workshop, "K1", &[]).says(1, &["@codes.csv"]);
    std::fs::remove_file(workshop.path("codes.csv")).unwrap();
    price(&workshop, "K1", &[]).says(1, &["@codes.csv"]);
}

#[test]
fn columns_of_the_table_may_have_other_names() {
    let workshop = workshop();
    workshop.file("codes.csv", "begins;place;what\nK;2;\"A=2003;B=2004\"\n");
    let columns = ["prefix=begins", "position=place", "meaning=what"];
    let flags: Vec<&str> = columns.iter().flat_map(|c| ["--column", c]).collect();
    assert_eq!(made(price(&workshop, "KB", &flags)), "2004");
}

#[test]
fn a_code_needs_its_table_and_belongs_to_one_bike_by_its_features() {
    let workshop = workshop();
    for line in [
        "price --style road --date-code K1",
        "price --style road --date-codes codes.csv",
        "price --bike B-1 --date-code K1 --date-codes codes.csv",
        "price --from bikes.csv --date-code K1 --date-codes codes.csv",
    ] {
        let words: Vec<&str> = line.split(' ').collect();
        assert_eq!(workshop.run(&words).code, 2, "{line}");
    }
}
