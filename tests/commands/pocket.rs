//! `pocket`: the page for the phone.

use crate::support::workshop::{ASKS, COMPS, SALES, Workshop};
use base64::Engine as _;
use serde_json::Value;
use sha2::Digest as _;
use std::collections::BTreeSet;

const COSTS: &str = include_str!("../../datasets/costs.csv");
const GIFTS: &str = include_str!("../../datasets/gifts.csv");

/// A workshop with all the shipped records.
fn whole() -> Workshop {
    let workshop = Workshop::giving_to("Ferry Lane Reading Room", &[]);
    let workshop = workshop.sales(SALES).comps(COMPS).asks(ASKS);
    for (kind, csv) in [("costs", COSTS), ("gifts", GIFTS)] {
        let name = format!("{kind}.csv");
        workshop.file(&name, csv);
        workshop.run(&["import", kind, &format!("@{name}")]).done();
    }
    workshop
}

/// Before the model, the model, and after it.
fn parts(page: &str) -> (&str, &str, &str) {
    let start = "<script type=\"application/json\" id=\"model\">";
    let (before, rest) = page.split_once(start).unwrap();
    let (model, after) = rest.split_once("</script>").unwrap();
    (before, model, after)
}

fn model(page: &str) -> Value {
    serde_json::from_str(parts(page).1).unwrap()
}

/// The policy in the head.
fn policy(page: &str) -> &str {
    let start = "<meta http-equiv=\"Content-Security-Policy\" content=\"";
    let rest = page.split_once(start).unwrap().1;
    rest.split_once('"').unwrap().0
}

#[test]
fn it_says_what_it_wrote_and_how_it_comes_to_a_phone() {
    let workshop = Workshop::busy();
    let output = workshop.run(&["pocket", "@pocket.html", "--margin", "40"]);
    let output = output.done();
    let size = workshop.text("pocket.html").len();
    assert!((50_000..=400_000).contains(&size), "{size}");
    let kilobytes = size.div_ceil(1000);
    let first = format!("Page: @pocket.html, {kilobytes} kB, prices of 2 May 2026.\n");
    assert!(output.out.starts_with(&first), "{}", output.out);
    for words in [
        "send the file to yourself and open it in the browser",
        "It rests on 45 sales of your own and 397 bikes seen for sale elsewhere.",
        "No sale, name, cost or note of yours is in it",
        "after 60 days",
    ] {
        assert!(output.out.contains(words), "'{words}' in\n{}", output.out);
    }
    let model = model(&workshop.text("pocket.html"));
    assert_eq!(model["made_on"], "2026-05-02");
    assert_eq!(model["currency"]["code"], "EUR");
    assert_eq!(model["rests_on"]["own_sales"], 45);
    assert_eq!(model["rests_on"]["comps"], 397);
    assert_eq!(model["margin"], 40);
    assert_eq!(model["value"]["level"], 0.8);
    assert!(model["value"]["eye"]["nodes"].as_array().unwrap().len() > 10);
    // It may be made anew in its place.
    workshop.run(&["pocket", "@pocket.html"]).done();
    let bytes = workshop.run(&["pocket", "@pocket.html", "--format", "json"]);
    let told = bytes.done().json();
    assert_eq!(told["page"]["bytes"], workshop.text("pocket.html").len());
    assert_eq!(told["site"], Value::Null);
}

#[test]
fn it_can_load_and_send_nothing_and_runs_its_own_script_alone() {
    let workshop = Workshop::busy();
    let words = ["pocket", "@pocket.html", "--site", "@site"];
    workshop.run(&words).done();
    for (name, may) in [
        ("pocket.html", &["data:"][..]),
        ("site/index.html", &["data:", "'self'"]),
    ] {
        let page = workshop.text(name);
        let policy = policy(&page);
        assert!(policy.starts_with("default-src 'none'; "), "{policy}");
        let script = page.rsplit_once("<script>").unwrap().1;
        let script = script.split_once("</script>").unwrap().0;
        let hash = sha2::Sha256::digest(script);
        let hash = base64::engine::general_purpose::STANDARD.encode(hash);
        let hash = format!("'sha256-{hash}'");
        let known = ["'none'", "'unsafe-inline'", hash.as_str()];
        for rule in policy.split(';') {
            let mut words = rule.split_whitespace();
            let of = words.next().unwrap();
            for from in words {
                let known = known.contains(&from) || may.contains(&from);
                assert!(known, "{of} {from}");
                assert!(from != "'unsafe-inline'" || of == "style-src", "{of}");
            }
        }
        assert!(policy.contains(&format!("script-src {hash};")), "{policy}");
        for outside in ["src=\"http", "href=\"http", "src=\"//", "url(http"] {
            assert!(!page.contains(outside), "{outside} in {name}");
        }
        for place in ["policy", "site", "style", "model", "script"] {
            assert!(!page.contains(&format!("<!-- {place} -->\n")), "{place}");
        }
    }
}

