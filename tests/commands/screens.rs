//! Every screen keeps to 80 columns: tables by themselves, sentences by being broken.

use crate::support::workshop::{COMPS, Output, TODAY, Workshop};
use unicode_width::UnicodeWidthStr as _;
use wheelworth::trade::Day;

const SCREEN: usize = 80;

/// A phone's.
const NARROW: usize = 40;

/// The day on which the demo's bike from the cellar was sold.
const LATER: Day = Day::constant(2026, 6, 13);

/// A day on which fewer bikes had been sold, so that `accuracy` has fewer to try.
const EARLIER: Day = Day::constant(2024, 12, 1);

/// Every screen of the demo's book.
const SCREENS: [&str; 23] = [
    "price --style hybrid --made 2016 --condition tidy --tier sport --seat-tube 53cm --cost 64.50 --hours 6",
    "price --style hybrid --made 2016 --condition tidy --tier sport --seat-tube 53cm --cost 64.50 --why",
    "price --bike B-49 --why --base typical",
    "price --from @shed/bikes.csv",
    "price --from @shed/bikes.csv --why",
    "market",
    "market --why",
    "market --style kids --why",
    "accuracy",
    "accuracy --why",
    "stock",
    "stock --why",
    "offer --sheet @shed/found.csv --jobs @shed/jobs.csv --parts @shed/parts.csv --margin 40 --asking 45",
    "offer --sheet @shed/found.csv --jobs @shed/jobs.csv --parts @shed/parts.csv --margin 40 --why",
    "offer --style city --condition 2 --repairs 45 --becomes tidy",
    "offer --kept",
    "inspect @shed/found.csv",
    "inspect @shed/repaired.csv",
    "priors",
    "import --history",
    "list",
    "show B-50",
    "quarter 2026-Q1",
];

/// A command to copy stays whole.
fn is_command(line: &str) -> bool {
    let line = line.trim_start();
    line.starts_with("$ ") || line.starts_with("wheelworth ")
}

/// Lines that are wider than a screen.
fn too_wide(text: &str) -> Vec<&str> {
    let lines = text.lines().filter(|line| line.width() > SCREEN);
    lines.filter(|line| !is_command(line)).collect()
}

/// Rows of tables that are wider than a screen before anything is broken: cells stand at
/// two blanks or more from one another, words of a sentence at one.
fn wide_rows(text: &str) -> Vec<&str> {
    let is_row = |line: &&str| line.trim().contains("  ");
    too_wide(text).into_iter().filter(is_row).collect()
}

/// Runs a line on a screen and on one without an end, and looks at every line.
fn fits(line: &str, run: impl Fn(&[&str], usize) -> Output) {
    let words: Vec<&str> = line.split(' ').collect();
    let unbroken = run(&words, usize::MAX).done();
    // The history ends each row with the path of a file, as long as that is.
    if line != "import --history" {
        assert_eq!(wide_rows(&unbroken.out), Vec::<&str>::new(), "{line}");
    }
    let broken = run(&words, SCREEN).done();
    assert_eq!(too_wide(&broken.out), Vec::<&str>::new(), "{line}");
    // It is the same answer: breaking loses nothing.
    let plain = |text: &str| text.split_whitespace().collect::<Vec<_>>().concat();
    assert_eq!(plain(&broken.out), plain(&unbroken.out), "{line}");
    // On a phone's screen no word of a far column is broken into its letters.
    let narrow = run(&words, NARROW).done();
    let lines: Vec<&str> = narrow.out.lines().map(str::trim).collect();
    let letters = |three: &[&str]| three.iter().all(|line| line.width() == 1);
    assert!(!lines.windows(3).any(letters), "{line}:\n{}", narrow.out);
}

#[test]
fn every_screen_of_the_demo_fits() {
    let workshop = Workshop::empty();
    workshop.run_as_typed(&["demo", "@shed"], TODAY).done();
    for line in SCREENS {
        fits(line, |words, columns| {
            let book = ["--book", "@shed/shed.sqlite"];
            let day = if words[0] == "accuracy" {
                EARLIER
            } else {
                LATER
            };
            workshop.run_in_columns(&[&book, words].concat(), day, columns)
        });
    }
    for reader in ["beneficiary", "workshop"] {
        let line = format!("quarter 2026-Q1 --for {reader}");
        fits(&line, |words, columns| {
            let book = ["--book", "@shed/shed.sqlite"];
            workshop.run_in_columns(&[&book, words].concat(), LATER, columns)
        });
    }
}

