//! `accuracy`: what is typed, what comes back.

use crate::support::tolerance::assert_near;
use crate::support::workshop::{COMPS, SALES, Workshop};
use serde_json::Value;

pub fn json(workshop: &Workshop, more: &[&str]) -> Value {
    let words = [&["accuracy", "--format", "json"], more].concat();
    workshop.run(&words).done().json()
}

pub fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

fn middle(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    f64::midpoint(values[(values.len() - 1) / 2], values[values.len() / 2])
}

/// A row of `sales.csv` by the names of its columns.
pub fn cell<'a>(row: &'a str, column: &str) -> &'a str {
    let place = SALES
        .lines()
        .next()
        .unwrap()
        .split(',')
        .position(|name| name == column);
    row.split(',').nth(place.unwrap()).unwrap()
}

/// The first `count` shipped sales, alone.
fn first_sales(count: usize) -> Workshop {
    let sold: Vec<&str> = SALES.lines().take(count + 1).collect();
    Workshop::new().sales(&(sold.join("\n") + "\n"))
}

/// A workshop in its second year: fast to try.
pub fn young() -> Workshop {
    let first = |csv: &str, rows: usize| {
        let rows: Vec<&str> = csv.lines().take(rows + 1).collect();
        rows.join("\n") + "\n"
    };
    Workshop::new()
        .sales(&first(SALES, 18))
        .comps(&first(COMPS, 90))
}

#[test]
fn figures_are_those_of_the_sales_listed_beside_them() {
    let answer = json(&Workshop::busy(), &[]);
    let sold = SALES
        .lines()
        .skip(1)
        .filter(|row| !cell(row, "sold_on").is_empty());
    let sales = answer["sales"].as_array().unwrap();
    assert_eq!(sales.len(), sold.count());
    for kind in ["leave_one_out", "back_test"] {
        let study = &answer[kind];
        let tried: Vec<(f64, f64, f64, f64)> = sales
            .iter()
            .filter(|sale| !sale[kind].is_null())
            .map(|sale| {
                let told = &sale[kind];
                let of = |name: &str| number(&told[name]);
                (
                    number(&sale["sold_price"]),
                    of("median"),
                    of("low"),
                    of("high"),
                )
            })
            .collect();
        let n = tried.len() as f64;
        assert_eq!(study["sales"].as_u64(), Some(tried.len() as u64));
        // Cents of prices of 50 to 600: a part in 10,000.
        let near = |name: &str, expected: f64| {
            assert_near(
                name,
                number(&study[name]),
                expected,
                2e-4 * expected.abs().max(1.0),
            );
        };
        near(
            "median_ratio",
            middle(tried.iter().map(|s| s.1 / s.0).collect()),
        );
        near(
            "mdape",
            middle(tried.iter().map(|s| (s.1 / s.0 - 1.0).abs()).collect()),
        );
        let share = |count: usize| count as f64 / n;
        let within = |part: f64| {
            share(
                tried
                    .iter()
                    .filter(|s| (s.1 / s.0 - 1.0).abs() <= part)
                    .count(),
            )
        };
        near("within_10", within(0.1));
        near("within_20", within(0.2));
        near(
            "coverage",
            share(tried.iter().filter(|s| s.2 <= s.0 && s.0 <= s.3).count()),
        );
        let score = |s: &(f64, f64, f64, f64)| {
            s.3 - s.2 + 10.0 * ((s.2 - s.0).max(0.0) + (s.0 - s.3).max(0.0))
        };
        near("interval_score", tried.iter().map(score).sum::<f64>() / n);
        let prd = tried.iter().map(|s| s.1 / s.0).sum::<f64>() / n
            * tried.iter().map(|s| s.0).sum::<f64>()
            / tried.iter().map(|s| s.1).sum::<f64>();
        near("prd", prd);
        assert!(study["spearman"].is_null(), "only below 20 sales");
    }
    let rules = answer["rules"].as_array().unwrap();
    let named: Vec<&str> = rules
        .iter()
        .map(|rule| rule["rule"].as_str().unwrap())
        .collect();
    let asked = [
        "median of the five nearest comps",
        "median ask of the style less 10 %",
        "the last similar own sale",
    ];
    assert_eq!(named, asked);
    for within in ["within_14", "within_30", "within_60"] {
        let of = &answer["days"][within];
        let (low, high) = (
            number(&of["observed_interval"][0]),
            number(&of["observed_interval"][1]),
        );
        assert!(low < number(&of["observed"]) && number(&of["observed"]) < high);
        assert!((0.0..=1.0).contains(&number(&of["expected"])));
    }
    assert_eq!(answer["worst"].as_array().unwrap().len(), 5);
}

#[test]
fn a_book_of_six_sales_has_figures_and_says_that_they_are_few() {
    let workshop = first_sales(6);
    let answer = json(&workshop, &[]);
    assert_eq!(answer["leave_one_out"]["sales"], 6);
    // The first was predicted from the beliefs alone: there were no records before it.
    assert_eq!(answer["back_test"]["sales"], 6);
    for kind in ["leave_one_out", "back_test"] {
        for figure in [
            "mdape",
            "cod",
            "prd",
            "coverage",
            "interval_score",
            "spearman",
        ] {
            assert!(answer[kind][figure].is_number(), "{kind} {figure}");
        }
    }
    let text = workshop.run(&["accuracy", "--why"]).done().out;
    assert!(
        text.contains("on few sales") || text.contains("too far off"),
        "{text}"
    );
    assert!(text.contains("Spearman (near 0)"), "{text}");
}

