//! The page in HTML. With `WHEELWORTH_PAGES=FOLDER` the pages are written there,
//! to be looked at in a browser (`.ci/report-page` does).

use super::made_up::{self, HOSTILE, currency};
use wheelworth::accounts::QuarterReport;
use wheelworth::report::quarter::audience::Audience;
use wheelworth::report::quarter::page::html::render;
use wheelworth::trade::Currency;

/// The pages that a browser is to be shown.
fn pages() -> Vec<(&'static str, QuarterReport, Audience, Currency)> {
    let (euro, dinar, yen) = (currency("EUR"), currency("KWD"), currency("JPY"));
    let (whole, beneficiary) = (Audience::Whole, Audience::Beneficiary);
    let workshop = Audience::Workshop;
    vec![
        ("usual", made_up::usual(), whole, euro),
        ("for-beneficiary", made_up::usual(), beneficiary, euro),
        ("for-workshop", made_up::usual(), workshop, euro),
        ("rich", made_up::rich(), whole, euro),
        ("by-price", made_up::by_price(), whole, dinar),
        ("empty", made_up::empty(), whole, yen),
        ("many", made_up::many(500), whole, euro),
    ]
}

#[test]
fn every_page_is_one_small_file() {
    for (name, report, audience, currency) in pages() {
        let page = render(&report, audience, &currency).unwrap();
        let again = render(&report, audience, &currency).unwrap();
        assert!(page == again, "{name} differs from itself");
        assert!(page.starts_with("<!DOCTYPE html><html lang=\"en\">"));
        assert!(page.ends_with("</html>"), "{name}");
        assert!(page.len() < 300_000, "{name}: {} bytes", page.len());
        for loaded in [
            "<script", "<link", "<img", "src=", "url(", "@import", "http:", "https:",
        ] {
            assert!(!page.contains(loaded), "{name} has {loaded}");
        }
        if let Some(folder) = std::env::var_os("WHEELWORTH_PAGES") {
            let folder = std::path::Path::new(&folder);
            std::fs::create_dir_all(folder).unwrap();
            std::fs::write(folder.join(format!("{name}.html")), page).unwrap();
        }
    }
}

/// What follows each `<tag` of the page, to the end of the tag.
fn tags<'a>(page: &'a str, tag: &str) -> Vec<&'a str> {
    let tag = format!("<{tag}");
    let named = page.split(tag.as_str()).skip(1);
    let named = named.filter(|rest| rest.starts_with([' ', '>']));
    named.map(|rest| rest.split('>').next().unwrap()).collect()
}

#[test]
fn tables_and_pictures_can_be_read_aloud() {
    for (name, report, audience, currency) in pages() {
        let page = render(&report, audience, &currency).unwrap();
        assert_eq!(tags(&page, "h1").len(), 1, "{name}");
        let headings: Vec<u8> = page
            .split("<h")
            .filter_map(|rest| rest.bytes().next().filter(u8::is_ascii_digit))
            .collect();
        for pair in headings.windows(2) {
            assert!(pair[1] <= pair[0] + 1, "{name}: {headings:?}");
        }
        let tables = tags(&page, "table").len();
        assert_eq!(tags(&page, "caption").len(), tables, "{name}");
        for head in tags(&page, "th") {
            assert!(head.contains("scope="), "{name}: <th{head}>");
        }
        for picture in tags(&page, "svg") {
            assert!(picture.contains("role=\"img\" aria-label=\""), "{name}");
        }
        let pictures = tags(&page, "figure").len();
        assert_eq!(tags(&page, "figcaption").len(), pictures, "{name}");
    }
}

#[test]
fn what_was_typed_stays_text() {
    let page = render(&made_up::rich(), Audience::Whole, &currency("EUR")).unwrap();
    let shown = HOSTILE.replace('&', "&amp;").replace('<', "&lt;");
    let shown = shown.replace('>', "&gt;").replace('"', "&quot;");
    assert!(page.contains(&format!("<th scope=\"row\">{shown}</th>")));
    assert!(page.contains("supply: =grease &amp; &lt;b&gt;cloths&lt;/b&gt;"));
}

#[test]
fn each_reader_has_the_own_part() {
    let page = |audience| render(&made_up::usual(), audience, &currency("EUR")).unwrap();
    let (whole, beneficiary, workshop) = (
        page(Audience::Whole),
        page(Audience::Beneficiary),
        page(Audience::Workshop),
    );
    let parts = |page: &str| {
        let has = |id: &str| page.contains(&format!("<section class=\"part\" id=\"{id}\""));
        (has("beneficiary"), has("workshop"))
    };
    assert_eq!(parts(&whole), (true, true));
    assert_eq!(parts(&beneficiary), (true, false));
    assert_eq!(parts(&workshop), (false, true));
    // The part is the same wherever it stands.
    let section = |page: &str| {
        let start = page
            .find("<section class=\"part\" id=\"beneficiary\"")
            .unwrap();
        let end = start + page[start..].find("</section>").unwrap();
        page[start..end].to_string()
    };
    assert_eq!(section(&whole), section(&beneficiary));
}

#[test]
fn the_page_says_what_it_is_about() {
    let said = |report: &QuarterReport, words: &[&str]| {
        let page = render(report, Audience::Whole, &currency("EUR")).unwrap();
        for words in words {
            assert!(page.contains(words), "{words} is not in\n{page}");
        }
    };
    let thanks = "Thank you, Ferry Lane Reading Room, for the work that the 235.00 EUR handed over in this quarter";
    said(
        &made_up::usual(),
        &["<h2 id=\"for\">For Ferry Lane Reading Room</h2>", thanks],
    );
    said(
        &made_up::rich(),
        &[
            "<dt>= given ahead</dt><dd>-250.64</dd>",
            "(taken out of the records: a gift of 2026-Q1)",
            "The bikes' dues add up to the whole due, in which corrections of closed quarters are counted.",
        ],
    );
    said(
        &made_up::empty(),
        &[
            "No bike was sold in this quarter. 0.00 EUR became due",
            "Nothing was handed over",
        ],
    );
    let ends = "the 20 largest and the 20 smallest of 500";
    said(&made_up::many(500), &[ends, ">460 between them<"]);
    let mut closed = made_up::usual();
    closed.closed_on = Some(wheelworth::trade::Day::constant(2026, 7, 4));
    said(
        &closed,
        &["The quarter was closed on 4 July 2026: these figures stand."],
    );
}
