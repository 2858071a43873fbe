//! The answer first, in plain words; what stands behind it with `--why`; JSON complete
//! either way.

use super::offer::{cellar, offered};
use crate::support::workshop::Workshop;

/// Words that no screen uses.
const JARGON: [&str; 15] = [
    "trade prior",
    "even chance",
    "lives off",
    "to the cent",
    "gate",
    "gates",
    "mend",
    "mends",
    "mended",
    "told",
    "brought",
    "median",
    "anecdote",
    "premium",
    "prior",
];

/// Whether a word or a phrase stands in a text by itself.
fn says(text: &str, words: &str) -> bool {
    let plain = |text: &str| {
        let letters = text
            .chars()
            .map(|c| if c.is_alphabetic() { c } else { ' ' });
        let words: String = letters.collect();
        words
            .to_lowercase()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ")
    };
    format!(" {} ", plain(text)).contains(&format!(" {words} "))
}

#[test]
fn short_answers_are_in_plain_words() {
    let workshop = cellar();
    let lines = [
        "price --style hybrid --made 2016 --condition tidy",
        "price --style hybrid --made 2016 --condition tidy --why",
        "market",
        "accuracy",
        "stock",
        "inspect @sheet.csv",
        "offer --style touring --made 2009 --condition project --sheet @sheet.csv --jobs @jobs.csv --parts @parts.csv \
         --asking 45",
    ];
    for line in lines {
        let words: Vec<&str> = line.split(' ').collect();
        let out = workshop.run(&words).done().out;
        for jargon in JARGON {
            assert!(!says(&out, jargon), "'{jargon}' in\n{out}");
        }
        for shown in ["COD", "PRD", "PRB", "Kaplan"] {
            assert!(!out.contains(shown), "'{shown}' in\n{out}");
        }
    }
}

#[test]
fn why_shows_the_rest_and_json_has_all_of_it_either_way() {
    let workshop = cellar();
    let offer =
        "offer --style touring --made 2009 --condition project --jobs @jobs.csv --asking 45";
    for (line, behind) in [
        (
            "market",
            &["Kaplan-Meier", "What became of the comps", "Season"][..],
        ),
        // On a day on which fewer bikes had been sold, so that fewer are tried.
        (
            "--as-of 2024-12-01 accuracy",
            &["COD", "PRD", "PRB", "Rules of thumb"],
        ),
        (
            offer,
            &["What each job adds", "A bike that can be had cheaply"],
        ),
    ] {
        let words: Vec<&str> = line.split(' ').collect();
        let with = |more: &[&str]| workshop.run(&[&words, more].concat()).done().out;
        let (short, whole) = (with(&[]), with(&["--why"]));
        for part in behind {
            assert!(!short.contains(part), "'{part}' in\n{short}");
            assert!(whole.contains(part), "'{part}' not in\n{whole}");
        }
        assert!(short.contains("--why"), "{short}");
        assert!(short.lines().count() < whole.lines().count());
        let json = ["--format", "json"];
        assert_eq!(
            with(&json),
            with(&[&json[..], &["--why"]].concat()),
            "{line}"
        );
    }
}

#[test]
fn an_offer_says_first_what_to_say_to_the_seller() {
    let out = offered(&cellar(), "--jobs @jobs.csv --margin 40 --asking 45")
        .done()
        .out;
    let lines: Vec<&str> = out.lines().collect();
    assert!(lines.len() <= 9, "{out}");
    assert!(
        lines[1].starts_with("Buy it") || lines[1].starts_with("Leave it"),
        "{out}"
    );
    assert!(
        lines.iter().filter(|line| line.starts_with("! ")).count() <= 2,
        "{out}"
    );
}

#[test]
fn what_holds_for_most_bikes_of_a_table_is_said_once() {
    let workshop = Workshop::busy();
    let rows: String = (1..=40).map(|n| format!("D-{n},city,,3\n")).collect();
    workshop.file(
        "bikes.csv",
        format!("bike,style,made,condition\n{rows}D-41,city,2015,3\n"),
    );
    let out = workshop.run(&["price", "--from", "@bikes.csv"]).done().out;
    let cautions = out.split("Cautions\n").nth(1).unwrap();
    let lines: Vec<&str> = cautions.lines().collect();
    assert!(lines.len() <= 4, "{cautions}");
    // Size and tier are unknown of all 41.
    assert!(
        cautions.contains("41 of 41 bikes: year, condition, tier or size is not known"),
        "{cautions}"
    );
}

#[test]
fn few_bikes_with_a_caution_are_named_together() {
    let workshop = Workshop::busy();
    let known = |n: u8| format!("K-{n},city,2015,3,2,53\n");
    let rows: String = (1..=8).map(known).collect();
    let csv = format!(
        "bike,style,made,condition,tier,seat_tube\n{rows}U-1,city,,3,2,53\nU-2,city,,3,2,53\n"
    );
    workshop.file("bikes.csv", csv);
    let out = workshop.run(&["price", "--from", "@bikes.csv"]).done().out;
    assert!(out.contains("U-1 and U-2: Not known: model year."), "{out}");
}

