//! The examples in the help do what they show.

use super::help::COMMANDS;
use crate::support::program::{both, program};
use crate::support::workshop::{ASKS, COMPS, SALES, Workshop};
use std::path::Path;
use std::process::Command;

/// The examples at the end of a command's description, unwrapped.
fn examples(help: &str) -> Vec<String> {
    let paragraph = |text: &str| {
        let lines = text.lines().take_while(|line| !line.trim().is_empty());
        lines.map(str::trim).collect::<Vec<_>>().join(" ")
    };
    help.split("Example: ").skip(1).map(paragraph).collect()
}

/// What the examples speak of: a bike B-7 that stands listed, and a ledger whose
/// columns have other names.
fn shed() -> Workshop {
    let workshop = Workshop::giving_to("Reading room", &[]);
    let workshop = workshop.sales(SALES).comps(COMPS).asks(ASKS).sales(
        "bike,style,made,condition,bought_on,listed_on,ask,purchase\n\
         B-7,hybrid,2016,4,2026-02-20,2026-03-01,160,40\n",
    );
    workshop.file(
        "ledger.csv",
        "No,What,sold_on,sold_price\nL-1,road,14/03/2026,120\n",
    );
    workshop.file(
        "jobs.csv",
        "job,cost,hours,safety,condition_after\npads,9,0.5,yes,3\n",
    );
    workshop.file("shed.sqlite", workshop.book_bytes());
    for folder in [".local/share/bash-completion/completions", "unused"] {
        std::fs::create_dir_all(workshop.path(folder)).unwrap();
    }
    workshop
}

#[test]
fn every_example_of_the_help_works() {
    let words = |line: &'static str| line.split(' ').collect::<Vec<_>>();
    let mut commands: Vec<Vec<&str>> = COMMANDS.iter().map(|command| vec![*command]).collect();
    commands.extend(["record sale", "record ask", "record cost", "record gift"].map(words));
    let program_folder = Path::new(env!("CARGO_BIN_EXE_wheelworth"))
        .parent()
        .unwrap();
    let path = std::env::var("PATH").unwrap();
    let mut run = 0;
    for command in &commands {
        let workshop = shed();
        let help = program(workshop.folder())
            .args(command)
            .arg("--help")
            .output();
        let found = examples(&both(&help.unwrap()));
        assert!(!found.is_empty(), "{command:?} has no example");
        // The book of `start` and of `demo` is a new one.
        let new = ["start", "demo"].contains(&command[0]);
        let book = if new { "new.sqlite" } else { "book.sqlite" };
        for line in found.iter().flat_map(|example| example.split("; then: ")) {
            // Another program reads the pages of the manual.
            if line == "man wheelworth-price" {
                continue;
            }
            assert!(line.starts_with("wheelworth "), "{line}");
            let output = Command::new("sh")
                .args(["-c", line])
                .current_dir(workshop.folder())
                .env("PATH", format!("{}:{path}", program_folder.display()))
                .env("HOME", workshop.folder())
                .env("WHEELWORTH_BOOK", book)
                .output()
                .unwrap();
            assert!(output.status.success(), "{line}\n{}", both(&output));
            run += 1;
        }
    }
    assert!(run >= commands.len(), "{run}");
}
