//! `completions` and `manual`.

use super::help::COMMANDS;
use crate::support::workshop::Workshop;

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
