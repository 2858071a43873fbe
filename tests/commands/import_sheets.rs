//! `import` of spreadsheets: as the CSV of one of their sheets.

use crate::support::sheets::{Cell, cells, ods, ods_of, xlsx, zipped};
use crate::support::workshop::{ASKS, COMPS, SALES, Workshop};

/// A sheet's maker.
type Maker = fn(&[(&str, Vec<Vec<Cell>>)]) -> Vec<u8>;

const MAKERS: [(&str, Maker); 2] = [("xlsx", xlsx), ("ods", ods)];

fn text(text: &str) -> Cell {
    Cell::Text(text.into())
}

fn row(texts: &[&str]) -> Vec<Cell> {
    texts.iter().map(|one| text(one)).collect()
}

fn exports(workshop: &Workshop) -> Vec<String> {
    let tables = ["sales", "comps", "asks"];
    let export = |table: &&str| {
        workshop.run(&["export", table, "@out.csv"]).done();
        let text = workshop.text("out.csv");
        std::fs::remove_file(workshop.path("out.csv")).unwrap();
        text
    };
    tables.iter().map(export).collect()
}

/// The shipped tables as CSV, as `.xlsx` and as `.ods` with typed cells fill the book with
/// the same, byte by byte.
#[test]
fn a_table_is_the_same_in_every_kind_of_file() {
    let as_csv = exports(&Workshop::busy());
    for (ending, make) in MAKERS {
        let workshop = Workshop::new();
        for (kind, csv) in [("sales", SALES), ("comps", COMPS), ("asks", ASKS)] {
            let name = format!("@{kind}.{ending}");
            workshop.file(&name[1..], make(&[("Data", cells(csv))]));
            workshop.run(&["import", kind, &name]).done();
        }
        assert!(exports(&workshop) == as_csv, "{ending} differs");
    }
}

#[test]
fn cells_are_read_by_their_type() {
    for (ending, make) in MAKERS {
        let rows = vec![
            row(&["bike", "style", "made", "ask", "bought_on", "hours", "note"]),
            vec![
                Cell::Number(7.0),
                text("road"),
                Cell::Number(2012.0),
                Cell::Number(30.299_999_999_999_997),
                Cell::Day("2025-03-04".into()),
                Cell::Number(2.5),
                Cell::Number(12.345),
            ],
            // Text keeps the rules of CSV, and a number beside it says nothing of its signs.
            vec![
                text("A2"),
                text("city"),
                text("~2012"),
                text("1.234,50 €"),
                Cell::Day("2025-03-05 14:30:00".into()),
                Cell::Empty,
                text("two\nlines"),
            ],
        ];
        let workshop = Workshop::new();
        let name = format!("@mine.{ending}");
        workshop.file(&name[1..], make(&[("Mine", rows), ("Other", vec![])]));
        let output = workshop.run(&["import", "sales", &name]).done();
        output.says(
            0,
            &["the time of day in E3 is left out", "line breaks and tabs"],
        );
        let sales = &exports(&workshop)[0];
        for said in [
            "7,road,2012,,,,,2025-03-04,,30.30,,,,,,,2.5,12.345",
            "A2,city,2010..2014,,,,,2025-03-05,,1234.50,,,,,,,,two lines",
        ] {
            assert!(sales.contains(said), "{ending}: {said} in {sales}");
        }
    }
}

