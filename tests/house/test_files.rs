//! Every file of tests is part of the suite.

use crate::support::sources::{below_project, project, rust_files};
use std::collections::BTreeSet;
use std::path::Path;

/// What is built by itself.
const APART: [&str; 2] = ["tests/benches/", "tests/fuzz/main.rs"];

/// Adds `file` and every file that its `mod name;` lines lead to.
fn reach(file: &Path, found: &mut BTreeSet<String>) {
    found.insert(below_project(file));
    let text = std::fs::read_to_string(file).unwrap();
    let stem = file.file_stem().unwrap();
    let folder = if stem == "suite" || stem == "mod" {
        file.parent().unwrap().to_path_buf()
    } else {
        file.with_extension("")
    };
    for line in text.lines() {
        let declared = line.trim_start_matches("pub ").strip_prefix("mod ");
        let Some(name) = declared.and_then(|rest| rest.strip_suffix(';')) else {
            continue;
        };
        let beside = folder.join(format!("{name}.rs"));
        if beside.exists() {
            reach(&beside, found);
        } else {
            reach(&folder.join(name).join("mod.rs"), found);
        }
    }
}

#[test]
fn no_test_file_is_forgotten() {
    let mut found = BTreeSet::new();
    reach(&project().join("tests/suite.rs"), &mut found);
    let there: BTreeSet<String> = rust_files("tests")
        .into_iter()
        .map(|file| file.path)
        .filter(|path| !APART.iter().any(|apart| path.starts_with(apart)))
        .collect();
    assert_eq!(found, there);
}
