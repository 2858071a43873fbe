//! `accuracy` tells each sale without itself, and beforehand without anything later.

use super::accuracy::{cell, json, number, young};
use crate::support::tolerance::assert_near;
use crate::support::workshop::{ASKS, COMPS, SALES, Workshop};
use serde_json::Value;

/// The shipped comps as they were known before a day: none that were first seen
/// later, and the others as they were first seen where they were seen again later.
fn comps_known_before(day: &str) -> String {
    let mut reader = csv::Reader::from_reader(COMPS.as_bytes());
    let header = reader.headers().unwrap().clone();
    let at = |name: &str| header.iter().position(|column| column == name).unwrap();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&header).unwrap();
    for row in reader.records() {
        let mut cells: Vec<String> = row.unwrap().iter().map(String::from).collect();
        let not_before = |name: &str| cells[at(name)].as_str() >= day;
        assert!(!cells[at("first_seen")].is_empty(), "{cells:?}");
        if not_before("first_seen") {
            continue;
        }
        if not_before("ended_on") || not_before("last_seen") {
            for name in ["last_ask", "ended_on", "sold_price", "last_seen"] {
                cells[at(name)].clear();
            }
            cells[at("outcome")] = "listed".into();
        }
        writer.write_record(&cells).unwrap();
    }
    String::from_utf8(writer.into_inner().unwrap()).unwrap()
}

/// The back-test of a sale says what `accuracy` says of it in a book that ends
/// on the day before its listing, where nothing later was ever written.
#[test]
fn a_back_test_knows_nothing_later() {
    let whole = json(&Workshop::busy(), &[]);
    let sales = whole["sales"].as_array().unwrap();
    for bike in ["B-12", "B-30", "B-41"] {
        let told = sales.iter().find(|sale| sale["bike"] == bike).unwrap();
        let listed = told["listed_on"].as_str().unwrap();
        // Everything of that day and later is taken out of the files by hand.
        let sold: Vec<String> = SALES
            .lines()
            .enumerate()
            .filter_map(|(line, row)| {
                if line == 0 {
                    return Some(row.to_string());
                }
                let on = cell(row, "sold_on");
                (!on.is_empty() && on < listed).then(|| row.to_string())
            })
            .collect();
        let comps = comps_known_before(listed);
        let asks: Vec<&str> = ASKS
            .lines()
            .enumerate()
            .filter(|(line, row)| {
                let (id, on) = (
                    row.split(',').next().unwrap(),
                    row.split(',').nth(1).unwrap(),
                );
                let kept = sold.iter().any(|sale| sale.split(',').next() == Some(id));
                *line == 0 || (kept && on < listed)
            })
            .map(|(_, row)| row)
            .collect();
        let text = |rows: &[String]| rows.join("\n") + "\n";
        let row = SALES
            .lines()
            .find(|row| row.starts_with(&format!("{bike},")))
            .unwrap();
        let before = Workshop::new()
            .sales(&text(&sold))
            .comps(&comps)
            .asks(&(asks.join("\n") + "\n"));
        let day = listed
            .parse::<wheelworth::trade::Day>()
            .unwrap()
            .yesterday()
            .unwrap();
        // Priced as a bike that is to be listed on the next day.
        let mut flags = vec!["--style", cell(row, "style")];
        for (flag, column) in [
            ("--made", "made"),
            ("--condition", "condition"),
            ("--tier", "tier"),
            ("--new-price", "new_price"),
        ] {
            if !cell(row, column).is_empty() {
                flags.extend([flag, cell(row, column)]);
            }
        }
        // A note may hold a comma; the guess is last.
        let guess = row.rsplit(',').next().filter(|guess| !guess.is_empty());
        flags.extend(guess.iter().flat_map(|guess| ["--guess", guess]));
        let tube = format!("{}cm", cell(row, "seat_tube"));
        if tube != "cm" {
            flags.extend(["--seat-tube", &tube]);
        }
        let day = day.to_string();
        let words = [&["--as-of", &day, "price", "--format", "json"], &flags[..]].concat();
        let priced = before.run(&words).done().json();
        let value = &priced["bikes"][0]["value"];
        // The day of the listing is one later than that of the answer: season and
        // age move by a day, a few parts in ten thousand.
        for end in ["median", "low", "high"] {
            let (told, priced) = (number(&told["back_test"][end]), number(&value[end]));
            assert_near(&format!("{bike} {end}"), told, priced, 2e-3 * priced);
        }
    }
}

/// What a sale brought is not in what is told of it, nor in what was told of any
/// bike listed before it was sold; of the others it is, when all are used.
#[test]
fn a_sale_is_told_without_itself_and_without_later_ones() {
    let row = SALES.lines().find(|row| row.starts_with("B-09,")).unwrap();
    let price = format!(",{},", cell(row, "sold_price"));
    assert_eq!(row.matches(&price).count(), 1);
    let workshop = young();
    let before = json(&workshop, &[]);
    let header = SALES.lines().next().unwrap();
    let dearer = row.replace(&price, ",320.00,");
    let after = json(&workshop.sales(&format!("{header}\n{dearer}\n")), &[]);
    let sales = |of: &Value| of["sales"].as_array().unwrap().clone();
    let sold_on = cell(row, "sold_on");
    let (mut earlier, mut moved) = (0, 0);
    for (old, new) in sales(&before).iter().zip(sales(&after)) {
        assert_eq!(old["bike"], new["bike"]);
        let own = old["bike"] == "B-09";
        if own {
            assert_ne!(old["sold_price"], new["sold_price"]);
            assert_eq!(old["leave_one_out"], new["leave_one_out"]);
        } else {
            moved += usize::from(old["leave_one_out"] != new["leave_one_out"]);
        }
        if own
            || old["listed_on"]
                .as_str()
                .is_some_and(|listed| listed <= sold_on)
        {
            assert_eq!(old["back_test"], new["back_test"], "{}", old["bike"]);
            earlier += 1;
        }
    }
    assert!(earlier > 5 && moved > 10, "{earlier}, {moved}");
}
