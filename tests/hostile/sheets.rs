//! Spreadsheets that mean harm, or were harmed on their way.

use crate::support::sheets::{Cell, cells, ods, ods_of, xlsx, zipped};
use crate::support::workshop::Workshop;
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

const SALES: &str = "bike,style,ask,bought_on\nA1,road,120.5,2025-03-04\nA2,city,90,2025-03-05\n";

fn refused(name: &str, bytes: impl AsRef<[u8]>, said: &[&str]) {
    let workshop = Workshop::new();
    let at = format!("@{name}");
    workshop.file(name, bytes);
    workshop.refuses(&["import", "sales", &at], said);
}

/// The parts of a workbook with this as the first sheet.
fn with_sheet<'a>(sheet: &'a str, more: &[(&'a str, &'a [u8])]) -> Vec<u8> {
    let rels = b"<Relationships><Relationship Id=\"r\" Type=\"t/relationships/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>";
    let sheets = b"<Relationships><Relationship Id=\"s\" Type=\"t/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>";
    let book =
        b"<workbook><sheets><sheet name=\"S\" sheetId=\"1\" r:id=\"s\"/></sheets></workbook>";
    let mut parts: Vec<(&str, &[u8])> = vec![
        ("_rels/.rels", rels),
        ("xl/workbook.xml", book),
        ("xl/_rels/workbook.xml.rels", sheets),
        ("xl/worksheets/sheet1.xml", sheet.as_bytes()),
    ];
    parts.extend(more);
    zipped(&parts)
}

const ROWS: &str = "<row r=\"1\"><c t=\"str\"><v>bike</v></c><c t=\"str\"><v>style</v></c></row>\
    <row r=\"2\"><c t=\"str\"><v>A1</v></c><c t=\"str\"><v>road</v></c></row>";

#[test]
fn a_workbook_that_unpacks_beyond_all_measure_is_refused() {
    let blanks = " ".repeat(1 << 26);
    let bomb = with_sheet(
        &format!("<worksheet><sheetData>{blanks}</sheetData></worksheet>"),
        &[],
    );
    assert!(bomb.len() < 1 << 17);
    let said = ["unpacked it would grow beyond all measure"];
    refused("bomb.xlsx", &bomb, &said);
    // The same when it says of itself that it is small.
    let mut lie = bomb.clone();
    let size = (blanks.len() + "<worksheet><sheetData></sheetData></worksheet>".len()) as u32;
    let (told, small) = (size.to_le_bytes(), 1000_u32.to_le_bytes());
    let mut at = 0;
    while at + 4 <= lie.len() {
        if lie[at..at + 4] == told {
            lie[at..at + 4].copy_from_slice(&small);
        }
        at += 1;
    }
    assert!(lie != bomb);
    refused("lie.xlsx", lie, &["cannot be read as a spreadsheet"]);
    // Texts and styles for which room would be made on their word.
    let sheet = format!("<worksheet><sheetData>{ROWS}</sheetData></worksheet>");
    let count = b"<sst uniqueCount=\"99999999999\"></sst>";
    refused(
        "count.xlsx",
        with_sheet(&sheet, &[("xl/sharedStrings.xml", count)]),
        &["damaged"],
    );
    let styles = format!(
        "<styleSheet><fonts><font><name val=\"{}\"/></font></fonts></styleSheet>",
        "A".repeat(10_000)
    );
    refused(
        "styles.xlsx",
        with_sheet(&sheet, &[("xl/styles.xml", styles.as_bytes())]),
        &said,
    );
    // It is they: without them it is read.
    let workshop = Workshop::new();
    workshop.file("sound.xlsx", with_sheet(&sheet, &[]));
    workshop.run(&["import", "sales", "@sound.xlsx"]).done();
}

#[test]
fn a_million_empty_rows_cost_nothing() {
    let far = "<row r=\"1048576\"><c r=\"A1048576\" t=\"str\"><v>A2</v></c><c r=\"B1048576\" t=\"str\"><v>city</v></c></row>";
    let sheet = format!(
        "<worksheet><dimension ref=\"A1:XFD1048576\"/><sheetData>{ROWS}{far}</sheetData></worksheet>"
    );
    let workshop = Workshop::new();
    workshop.file("far.xlsx", with_sheet(&sheet, &[]));
    let output = workshop.run(&["import", "sales", "@far.xlsx"]).done();
    assert!(output.out.contains("2 rows added"), "{}", output.out);
    for (rows, columns) in [
        (1_048_570_u64, 16_000_u64),
        (4_000_000_000, 4_000_000_000),
        (1 << 40, 1),
    ] {
        let table = format!(
            "<table:table table:name=\"S\"><table:table-row table:number-rows-repeated=\"{rows}\"><table:table-cell \
             table:number-columns-repeated=\"{columns}\"><text:p>x</text:p></table:table-cell></table:table-row></table:table>"
        );
        refused(
            "many.ods",
            ods_of(&table),
            &["cannot be read as a spreadsheet"],
        );
    }
}

