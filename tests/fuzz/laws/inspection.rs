//! Filled-in inspection sheets: the file alone.

use super::TODAY;
use super::reading::{read, read_soundly};
use std::collections::BTreeSet;
use wheelworth::intake::{InspectionSheet, Kind as _, Settings, SheetRow, with_guard};
use wheelworth::pricing::inspection::{State, assess};
use wheelworth::report::inspection::{json, text};
use wheelworth::trade::Currency;
use wheelworth::trade::inspection::{CheckResult, Finding, Holds, Item, Measure, Sheet, items};

pub fn check(data: &[u8]) {
    let settings = Settings::new(Currency::from_code("EUR").unwrap(), TODAY);
    let found = read_soundly::<InspectionSheet>(data, &settings);
    let rows = found.records().filter_map(|row| match row {
        SheetRow::Heading => None,
        SheetRow::Item { item, finding } => Some((*item, finding.clone())),
    });
    let rows: Vec<(&'static Item, Finding)> = rows.collect();
    for (item, finding) in &rows {
        fits(item, finding);
    }
    comes_back(&rows, &settings);
    let mut sheet = Sheet::new();
    for (item, finding) in rows {
        sheet.put(item, finding);
    }
    judged(&sheet);
}

fn fits(item: &'static Item, finding: &Finding) {
    let Finding {
        result, measure, ..
    } = finding;
    match item.holds {
        Holds::Check(check) => {
            assert!(
                measure.is_none() || check.limit.is_some(),
                "{}: {finding:?}",
                item.name
            );
            assert!(
                measure.is_none() || *result != CheckResult::NotFitted,
                "{finding:?}"
            );
        }
        Holds::Fact(_) => assert_eq!(*result, CheckResult::Unchecked, "{}", item.name),
    }
    // The book keeps a measure as its text.
    if let Some(measure) = measure {
        assert_eq!(
            Measure::read(item, &measure.to_string()).as_ref(),
            Some(measure)
        );
    }
    if let Some(Measure::Length(value) | Measure::Percent(value)) = measure {
        assert!((0..=8000).contains(value), "{}: {value}", item.name);
    }
}

/// What is read and written is read as the same.
fn comes_back(rows: &[(&'static Item, Finding)], settings: &Settings) {
    if rows.is_empty() {
        return;
    }
    let mut file = csv::Writer::from_writer(Vec::new());
    file.write_record(InspectionSheet::FIELDS.iter().map(|field| field.name))
        .unwrap();
    for (item, finding) in rows {
        let measure = finding
            .measure
            .as_ref()
            .map(Measure::to_string)
            .unwrap_or_default();
        let note = finding.note.clone().unwrap_or_default();
        let cells = [
            item.name,
            "",
            finding.result.word(),
            &with_guard(&measure),
            &with_guard(&note),
        ];
        file.write_record(cells).unwrap();
    }
    let again = read::<InspectionSheet>(&file.into_inner().unwrap(), settings);
    let expected = rows.iter().map(|(item, finding)| SheetRow::Item {
        item,
        finding: finding.clone(),
    });
    let expected: Vec<SheetRow> = expected.collect();
    assert_eq!(
        again.records().collect::<Vec<_>>(),
        expected.iter().collect::<Vec<_>>()
    );
}

fn judged(sheet: &Sheet) {
    let found = assess(sheet);
    let open: BTreeSet<&str> = found.gates.iter().map(|gate| gate.item.name).collect();
    // A gate that nobody ticked, or that failed, is open.
    for item in items().filter(|item| item.is_gate()) {
        let closed = matches!(
            sheet.result(item.name),
            CheckResult::Pass | CheckResult::NotFitted
        );
        assert!(
            closed || open.contains(item.name),
            "{} is not open",
            item.name
        );
    }
    assert!(!found.ready || (open.is_empty() && found.road_test == State::Pass));
    let json = json::json(&found, sheet).expect("every sheet can be told");
    let json: serde_json::Value = serde_json::from_str(&json).expect("it is JSON");
    assert_eq!(json["ready"], found.ready);
    assert_eq!(
        json["condition"],
        serde_json::json!(found.condition.map(wheelworth::trade::Condition::grade))
    );
    let text = text::text(&found, sheet, "it");
    assert!(
        found.ready || !text.to_lowercase().contains("ready to ride"),
        "{text}"
    );
}
