//! Lives of bikes through the program: bought, sold, handed back, sold again, left;
//! whatever happens, the exports make the same book again, and each event is taken
//! back as if it had never been.

use crate::support::workshop::{TODAY, Workshop};
use jiff::ToSpan as _;
use proptest::prelude::*;

/// Tables in an order in which they can be imported.
const TABLES: [&str; 6] = ["sales", "asks", "costs", "gifts", "returns", "offers"];

const IDS: [&str; 4] = ["B-1", "B-2", "a b", "\u{e9}-4"];
const HOW: [&str; 4] = ["kept", "given", "scrapped", "stolen"];

#[derive(Clone, Debug)]
enum Deed {
    Bought(usize, i64, i64),
    Sold(usize, i64, i64),
    Together(usize, usize, i64),
    PartPayment(usize, usize, i64, i64),
    Back(usize, i64, Option<i64>, bool),
    Left(usize, usize, i64),
    Cost(usize, i64, i64),
    Gift(i64, i64),
    Guess(usize, i64),
}

fn deed() -> impl Strategy<Value = Deed> {
    let bike = || 0..IDS.len();
    let days = || 0..400_i64;
    let money = || 1..40_000_i64;
    prop_oneof![
        4 => (bike(), days(), money()).prop_map(|(b, d, m)| Deed::Bought(b, d, m)),
        5 => (bike(), days(), money()).prop_map(|(b, d, m)| Deed::Sold(b, d, m)),
        1 => (bike(), bike(), money()).prop_map(|(a, b, m)| Deed::Together(a, b, m)),
        1 => (bike(), bike(), money(), money()).prop_map(|(a, b, m, n)| Deed::PartPayment(a, b, m, n)),
        4 => (bike(), days(), prop::option::of(money()), any::<bool>())
            .prop_map(|(b, d, m, back)| Deed::Back(b, d, m, back)),
        2 => (bike(), 0..HOW.len(), days()).prop_map(|(b, h, d)| Deed::Left(b, h, d)),
        3 => (bike(), days(), money()).prop_map(|(b, d, m)| Deed::Cost(b, d, m)),
        1 => (days(), money()).prop_map(|(d, m)| Deed::Gift(d, m)),
        1 => (bike(), money()).prop_map(|(b, m)| Deed::Guess(b, m)),
    ]
}

fn amount(minor: i64) -> String {
    format!("{}.{:02}", minor / 100, minor % 100)
}

impl Deed {
    /// The command; days count back from today.
    fn words(&self) -> Vec<String> {
        let day = |back: &i64| TODAY.saturating_sub(back.days()).to_string();
        let words = match self {
            Deed::Bought(bike, back, paid) => vec![
                "sale".into(),
                "--bike".into(),
                IDS[*bike].into(),
                "--style".into(),
                "city".into(),
                "--bought-on".into(),
                day(back),
                "--purchase".into(),
                amount(*paid),
            ],
            Deed::Sold(bike, back, price) => vec![
                "sale".into(),
                "--bike".into(),
                IDS[*bike].into(),
                "--sold-on".into(),
                day(back),
                "--sold-price".into(),
                amount(*price),
            ],
            Deed::Together(one, other, price) => vec![
                "sale".into(),
                "--bike".into(),
                IDS[*one].into(),
                "--bike".into(),
                IDS[*other].into(),
                "--sold-on".into(),
                "today".into(),
                "--sold-price".into(),
                amount(*price),
            ],
            Deed::PartPayment(bike, new, price, part) => vec![
                "sale".into(),
                "--bike".into(),
                IDS[*bike].into(),
                "--sold-on".into(),
                "today".into(),
                "--sold-price".into(),
                amount(*price),
                "--took-in".into(),
                IDS[*new].into(),
                "--took-in-for".into(),
                amount(*part),
                "--took-in-style".into(),
                "road".into(),
            ],
            Deed::Back(bike, back, refund, came) => {
                let mut words = vec![
                    "return".into(),
                    "--bike".into(),
                    IDS[*bike].into(),
                    "--on".into(),
                    day(back),
                ];
                if let Some(refund) = refund {
                    words.extend(["--refund".into(), amount(*refund)]);
                    words.extend(came.then(|| "--bike-back".into()));
                }
                words
            }
            Deed::Left(bike, how, back) => {
                let mut words = vec![
                    "leave".into(),
                    "--bike".into(),
                    IDS[*bike].into(),
                    "--as".into(),
                    HOW[*how].into(),
                    "--on".into(),
                    day(back),
                ];
                if *how == 2 {
                    words.extend([
                        "--box-value".into(),
                        "3.50".into(),
                        "--box-item".into(),
                        "wheels".into(),
                    ]);
                }
                words
            }
            Deed::Cost(bike, back, amount_) => vec![
                "cost".into(),
                "--bike".into(),
                IDS[*bike].into(),
                "--on".into(),
                day(back),
                "--kind".into(),
                "part".into(),
                "--amount".into(),
                amount(*amount_),
            ],
            Deed::Gift(back, given) => vec![
                "gift".into(),
                "--on".into(),
                day(back),
                "--amount".into(),
                amount(*given),
            ],
            Deed::Guess(bike, guess) => vec![
                "sale".into(),
                "--bike".into(),
                IDS[*bike].into(),
                "--guess".into(),
                amount(*guess),
            ],
        };
        std::iter::once("record".to_string()).chain(words).collect()
    }
}