#[test]
fn repairs_need_no_list_of_jobs() {
    let workshop = cellar();
    let line = "offer --style touring --made 2009 --condition project --tier 2 --margin 10";
    let run = |more: &str| {
        let line = format!("{line} {more}");
        let words: Vec<String> = line.split(' ').map(String::from).collect();
        workshop.run(&words.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let by_flags = run("--repairs 25 --becomes tidy --format json")
        .done()
        .json();
    workshop.file("one.csv", "job,cost,condition_after\nrepairs,25,4\n");
    let by_list = run("--jobs @one.csv --format json").done().json();
    assert_eq!(by_flags, by_list);
    run("--repairs 25 --becomes tidy --jobs @one.csv").says(2, &["--jobs"]);
    run("--repairs 25").says(2, &["--becomes"]);
    run("--becomes tidy").says(2, &["--repairs"]);
    run("--repairs 25 --becomes shiny").says(
        2,
        &["--becomes 'shiny'", "4 tidy    fully serviced, light marks"],
    );
    // By the sheet the repairs clear what has failed there.
    let found = run("--repairs 25 --becomes tidy --sheet @sheet.csv --format json")
        .done()
        .json();
    assert_eq!(found["left_open"], serde_json::json!([]));
    assert_eq!(found["done"]["condition"], 4);
    assert_eq!(found["jobs"][0]["safety"], true);
}

/// 'Buy' is never said while a repair that has to be done counts for nothing.
#[test]
fn a_needed_repair_without_a_cost_is_asked_for() {
    let workshop = cellar();
    let jobs = |cost: &str, from_box: &str| {
        let header = "job,cost,from_box,safety,condition_after";
        workshop.file(
            "pads.csv",
            format!("{header}\nnew pads,{cost},{from_box},yes,3\n"),
        );
    };
    let say = |line: &str| {
        let found = offered(&workshop, &format!("{line} --format json"))
            .done()
            .json();
        let out = offered(&workshop, line).done().out;
        (
            found["verdict"]["say"].as_str().unwrap().to_string(),
            found,
            out,
        )
    };
    let line = "--jobs @pads.csv --asking 5";
    jobs("0", "no");
    let (said, found, out) = say(line);
    assert_eq!(
        (said.as_str(), &found["missing_costs"]),
        ("leave", &serde_json::json!(["new pads"]))
    );
    assert!(
        out.contains("the cost of new pads is missing") && !out.contains("Buy it"),
        "{out}"
    );
    for (cost, from_box) in [("9", "no"), ("0", "yes")] {
        jobs(cost, from_box);
        let (said, found, out) = say(line);
        assert_eq!(
            (said.as_str(), &found["missing_costs"]),
            ("buy", &serde_json::json!([])),
            "{out}"
        );
    }
    // What makes a project ridable costs money or time.
    for (hours, missing) in [("0", vec!["service"]), ("", vec!["service"]), ("2", vec![])] {
        let csv = format!("job,cost,hours,condition_after\nservice,0,{hours},3\n");
        workshop.file("time.csv", csv);
        let (_, found, out) = say("--jobs @time.csv --asking 5");
        assert_eq!(found["missing_costs"], serde_json::json!(missing), "{out}");
    }
    let (said, _, out) = say("--repairs 0 --becomes tidy --asking 5");
    assert_eq!(said, "leave");
    assert!(out.contains("the cost of repairs is missing"), "{out}");
    // Checks that have not passed, and nothing that says what they cost.
    let (said, _, out) = say("--sheet @sheet.csv --asking 5");
    assert_eq!(said, "leave");
    assert!(
        out.contains("nothing says what it costs to repair front tyre"),
        "{out}"
    );
}

#[test]
fn grades_are_explained_where_they_are_asked_for() {
    let workshop = Workshop::new();
    let meaning = [
        "2 project",
        "needs repair before it is ridden",
        "light steel or aluminium",
    ];
    for command in ["price", "offer"] {
        let help = workshop.run(&[command, "--help"]).done().out;
        for words in meaning {
            assert!(help.contains(words), "'{words}' in\n{help}");
        }
        let nothing = workshop.run(&[command]);
        nothing.says(
            2,
            &[
                "which bike?",
                "--seat-tube",
                &format!("wheelworth {command} --style city"),
            ],
        );
        nothing.says(2, &meaning);
        workshop
            .run(&[command, "--style", "city", "--condition", "shiny"])
            .says(
                2,
                &[
                    "--condition 'shiny'",
                    "3 rider   safe and serviced, visibly worn",
                ],
            );
        workshop
            .run(&[command, "--style", "city", "--tier", "9"])
            .says(2, &["--tier '9'", "1 basic steel frame"]);
    }
}

/// The short answer has 14 lines of 80 columns at most, whatever there is to say.
#[test]
fn a_price_takes_fourteen_lines_at_most() {
    let (busy, empty) = (Workshop::busy(), Workshop::new());
    for features in [
        "--style hybrid --made 2016 --condition tidy --tier sport --seat-tube 53cm --cost 64.50 --hours 6",
        "--style city --cost 1200.50 --hours 99",
        "--style road --made 1975..1983 --condition donor --new-price 80 --cost 3",
        "--style folding --made 2026 --condition mint --tier pro --new-price 99000 --cost 12",
        "--bike B-49",
        "--bike B-47",
        "--style hybrid --made 2016 --condition tidy --tier sport --seat-tube 53cm --cost 64.50 --hours 6 --guess 1210.50",
        "--style folding --made 2026 --condition mint --tier pro --new-price 99000 --cost 12 --guess 40000",
        "--bike B-49 --guess 35",
    ] {
        for workshop in [&busy, &empty] {
            if features.starts_with("--bike") && std::ptr::eq(workshop, &raw const empty) {
                continue;
            }
            let line = format!("--book @book.sqlite price {features}");
            let words: Vec<&str> = line.split(' ').collect();
            let out = workshop.run_in_columns(&words, crate::support::workshop::TODAY, 80);
            let out = out.done().out;
            assert!(out.lines().count() <= 14, "{out}");
            assert!(out.lines().all(|line| line.chars().count() <= 80), "{out}");
            assert!(out.contains("--why"), "{out}");
        }
    }
}
