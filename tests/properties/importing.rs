//! Laws of importing, through the program: a table is the same however it is
//! written, once is as good as twice, what is taken back was never there, and the
//! later file stands.

use super::export::{Records, records};
use crate::support::workshop::Workshop;
use proptest::prelude::*;
use wheelworth::report::export::columns::{Holds, Table};

/// The tables in an order in which they can be imported.
const TABLES: [Table; 7] = [
    Table::Sales,
    Table::Comps,
    Table::Asks,
    Table::Costs,
    Table::Gifts,
    Table::Returns,
    Table::Offers,
];

/// How a file is written. Each number picks one of the ways that are read.
#[derive(Clone, Debug)]
struct Style {
    separator: u8,
    line_end: &'static str,
    mark: bool,
    day: usize,
    number: usize,
    word: usize,
    columns: Vec<prop::sample::Index>,
    rows: Vec<prop::sample::Index>,
}

fn style() -> impl Strategy<Value = Style> {
    let places = || prop::collection::vec(any::<prop::sample::Index>(), 25);
    (
        prop::sample::select(&b",;\t"[..]),
        prop::sample::select(&["\n", "\r\n", "\r"][..]),
        any::<bool>(),
        0..5_usize,
        0..5_usize,
        0..3_usize,
        places(),
        places(),
    )
        .prop_map(
            |(separator, line_end, mark, day, number, word, columns, rows)| Style {
                separator,
                line_end,
                mark,
                day,
                number,
                word,
                columns,
                rows,
            },
        )
}

/// Puts a list into another order.
fn mixed<T>(list: &mut [T], places: &[prop::sample::Index]) {
    for (at, place) in places.iter().enumerate().take(list.len()) {
        let other = place.index(list.len());
        list.swap(at, other);
    }
}

impl Style {
    /// The file of a table as somebody else would have written it.
    fn write(&self, export: &[u8], table: Table) -> Vec<u8> {
        let mut rows: Vec<Vec<String>> = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(export)
            .into_records()
            .map(|row| row.unwrap().iter().map(String::from).collect())
            .collect();
        for row in &mut rows[1..] {
            for ((_, holds), cell) in table.columns().iter().zip(row) {
                if !cell.is_empty() {
                    *cell = self.cell(*holds, cell);
                }
            }
        }
        for row in &mut rows {
            mixed(row, &self.columns);
        }
        mixed(&mut rows[1..], &self.rows);
        let mut file = csv::WriterBuilder::new()
            .delimiter(self.separator)
            .terminator(csv::Terminator::Any(b'\n'))
            .from_writer(Vec::new());
        rows.iter().for_each(|row| file.write_record(row).unwrap());
        let text = String::from_utf8(file.into_inner().unwrap()).unwrap();
        let text = text.replace('\n', self.line_end);
        let mark = if self.mark { "\u{feff}" } else { "" };
        format!("{mark}{text}").into_bytes()
    }

    fn cell(&self, holds: Holds, cell: &str) -> String {
        let comma = |text: &str| match self.number % 2 {
            0 => text.to_string(),
            _ => text.replace('.', ","),
        };
        match holds {
            Holds::Text => cell.to_string(),
            Holds::Word | Holds::YesNo => match self.word {
                0 => cell.to_string(),
                1 => cell.to_uppercase(),
                _ => format!("  {cell} "),
            },
            Holds::Whole => format!("{cell}{}", ["", ".0", ",00"][self.word]),
            Holds::Years => cell.replace("..", ["..", "-", " – "][self.word]),
            Holds::Days => comma(cell),
            Holds::Hours => format!("{}{}", comma(cell), ["", "h", " H"][self.word]),
            Holds::Tube if !cell.ends_with("cm") => cell.to_string(),
            Holds::Tube => {
                let number = comma(cell.trim_end_matches("cm"));
                format!("{number}{}", ["cm", " cm", "CM"][self.word])
            }
            Holds::Day => self.day(cell),
            Holds::Money => self.money(cell),
        }
    }

    /// Read with `--dates dmy`.
    fn day(&self, iso: &str) -> String {
        let (year, month, day) = (&iso[..4], &iso[5..7], &iso[8..]);
        let name = [
            "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
        ][month.parse::<usize>().unwrap() - 1];
        match self.day {
            0 => iso.to_string(),
            1 => format!("{day}/{month}/{year}"),
            2 => format!(
                "{}.{}.{year}",
                day.trim_start_matches('0'),
                month.trim_start_matches('0')
            ),
            3 => format!("{year}{month}{day}"),
            _ => format!("{day} {name} {year}"),
        }
    }

    fn money(&self, plain: &str) -> String {
        let (whole, part) = plain.split_once('.').unwrap_or((plain, ""));
        let grouped = |by: &str| {
            let mut text = String::new();
            for (at, digit) in whole.chars().enumerate() {
                let left = whole.len() - at;
                if at > 0 && left.is_multiple_of(3) {
                    text.push_str(by);
                }
                text.push(digit);
            }
            text
        };
        let with = |whole: String, point: &str| match part {
            "" => whole,
            part => format!("{whole}{point}{part}"),
        };
        match self.number {
            0 => plain.to_string(),
            1 => with(whole.to_string(), ","),
            2 => with(grouped(","), "."),
            3 => with(grouped(" "), ","),
            _ => with(grouped("'"), "."),
        }
    }

    /// The word of the sign that stands before decimals.
    fn decimal(&self) -> &'static str {
        match self.number {
            1 | 3 => "comma",
            _ => "point",
        }
    }
}

