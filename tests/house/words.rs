//! Plain words: src/guide/words.md lists the words of the screens, each of which is
//! really used there, and words that are not used, with what to say instead. Looked at
//! are every help, every sentence in the program (a text in quotes that holds a blank),
//! the page for the phone, README and the chapters for users.

use crate::support::sources::{project, rust_files};
use crate::support::workshop::Workshop;

/// Pages for users.
const PAGES: [&str; 3] = ["README.md", "src/guide/tour.md", "src/guide/files.md"];

/// The first two cells of the rows of a table, without its head.
fn rows(table: &str) -> Vec<(&str, &str)> {
    let rows = table.lines().filter(|line| line.starts_with("| "));
    let cells = rows.map(|row| row.split(" | ").map(|cell| cell.trim_matches(['|', ' '])));
    cells
        .filter_map(|mut cells| Some((cells.next()?, cells.next()?)))
        .skip(2)
        .collect()
}

/// The list of words: those that are used, and those that are not, with what to say.
fn lists() -> (Vec<String>, Vec<(String, String)>) {
    let page = std::fs::read_to_string(project().join("src/guide/words.md")).unwrap();
    let (used, not) = page.split_once("# Words we do not use").unwrap();
    let used = rows(used)
        .iter()
        .map(|(word, _)| word.to_string())
        .collect();
    let not = rows(not).into_iter().flat_map(|(words, instead)| {
        let words = words.split(", ");
        words.map(move |word| (word.to_string(), instead.to_string()))
    });
    (used, not.collect())
}

/// Whether words stand in a text by themselves, in any case and however lines break.
fn says(text: &str, words: &str) -> bool {
    let plain = |text: &str| {
        text.split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
            .to_lowercase()
    };
    let (text, words) = (plain(text), plain(words));
    let part = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric() || c == '_');
    text.match_indices(&words).any(|(at, _)| {
        let after = text[at + words.len()..].chars().next();
        !part(text[..at].chars().next_back()) && !part(after)
    })
}

/// The texts in quotes of Rust code that hold a blank, without what is put into them.
/// Comments and the unit tests that close a file are left out.
fn sentences(code: &str) -> Vec<String> {
    let end = code.find("#[cfg(test)]\nmod tests {").unwrap_or(code.len());
    let (mut rest, mut found) = (&code[..end], Vec::new());
    while let Some(at) = rest.find(['"', '/', '\'']) {
        let (before, from) = rest.split_at(at);
        if from.starts_with("//") {
            rest = from.split_once('\n').map_or("", |(_, after)| after);
        } else if from.starts_with('\'') {
            // A letter, or the name of a lifetime.
            let letter = from.strip_prefix("'\\").map_or(1, |_| 2);
            let close = from
                .char_indices()
                .nth(letter + 1)
                .filter(|(_, c)| *c == '\'');
            rest = &from[close.map_or(1, |(close, _)| close + 1)..];
        } else if let Some(body) = from.strip_prefix('"') {
            let hashes = before.len() - before.trim_end_matches('#').len();
            let raw = before.trim_end_matches('#').ends_with('r');
            let close = match raw {
                true => body.find(&format!("\"{}", "#".repeat(hashes))),
                false => closing_quote(body),
            };
            let Some(close) = close else { break };
            found.push(without_placeholders(&body[..close]));
            rest = &body[close + 1..];
        } else {
            rest = &from[1..];
        }
    }
    found.retain(|text| text.trim().contains(' '));
    found
}

fn closing_quote(body: &str) -> Option<usize> {
    let mut escaped = false;
    body.char_indices().find_map(|(at, c)| {
        let closes = c == '"' && !escaped;
        escaped = c == '\\' && !escaped;
        closes.then_some(at)
    })
}

/// What `{…}` stands for is no word; a backslash at the end of a line is none either.
fn without_placeholders(text: &str) -> String {
    let mut depth = 0_usize;
    let text: String = text
        .chars()
        .filter(|c| {
            depth += usize::from(*c == '{');
            let outside = depth == 0;
            depth = depth.saturating_sub(usize::from(*c == '}'));
            outside
        })
        .collect();
    text.replace("\\\n", " ").replace("\\n", " ")
}

