//! What users of well-made programs are used to: no colour where none is wanted, and
//! a word that was probably meant.

use crate::support::program::program;
use crate::support::workshop::Workshop;

#[test]
fn nothing_is_coloured_and_no_bar_is_drawn_into_a_pipe() {
    let workshop = Workshop::busy();
    let long = "x".repeat(5_000_000);
    workshop.file("long.csv", format!("listing,style,ask\n1,{long},2\n"));
    for line in [
        &["--help"][..],
        &["price", "--help"],
        &["pric"],
        &["price", "--style", "hybird"],
        &["price", "--style", "hybrid"],
        &["import", "comps", "long.csv"],
        &["market"],
        &["stock"],
    ] {
        for (name, value) in [
            ("NO_COLOR", "1"),
            ("CLICOLOR_FORCE", "1"),
            ("FORCE_COLOR", "1"),
        ] {
            let mut run = program(workshop.folder());
            run.args(["--book", "book.sqlite"]).args(line);
            let output = run.env(name, value).env("TERM", "xterm-256color").output();
            let output = output.unwrap();
            let printed = [output.stdout, output.stderr].concat();
            assert!(!printed.is_empty(), "{line:?}");
            assert!(!printed.contains(&0x1b), "{line:?} with {name}");
            assert!(!printed.contains(&b'\r'), "{line:?} with {name}");
        }
    }
}

#[test]
fn a_word_that_was_probably_meant_is_offered() {
    let workshop = Workshop::busy();
    workshop.file("c.csv", "listing,stile,ask\n1,road,2\n");
    for (line, code, meant) in [
        (&["pric"][..], 2, "'price'"),
        (&["inpsect"], 2, "'inspect'"),
        (&["price", "--condtion", "3"], 2, "'--condition'"),
        (&["price", "--format", "jsn"], 2, "'json'"),
        (&["price", "--style", "hybird"], 2, "Did you mean hybrid?"),
        (&["import", "comp", "@c.csv"], 2, "'comps'"),
        (&["import", "comps", "@c.csv"], 1, "did you mean 'style'"),
        (&["record", "sal"], 2, "'sale'"),
        (&["export", "sale", "@x.csv"], 2, "'sales'"),
        (&["price", "--bike", "B-1"], 1, "B-01"),
        (&["completions", "basch"], 2, "'bash'"),
    ] {
        workshop.run(line).says(code, &[meant]);
    }
}