#[test]
fn entities_are_not_followed_and_tables_end() {
    let entities = "<!DOCTYPE x [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>";
    let rows = ROWS.replace("A1</v>", "&b;</v>");
    let sheet = format!("{entities}<worksheet><sheetData>{rows}</sheetData></worksheet>");
    refused(
        "entity.xlsx",
        with_sheet(&sheet, &[]),
        &["cannot be read as a spreadsheet"],
    );
    let cell = "<table:table table:name=\"S\"><table:table-row><table:table-cell><text:p>&b;</text:p></table:table-cell></table:table-row></table:table>";
    refused("entity.ods", ods_of(cell), &["an entity of its own"]);
    let open = zipped(&[
        (
            "mimetype",
            b"application/vnd.oasis.opendocument.spreadsheet",
        ),
        (
            "content.xml",
            b"<office:document-content><table:table table:name=\"S\"><table:table-row>",
        ),
    ]);
    refused("open.ods", open, &["not written to its end"]);
}

#[test]
fn what_is_locked_or_another_kind_says_what_to_do() {
    let mut locked = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1".to_vec();
    locked.extend("EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes));
    let said = [
        "protected with a password",
        "Save a copy without a password",
    ];
    refused("locked.xlsx", locked, &said);
    let manifest = b"<manifest:manifest><manifest:encryption-data/></manifest:manifest>";
    let mime = b"application/vnd.oasis.opendocument.spreadsheet";
    let locked = zipped(&[
        ("mimetype", mime),
        ("META-INF/manifest.xml", manifest),
        ("content.xml", b"?"),
    ]);
    refused("locked.ods", locked, &said);
    refused(
        "old.xls",
        b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1",
        &["(.xls)", "Save it as .xlsx, .ods or CSV"],
    );
    let parts = [
        ("xl/workbook.bin", "(.xlsb)"),
        ("Index/Document.iwa", "a way of its own"),
        ("word/document.xml", "a text document"),
        ("sales.csv", "without a spreadsheet in it"),
    ];
    for (name, said) in parts {
        refused("other.xlsx", zipped(&[(name, b"x")]), &[said]);
    }
    refused(
        "page.xls",
        "<html><table></table></html>",
        &["a page of the web", "Open it in a spreadsheet"],
    );
}

#[test]
fn macros_and_links_are_left_alone() {
    let sheet = format!("<worksheet><sheetData>{ROWS}</sheetData></worksheet>");
    let link = b"<externalLink><externalBook r:id=\"x\"/></externalLink>";
    let more: [(&str, &[u8]); 2] = [
        ("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0 not a project"),
        ("xl/externalLinks/externalLink1.xml", link),
    ];
    let workshop = Workshop::new();
    workshop.file("macros.xlsm", with_sheet(&sheet, &more));
    workshop.run(&["import", "sales", "@macros.xlsm"]).done();
}

/// Workbooks with bytes changed, cut and put in: each is read or refused, never more.
#[test]
fn harmed_workbooks_are_read_or_refused() {
    let mut random = ChaCha8Rng::seed_from_u64(20_260_502);
    let plain = ods_of(
        "<table:table table:name=\"S\"><table:table-row><table:table-cell><text:p>bike</text:p></table:table-cell></table:table-row></table:table>",
    );
    let sound = [
        xlsx(&[
            ("S", cells(SALES)),
            ("T", vec![vec![Cell::Shown(0.5, "0%")]]),
        ]),
        ods(&[("S", cells(SALES))]),
        plain,
    ];
    let workshop = Workshop::new();
    let before = workshop.book_bytes();
    let (mut read, mut told) = (0, 0);
    for round in 0..600 {
        let mut bytes = sound[round % sound.len()].clone();
        for _ in 0..random.random_range(1..6) {
            let at = random.random_range(4..bytes.len());
            match random.random_range(0..4) {
                0 => bytes[at] = random.random(),
                1 => bytes[at] ^= 1 << random.random_range(0..8),
                2 => bytes.truncate(at.max(8)),
                _ => {
                    let length = random.random_range(1..20).min(bytes.len() - at);
                    bytes.drain(at..at + length);
                }
            }
            if bytes.len() < 10 {
                break;
            }
        }
        workshop.file("harmed.xlsx", &bytes);
        let output = workshop.run(&[
            "import",
            "sales",
            "@harmed.xlsx",
            "--dry-run",
            "--sheet",
            "S",
        ]);
        match output.code {
            0 => read += 1,
            1 => {
                told += 1;
                assert!(
                    output.err.starts_with("error: ") && output.err.contains("help: "),
                    "{}",
                    output.err
                );
            }
            code => panic!("exit status {code}: {}", output.err),
        }
        assert!(workshop.book_bytes() == before, "round {round}");
    }
    assert!(read > 0 && told > 100, "{read} read, {told} refused");
}