/// The tables as they are exported, with their rows in order of their bytes.
fn exported(workshop: &Workshop) -> Vec<Vec<Vec<u8>>> {
    let lines = |table: Table| {
        let mut lines: Vec<Vec<u8>> = export(workshop, table)
            .split_inclusive(|byte| *byte == b'\n')
            .map(<[u8]>::to_vec)
            .collect();
        lines.sort();
        lines
    };
    TABLES.map(lines).into()
}

fn export(workshop: &Workshop, table: Table) -> Vec<u8> {
    let path = workshop.path("export.csv");
    let _ = std::fs::remove_file(&path);
    workshop
        .run(&["export", table.word(), "@export.csv"])
        .done();
    std::fs::read(path).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_table_is_the_same_however_it_is_written_and_twice_is_as_good_as_once(
        records in records(),
        currency in prop::sample::select(&["JPY", "EUR", "KWD"][..]),
        style in style(),
    ) {
        let first = Workshop::in_currency(currency);
        records.put(&first);
        let second = Workshop::in_currency(currency);
        let (untold, mut all_in) = (Workshop::in_currency(currency), true);
        let counts = records.counts();
        for table in TABLES {
            let (_, rows) = counts.iter().find(|(name, _)| *name == table.word()).unwrap();
            if *rows == 0 {
                continue;
            }
            let file = style.write(&export(&first, table), table);
            second.file("other.csv", file);
            let words = ["import", table.word(), "@other.csv", "--dates", "dmy"];
            untold.file("other.csv", second.text("other.csv"));
            all_in &= untold.run(&words).code == 0;
            let decimal = ["--decimal", style.decimal()];
            let words = [&words[..], &decimal].concat();
            second.run(&words).done();
            let before = second.book_bytes();
            let again = second.run(&words).done();
            prop_assert!(again.out.contains("Nothing changed."), "{}", again.out);
            prop_assert!(second.book_bytes() == before, "twice is not once");
        }
        prop_assert_eq!(exported(&first), exported(&second));
        second.run(&["check"]).done();
        // Where nothing says which sign stands before decimals, amounts are the same or
        // refused: never a thousand times as much.
        if all_in {
            prop_assert_eq!(exported(&first), exported(&untold));
        }
    }

    /// Other records, partly of the same bikes, come and are taken back again.
    #[test]
    fn what_is_taken_back_was_never_there(records in records(), mut later in records()) {
        let workshop = Workshop::new();
        records.put(&workshop);
        let before = exported(&workshop);
        same_bikes(&records, &mut later);
        let other = Workshop::new();
        later.put(&other);
        let mut imports: Vec<String> = Vec::new();
        for table in TABLES {
            workshop.file("later.csv", export(&other, table));
            let output = workshop.run(&["import", table.word(), "@later.csv"]);
            // What does not fit the records that are there is refused.
            prop_assert!(output.code <= 1, "{}", output.err);
            let number = output.out.split_once("import --undo ").and_then(|(_, rest)| rest.split_once('\''));
            imports.extend(number.map(|(number, _)| number.to_string()));
        }
        prop_assert!(!imports.is_empty());
        prop_assert!(exported(&workshop) != before);
        for number in imports.iter().rev() {
            workshop.run(&["import", "--undo", number]).done();
        }
        prop_assert_eq!(exported(&workshop), before);
        workshop.run(&["check"]).done();
    }

    /// Other values for the same bikes and listings come: what stands is the later
    /// file, cells that it leaves empty included.
    #[test]
    fn the_later_file_is_what_stands(mut records in records(), mut later in records()) {
        for one in [&mut records, &mut later] {
            one.asks.clear();
            one.costs.clear();
            one.gifts.clear();
            one.offers.clear();
            // A sale of before the bike came back is refused.
            one.sales.iter_mut().for_each(|sale| sale.returns.clear());
        }
        let bikes = records.sales.len().min(later.sales.len());
        let listings = records.comps.len().min(later.comps.len());
        records.sales.truncate(bikes);
        later.sales.truncate(bikes);
        records.comps.truncate(listings);
        later.comps.truncate(listings);
        for (new, old) in later.sales.iter_mut().zip(&records.sales) {
            new.id.clone_from(&old.id);
        }
        // Without a day of its own a first look keeps nothing.
        for (new, old) in later.comps.iter_mut().zip(&mut records.comps) {
            (old.first_seen, old.last_seen) = (None, None);
            new.source.clone_from(&old.source);
            new.listing.clone_from(&old.listing);
        }
        let (workshop, other) = (Workshop::new(), Workshop::new());
        records.put(&workshop);
        later.put(&other);
        for (table, rows) in [(Table::Sales, bikes), (Table::Comps, listings)] {
            if rows > 0 {
                workshop.file("later.csv", export(&other, table));
                workshop.run(&["import", table.word(), "@later.csv", "--correct"]).done();
            }
        }
        prop_assert_eq!(exported(&workshop), exported(&other));
    }
}

/// Gives every other bike of `later` the id of one that is there.
fn same_bikes(records: &Records, later: &mut Records) {
    let there: Vec<String> = records.sales.iter().map(|sale| sale.id.clone()).collect();
    for (at, id) in there.iter().enumerate().filter(|(at, _)| at % 2 == 0) {
        let taken = later.sales.iter().any(|sale| sale.id == *id);
        let Some(sale) = later.sales.get_mut(at).filter(|_| !taken) else {
            continue;
        };
        let old = std::mem::replace(&mut sale.id, id.clone());
        for one in &mut sale.returns {
            one.bike.clone_from(id);
        }
        for ask in later.asks.iter_mut().filter(|ask| ask.bike == old) {
            ask.bike.clone_from(id);
        }
        for cost in later
            .costs
            .iter_mut()
            .filter(|cost| cost.bike.as_ref() == Some(&old))
        {
            cost.bike = Some(id.clone());
        }
    }
}