fn started(give: &str) -> Workshop {
    Workshop::giving_to("Reading Room", &["--give", give])
}

fn export(workshop: &Workshop, table: &str) -> String {
    let _ = std::fs::remove_file(workshop.path("x.csv"));
    workshop.run(&["export", table, "@x.csv"]).done();
    workshop.text("x.csv")
}

fn exports(workshop: &Workshop) -> Vec<String> {
    TABLES.iter().map(|table| export(workshop, table)).collect()
}

/// Every quarter of the last 400 days and the stock, for programs.
fn figures(workshop: &Workshop) -> Vec<String> {
    let quarters = [
        "2025-Q1", "2025-Q2", "2025-Q3", "2025-Q4", "2026-Q1", "2026-Q2",
    ];
    let quarters = quarters.iter().map(|quarter| {
        workshop
            .run(&["quarter", quarter, "--format", "json"])
            .done()
            .out
    });
    quarters
        .chain([workshop.run(&["list", "--format", "json"]).done().out])
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    #[test]
    fn exports_make_the_same_book_again_and_each_event_is_taken_back(
        give in prop::sample::select(&["net", "price"][..]),
        deeds in prop::collection::vec(deed(), 5..22),
    ) {
        let workshop = started(give);
        let mut before = Vec::new();
        let mut last = exports(&workshop);
        for deed in &deeds {
            let words = deed.words();
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            let output = workshop.run(&words);
            prop_assert!(output.code <= 2, "{words:?}: {}", output.err);
            let number = output.out.split_once("Recorded as import ");
            let number = number.and_then(|(_, rest)| rest.split_once(';'));
            let now = exports(&workshop);
            match number {
                Some((number, _)) => before.push((number.to_string(), std::mem::replace(&mut last, now))),
                None => prop_assert_eq!(&now, &last, "{:?} {}", words, output.err),
            }
        }
        let again = started(give);
        for (table, file) in TABLES.iter().zip(&last) {
            if file.lines().count() > 1 {
                again.file("y.csv", file);
                again.run(&["import", table, "@y.csv"]).done();
                let twice = again.run(&["import", table, "@y.csv"]).done();
                prop_assert!(twice.out.contains("Nothing changed."), "{}", twice.out);
            }
        }
        prop_assert_eq!(exports(&again), last.clone());
        // The sales of before the returns were read change nothing afterwards.
        if last[0].lines().count() > 1 {
            again.file("y.csv", &last[0]);
            again.run(&["import", "sales", "@y.csv"]).done();
            prop_assert_eq!(exports(&again), last.clone());
        }
        prop_assert_eq!(figures(&again), figures(&workshop));
        for (number, was) in before.iter().rev() {
            workshop.run(&["import", "--undo", number]).done();
            prop_assert_eq!(&exports(&workshop), was);
        }
        workshop.run(&["check"]).done();
    }

    /// Columns that belong together are dropped together: a sale has both of its own.
    #[test]
    fn a_file_with_fewer_columns_changes_no_other_column(
        deeds in prop::collection::vec(deed(), 8..20),
        kept in prop::collection::vec(any::<bool>(), 23),
    ) {
        let workshop = started("net");
        for deed in &deeds {
            let words = deed.words();
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            workshop.run(&words);
        }
        let before = export(&workshop, "sales");
        if before.lines().count() < 2 {
            return Ok(());
        }
        let rows: Vec<Vec<&str>> = before.lines().map(|line| line.split(',').collect()).collect();
        let place = |name: &str| rows[0].iter().position(|column| *column == name).unwrap();
        let keeps = |at: usize| match rows[0][at] {
            "bike" | "style" | "note" => true,
            "sold_price" => kept[place("sold_on")],
            "left_as" | "box_value" | "box_item" => kept[place("left_on")],
            _ => kept[at],
        };
        let note = place("note");
        let written = |all: bool| {
            let mut text = String::new();
            for (number, row) in rows.iter().enumerate() {
                let cells = row.iter().enumerate().filter(|(at, _)| all || keeps(*at));
                let cells: Vec<&str> = cells
                    .map(|(at, cell)| if at == note && number > 0 { "seen" } else { cell })
                    .collect();
                text.push_str(&cells.join(","));
                text.push('\n');
            }
            text
        };
        workshop.file("few.csv", written(false));
        workshop.run(&["import", "sales", "@few.csv"]).done();
        prop_assert_eq!(export(&workshop, "sales"), written(true));
    }
}
