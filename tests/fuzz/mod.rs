//! The inputs that the fuzz targets start from, among them what fuzzing has found,
//! held against the same laws without a fuzzer.

mod laws;

use crate::support::sources::project;
use std::collections::BTreeSet;
use std::path::PathBuf;

/// The inputs of each target, in order of their paths.
fn inputs() -> Vec<(String, PathBuf)> {
    let list = |folder: PathBuf| {
        let entries = std::fs::read_dir(&folder).unwrap();
        let mut paths: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        paths
    };
    let name = |path: &PathBuf| path.file_name().unwrap().to_str().unwrap().to_string();
    list(project().join("tests/fuzz/corpus"))
        .into_iter()
        .flat_map(|folder| {
            list(folder.clone())
                .into_iter()
                .map(move |path| (name(&folder), path))
        })
        .collect()
}

#[test]
fn every_input_keeps_the_laws() {
    for (target, path) in inputs() {
        let bytes = std::fs::read(&path).unwrap();
        let law = laws::TARGETS.iter().find(|(name, _)| *name == target);
        let law = law.unwrap_or_else(|| panic!("no target '{target}'")).1;
        if let Err(panic) = std::panic::catch_unwind(|| law(&bytes)) {
            eprintln!("{} breaks a law of '{target}'", path.display());
            std::panic::resume_unwind(panic);
        }
    }
}

#[test]
fn every_target_starts_from_inputs_of_its_own() {
    let with_inputs: BTreeSet<String> = inputs().into_iter().map(|(target, _)| target).collect();
    let targets: BTreeSet<String> = laws::TARGETS
        .iter()
        .map(|(name, _)| name.to_string())
        .collect();
    assert_eq!(with_inputs, targets);
}
