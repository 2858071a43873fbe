//! `completions` and `manual`.

use super::help::COMMANDS;
use crate::support::workshop::Workshop;
use std::path::Path;

/// The long options that a help lists.
fn options(help: &str) -> Vec<String> {
    let listed = help.split("Options:\n").nth(1).unwrap_or_default();
    let first = |line: &str| {
        let word = line.trim().split([' ', '[', '=']).next()?;
        word.starts_with("--").then(|| word.to_string())
    };
    listed.lines().filter_map(first).collect()
}

#[test]
fn a_script_for_each_shell_knows_every_command_and_option() {
    let workshop = Workshop::empty();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = workshop.run(&["completions", shell]).done().out;
        for command in COMMANDS {
            assert!(script.contains(command), "{shell}: {command}");
            let help = workshop.run(&[command, "--help"]).done().out;
            for option in options(&help) {
                let name = option.trim_start_matches('-');
                assert!(script.contains(name), "{shell}: {command} {option}");
            }
        }
    }
}

#[test]
fn bash_takes_the_script() {
    let workshop = Workshop::empty();
    let script = workshop.run(&["completions", "bash"]).done().out;
    let path = workshop.file("wheelworth.bash", script);
    // `complete -p` fails unless the script has told bash of the program.
    let line = format!(". '{}' && complete -p wheelworth", path.display());
    let tried = std::process::Command::new("bash")
        .args(["--norc", "-c", &line])
        .output()
        .unwrap();
    assert!(tried.status.success(), "{tried:?}");
    let told = String::from_utf8(tried.stdout).unwrap();
    assert!(told.contains("-F _wheelworth"), "{told}");
}

/// What bash would offer at the end of a line.
fn offered(script: &Path, words: &[&str]) -> Vec<String> {
    let ask = r#"
        . "$1"; shift
        COMP_WORDS=("$@") COMP_CWORD=$(($# - 1)) COMPREPLY=()
        _wheelworth wheelworth "${COMP_WORDS[COMP_CWORD]}" "${COMP_WORDS[COMP_CWORD - 1]}"
        printf '%s\n' "${COMPREPLY[@]}"
    "#;
    let tried = std::process::Command::new("bash")
        .args(["--norc", "-c", ask, "bash"])
        .arg(script)
        .args(words)
        .output()
        .unwrap();
    assert!(tried.status.success(), "{tried:?}");
    let told = String::from_utf8(tried.stdout).unwrap();
    told.lines().map(str::to_string).collect()
}

#[test]
fn bash_offers_commands_options_and_values() {
    let workshop = Workshop::empty();
    let script = workshop.run(&["completions", "bash"]).done().out;
    let script = workshop.file("wheelworth.bash", script);
    let offered = |words: &[&str]| offered(&script, words);
    assert_eq!(offered(&["wheelworth", "pri"]), ["price", "priors"]);
    let all = offered(&["wheelworth", ""]);
    for command in COMMANDS {
        assert!(all.iter().any(|one| one == command), "{command}: {all:?}");
    }
    assert_eq!(offered(&["wheelworth", "price", "--st"]), ["--style"]);
    assert_eq!(offered(&["wheelworth", "price", "--format", "j"]), ["json"]);
    let events = offered(&["wheelworth", "record", ""]);
    for event in ["sale", "ask", "cost", "gift"] {
        assert!(events.iter().any(|one| one == event), "{event}: {events:?}");
    }
    assert_eq!(
        offered(&["wheelworth", "record", "cost", "--am"]),
        ["--amount"]
    );
    // An option of another command is not offered.
    assert_eq!(offered(&["wheelworth", "check", "--sty"]), [""]);
}

#[test]
fn another_shell_is_refused_with_those_there_are() {
    let refused = Workshop::empty().run(&["completions", "bsh"]);
    refused.says(2, &["bash, elvish, fish, powershell, zsh", "'bash'"]);
}

#[test]
fn every_command_has_a_page_with_its_options() {
    let workshop = Workshop::empty();
    workshop.run(&["manual", "--into", "@man1"]).done();
    // Roff writes a hyphen as \-.
    let text = |name: &str| workshop.text(name).replace("\\-", "-");
    let main = text("man1/wheelworth.1");
    assert!(main.starts_with(".ie"), "{main}");
    for command in COMMANDS {
        assert!(
            main.contains(&format!("wheelworth-{command}(1)")),
            "{command}"
        );
        let page = text(&format!("man1/wheelworth-{command}.1"));
        assert!(page.contains("Example: wheelworth"), "{page}");
        let help = workshop.run(&[command, "--help"]).done().out;
        let all = options(&help);
        assert!(all.len() >= 3, "{command}");
        for option in all {
            assert!(page.contains(&option), "{command} {option}\n{page}");
        }
    }
    // What can be recorded has pages of its own.
    let record = text("man1/wheelworth-record.1");
    for event in ["sale", "ask", "cost", "gift"] {
        assert!(record.contains(&format!("wheelworth-record-{event}(1)")));
        let page = text(&format!("man1/wheelworth-record-{event}.1"));
        let example = format!("Example: wheelworth record {event}");
        assert!(page.contains(&example), "{page}");
        let help = workshop.run(&["record", event, "--help"]).done().out;
        for option in options(&help) {
            assert!(page.contains(&option), "{event} {option}\n{page}");
        }
    }
    // Every page that another one names is there.
    let pages = std::fs::read_dir(workshop.path("man1")).unwrap();
    let mut named = 0;
    for page in pages {
        let name = page.unwrap().file_name().into_string().unwrap();
        let page = text(&format!("man1/{name}"));
        for other in page.split("wheelworth").skip(1) {
            let Some(end) = other.find("(1)") else {
                continue;
            };
            if other[..end]
                .chars()
                .all(|c| c.is_ascii_lowercase() || c == '-')
            {
                let file = format!("man1/wheelworth{}.1", &other[..end]);
                assert!(workshop.path(&file).exists(), "{name}: {file}");
                named += 1;
            }
        }
    }
    assert!(named >= COMMANDS.len(), "{named}");
    let printed = workshop.run(&["manual"]).done().out;
    assert_eq!(printed, workshop.text("man1/wheelworth.1"));
}

#[test]
fn pages_replace_pages_and_nothing_else() {
    let workshop = Workshop::empty();
    workshop.run(&["manual", "--into", "@man1"]).done();
    workshop.run(&["manual", "--into", "@man1"]).done();
    workshop.file("man1/wheelworth-price.1", "my own notes\n");
    let refused = workshop.run(&["manual", "--into", "@man1"]);
    refused.says(1, &["@man1/wheelworth-price.1"]);
    assert_eq!(workshop.text("man1/wheelworth-price.1"), "my own notes\n");
}