#[test]
fn every_help_fits() {
    let workshop = Workshop::empty();
    let whole = workshop.run(&["--help"]).done().out;
    assert_eq!(too_wide(&whole), Vec::<&str>::new());
    let commands = whole.split("Commands:\n").nth(1).unwrap();
    let commands = commands.split("\n\n").next().unwrap().lines();
    let commands = commands.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names: Vec<&str> = commands
        .map(|line| line.split_whitespace().next().unwrap())
        .collect();
    assert!(
        names.contains(&"price") && names.contains(&"stock"),
        "{names:?}"
    );
    for name in names.into_iter().filter(|name| *name != "help") {
        for help in ["-h", "--help"] {
            let text = workshop.run(&[name, help]).done().out;
            assert_eq!(too_wide(&text), Vec::<&str>::new(), "{name} {help}");
        }
    }
}

/// Ids as nobody should make them, and as somebody will.
#[test]
fn long_ids_and_wide_letters_fit() {
    let wide = "自転車".repeat(10);
    let long = "ThisIsTheBlueBikeFromTheCellarByTheHarbour"[..40].to_string();
    let header = "bike,style,made,condition,tier,seat_tube,bought_on,listed_on,ask,sold_on,sold_price,purchase";
    let rows: String = [&wide, &long]
        .iter()
        .map(|id| {
            format!(
                "{id},hybrid,2010..2016,3,2,53,2026-01-02,2026-02-01,1200,,,400\n\
                 {id}s,hybrid,2016,3,2,53,2026-01-02,2026-02-01,1200,2026-03-01,1150,400\n"
            )
        })
        .collect();
    let source = "掲示板".repeat(5);
    let header_of_comps = COMPS.lines().next().unwrap();
    let comp = |id: &str| {
        let cells = header_of_comps.split(',').map(|column| match column {
            "listing" => id,
            "source" => source.as_str(),
            "style" => "hybrid",
            "made" => "2016",
            "condition" => "4",
            "first_seen" | "last_seen" | "listed_on" => "2026-04-20",
            "ask" | "last_ask" => "1300",
            "outcome" => "listed",
            _ => "",
        });
        cells.collect::<Vec<_>>().join(",")
    };
    let comps = format!("{COMPS}{}\n{}\n", comp(&wide), comp(&long));
    let workshop = Workshop::new()
        .sales(&format!("{header}\n{rows}"))
        .comps(&comps);
    let bikes = format!(
        "bike,style,made,condition\n{wide},mountain,2010..2016,project\n{long},mountain,,\n"
    );
    workshop.file("bikes.csv", bikes);
    let jobs = format!("job,cost,condition_after\n{wide},20,3\n{long},1000,4\n");
    workshop.file("jobs.csv", jobs);
    let of_each = [&wide, &long].into_iter().flat_map(|id| {
        [
            format!("price --bike {id}"),
            format!("price --bike {id} --why"),
            format!("offer --style hybrid --condition 2 --jobs @jobs.csv --asking 20 --bike {id}"),
            format!("offer --style hybrid --condition 2 --jobs @jobs.csv --bike {id} --why"),
            format!("show {id}"),
        ]
    });
    let others = [
        "price --from @bikes.csv",
        "price --from @bikes.csv --why",
        "market --why",
        "stock",
        "stock --why",
        "list",
        "offer --kept",
        "quarter 2026-Q1",
        "import --history",
    ];
    for line in of_each.chain(others.map(String::from)) {
        if line.starts_with("offer --style") {
            // Kept by the first run, in the book by the second: the last lines differ.
            let words: Vec<&str> = line.split(' ').collect();
            workshop.run(&words).done();
        }
        fits(&line, |words, columns| {
            workshop.run_on_screen(words, columns)
        });
    }
}
