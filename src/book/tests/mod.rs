//! The book's promises: all or nothing, nothing lost, nothing read that is not a book.

mod ahead;
mod asks;
mod changes;
mod closings;
mod costs;
mod gifts;
mod importing;
mod inspections;
mod interrupted;
mod opening;
mod recorded;
mod recorded_model;
mod records;
mod undoing;

use super::file::schema::MIGRATIONS;
use super::*;
use crate::trade::{
    Beneficiary, Bike, Comparable, Condition, Currency, Day, Give, Money, Outcome, Sale, SeatTube,
};
use crate::trade::{Style, Tier, Years, sale::Sold};
use rusqlite::Connection;
use std::fs;
use std::path::Path;
use tempfile::TempDir;

const TODAY: Day = Day::constant(2026, 5, 2);
const NAME: &str = "wheelworth.sqlite";

fn settings() -> Settings {
    let mut settings = Settings::new(Currency::from_code("EUR").unwrap());
    settings.giving.give = Give::Net;
    settings.giving.share = 1250;
    settings.giving.year_starts = 7;
    for (name, weight) in [("Zeta kitchen", 70), ("Alpha library", 30)] {
        settings.giving.beneficiaries.push(Beneficiary {
            name: name.into(),
            weight,
        });
    }
    settings
}

fn new_book() -> (TempDir, Book) {
    let folder = TempDir::new().unwrap();
    let book = Book::start(&folder.path().join(NAME), &settings()).unwrap();
    (folder, book)
}

fn comp(source: &str, listing: &str, ask: i64) -> Comparable {
    Comparable {
        listing: listing.into(),
        source: source.into(),
        bike: Bike {
            made: Some(Years::from(2015)),
            ..Bike::of(Style::Touring)
        },
        listed_on: None,
        first_seen: Some(Day::constant(2026, 4, 1)),
        last_seen: Some(Day::constant(2026, 4, 20)),
        ask: Money::from_minor(ask),
        last_ask: None,
        outcome: Outcome::Listed,
        ended_on: None,
        sold_price: None,
    }
}

fn full_comp() -> Comparable {
    Comparable {
        listing: "L=1;\"ü\"".into(),
        source: "north board".into(),
        bike: Bike {
            style: Style::Other,
            made: Years::range(1890, 1893),
            condition: Some(Condition::Mint),
            tier: Some(Tier::Pro),
            seat_tube: SeatTube::from_tenths(5334),
            new_price: Some(Money::from_minor(8_999_999_999_999_999)),
        },
        listed_on: Some(Day::constant(2024, 2, 29)),
        first_seen: Some(Day::constant(2024, 3, 1)),
        last_seen: Some(Day::constant(2024, 12, 31)),
        ask: Money::from_minor(12_345),
        last_ask: Some(Money::from_minor(0)),
        outcome: Outcome::Gone,
        ended_on: Some(Day::constant(2024, 12, 30)),
        sold_price: Some(Money::from_minor(11_000)),
    }
}

fn sale(id: &str, price: i64) -> Sale {
    let bike = Bike {
        condition: Some(Condition::Tidy),
        ..Bike::of(Style::Road)
    };
    Sale {
        bought_on: Some(Day::constant(2026, 1, 3)),
        listed_on: Some(Day::constant(2026, 2, 1)),
        ask: Some(Money::from_minor(price + 500)),
        sold: Some(Sold {
            on: Day::constant(2026, 2, 11),
            price: Money::from_minor(price),
        }),
        purchase: Some(Money::from_minor(4000)),
        fees: Some(Money::from_minor(0)),
        hours: Some(350),
        note: Some("new chain".into()),
        guess: Some(Money::from_minor(price + 100)),
        ..Sale::of(id, bike)
    }
}

fn import(book: &mut Book, comps: &[Comparable]) -> (Vec<Put>, ImportSummary) {
    let mut import = book.begin_import("comps", "comps.csv", TODAY).unwrap();
    let puts = comps
        .iter()
        .map(|comp| import.put_comp(comp).unwrap())
        .collect();
    (puts, import.commit().unwrap())
}

fn all(book: &Book) -> Vec<Comparable> {
    let mut comps = Vec::new();
    book.each_comp(&mut |_, comp| comps.push(comp.clone()))
        .unwrap();
    comps
}

fn files_in(folder: &TempDir) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// The sale of a book of before bikes were guessed at.
fn without_guess(id: &str, price: i64) -> Sale {
    Sale {
        guess: None,
        ..sale(id, price)
    }
}

/// What a program of before wrote for an import of `without_guess(id, price)`: its
/// books have fewer columns.
fn old_import(book: &Book, id: &str, price: i64) {
    let sale = without_guess(id, price);
    let kept = &crate::book::tables::sales::SALES.columns[..18];
    let names: Vec<String> = kept.iter().map(|(name, _)| name.to_string()).collect();
    let cells = crate::book::tables::sales::cells(&sale);
    let values: Vec<String> = cells[..18]
        .iter()
        .map(|cell| match cell.to_json() {
            serde_json::Value::String(text) => format!("'{text}'"),
            other => other.to_string(),
        })
        .collect();
    let old: Vec<String> = names
        .iter()
        .skip(1)
        .map(|n| format!("'{n}', {n}"))
        .collect();
    let set = names.iter().zip(&values).skip(1);
    let set: Vec<String> = set
        .map(|(name, value)| format!("{name} = {value}"))
        .collect();
    let number = "(SELECT max(number) FROM imports)";
    let sql = format!(
        "INSERT INTO imports (made_on, kind, file, added) VALUES (20260101, 'sales', 's.csv', 1);
         INSERT INTO superseded SELECT {number}, 'sales', row, import, json_object({old})
             FROM sales WHERE bike = '{id}';
         UPDATE sales SET {set}, import = {number} WHERE bike = '{id}';
         INSERT INTO sales ({names}, import) SELECT {values}, {number}
             WHERE NOT EXISTS (SELECT 1 FROM sales WHERE bike = '{id}');",
        old = old.join(", "),
        set = set.join(", "),
        names = names.join(", "),
        values = values.join(", ")
    );
    book.connection.execute_batch(&sql).unwrap();
}

/// Ids and sale prices of a book of before.
fn old_prices(book: &Book) -> Vec<String> {
    book.texts("SELECT bike || ' ' || sold_price FROM sales ORDER BY bike")
        .unwrap()
}