#[test]
fn with_few_sales_there_are_no_figures_but_a_sentence() {
    for (count, words) in [
        (4, "4 own sales so far are too few"),
        (1, "1 own sale so far"),
    ] {
        let workshop = first_sales(count);
        let answer = json(&workshop, &[]);
        assert!(answer["leave_one_out"]["mdape"].is_null());
        assert!(answer["back_test"]["coverage"].is_null());
        assert!(answer["days"]["within_30"].is_null());
        assert!(
            answer["verdict"].as_str().unwrap().contains(words),
            "{}",
            answer["verdict"]
        );
    }
    for workshop in [Workshop::new(), Workshop::new().comps(COMPS)] {
        let out = workshop.run(&["accuracy"]).done();
        assert!(out.out.contains("No sale of your own"), "{}", out.out);
        let answer = json(&workshop, &[]);
        assert_eq!(answer["leave_one_out"]["sales"], 0);
        assert_eq!(answer["worst"].as_array().unwrap().len(), 0);
    }
}

#[test]
fn a_slipped_decimal_is_named_first_and_as_a_typo() {
    let row = SALES.lines().find(|row| row.starts_with("B-26,")).unwrap();
    let price = cell(row, "sold_price");
    let slipped = price.replace('.', "").replacen("00", "0.0", 0) + "0.00";
    let slipped = slipped.replacen("000.00", "0.00", 1);
    let wrong = SALES.replace(
        row,
        &row.replace(&format!(",{price},"), &format!(",{slipped},")),
    );
    assert_ne!(wrong, SALES);
    let workshop = Workshop::new().sales(&wrong).comps(COMPS);
    let answer = json(&workshop, &[]);
    let first = &answer["worst"][0];
    assert_eq!(first["bike"], "B-26", "{first}");
    assert_eq!(first["looks_like_code"], "slipped_decimal", "{first}");
    assert!(first["looks_like"].as_str().unwrap().contains("a typo"));
    // The other sales are told as before: the wild one decides nothing.
    let right = json(&Workshop::new().sales(SALES).comps(COMPS), &[]);
    let median = |of: &Value| number(&of["back_test"]["mdape"]);
    assert_near("off by, middle case", median(&answer), median(&right), 0.02);
}

#[test]
fn what_was_given_away_or_is_not_sold_is_no_sale() {
    let gift = "G-1,hybrid,2014,3,2,52,,2025-01-02,2025-01-20,120.00,2025-02-01,0.00,20.00,,,,,,\n";
    let shed = "G-2,hybrid,2014,3,2,52,,2025-01-02,2025-01-20,120.00,,,20.00,,,,,,\n";
    let header = SALES.lines().next().unwrap();
    let with = json(&young().sales(&format!("{header}\n{gift}{shed}")), &[]);
    let without = json(&young(), &[]);
    assert_eq!(
        with["leave_one_out"]["sales"],
        without["leave_one_out"]["sales"]
    );
    assert_eq!(
        with["leave_one_out"]["mdape"],
        without["leave_one_out"]["mdape"]
    );
    // But it stood listed, and was not sold within 60 days.
    let bikes = |of: &Value| of["days"]["within_60"]["bikes"].as_u64().unwrap();
    assert_eq!(bikes(&with), bikes(&without) + 1);
}

#[test]
fn the_order_of_rows_changes_nothing() {
    let shuffled = |csv: &str, count: usize| {
        let mut rows: Vec<&str> = csv.lines().skip(1).take(count).collect();
        rows.reverse();
        let header = csv.lines().next().unwrap();
        format!("{header}\n{}\n", rows.join("\n"))
    };
    let workshop = Workshop::new()
        .sales(&shuffled(SALES, 18))
        .comps(&shuffled(COMPS, 90));
    let (there, back) = (
        young().run(&["accuracy"]).done().out,
        workshop.run(&["accuracy"]).done().out,
    );
    assert_eq!(there, back);
}

#[test]
fn pictures_are_drawn_or_refused_before_anything_is_lost() {
    let workshop = young();
    let out = workshop.run(&["accuracy", "--charts", "@pictures"]).done();
    for name in ["prices.svg", "errors.svg", "days-predicted.svg"] {
        let picture = workshop.text(&format!("pictures/{name}"));
        assert!(
            picture.starts_with("<svg") && picture.contains("circle"),
            "{name}"
        );
        assert!(
            !picture.contains("NaN") && !picture.contains("inf"),
            "{name}"
        );
        assert!(out.err.contains(name), "{}", out.err);
    }
    let empty = Workshop::new();
    let out = empty.run(&["accuracy", "--charts", "@pictures"]).done();
    assert!(out.err.contains("nothing to draw"), "{}", out.err);
    empty.file("taken", "my notes");
    let out = empty.run(&["accuracy", "--charts", "@taken"]);
    assert_eq!(out.code, 1);
    assert_eq!(empty.text("taken"), "my notes");
}

#[test]
fn a_level_is_a_probability_and_wider_ranges_hold_more() {
    let workshop = first_sales(20);
    for level in ["0", "1", "-0.2", "80"] {
        let out = workshop.run(&["accuracy", "--level", level]);
        assert_eq!(out.code, 2, "{level}");
        assert!(out.err.contains("--level"), "{}", out.err);
    }
    let held = |level: &str| {
        let answer = json(&workshop, &["--level", level]);
        number(&answer["back_test"]["coverage"])
    };
    assert!(held("0.5") < held("0.95"));
}
