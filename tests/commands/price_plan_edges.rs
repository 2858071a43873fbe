//! What `price` says to ask where something is odd: a cheap new one, slips, the
//! last weeks.

use super::price_plan::{BIKE, SALES, bike, number};
use crate::support::workshop::Workshop;

/// A used bike is not asked for more than a new one costs, however sought it is.
#[test]
fn no_ask_is_above_the_price_of_a_new_one() {
    let workshop = Workshop::new().sales(SALES);
    let line = "price --style road --made 2026 --condition mint --tier 3";
    let free = bike(&workshop, line);
    let limit = number(&free["value"]["median"]).floor();
    let held = bike(&workshop, &format!("{line} --new-price {limit}"));
    assert!(number(&free["ask"]["suggested"]) > limit, "{free}");
    for point in held["curve"].as_array().unwrap() {
        assert!(number(&point["ask"]) <= limit, "{limit}: {point}");
    }
}

/// Nobody waits for years at an ask ten or a million times the value.
#[test]
fn an_absurd_ask_is_not_kept() {
    for ask in ["2900", "100000000"] {
        let sales = SALES.replace("2026-03-14,290", &format!("2026-03-14,{ask}"));
        let bike = bike(&Workshop::new().sales(&sales), "price --bike S4");
        let value = number(&bike["value"]["median"]);
        assert!(number(&bike["ask"]["suggested"]) < 2.0 * value, "{bike}");
        assert!(number(&bike["ask"]["floor"]) < 2.0 * value, "{bike}");
    }
}

/// A slipped decimal in one listing of another bike says nothing of the pace.
#[test]
fn a_slip_in_one_ask_bends_no_pace() {
    let days = |more: &str| {
        let workshop = Workshop::new().sales(&format!("{SALES}{more}"));
        bike(&workshop, BIKE)["ask"]["expected_days"].clone()
    };
    let usual = days("");
    for ask in ["5", "3000", "90000"] {
        let slip = format!("S5,road,2015,3,3,2026-04-20,{ask},,\n");
        assert_eq!(days(&slip), usual, "{ask}");
    }
}

/// A deadline that comes nearer is worth no more.
#[test]
fn the_last_weeks_are_worth_no_more_once_they_are_over() {
    let workshop = Workshop::new().sales(SALES);
    let floor = |weeks: usize| {
        let bike = bike(&workshop, &format!("price --bike S4 --weeks {weeks}"));
        number(&bike["ask"]["floor"])
    };
    for weeks in 5..16 {
        let (less, more) = (floor(weeks), floor(weeks + 1));
        // A cent for the rounding.
        assert!(less <= more + 0.011, "{weeks}: {less} then {more}");
    }
}

/// What is left at the end never brings more than was asked last.
#[test]
fn an_unsold_bike_brings_no_more_than_its_ask() {
    let workshop = Workshop::new().sales(SALES);
    for more in [
        "--weeks 1",
        "--weeks 2 --quick-sale 100",
        "--quick-sale 100",
    ] {
        let bike = bike(&workshop, &format!("{BIKE} {more}"));
        for point in bike["curve"].as_array().unwrap() {
            let (ask, sale) = (number(&point["ask"]), number(&point["expected_sale"]));
            assert!(sale <= ask + 0.005, "{more}: {point}");
        }
    }
}

#[test]
fn keeping_a_setting_is_said() {
    let workshop = Workshop::new().sales(SALES);
    let line = format!("{BIKE} --week-cost 2 --keep");
    let words: Vec<&str> = line.split(' ').collect();
    let said = workshop.run(&words).done().err;
    assert!(said.contains("Kept in the book: --week-cost 2."), "{said}");
}
