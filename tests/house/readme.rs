//! What README and the chapters of the guide show is what happens. In each block
//! fenced as `console` the lines that start with `$ ` are run by `sh` with the built
//! program: all blocks of a page in order, in one folder that holds a copy of
//! datasets/. What is printed (standard output, then standard error) must be what the
//! page shows. The chart in README is what the demo draws there.
//!
//! `WHEELWORTH_WRITE_README=1 cargo test --test suite readme` writes the outputs and
//! the chart instead.

use crate::support::program::both;
use crate::support::sources::{chapters, project};
use std::path::Path;

/// Output of one line, run by the shell with the built program on its path.
fn run(folder: &Path, line: &str) -> String {
    let built = Path::new(env!("CARGO_BIN_EXE_wheelworth"));
    let path = std::env::var_os("PATH").unwrap_or_default();
    let places = std::iter::once(built.parent().unwrap().to_path_buf());
    let places = std::env::join_paths(places.chain(std::env::split_paths(&path))).unwrap();
    let mut shell = std::process::Command::new("sh");
    shell.current_dir(folder).args(["-c", line]);
    shell.env("PATH", places).env_remove("WHEELWORTH_BOOK");
    both(&shell.output().unwrap())
}

/// A folder with a copy of datasets/.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for name in ["datasets", "datasets/cellar"] {
        let copy = folder.path().join(name);
        std::fs::create_dir(&copy).unwrap();
        for entry in std::fs::read_dir(project().join(name)).unwrap() {
            let from = entry.unwrap().path();
            if from.is_file() {
                std::fs::copy(&from, copy.join(from.file_name().unwrap())).unwrap();
            }
        }
    }
    folder
}

/// The text with every `console` block run anew, and how many there were.
fn rerun(readme: &str, folder: &Path) -> (String, usize) {
    let (mut text, mut blocks) = (String::new(), 0);
    let mut rest = readme;
    while let Some(start) = rest.find("```console\n") {
        let body = start + "```console\n".len();
        let end = body + rest[body..].find("```").expect("a block is closed");
        text.push_str(&rest[..body]);
        blocks += 1;
        let mut lines = rest[body..end].lines().peekable();
        while let Some(line) = lines.next() {
            // What stands below a command is its old output.
            let Some(typed) = line.strip_prefix("$ ") else {
                continue;
            };
            let mut typed = typed.to_string();
            while typed.ends_with('\\') {
                typed.push('\n');
                typed.push_str(lines.next().expect("a line goes on"));
            }
            text.push_str(&format!("$ {typed}\n"));
            let output = run(folder, &typed);
            text.push_str(&output);
            if lines.peek().is_some() && !output.is_empty() && !output.ends_with('\n') {
                text.push('\n');
            }
        }
        text.push_str("```");
        rest = &rest[end + 3..];
    }
    text.push_str(rest);
    (text, blocks)
}

/// Runs a page's sessions again and holds what it shows against what happens, or
/// writes it. Returns how many sessions there were, and their folder.
fn hold(name: &str) -> (usize, tempfile::TempDir) {
    let path = project().join(name);
    let page = std::fs::read_to_string(&path).unwrap();
    let folder = folder();
    let (text, blocks) = rerun(&page, folder.path());
    if writes() {
        std::fs::write(&path, text).unwrap();
        return (blocks, folder);
    }
    for (number, (shown, real)) in (1..).zip(page.lines().zip(text.lines())) {
        assert_eq!(
            shown, real,
            "{name}, line {number}; WHEELWORTH_WRITE_README=1 writes what really happens"
        );
    }
    assert_eq!(page, text, "{name}");
    (blocks, folder)
}

fn writes() -> bool {
    std::env::var_os("WHEELWORTH_WRITE_README").is_some()
}

#[test]
fn readme_shows_what_happens() {
    let (blocks, folder) = hold("README.md");
    assert!(blocks > 0, "README shows no session");
    let drawn = std::fs::read(folder.path().join("workshop/hybrid.svg")).unwrap();
    let chart = project().join("src/guide/value.svg");
    if writes() {
        std::fs::write(chart, drawn).unwrap();
        return;
    }
    assert!(
        std::fs::read(chart).unwrap() == drawn,
        "src/guide/value.svg is not what the demo draws; WHEELWORTH_WRITE_README=1 writes it"
    );
}

#[test]
fn the_guide_shows_what_happens() {
    let sessions: usize = chapters().iter().map(|name| hold(name).0).sum();
    assert!(sessions > 5, "the guide shows {sessions} sessions");
}

#[test]
fn readme_is_a_first_page_and_developers_has_short_lines() {
    let read = |name: &str| std::fs::read_to_string(project().join(name)).unwrap();
    let lines = read("README.md").lines().count();
    assert!(
        lines <= 270,
        "README.md has {lines} lines; move what is long into src/guide"
    );
    for line in read("DEVELOPERS.md").lines() {
        assert!(line.chars().count() <= 100, "DEVELOPERS.md: {line}");
    }
}

#[test]
fn a_session_is_run_and_its_output_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let readme = "Before\n```console\n$ wheelworth start --currency eur \\\n    --beneficiary 'A room'\nold\n```\nbetween\n```console\n$ wheelworth check\n```\nafter\n```sh\n$ not run\n```\n";
    let (text, blocks) = rerun(readme, folder.path());
    assert_eq!(blocks, 2);
    insta::assert_snapshot!(text, @r"
    Before
    ```console
    $ wheelworth start --currency eur \
        --beneficiary 'A room'
    Made wheelworth.sqlite (EUR).
    What next? A file of your own bikes, and one of bikes that you saw for sale:
      wheelworth import sales YOUR.csv
      wheelworth import comps SEEN.csv
    No file yet? Note a bike, and ask for a price:
      wheelworth record sale --bike B-1 --style city --condition rider --purchase 20
      wheelworth price --bike B-1
    ```
    between
    ```console
    $ wheelworth check
    wheelworth.sqlite is sound: 0 own bikes, 0 changes of their asks, 0 comps, 0
    costs, 0 gifts.
    ```
    after
    ```sh
    $ not run
    ```
    ");
    // Once more in a fresh folder it shows what it shows.
    let again = rerun(&text, tempfile::tempdir().unwrap().path()).0;
    assert_eq!(again, text);
}
