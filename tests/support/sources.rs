//! The project's own source files, for the tests of the house rules.

use std::path::{Path, PathBuf};

/// A source file.
pub struct Source {
    /// Path below the project, with `/` between its parts.
    pub path: String,
    /// Its text.
    pub text: String,
}

/// The project's folder.
pub fn project() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every Rust file below a folder of the project, in order of its path.
pub fn rust_files(below: &str) -> Vec<Source> {
    let mut found = Vec::new();
    let mut folders = vec![project().join(below)];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(Source {
                    path: below_project(&path),
                    text: std::fs::read_to_string(&path).unwrap(),
                });
            }
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    assert!(!found.is_empty(), "no Rust files below {below}");
    found
}

/// The chapters of the guide, as paths below the project, in order.
pub fn chapters() -> Vec<String> {
    let entries = std::fs::read_dir(project().join("src/guide")).unwrap();
    let paths = entries.map(|entry| entry.unwrap().path());
    let mut names: Vec<String> = paths
        .filter(|path| path.extension().is_some_and(|e| e == "md"))
        .map(|path| below_project(&path))
        .collect();
    names.sort();
    assert!(!names.is_empty(), "the guide has no chapters");
    names
}

/// A path below the project, with `/` between its parts.
pub fn below_project(path: &Path) -> String {
    let parts: PathBuf = path.strip_prefix(project()).unwrap().into();
    let names: Vec<_> = parts.iter().map(|p| p.to_str().unwrap()).collect();
    names.join("/")
}

impl Source {
    /// The room of the program it belongs to: `src/book/comps.rs` is in `book`.
    /// The files beside the rooms (`src/lib.rs`, `src/main.rs`) are in none.
    pub fn room(&self) -> Option<&str> {
        let (room, _) = self.path.strip_prefix("src/")?.split_once('/')?;
        Some(room)
    }

    /// Whether the file holds unit tests and nothing else.
    pub fn is_test(&self) -> bool {
        self.path.ends_with("_tests.rs") || self.path.contains("/tests/")
    }

    /// Numbered lines of code: no comments, and nothing of the unit tests that
    /// close a file.
    pub fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let end = self.text.find("#[cfg(test)]\nmod tests {");
        let program = &self.text[..end.unwrap_or(self.text.len())];
        (1..)
            .zip(program.lines())
            .filter(|(_, line)| !line.trim_start().starts_with("//"))
    }
}

/// Whether `word` stands in `line` by itself, not as a part of a longer name.
pub fn names(line: &str, word: &str) -> bool {
    let part_of_name = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(word).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        let after = line[at + word.len()..].chars().next();
        !before.is_some_and(part_of_name) && !after.is_some_and(part_of_name)
    })
}
