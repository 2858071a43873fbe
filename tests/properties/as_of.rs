//! What was answered for a day is answered for it for ever: records of later days
//! change nothing, whatever is asked.

use crate::support::workshop::{ASKS, COMPS, SALES, TODAY, Workshop};
use jiff::ToSpan as _;
use proptest::prelude::*;
use serde_json::Value;
use wheelworth::trade::{Day, Quarter};

const COSTS: &str = include_str!("../../datasets/costs.csv");
const GIFTS: &str = include_str!("../../datasets/gifts.csv");
const BIKES: &str = include_str!("../../datasets/bikes.csv");

/// The rows of a file that `keep` leaves, and how many it has taken away or changed.
fn rows(
    file: &str,
    keep: impl Fn(&dyn Fn(&str) -> usize, &mut Vec<String>) -> bool,
) -> (String, usize) {
    let mut reader = csv::Reader::from_reader(file.as_bytes());
    let header = reader.headers().unwrap().clone();
    let place = |name: &str| header.iter().position(|column| column == name).unwrap();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&header).unwrap();
    let mut changed = 0;
    for row in reader.records() {
        let old: Vec<String> = row.unwrap().iter().map(String::from).collect();
        let mut new = old.clone();
        let kept = keep(&place, &mut new);
        changed += usize::from(!kept || new != old);
        if kept {
            writer.write_record(new).unwrap();
        }
    }
    (
        String::from_utf8(writer.into_inner().unwrap()).unwrap(),
        changed,
    )
}

/// A book that holds what the shipped one held on a day, and how many rows differ.
/// Bikes sold later are on hand, bikes listed later not yet listed; a comp that is
/// there already stays as it is.
fn known_by(day: &str) -> ([String; 5], usize) {
    let later = |cell: &str| !cell.is_empty() && cell > day;
    let (sales, mut changed) = rows(SALES, |place, row| {
        for (on, with) in [("sold_on", "sold_price"), ("listed_on", "ask")] {
            if later(&row[place(on)]) {
                row[place(on)].clear();
                row[place(with)].clear();
            }
        }
        !later(&row[place("bought_on")])
    });
    let (comps, comps_changed) = rows(COMPS, |place, row| {
        let seen = &row[place("first_seen")];
        let first = if seen.is_empty() {
            &row[place("listed_on")]
        } else {
            seen
        };
        !later(first)
    });
    changed += comps_changed;
    let mut up_to = |file: &str| {
        let (text, taken) = rows(file, |place, row| !later(&row[place("on")]));
        changed += taken;
        text
    };
    (
        [sales, comps, up_to(ASKS), up_to(COSTS), up_to(GIFTS)],
        changed,
    )
}

fn workshop(files: &[String; 5]) -> Workshop {
    let workshop = Workshop::giving_to("Ferry Lane Reading Room", &["--give", "net"]);
    for (kind, file) in ["sales", "comps", "asks", "costs", "gifts"]
        .iter()
        .zip(files)
    {
        if file.lines().count() > 1 {
            workshop.file("rows.csv", file);
            workshop.run(&["import", kind, "@rows.csv"]).done();
        }
    }
    workshop.file("bikes.csv", BIKES);
    workshop
}

/// Everything that is told of a day.
fn answers(workshop: &Workshop, day: Day) -> Vec<Value> {
    let (on, this) = (day.to_string(), Quarter::of(day, 1));
    let quarters = [this.to_string(), this.previous().to_string()];
    let price = ["price", "--from", "@bikes.csv"];
    let lines: [&[&str]; 5] = [
        &price,
        &["market"],
        &["stock"],
        &["quarter", &quarters[0]],
        &["quarter", &quarters[1]],
    ];
    let ask = |line: &&[&str]| {
        let words = [line, &["--format", "json", "--as-of", &on][..]].concat();
        without_what_is_not_used(workshop.run(&words).done().json())
    };
    lines.iter().map(ask).collect()
}

/// An answer without how many records of later days the book holds, which is told
/// so that nobody wonders where they are.
fn without_what_is_not_used(mut answer: Value) -> Value {
    for of in ["comps", "sales"] {
        if let Some(counts) = answer.get_mut(of).and_then(Value::as_object_mut) {
            counts.remove("not_yet_known");
        }
    }
    if let Some(cautions) = answer.get_mut("cautions").and_then(Value::as_array_mut) {
        cautions.retain(|caution| caution["code"] != "comps_of_later_days");
    }
    answer
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4))]

    #[test]
    fn later_records_change_no_answer(back in 30..800_i64) {
        let day = TODAY.checked_sub(back.days()).unwrap();
        let (files, changed) = known_by(&day.to_string());
        prop_assert!(changed > 0, "the shipped records go on to {TODAY}");
        let whole = workshop(&[SALES, COMPS, ASKS, COSTS, GIFTS].map(String::from));
        let then = workshop(&files);
        for (now, then) in answers(&whole, day).into_iter().zip(answers(&then, day)) {
            prop_assert_eq!(now, then);
        }
    }
}
