//! Tables of date codes: the code on the first line, then the table.

use super::TODAY;
use super::reading::{read, read_soundly};
use wheelworth::intake::{DateCodes, DateRule, Meaning, Reading, Settings, with_guard};
use wheelworth::trade::Currency;

pub fn check(data: &[u8]) {
    let Some(end) = data.iter().position(|byte| *byte == b'\n') else {
        return;
    };
    let Ok(code) = std::str::from_utf8(&data[..end]) else {
        return;
    };
    let settings = Settings::new(Currency::from_code("EUR").unwrap(), TODAY);
    let found = read_soundly::<DateCodes>(&data[end + 1..], &settings);
    let rules: Vec<&DateRule> = found.records().collect();
    for rule in &rules {
        told(rule, code);
    }
    let mut file = csv::Writer::from_writer(Vec::new());
    file.write_record(["prefix", "position", "meaning"])
        .unwrap();
    for rule in &rules {
        file.write_record(cells(rule)).unwrap();
    }
    let again = read::<DateCodes>(&file.into_inner().unwrap(), &settings);
    assert_eq!(again.records().collect::<Vec<_>>(), rules);
}

/// What a rule says of a code.
fn told(rule: &DateRule, code: &str) {
    let (first, last) = rule.position;
    assert!(1 <= first && first <= last && last <= 100, "{rule:?}");
    let told = rule.read(code, TODAY);
    assert_eq!(
        rule.read(&format!(" {code} "), TODAY),
        told,
        "blanks around"
    );
    if code.is_ascii() {
        assert_eq!(
            rule.read(&code.to_ascii_lowercase(), TODAY),
            told,
            "small letters"
        );
    }
    let Reading::Years(years) = told else { return };
    assert!(
        years.iter().all(|year| (1817..=2027).contains(year)),
        "{years:?}"
    );
    match &rule.meaning {
        Meaning::Listed(listed) => {
            let meant = |year: &i16| {
                listed
                    .iter()
                    .any(|(_, years)| years.each().any(|y| y == *year))
            };
            assert!(years.iter().all(meant), "{years:?} by {rule:?}");
        }
        Meaning::Digits(digits) => {
            // Every year that ends so, and no other.
            let found: String = code
                .trim()
                .chars()
                .skip(first - 1)
                .take(last + 1 - first)
                .collect();
            let Ok(end) = format!("{digits}{found}").parse::<i32>() else {
                return;
            };
            let by = 10_i32.pow((digits.len() + found.len()) as u32);
            let expected = (1817..=2027).filter(|year| year % by == end);
            assert!(
                expected.eq(years.iter().map(|year| i32::from(*year))),
                "{years:?} by {rule:?}"
            );
        }
    }
}

fn cells(rule: &DateRule) -> [String; 3] {
    let meaning = match &rule.meaning {
        Meaning::Digits(first) => {
            let count = rule.position.1 + 1 - rule.position.0;
            format!("{first}{}", "y".repeat(count))
        }
        Meaning::Listed(listed) => {
            let one = |(key, years): &(String, _)| format!("{key}={years}");
            listed.iter().map(one).collect::<Vec<String>>().join(" ")
        }
    };
    let position = format!("{}..{}", rule.position.0, rule.position.1);
    [with_guard(&rule.prefix).into_owned(), position, meaning]
}
