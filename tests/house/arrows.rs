//! Arrows point down: which room of the program uses which. The picture is at
//! the top of `src/lib.rs`.

use crate::support::sources::{names, rust_files};

/// A room and the rooms that it may use.
const MAY_USE: [(&str, &[&str]); 8] = [
    ("trade", &[]),
    ("statistics", &[]),
    ("intake", &["trade"]),
    ("book", &["trade"]),
    ("pricing", &["trade", "statistics"]),
    ("accounts", &["trade"]),
    (
        "report",
        &[
            "trade",
            "statistics",
            "intake",
            "book",
            "pricing",
            "accounts",
        ],
    ),
    (
        "cli",
        &[
            "trade",
            "statistics",
            "intake",
            "book",
            "pricing",
            "accounts",
            "report",
        ],
    ),
];

#[test]
fn every_folder_of_src_is_a_room_with_its_arrows() {
    let mut rooms: Vec<String> = rust_files("src")
        .iter()
        .filter_map(|file| file.room().map(String::from))
        .collect();
    rooms.dedup();
    let mut known = MAY_USE.map(|(room, _)| room);
    known.sort_unstable();
    assert_eq!(rooms, known);
}

#[test]
fn arrows_point_down_only() {
    let mut wrong = Vec::new();
    for file in rust_files("src") {
        let Some(room) = file.room() else { continue };
        let allowed = MAY_USE.iter().find(|(name, _)| *name == room).unwrap().1;
        // Unit tests keep to the arrows too.
        for (number, line) in (1..).zip(file.text.lines()) {
            if line.trim_start().starts_with("//") {
                continue;
            }
            for (other, _) in MAY_USE {
                // A grouped `use crate::{…}` would hide the rooms behind it.
                let used = names(line, &format!("crate::{other}")) || line.contains("crate::{");
                // `super::` from a file beside mod.rs stays within the room.
                let climbed = names(line, &format!("super::super::{other}"));
                if (used || climbed) && other != room && !allowed.contains(&other) {
                    wrong.push(format!("{}:{number}: {}", file.path, line.trim()));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "arrows that point up:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn nobody_imports_everything_of_a_room() {
    for file in rust_files("src").iter().filter(|f| !f.is_test()) {
        for (number, line) in file.code() {
            let glob = ["use super::*", "use crate::"]
                .iter()
                .any(|start| line.contains(start) && line.trim_end().ends_with("*;"));
            assert!(!glob, "{}:{number}: {}", file.path, line.trim());
        }
    }
}
