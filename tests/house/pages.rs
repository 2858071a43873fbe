//! What README, DEVELOPERS and the chapters point at is there: files behind links,
//! paths of 'Where is …?' and of the recipes, functions on the way of one price.

use crate::support::sources::{chapters, project};
use std::path::{Path, PathBuf};

fn read(name: &str) -> String {
    std::fs::read_to_string(project().join(name)).unwrap()
}

/// What stands between `open` and `close`, for each `open`.
fn between<'t>(text: &'t str, open: &str, close: char) -> Vec<&'t str> {
    text.split(open)
        .skip(1)
        .filter_map(|rest| rest.split(close).next())
        .collect()
}

/// What stands between backticks on one line.
fn quoted(line: &str) -> Vec<&str> {
    line.split('`').skip(1).step_by(2).collect()
}

/// Where a path of the guide is: below src/ unless it names another folder.
fn place(path: &str) -> PathBuf {
    let others = ["tests/", ".ci/", "notebooks/", "src/", "datasets/"];
    match others.iter().any(|folder| path.starts_with(folder)) {
        true => project().join(path),
        false => project().join("src").join(path),
    }
}

/// A path of a file or folder, not a flag, a command or a piece of code.
fn is_path(text: &str) -> bool {
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "_/.-".contains(c);
    text.chars().all(plain) && text.contains('/')
}

#[test]
fn links_and_pictures_are_there() {
    for name in ["README.md", "DEVELOPERS.md"] {
        let text = read(name);
        let links = between(&text, "](", ')').into_iter();
        let links: Vec<_> = links.chain(between(&text, "src=\"", '"')).collect();
        assert!(links.len() > 5, "{name} has hardly a link");
        for link in links.iter().filter(|link| !link.starts_with("https://")) {
            let target = link.split('#').next().unwrap();
            assert!(project().join(target).exists(), "{name}: {link}");
        }
    }
}

#[test]
fn chapters_are_in_the_documentation_and_link_within_it() {
    let library = read("src/lib.rs");
    for name in chapters() {
        let short = name.strip_prefix("src/").unwrap();
        assert!(
            library.contains(&format!("include_str!(\"{short}\")")),
            "{name}"
        );
        for link in between(&read(&name), "](", ')') {
            // rustdoc holds these; a path of a file would lead nowhere there.
            let held = link.contains("crate::") || link.starts_with("https://");
            assert!(held, "{name}: {link}");
        }
    }
}

#[test]
fn where_is_it_and_the_recipes_name_what_is_there() {
    let guide = read("src/guide/architecture.md");
    let list = guide.split("# Where is").nth(1).unwrap();
    let lines: Vec<_> = list.lines().filter(|line| line.starts_with("- ")).collect();
    assert!(lines.len() > 40, "{} lines", lines.len());
    for line in lines {
        let mut folder: Option<PathBuf> = None;
        for text in quoted(line) {
            if is_path(text) {
                let found = place(text);
                assert!(found.exists(), "{text}, of: {line}");
                let parent = || found.parent().map(Path::to_path_buf);
                folder = if found.is_dir() {
                    Some(found)
                } else {
                    parent()
                };
            } else if [".rs", ".js", ".css"].iter().any(|end| text.ends_with(end)) {
                // A bare name is in the folder that was named before it.
                let there = folder.as_ref().is_some_and(|f| f.join(text).exists());
                assert!(there, "{text}, of: {line}");
            }
        }
    }
    let developers = read("DEVELOPERS.md");
    let recipes = developers.split("## Recipes").nth(1).unwrap();
    let named: Vec<_> = recipes
        .lines()
        .flat_map(quoted)
        .filter(|t| is_path(t))
        .collect();
    assert!(named.len() > 10, "{named:?}");
    for text in named {
        assert!(place(text).exists(), "DEVELOPERS.md: {text}");
    }
}

#[test]
fn the_way_of_one_price_names_functions_that_are_there() {
    let guide = read("src/guide/one_price.md");
    let rows: Vec<_> = guide
        .lines()
        .filter(|line| line.starts_with('|'))
        .map(quoted)
        .collect();
    let steps: Vec<_> = rows.iter().filter(|row| row.len() == 2).collect();
    assert!(steps.len() > 20, "{} steps", steps.len());
    for step in steps {
        let text = std::fs::read_to_string(place(step[0])).expect(step[0]);
        let starts = ["(", "<"].map(|after| format!("fn {}{after}", step[1]));
        assert!(
            starts.iter().any(|start| text.contains(start)),
            "{}: {}",
            step[0],
            step[1]
        );
    }
}

/// The cells of the rows of a table that begin with two counts, without percent signs.
fn measured(page: &str) -> Vec<Vec<String>> {
    let rows = page.lines().filter(|line| line.starts_with("| "));
    let cells = rows.map(|row| {
        let cells = row.trim_matches(['|', ' ']).split(" | ");
        cells.map(|cell| cell.trim_end_matches(" %").to_string())
    });
    let count = |cell: &String| cell.chars().all(|c| c.is_ascii_digit() || c == ',');
    let rows = cells.map(Iterator::collect::<Vec<_>>);
    rows.filter(|cells| cells.len() > 6 && cells[..2].iter().all(count))
        .collect()
}

#[test]
fn readme_says_what_was_measured() {
    let all = measured(&read("src/guide/simulations.md"));
    let first_page = measured(&read("README.md"));
    assert!(first_page.len() > 5, "{first_page:?}");
    for row in first_page {
        let whole = all.iter().find(|whole| whole[..2] == row[..2]);
        let whole = whole.unwrap_or_else(|| panic!("{row:?} was not measured"));
        // Without the oracle and the five nearest comps.
        let shown = [2, 4, 5, 7, 8].map(|at| &whole[at]);
        assert!(shown.into_iter().eq(&row[2..]), "{row:?} of {whole:?}");
    }
}

#[test]
fn notebooks_keep_what_they_showed() {
    let mut pictures = 0;
    for name in ["market_walk", "open_data", "time_on_market", "value_model"] {
        let text = read(&format!("notebooks/{name}.ipynb"));
        // What it was run with stays out: folders and times of one machine.
        for private in ["/tmp/", "/home/", "/root/", "iopub.execute_input"] {
            assert!(!text.contains(private), "{name}: {private}");
        }
        let notebook: serde_json::Value = serde_json::from_str(&text).unwrap();
        let cells = notebook["cells"].as_array().unwrap();
        let outputs: Vec<_> = cells
            .iter()
            .filter_map(|cell| cell["outputs"].as_array())
            .flatten()
            .collect();
        assert!(outputs.len() >= 5, "{name} keeps {} outputs", outputs.len());
        let failed = outputs
            .iter()
            .any(|output| output["output_type"] == "error");
        assert!(!failed, "{name} keeps an error");
        let drawn = |output: &&&serde_json::Value| output["data"]["image/png"].is_string();
        pictures += outputs.iter().filter(drawn).count();
    }
    assert!(pictures > 5, "the notebooks keep {pictures} pictures");
}