/// Texts of the cells in these columns, each once.
fn cells(csv: &str, columns: &[&str]) -> BTreeSet<String> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let header = reader.headers().unwrap().clone();
    let places: Vec<usize> = columns
        .iter()
        .map(|column| header.iter().position(|name| name == *column).unwrap())
        .collect();
    let rows = reader.records().map(Result::unwrap);
    let cells = rows.flat_map(|row| {
        let cells = places.iter().map(|place| row[*place].to_string());
        cells.collect::<Vec<_>>()
    });
    cells.filter(|cell| !cell.is_empty()).collect()
}

/// Every text and every number in it.
fn walk(value: &Value, texts: &mut Vec<String>, numbers: &mut Vec<f64>) {
    match value {
        Value::String(text) => texts.push(text.clone()),
        Value::Number(number) => numbers.push(number.as_f64().unwrap()),
        Value::Array(all) => all.iter().for_each(|one| walk(one, texts, numbers)),
        Value::Object(all) => all.iter().for_each(|(name, one)| {
            texts.push(name.clone());
            walk(one, texts, numbers);
        }),
        Value::Bool(_) | Value::Null => {}
    }
}

#[test]
fn no_record_of_the_book_is_in_it() {
    let workshop = whole();
    workshop.run(&["pocket", "@pocket.html"]).done();
    let page = workshop.text("pocket.html");
    // All but the model is the same for a book without a record.
    let other = Workshop::new();
    other.run(&["pocket", "@pocket.html"]).done();
    let empty = other.text("pocket.html");
    let ((before, _, after), (other_before, _, other_after)) = (parts(&page), parts(&empty));
    assert!(before == other_before && after == other_after);
    // No text of the records is among the model's, and no amount among its numbers.
    let (mut texts, mut numbers) = (Vec::new(), Vec::new());
    let mut model = model(&page);
    // Numbers of the page's own, not of the records: 60 days, 397 comps.
    for own in ["old_after_days", "rests_on"] {
        model.as_object_mut().unwrap().remove(own).unwrap();
    }
    walk(&model, &mut texts, &mut numbers);
    let mut private = cells(SALES, &["bike", "note"]);
    private.extend(cells(COSTS, &["item"]));
    private.extend(cells(GIFTS, &["beneficiary", "reference"]));
    private.extend(cells(COMPS, &["listing", "source"]));
    private.insert("Ferry Lane Reading Room".into());
    assert!(private.len() > 300, "{}", private.len());
    for one in &private {
        assert!(!texts.contains(one), "'{one}'");
        // A short one may be a part of another word.
        let within = texts
            .iter()
            .find(|text| one.len() > 12 && text.contains(one.as_str()));
        assert_eq!(within, None, "'{one}'");
    }
    let mut amounts = cells(SALES, &["ask", "sold_price", "purchase", "parts", "fees"]);
    amounts.extend(cells(COSTS, &["amount"]));
    amounts.extend(cells(GIFTS, &["amount"]));
    amounts.extend(cells(ASKS, &["ask"]));
    let amounts: Vec<f64> = amounts.iter().map(|cell| cell.parse().unwrap()).collect();
    assert!(amounts.len() > 50, "{}", amounts.len());
    // Below 50 a whole number may be the place of a fact, or 31 of 32 masks.
    for amount in amounts
        .iter()
        .filter(|amount| **amount >= 50.0 || amount.fract() != 0.0)
    {
        let same = |number: &&f64| (**number - amount).abs() < 1e-6;
        assert_eq!(numbers.iter().find(same), None, "{amount}");
        let logarithm = |number: &&f64| (**number - amount.ln()).abs() < 1e-7;
        assert_eq!(numbers.iter().find(logarithm), None, "ln {amount}");
    }
}

#[test]
fn repairs_have_their_usual_costs_in_words_of_ours() {
    let workshop = whole();
    workshop.run(&["pocket", "@pocket.html"]).done();
    let repairs = &model(&workshop.text("pocket.html"))["repairs"];
    let jobs: Vec<&str> = repairs
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["job"].as_str().unwrap())
        .collect();
    assert_eq!(jobs, ["cables", "chain and sprockets"], "{repairs}");
    assert!(repairs[1]["cost"].as_f64().unwrap() > repairs[0]["cost"].as_f64().unwrap());
}

#[test]
fn a_book_without_a_record_has_the_guess_of_the_trade() {
    let workshop = Workshop::new();
    let output = workshop.run(&["pocket", "@pocket.html"]).done();
    assert!(output.out.contains("no records yet"), "{}", output.out);
    let told = model(&workshop.text("pocket.html"));
    assert_eq!(told["rests_on"]["own_sales"], 0);
    assert_eq!(told["value"]["components"].as_array().unwrap().len(), 7);
    let says = told["book_says"][0].as_str().unwrap();
    assert!(says.starts_with("Our guess, not your market"), "{says}");
    // Of this currency not even a guess is known.
    let workshop = Workshop::in_currency("KWD");
    let output = workshop.run(&["pocket", "@pocket.html"]).done();
    let words = "a bike can be given a value only if its new price is known";
    assert!(output.out.contains(words), "{}", output.out);
    let told = model(&workshop.text("pocket.html"));
    assert_eq!(told["value"]["components"].as_array().unwrap().len(), 0);
    assert_eq!(told["currency"]["decimals"], 3);
}

