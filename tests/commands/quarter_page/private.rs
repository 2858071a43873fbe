//! Nothing of costs, hours and margins reaches the beneficiary, in any form.

use super::made_up::{self, currency};
use wheelworth::accounts::QuarterReport;
use wheelworth::report::quarter::audience::Audience;
use wheelworth::report::quarter::page::html;
use wheelworth::report::quarter::{json, lines_csv, text};

/// Of [`made_up::rich`]: direct costs, margins, what an hour and what a unit of
/// cost brought, hours, each bike's part of the due (it would tell the margin),
/// the workshop's costs and their sum, box parts, amounts of corrections.
const PRIVATE: [&str; 34] = [
    "31.37",
    "101.13",
    "132.5",
    "118.63",
    "11.13",
    "147.5",
    "27.91",
    "27.59",
    "0.75",
    "4.25",
    "5.75",
    "23.45",
    "7.91",
    "18.23",
    "7.46",
    "25.69",
    "6.66",
    "23.34",
    "20.11",
    "17.29",
    "8.23",
    "42.71",
    "3.02",
    "12.17",
    "15.19",
    "53.96",
    "62.72",
    "10.44",
    "9.19",
    "grease",
    "inner tube",
    "margin",
    "hours",
    "direct_cost",
];

fn forms(report: &QuarterReport, audience: Audience) -> [(&'static str, String); 4] {
    let euro = currency("EUR");
    [
        ("text", text::render(report, audience, &euro)),
        ("csv", lines_csv::render(report, audience, &euro)),
        ("json", json::render(report, audience, &euro).unwrap()),
        ("html", html::render(report, audience, &euro).unwrap()),
    ]
}

#[test]
fn nothing_private_reaches_the_beneficiary() {
    for (form, page) in forms(&made_up::rich(), Audience::Beneficiary) {
        // Of the page, what is about the quarter, not how it looks.
        let page = page.split("</style>").last().unwrap();
        for private in PRIVATE {
            assert!(!page.contains(private), "{form} has {private}:\n{page}");
        }
    }
}

#[test]
fn what_is_looked_for_is_there_for_the_workshop() {
    let [.., (_, page)] = forms(&made_up::rich(), Audience::Workshop);
    let words = ["direct_cost"];
    for private in PRIVATE.iter().filter(|private| !words.contains(private)) {
        assert!(page.contains(private), "no {private} in\n{page}");
    }
}

#[test]
fn where_the_price_is_given_each_bike_shows_its_due() {
    for (form, page) in forms(&made_up::by_price(), Audience::Beneficiary) {
        // By the rule the whole price of 150; the corrections have a line of their own.
        if form != "json" {
            assert!(
                page.contains("150.00") && !page.contains("115.18"),
                "{form}:\n{page}"
            );
            assert!(
                page.contains("corrections of other quarters"),
                "{form}:\n{page}"
            );
            assert!(page.contains("-65.00"), "{form}:\n{page}");
        } else {
            assert!(page.contains("115.18"), "{form}:\n{page}");
        }
        let page = page.split("</style>").last().unwrap();
        for private in ["31.37", "118.63", "4.25", "23.34", "grease"] {
            assert!(!page.contains(private), "{form} has {private}:\n{page}");
        }
    }
}

#[test]
fn tax_notes_are_those_of_the_books_currency() {
    for (code, noted) in [("USD", true), ("EUR", false), ("GBP", false)] {
        for audience in [Audience::Whole, Audience::Beneficiary] {
            let text = text::render(&made_up::rich(), audience, &currency(code));
            let page = html::render(&made_up::rich(), audience, &currency(code)).unwrap();
            for said in [text, page] {
                assert_eq!(
                    said.contains("IRS Publication 1771"),
                    noted,
                    "{code}\n{said}"
                );
                assert_eq!(said.contains("the seller"), noted, "{code}\n{said}");
            }
        }
    }
}

/// The words of the conditions are the workshop's.
#[test]
fn the_beneficiary_reads_no_word_of_a_grade() {
    for (form, page) in forms(&made_up::rich(), Audience::Beneficiary) {
        let page = page.split("</style>").last().unwrap();
        if form == "text" || form == "html" {
            for word in ["donor", "project", "rider", "tidy", "mint"] {
                assert!(!page.contains(word), "{form} has {word}:\n{page}");
            }
        }
    }
}