/// The help of the program and of every command below it, with what it is the help of.
fn helps(workshop: &Workshop, above: &[&str]) -> Vec<(String, String)> {
    let text = workshop.run(&[above, &["--help"]].concat()).done().out;
    let list = text.split("Commands:\n").nth(1).unwrap_or_default();
    let list = list.split("\n\n").next().unwrap().to_string();
    let mut found = vec![(format!("help of {above:?}"), text)];
    let lines = list.lines().filter(|line| !line.starts_with("   "));
    for name in lines.filter_map(|line| line.split_whitespace().next()) {
        if name != "help" {
            found.extend(helps(workshop, &[above, &[name]].concat()));
        }
    }
    found
}

/// Everything that a user reads, each text with where it stands.
fn texts() -> Vec<(String, String)> {
    let mut found = helps(&Workshop::empty(), &[]);
    assert!(found.len() > 25, "only {} helps", found.len());
    for file in rust_files("src").iter().filter(|file| !file.is_test()) {
        let texts = sentences(&file.text).into_iter();
        found.extend(texts.map(|text| (file.path.clone(), text)));
    }
    assert!(found.len() > 1500, "only {} texts", found.len());
    found.extend(of_the_phone());
    found
}

/// The page for the phone: its text, and what its scripts say.
fn of_the_phone() -> Vec<(String, String)> {
    let assets = "src/report/pocket/assets";
    let read = |name: &str| {
        let path = format!("{assets}/{name}");
        (
            path.clone(),
            std::fs::read_to_string(project().join(path)).unwrap(),
        )
    };
    let (path, page) = read("page.html");
    let tags = page.split('<').filter_map(|part| part.split_once('>'));
    let text: String = tags.map(|(_, text)| format!("{text} ")).collect();
    let mut found = vec![(path, text)];
    for name in ["page.js", "answer.js", "notes.js"] {
        let (path, script) = read(name);
        for line in script
            .lines()
            .filter(|line| !line.trim_start().starts_with(['/', '*']))
        {
            for quote in ['\'', '`'] {
                let quoted = line.split(quote).skip(1).step_by(2);
                let said = quoted
                    .map(without_placeholders)
                    .filter(|text| text.trim().contains(' '))
                    // A selector of the page's parts is no text.
                    .filter(|text| !text.starts_with(['#', '.']));
                found.extend(said.map(|text| (path.clone(), text)));
            }
        }
    }
    found
}

#[test]
fn no_text_uses_words_that_make_one_stumble() {
    let mut texts = texts();
    for page in PAGES {
        let text = std::fs::read_to_string(project().join(page)).unwrap();
        texts.push((page.to_string(), text));
    }
    let (_, not) = lists();
    assert!(not.len() > 30, "{not:?}");
    let mut found = Vec::new();
    for (place, text) in &texts {
        for (word, instead) in &not {
            if says(text, word) {
                let text: String = text.chars().take(120).collect();
                found.push(format!("{place}: '{word}' (say: {instead}): {text}"));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_word_of_the_list_is_used() {
    let texts = texts();
    let (used, _) = lists();
    assert!(used.len() > 40, "{used:?}");
    let of_screens = |place: &str| {
        let rooms = ["src/report/", "src/cli/", "help of"];
        rooms.iter().any(|room| place.starts_with(room))
    };
    for word in used {
        let several = [word.clone(), format!("{word}s")];
        let is = texts
            .iter()
            .any(|(place, text)| of_screens(place) && several.iter().any(|word| says(text, word)));
        assert!(is, "'{word}' is in src/guide/words.md, and on no screen");
    }
}

#[test]
fn sentences_are_found_in_code() {
    let code = "let a = 'x'; // \"not this\"\nfn f<'a>(b: &'a str) {}\nlet c = '\"';\n\
                let d = \"one {told} \\\"two\\\" \\\n   three\"; r#\"a \"raw\" one\"#; \"word\"\n\
                #[cfg(test)]\nmod tests { \"no test\" }";
    assert_eq!(
        sentences(code),
        ["one  \\\"two\\\"     three", "a \"raw\" one"]
    );
    assert!(says("It takes\n  even\nchance.", "even chance"));
    assert!(!says("retold taken_told tolds", "told"));
}
