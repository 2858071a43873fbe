//! `demo`.

use crate::support::program::{both, program};
use crate::support::workshop::{COMPS, SALES, TODAY, Workshop};

#[test]
fn demo_fills_a_folder_and_runs_the_main_job() {
    let workshop = Workshop::empty();
    let output = workshop.run_as_typed(&["demo", "@shed"], TODAY).done();
    // It is the same on every day.
    let other = Workshop::empty();
    let later = other.run_as_typed(&["demo", "@shed"], "2031-01-01".parse().unwrap());
    assert_eq!(output, later);
    let mut files: Vec<String> = std::fs::read_dir(workshop.path("shed"))
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    let expected = [
        "asks.csv",
        "bikes.csv",
        "comps.csv",
        "costs.csv",
        "found.csv",
        "gifts.csv",
        "hybrid.svg",
        "jobs.csv",
        "offer.svg",
        "parts.csv",
        "pictures",
        "pocket.html",
        "repaired.csv",
        "report.html",
        "sales.csv",
        "shed.sqlite",
        "spent.csv",
    ];
    assert_eq!(files, expected);
    assert_eq!(workshop.text("shed/sales.csv"), SALES);
    assert_eq!(workshop.text("shed/comps.csv"), COMPS);
    for words in [
        "Worth about",
        "Four sales in five",
        "Worth in EUR on 2026-05-02",
        "D-6",
        "How prices held up on 45 own sales",
        "Keep asking 230",
        "Once it is on offer:\n  wheelworth",
        "= closing balance, still owed",
        "NOT READY: 4 safety checks not passed",
        "Buy it for 25",
        "Offer for B-50 kept",
        "every safety check and the road test have passed",
        "actual less predicted",
    ] {
        assert!(output.out.contains(words), "'{words}' in\n{}", output.out);
    }
    assert!(workshop.text("shed/hybrid.svg").starts_with("<svg"));
    let report = workshop.text("shed/report.html");
    assert!(report.contains("Ferry Lane Reading Room") && report.contains("still owed"));
}

#[test]
fn demo_takes_the_next_free_name_and_each_step_can_be_repeated_as_it_is_printed() {
    let workshop = Workshop::empty();
    std::fs::create_dir(workshop.path("wheelworth-demo")).unwrap();
    workshop.file("wheelworth-demo/mine.txt", "mine");
    let demo = program(workshop.folder()).arg("demo").output().unwrap();
    assert!(demo.status.success(), "{}", both(&demo));
    assert_eq!(workshop.text("wheelworth-demo/mine.txt"), "mine");
    assert!(workshop.path("wheelworth-demo-2/shed.sqlite").is_file());
    let printed = String::from_utf8(demo.stdout).unwrap();
    let steps: Vec<&str> = printed
        .lines()
        .filter_map(|l| l.strip_prefix("$ wheelworth "))
        .collect();
    assert_eq!(steps.len(), 24, "{printed}");
    // The one that prices many bikes needs no quotes of a shell.
    let last: Vec<&str> = steps[7].split(' ').collect();
    let again = program(workshop.folder()).args(last).output().unwrap();
    assert!(again.status.success(), "{}", both(&again));
    let again = String::from_utf8(again.stdout).unwrap();
    assert!(again.contains("D-1") && printed.contains(&again), "{again}");
}

#[test]
fn demo_leaves_a_folder_with_something_in_it_alone() {
    let workshop = Workshop::empty();
    workshop.file("mine.txt", "mine");
    let folder = workshop.folder().display().to_string();
    let output = workshop.run_as_typed(&["demo", &folder], TODAY);
    output.says(1, &["is not empty", "help: Name a new folder"]);
    assert_eq!(workshop.files(), ["mine.txt"]);
}