#[test]
fn problems_name_the_sheet_and_the_cell() {
    let currencies = [("xlsx", "[$CHF] 0.00"), ("ods", "CHF")];
    for ((ending, make), (_, francs)) in MAKERS.into_iter().zip(currencies) {
        let rows = vec![
            vec![],
            // The first column is empty, and so is the first row.
            [
                vec![Cell::Empty],
                row(&["bike", "style", "made", "ask", "hours", "parts"]),
            ]
            .concat(),
            vec![
                Cell::Empty,
                text("A1"),
                text("road"),
                Cell::Formula("=VLOOKUP(1,Z1:Z2,1)", "#N/A"),
                Cell::Number(12.345),
                Cell::Shown(0.35, "0%"),
                Cell::YesOrNo(true),
            ],
            vec![
                Cell::Empty,
                text("A2"),
                text("rode"),
                Cell::Empty,
                Cell::Shown(9.0, francs),
            ],
        ];
        let workshop = Workshop::new();
        let name = format!("@mine.{ending}");
        workshop.file(&name[1..], make(&[("My bikes", rows.clone())]));
        let mut said = vec![
            "sheet 'My bikes', cell E3, column 4 'ask': '12.345', expected an amount with at most 2 decimals",
            "cell F3, column 5 'hours': '35%', expected a value, not a percentage",
            "cell G3, column 6 'parts': 'TRUE', expected a value, not yes or no",
            "cell C4, column 2 'style': 'rode'",
            "cell E4, column 4 'ask': 'CHF 9', expected an amount in EUR",
        ];
        if ending == "ods" {
            said.push("cell D3, column 3 'made': '#N/A', expected a value, not an error");
        }
        workshop.refuses(&["import", "sales", &name], &said);
        // The rejects are a CSV that goes in once it is corrected.
        let line = ["import", "sales", &name, "--skip-bad", "@bad.csv"];
        workshop.run(&line).says(3, &[]);
        let rejects = workshop.text("bad.csv");
        assert!(
            rejects.contains("A1,road,") && rejects.contains("cell E3"),
            "{rejects}"
        );
    }
}

#[test]
fn one_of_several_sheets_is_asked_for() {
    let sheet = |id: &str| vec![row(&["bike", "style"]), row(&[id, "road"])];
    for (ending, make) in MAKERS {
        let workshop = Workshop::new();
        let name = format!("@two.{ending}");
        let sheets = [
            ("Sold '24", sheet("A1")),
            ("Sold 25", [sheet("A2"), sheet("A3")].concat()),
            ("Notes", vec![]),
        ];
        workshop.file(&name[1..], make(&sheets));
        let said = [
            "has several sheets that are not empty: 'Sold '24' (2 rows), 'Sold 25' (4 rows)",
            &format!("  wheelworth import sales {name} --sheet 'Sold 25'"),
        ];
        let import = ["import", "sales", &name];
        workshop.refuses(&import, &said);
        workshop
            .run(&[&import[..], &["--sheet", "sold '24"]].concat())
            .done();
        assert!(exports(&workshop)[0].contains("A1,road"));
        let nope = [&import[..], &["--sheet", "Nope"]].concat();
        workshop.refuses(
            &nope,
            &[
                "no sheet 'Nope'",
                "Its sheets are: Sold '24, Sold 25, Notes.",
            ],
        );
        let empty = [&import[..], &["--sheet", "Notes"]].concat();
        workshop.refuses(&empty, &["its sheet 'Notes' is empty"]);
    }
    let workshop = Workshop::new();
    workshop.file("plain.csv", "bike,style\nA1,road\n");
    let line = ["import", "sales", "@plain.csv", "--sheet", "S"];
    workshop.refuses(
        &line,
        &[
            "is no spreadsheet and has no sheet 'S'",
            "Leave --sheet out",
        ],
    );
}

#[test]
fn what_a_file_is_shows_in_its_bytes_not_in_its_name() {
    let workshop = Workshop::new();
    let rows = vec![row(&["bike", "style"]), row(&["A1", "road"])];
    workshop.file("sheet.csv", xlsx(&[("S", rows.clone())]));
    workshop.file("plain.xlsx", "bike,style\nA2,road\n");
    workshop.run(&["import", "sales", "@sheet.csv"]).done();
    workshop.run(&["import", "sales", "@plain.xlsx"]).done();
    let sales = &exports(&workshop)[0];
    assert!(sales.contains("A1,road") && sales.contains("A2,road"));
    // The map of columns is one for both kinds of file.
    let rows = vec![row(&["Rad", "Typ"]), row(&["A4", "Rennrad"])];
    workshop.file("map.xlsx", xlsx(&[("S", rows)]));
    let map = [
        "--column",
        "bike=Rad",
        "--column",
        "style=Typ",
        "--word",
        "style:rennrad=road",
    ];
    workshop
        .run(&[&["import", "sales", "@map.xlsx"][..], &map].concat())
        .done();
    workshop.file("map.csv", "Rad,Typ\nA5,Rennrad\n");
    workshop.run(&["import", "sales", "@map.csv"]).done();
    assert!(exports(&workshop)[0].contains("A5,road"));
    // Bikes to price come from a sheet too.
    let rows = vec![row(&["bike", "style"]), row(&["X1", "road"])];
    workshop.file("bikes.ods", ods(&[("S", rows)]));
    workshop.run(&["price", "--from", "@bikes.ods"]).done();
}

