//! Help and version.

use crate::support::workshop::Workshop;

pub const COMMANDS: [&str; 17] = [
    "start",
    "import",
    "record",
    "price",
    "market",
    "accuracy",
    "inspect",
    "offer",
    "pocket",
    "stock",
    "quarter",
    "export",
    "priors",
    "check",
    "demo",
    "completions",
    "manual",
];

#[test]
fn help_lists_the_commands() {
    let output = Workshop::empty().run_as_typed(&["--help"], crate::support::workshop::TODAY);
    let output = output.done();
    assert_eq!(output.err, "");
    let list = output.out.split("Commands:\n").nth(1).unwrap();
    let list = list.split("\n\n").next().unwrap();
    insta::assert_snapshot!(list, @r"
    start        Make a new book
    import       Read CSV files and spreadsheets into the book, all or nothing
    record       Record one event without a file: a sale, a bike seen for sale, an
                 asking price, a cost, a gift and more
    price        Price one bike, a bike of the book, or many from a file
    market       Say what the comps and your own sales show about the market
    accuracy     Say how well the prices have held up on your own sales
    inspect      Write a sheet to inspect a bike by, and say what a filled-in one
                 means
    offer        Say the most to pay for a bike as found, and which jobs pay
    pocket       Write one page for the phone: what a bike is worth and what to
                 pay at its seller's door
    list         List your bikes, a line each
    show         Show all that the book knows of one bike, or of one comp
    rename       Give a bike another id, its history kept
    rule         Show the rule of giving, or change it from a day on
    stock        Say what each bike on hand needs next, and how much money sits in
                 the shed
    advert       Write the text to post for a bike
    quarter      Report what was raised in a quarter, what is due, what was handed
                 over
    export       Write a table of the book, or a model with all that it rests on,
                 as a file
    priors       List what is believed before any record, and what your records
                 make of it
    check        Say whether the book is sound
    demo         Fill a book with invented data and run the main job on it
    completions  Print a script that lets a shell complete what you type
    manual       Print the manual page, or write all pages into a folder
    help         Print this message or the help of the given subcommand(s)
    ");
}

#[test]
fn every_command_has_its_help_and_no_line_is_wide() {
    for command in COMMANDS {
        for help in [&[command, "--help"][..], &["help", command]] {
            let output = Workshop::empty().run(help).done();
            assert!(output.out.contains("Usage: wheelworth "), "{}", output.out);
            let example = format!("Example: wheelworth {command}");
            assert!(output.out.contains(&example), "{}", output.out);
            for line in output.out.lines() {
                assert!(line.chars().count() <= 100, "{line}");
            }
        }
    }
}

#[test]
fn every_option_of_every_command_is_explained() {
    for command in COMMANDS {
        let output = Workshop::empty().run(&[command, "--help"]).done();
        let options = output.out.split("Options:\n").nth(1).unwrap();
        let mut lines = options.lines().map(str::trim);
        let mut options = 0;
        while let Some(line) = lines.next() {
            if line.starts_with("--") || line.starts_with("-h,") {
                let words = lines.next().unwrap_or_default();
                assert!(words.starts_with(char::is_alphabetic), "{command}: {line}");
                options += 1;
            }
        }
        // --book, --as-of, --format and --help stand everywhere.
        assert!(options >= 4, "{command}: {options}");
    }
}

#[test]
fn version_is_that_of_the_package() {
    let output = Workshop::empty().run(&["--version"]).done();
    assert_eq!(
        output.out,
        format!("wheelworth {}\n", env!("CARGO_PKG_VERSION"))
    );
}

#[test]
fn nothing_typed_is_wrong_usage_and_shows_the_help() {
    let output = Workshop::empty().run_as_typed(&[], crate::support::workshop::TODAY);
    output.says(2, &["Usage: wheelworth ", "Commands:"]);
    assert_eq!(output.out, "");
}
