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
    price(&workshop, "14X", &[]).says(1, &["it may mean 1914, 2014"]);
    assert_eq!(
        made(price(&workshop, "14X", &["--made", "2000-2026"])),
        "2014"
    );
    assert_eq!(
        made(price(&workshop, "RAx", &["--made", "2007..2012"])),
        "2007..2008"
    );
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