#[test]
fn the_wishes_and_the_level_count() {
    let workshop = Workshop::busy();
    let told = |words: &[&str]| {
        workshop
            .run(&[&["pocket", "@pocket.html"], words].concat())
            .done();
        model(&workshop.text("pocket.html"))
    };
    let present = |told: &Value| {
        let cells = told["plan"]["present"].as_array().unwrap().clone();
        cells.last().unwrap().as_f64().unwrap()
    };
    let (usual, patient) = (told(&[]), told(&["--week-cost", "0.5", "--level", "0.5"]));
    assert!(present(&patient) > present(&usual) + 0.02);
    assert_eq!(patient["value"]["level"], 0.5);
    // What is kept in the book counts from then on.
    let hasty = told(&["--week-cost", "10", "--keep"]);
    assert!(present(&hasty) < present(&usual) - 0.02);
    assert_eq!(told(&[])["plan"], hasty["plan"]);
}

#[test]
fn a_site_is_the_page_with_what_keeps_it_on_the_phone() {
    let workshop = Workshop::busy();
    let output = workshop.run(&["pocket", "--site", "@site"]).done();
    assert!(
        output
            .out
            .contains("put the folder on any web space with https")
    );
    let entries = std::fs::read_dir(workshop.path("site")).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    let expected = [
        "icon.png",
        "icon.svg",
        "index.html",
        "manifest.webmanifest",
        "worker.js",
    ];
    assert_eq!(names, expected);
    let page = workshop.text("site/index.html");
    assert!(page.contains("<link rel=\"manifest\" href=\"manifest.webmanifest\">"));
    let manifest: Value =
        serde_json::from_str(&workshop.text("site/manifest.webmanifest")).unwrap();
    assert_eq!(manifest["start_url"], "index.html");
    // Every icon that is named is there and of the size that is said.
    let head = std::fs::read(workshop.path("site/icon.png")).unwrap()[..24].to_vec();
    assert_eq!(&head[1..4], b"PNG");
    assert_eq!(head[16..], [0, 0, 2, 0, 0, 0, 2, 0]);
    for icon in manifest["icons"].as_array().unwrap() {
        let (name, sizes) = (icon["src"].as_str().unwrap(), icon["sizes"].as_str());
        assert!(names.iter().any(|there| there == name), "{name}");
        assert_eq!(sizes.unwrap() == "512x512", name == "icon.png");
    }
    assert!(page.contains("<link rel=\"apple-touch-icon\" href=\"icon.png\">"));
    // A page made anew has another store, the same page the same.
    let worker = workshop.text("site/worker.js");
    assert!(!worker.contains("{{HASH}}"));
    workshop.run(&["pocket", "--site", "@site"]).done();
    assert_eq!(workshop.text("site/worker.js"), worker);
    workshop
        .run(&["pocket", "--site", "@site", "--margin", "25"])
        .done();
    assert_ne!(workshop.text("site/worker.js"), worker);
}

#[test]
fn nothing_else_is_replaced() {
    let workshop = Workshop::busy();
    workshop.file("notes.html", "my notes");
    let said = [
        "is there already and is no page of this kind",
        "Name another file",
    ];
    workshop.refuses(&["pocket", "@notes.html"], &said);
    assert_eq!(workshop.text("notes.html"), "my notes");
    // Another page is none of this kind, neither alone nor on a web space.
    workshop.file("other.html", "<!DOCTYPE html><title>Mine</title>");
    workshop.refuses(&["pocket", "@other.html"], &said[..1]);
    let said = [
        "notes.html",
        "is no folder",
        "Name another folder for --site",
    ];
    workshop.refuses(&["pocket", "--site", "@notes.html"], &said);
    std::fs::create_dir(workshop.path("site")).unwrap();
    workshop.file("site/worker.js", "self.mine = 1;");
    workshop.refuses(
        &["pocket", "--site", "@site"],
        &["worker.js", "is there already"],
    );
    // Another picture of that name is somebody's own.
    std::fs::create_dir(workshop.path("pictures")).unwrap();
    workshop.file("pictures/icon.png", b"\x89PNG of mine");
    workshop.refuses(
        &["pocket", "--site", "@pictures"],
        &["icon.png", "is there already"],
    );
    // Refused before anything is written.
    workshop.refuses(&["pocket", "@new.html", "--site", "@site"], &["worker.js"]);
    workshop.run(&["pocket"]).says(2, &["FILE.html"]);
    for (flag, value, said) in [
        ("--level", "1", "expected a probability"),
        ("--margin", "-5", "--margin '-5'"),
        ("--week-cost", "80", "expected a percentage"),
    ] {
        workshop
            .run(&["pocket", "@new.html", flag, value])
            .says(2, &[said]);
    }
    assert!(!workshop.files().contains(&"new.html".to_string()));
}
