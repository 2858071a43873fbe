//! Small files with plain names.

use crate::support::sources::rust_files;

#[test]
fn main_is_tiny() {
    let lines = include_str!("../../src/main.rs").lines().count();
    assert!(lines <= 30, "src/main.rs has {lines} lines");
}

#[test]
fn a_file_of_more_than_600_lines_is_two() {
    let long: Vec<String> = [rust_files("src"), rust_files("tests")]
        .iter()
        .flatten()
        .map(|file| (file.text.lines().count(), &file.path))
        .filter(|(lines, _)| *lines > 600)
        .map(|(lines, path)| format!("{path}: {lines}"))
        .collect();
    assert!(long.is_empty(), "split these files: {long:?}");
}

#[test]
fn no_file_has_a_name_that_says_nothing() {
    for file in [rust_files("src"), rust_files("tests")].iter().flatten() {
        for name in ["util", "utils", "common", "helper", "helpers", "misc"] {
            let named = file.path.split(['/', '.']).any(|part| part == name);
            assert!(!named, "{}", file.path);
        }
    }
}
