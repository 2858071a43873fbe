//! One dependency, one door; and only the command line prints, reads the
//! environment or looks at the clock.

use crate::support::sources::{names, rust_files};

/// A name in the code and the files (by the beginning of their path) that may
/// use it.
const DOORS: &[(&str, &[&str])] = &[
    ("rusqlite::", &["src/book/"]),
    // Written by an import only, so the rejects stand beside it.
    (
        "csv::",
        &["src/intake/", "src/report/", "src/cli/rows/rejects.rs"],
    ),
    ("calamine::", &["src/intake/sheets/"]),
    ("quick_xml::", &["src/intake/sheets/"]),
    ("zip::", &["src/intake/sheets/"]),
    ("linfa::", &["src/statistics/"]),
    ("linfa_linear::", &["src/statistics/"]),
    ("ndarray::", &["src/statistics/"]),
    ("statrs::", &["src/statistics/"]),
    ("plotters::", &["src/report/"]),
    ("annotate_snippets::", &["src/report/"]),
    ("textwrap::", &["src/report/text/"]),
    ("unicode_width::", &["src/report/text/"]),
    ("terminal_size::", &["src/cli/"]),
    ("alphanumeric_sort::", &["src/cli/list.rs"]),
    ("clap::", &["src/cli/"]),
    ("clap_complete::", &["src/cli/shell.rs"]),
    ("clap_mangen::", &["src/cli/shell.rs"]),
    ("indicatif::", &["src/cli/"]),
    ("polars::", &["src/pricing/", "src/report/", "src/intake/"]),
    ("polars_io::", &["src/report/", "src/intake/"]),
    ("polars_parquet::", &["src/intake/"]),
    ("polars_core::", &[]), // named in the manifest for the kinds of column alone
    ("either::", &[]),      // named in the manifest for their features alone
    ("rustix::", &[]),
    ("libfuzzer_sys::", &[]), // of the fuzz targets alone
    ("maud::", &["src/report/"]),
    ("sha2::", &["src/report/pocket/"]),
    ("base64::", &["src/report/pocket/"]),
    ("toml::", &["src/pricing/"]),
    ("wide::", &["src/statistics/linear/householder.rs"]),
    ("ciborium::", &["src/pricing/value/cache/"]),
    ("println!", &[]),
    ("eprintln!", &[]),
    ("print!", &[]),
    ("eprint!", &[]),
    ("dbg!", &[]),
    ("std::env", &["src/cli/", "src/main.rs"]),
    ("stdout", &["src/cli/", "src/main.rs"]),
    ("stderr", &["src/cli/", "src/main.rs"]),
    ("stdin", &["src/cli/", "src/main.rs"]),
    ("now()", &["src/cli/", "src/main.rs"]),
    ("SystemTime", &["src/cli/", "src/main.rs"]),
    ("Instant", &["src/cli/", "src/main.rs"]),
    ("process::exit", &[]),
];

#[test]
fn each_dependency_has_one_door() {
    let files = rust_files("src");
    let mut wrong = Vec::new();
    for (name, doors) in DOORS {
        for file in files.iter().filter(|f| !f.is_test()) {
            if doors.iter().any(|door| file.path.starts_with(door)) {
                continue;
            }
            for (number, line) in file.code() {
                if names(line, name.trim_end_matches("::")) && line.contains(name) {
                    wrong.push(format!("{name} in {}:{number}", file.path));
                }
            }
        }
    }
    assert!(
        wrong.is_empty(),
        "used away from its door:\n{}",
        wrong.join("\n")
    );
}

#[test]
fn no_door_is_forgotten() {
    let manifest = include_str!("../../Cargo.toml");
    let section = manifest.split("[dependencies]\n").nth(1).unwrap();
    let section = section.split("\n[").next().unwrap();
    // Words of the language rather than tools with a room of their own: records
    // (serde, serde_json), days (jiff), errors (thiserror), likeness of words (strsim).
    let everywhere = ["serde", "serde_json", "jiff", "thiserror", "strsim"];
    for line in section.lines().filter(|l| l.contains(" = ")) {
        let name = line.split(" = ").next().unwrap().replace('-', "_");
        let door = DOORS.iter().any(|(d, _)| *d == format!("{name}::"));
        assert!(
            door || everywhere.contains(&name.as_str()),
            "{name} has no door"
        );
    }
}
