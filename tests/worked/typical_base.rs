//! The typical bike of the own sales by hand: three road bikes and two city bikes sold; of the
//! road bikes the grades are 2, 4, 5, and they were 6, 8 and 10 years old in July.

use crate::support::records::{Says as _, day, sale};
use wheelworth::pricing::design::base::typical_base;
use wheelworth::trade::{Sale, Style, Years};

/// Listed and sold in July, made in July so many years before.
fn sold(style: Style, grade: u8, age: i16) -> Sale {
    let mut sale = sale("A")
        .condition(grade)
        .listed("2025-07-01", 100)
        .sold("2025-07-20", 90);
    sale.bike.style = style;
    sale.bike.made = Some(Years::from(2025 - age));
    sale
}

#[test]
fn it_is_of_the_style_that_was_sold_most() {
    let sales = [
        sold(Style::City, 1, 30),
        sold(Style::Road, 2, 6),
        sold(Style::Road, 5, 8),
        sold(Style::City, 1, 30),
        sold(Style::Road, 4, 10),
    ];
    let base = typical_base(&sales, day("2026-05-02")).unwrap();
    assert_eq!(base.bike.style, Style::Road);
    assert_eq!(base.bike.condition.unwrap().grade(), 4);
    assert_eq!(base.age, 8.0);
    // Nothing was sold yet.
    assert!(typical_base(&sales, day("2025-07-19")).is_none());
}
