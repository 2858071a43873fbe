//! Grades that run the other way are told by the user's own sales.

use crate::support::workshop::Workshop;
use std::fmt::Write as _;

/// Fourteen bikes of two styles, the price by `worth` of the grade; one bike in four is a
/// little out of order, and older bikes bring less.
fn sales(worth: impl Fn(i64) -> i64) -> String {
    let mut text = String::from("bike,style,made,condition,tier,sold_on,sold_price\n");
    for (number, grade) in [1, 2, 3, 4, 5, 2, 4, 3, 5, 1, 4, 2, 3, 5]
        .into_iter()
        .enumerate()
    {
        let number = i64::try_from(number).unwrap();
        let (style, dear) = [("city", 0), ("road", 150)][usize::from(number % 2 == 1)];
        let odd = if number % 4 == 3 { 25 } else { 0 };
        let price = 100 + dear + 20 * worth(grade) + odd - 2 * (number % 5);
        let made = 2010 + number % 5;
        let tier = 1 + number % 3;
        let _ = writeln!(
            text,
            "B-{number},{style},{made},{grade},{tier},2026-03-{:02},{price}",
            number + 1
        );
    }
    text
}

const TOLD: &str = "the higher grades of condition bring less";

#[test]
fn grades_whose_higher_ones_bring_less_are_told_with_the_way_out_and_it_works() {
    let workshop = Workshop::new();
    workshop.file("sales.csv", sales(|grade| 5 - grade));
    let output = workshop.run(&["import", "sales", "@sales.csv"]).done();
    assert!(output.err.contains(TOLD), "{}", output.err);
    let words = "--word condition:1=mint --word condition:2=tidy --word condition:4=project --word condition:5=donor";
    assert!(output.err.contains(words), "{}", output.err);
    assert!(!output.err.contains("tier bring less"), "{}", output.err);
    let mut again = vec!["import", "sales", "@sales.csv"];
    again.extend(words.split(' '));
    let output = workshop.run(&again).done();
    assert!(output.out.contains("11 updated"), "{}", output.out);
    assert!(!output.err.contains(TOLD), "{}", output.err);
    let best = workshop.run(&["show", "B-0"]).done().out;
    assert!(best.contains("condition 5 mint"), "{best}");
    // They are of this file alone: one with our own grades would be turned round.
    let output = workshop.run(&again).done();
    assert!(output.out.contains("Nothing changed."), "{}", output.out);
    let output = workshop.run(&["import", "sales", "@sales.csv"]).done();
    assert!(output.out.contains("11 updated"), "{}", output.out);
    assert!(output.err.contains(TOLD), "{}", output.err);
}

#[test]
fn grades_in_order_few_sales_and_grades_that_say_nothing_are_not_told() {
    let few = |csv: &str| csv.lines().take(10).collect::<Vec<_>>().join("\n");
    let reversed = sales(|grade| 5 - grade);
    let one_style = reversed.replace("road", "city");
    for (name, csv) in [
        ("in order", sales(|grade| grade)),
        ("no price of a grade", sales(|_| 2)),
        ("nine sales", few(&reversed)),
        // Two styles of one grade each: the dear style has the lower grade.
        (
            "styles apart",
            sales(|_| 2).replace(",1,", ",3,").replace(",5,", ",3,"),
        ),
        (
            "no grades",
            one_style
                .lines()
                .map(|line| {
                    let mut cells: Vec<&str> = line.split(',').collect();
                    if cells[0] != "bike" {
                        cells[3] = "";
                    }
                    cells.join(",")
                })
                .collect::<Vec<_>>()
                .join("\n"),
        ),
    ] {
        let workshop = Workshop::new();
        workshop.file("sales.csv", csv);
        let output = workshop.run(&["import", "sales", "@sales.csv"]).done();
        assert!(!output.err.contains(TOLD), "{name}: {}", output.err);
    }
}

/// Where age alone makes the order, nothing is told: the older bikes bring less and happen
/// to have the higher grades.
#[test]
fn age_is_set_apart() {
    let csv = |age: bool| {
        let mut text = String::from("bike,style,made,condition,sold_on,sold_price\n");
        for number in 0..15_i64 {
            // Old bikes have grades 3 to 5, young ones 1 to 3; the price goes by the year.
            let made = 2000 + number;
            let grade = 5 - number / 4 - i64::from(number % 4 == 1);
            let price = 60 + 12 * number + [0, 3, 1][usize::try_from(number % 3).unwrap()];
            let made = if age { made.to_string() } else { String::new() };
            let _ = writeln!(
                text,
                "B-{number},city,{made},{},2026-03-01,{price}",
                grade.clamp(1, 5)
            );
        }
        text
    };
    let told = |csv: String| {
        let workshop = Workshop::new();
        workshop.file("sales.csv", csv);
        let output = workshop.run(&["import", "sales", "@sales.csv"]).done();
        output.err.contains(TOLD)
    };
    assert!(!told(csv(true)), "age explains it");
    assert!(told(csv(false)), "nothing but the grades can explain it");
}