#[test]
fn a_formula_without_its_value_is_refused_and_not_empty() {
    // As a program writes a sheet that does not work formulas out.
    let workbook = xlsx(&[("Mine", cells("bike,style,parts\n1,road,7\n2,city,8\n"))]);
    let without = |sheet: &str| sheet.replace("<v>8</v>", "<f>3+5</f>");
    let ods = |last: &str| {
        let text = |text: &str| {
            format!(
                "<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
            )
        };
        let row =
            |cells: [String; 3]| format!("<table:table-row>{}</table:table-row>", cells.concat());
        let head = row(["bike", "style", "parts"].map(text));
        let rows = head + &row([text("1"), text("road"), text("7")]);
        let rows = rows + &row([text("2"), text("city"), last.to_string()]);
        ods_of(&format!(
            "<table:table table:name=\"Mine\">{rows}</table:table>"
        ))
    };
    let workshop = Workshop::new();
    workshop.file("mine.xlsx", with_sheet(&workbook, without));
    workshop.file(
        "mine.ods",
        ods("<table:table-cell table:formula=\"of:=3+5\"/>"),
    );
    for name in ["@mine.xlsx", "@mine.ods"] {
        let said = [
            "cell C3",
            "a value, not a formula without its value",
            "Open the file in the spreadsheet and save it",
        ];
        workshop.refuses(&["import", "sales", name], &said);
    }
    // One that gives a text of nothing is empty.
    let empty = |sheet: &str| {
        let sheet = sheet.replace("<c r=\"C3\"", "<c r=\"C3\" t=\"str\"");
        sheet.replace("<v>8</v>", "<f>\"\"</f><v></v>")
    };
    workshop.file("mine.xlsx", with_sheet(&workbook, empty));
    workshop.run(&["import", "sales", "@mine.xlsx"]).done();
    let formula = "<table:table-cell table:formula=\"of:=T(1)\" office:value-type=\"string\"/>";
    workshop.file("mine.ods", ods(formula));
    let output = workshop.run(&["import", "sales", "@mine.ods"]).done();
    assert!(output.out.contains("2 unchanged"), "{}", output.out);
}

/// A workbook whose sheet's text is another.
fn with_sheet(workbook: &[u8], change: impl Fn(&str) -> String) -> Vec<u8> {
    let mut zip = zip::ZipArchive::new(std::io::Cursor::new(workbook)).unwrap();
    let names: Vec<String> = zip
        .file_names()
        .map(|name| name.unwrap().into_owned())
        .collect();
    let mut parts: Vec<(String, Vec<u8>)> = Vec::new();
    for name in names {
        let mut part = Vec::new();
        std::io::copy(&mut zip.by_name(&name).unwrap(), &mut part).unwrap();
        if name == "xl/worksheets/sheet1.xml" {
            let sheet = String::from_utf8(part).unwrap();
            let changed = change(&sheet);
            assert_ne!(changed, sheet);
            part = changed.into_bytes();
        }
        parts.push((name, part));
    }
    let parts: Vec<(&str, &[u8])> = parts.iter().map(|(n, p)| (n.as_str(), &p[..])).collect();
    zipped(&parts)
}

#[test]
fn the_currency_of_a_number_format_is_seen_wherever_it_stands() {
    let sheet = |format: &'static str| {
        let rows = vec![
            row(&["bike", "style", "parts"]),
            vec![text("1"), text("road"), Cell::Shown(15.0, format)],
        ];
        xlsx(&[("Mine", rows)])
    };
    let workshop = Workshop::new();
    for format in [
        "\"USD\" 0.00",
        "0.00 \"CHF\"",
        "[Red]#,##0.00 \"kr\"",
        "[$-407]#,##0.00 £",
        "\"$\"#,##0.00",
    ] {
        workshop.file("mine.xlsx", sheet(format));
        workshop.refuses(&["import", "sales", "@mine.xlsx"], &["cell C2", "EUR"]);
    }
    for format in ["0.00 \"€\"", "$0.00", "0.0 \"pieces\"", "0.00 _£"] {
        workshop.file("mine.xlsx", sheet(format));
        workshop.run(&["import", "sales", "@mine.xlsx"]).done();
    }
}
