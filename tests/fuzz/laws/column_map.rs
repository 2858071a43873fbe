//! Maps of columns: the kind by the first byte, the currency and the order of dates
//! by the second; then lines as they are typed behind `--column`, or behind
//! `--ignore` with a `!` in front; after an empty line the file.

use super::reading::{read, read_soundly};
use super::{choice, settings};
use std::collections::HashSet;
use std::fmt::Debug;
use wheelworth::intake::{
    Asks, Bikes, Comps, Costs, DateCodes, Gifts, InspectionSheet, Jobs, Kind, Parts, Sales,
    Settings, column_pair,
};

pub fn check(data: &[u8]) {
    let [kind, how, rest @ ..] = data else { return };
    let Some(end) = rest.windows(2).position(|two| two == b"\n\n") else {
        return;
    };
    let Ok(map) = std::str::from_utf8(&rest[..end]) else {
        return;
    };
    let mut settings = settings(*how);
    for line in map.split('\n') {
        match line.strip_prefix('!') {
            Some(ignored) => settings.ignore.push(ignored.to_string()),
            None => settings.columns.extend(pair(line)),
        }
    }
    let file = &rest[end + 2..];
    match choice(*kind, 10) {
        0 => mapped::<Sales>(file, &settings),
        1 => mapped::<Comps>(file, &settings),
        2 => mapped::<Asks>(file, &settings),
        3 => mapped::<Costs>(file, &settings),
        4 => mapped::<Gifts>(file, &settings),
        5 => mapped::<Bikes>(file, &settings),
        6 => mapped::<InspectionSheet>(file, &settings),
        7 => mapped::<Jobs>(file, &settings),
        8 => mapped::<Parts>(file, &settings),
        _ => mapped::<DateCodes>(file, &settings),
    }
}

/// A pair has two sides, which are those of the text.
fn pair(line: &str) -> Option<(String, String)> {
    let pair = column_pair(line);
    if let Some((ours, theirs)) = &pair {
        assert!(!ours.is_empty() && !theirs.is_empty());
        assert_eq!(column_pair(&format!(" {ours} = {theirs} ")), pair);
    }
    pair
}

fn mapped<K: Kind>(file: &[u8], settings: &Settings)
where
    K::Record: Debug + PartialEq,
{
    let found = read_soundly::<K>(file, settings);
    let mut ours_seen = HashSet::new();
    for (ours, theirs) in &found.columns_used {
        assert!(
            K::FIELDS.iter().any(|field| field.name == ours),
            "'{ours}' is no field"
        );
        assert!(found.header.contains(theirs), "'{theirs}' is no column");
        assert!(
            ours != theirs && ours_seen.insert(ours),
            "'{ours}' is told twice"
        );
    }
    if found.header.is_empty() {
        return;
    }
    // What the user asked for is what is used.
    let alike = |a: &str, b: &str| a.to_lowercase() == b.to_lowercase();
    for (ours, theirs) in &settings.columns {
        let asked = K::FIELDS.iter().find(|field| alike(field.name, ours));
        let name = asked.expect("other fields are refused").name;
        let used = found.columns_used.iter().find(|(ours, _)| ours == name);
        let used = used.map_or(name, |(_, theirs)| theirs.as_str());
        assert!(
            alike(used, theirs),
            "--column {ours}={theirs}: it is '{used}'"
        );
    }
    // The book remembers what was used for the next file with this header, which
    // is then read as this one was.
    let remembered = Settings {
        columns: found.columns_used.clone(),
        ..settings.clone()
    };
    let again = read::<K>(file, &remembered);
    if again.header == found.header {
        assert_eq!(format!("{again:?}"), format!("{found:?}"));
    }
}
