//! Files of the eight kinds of records: the kind by the first byte, the currency and
//! the order of dates by the second, then the file.

use super::reading::{Outcome, read, read_soundly};
use super::{TODAY, choice, settings};
use std::fmt::Debug;
use wheelworth::intake::{
    Asks, BadRow, BikeToPrice, Bikes, Comps, Costs, Gifts, Kind, Offers, REJECTS_COLUMNS, Returns,
    Sales, Settings,
};
use wheelworth::report::export::columns::Table;
use wheelworth::report::export::csv_table::{CsvTable, may_replace};
use wheelworth::report::export::record_cells;
use wheelworth::trade::{
    AskChange, Bike, Comparable, Cost, Currency, Day, Gift, KeptOffer, LeftAs, Money,
    Outcome as End, Return, Sale,
};

pub fn check(data: &[u8]) {
    let [kind, how, file @ ..] = data else { return };
    let settings = &settings(*how);
    match choice(*kind, 8) {
        0 => kept::<Sales>(file, settings, (Table::Sales, record_cells::sale), sale),
        1 => kept::<Comps>(file, settings, (Table::Comps, record_cells::comp), comp),
        2 => kept::<Asks>(file, settings, (Table::Asks, record_cells::ask), ask),
        3 => kept::<Costs>(file, settings, (Table::Costs, record_cells::cost), cost),
        4 => kept::<Gifts>(file, settings, (Table::Gifts, record_cells::gift), gift),
        5 => bikes(file, settings),
        6 => kept::<Returns>(file, settings, (Table::Returns, record_cells::back), back),
        _ => kept::<Offers>(file, settings, (Table::Offers, record_cells::offer), offer),
    }
}

/// A table and how a record is written as a row of it.
type Written<R> = (Table, fn(&R, &Currency) -> Vec<String>);

fn kept<K: Kind>(file: &[u8], settings: &Settings, written: Written<K::Record>, law: fn(&K::Record))
where
    K::Record: Debug + PartialEq,
{
    let found = read_soundly::<K>(file, settings);
    found.records().for_each(law);
    set_aside_is_not_taken_in::<K>(&found, settings);
    // What is exported is imported as the same records, in the same order.
    let (table, cells) = written;
    let mut export = CsvTable::new(table);
    let count = found
        .records()
        .map(|record| export.push(&cells(record, &settings.currency)))
        .count();
    if count == 0 {
        return;
    }
    let export = export.finish().expect("it is written into memory");
    let plain = Settings::new(settings.currency, TODAY);
    let again = read::<K>(&export, &plain);
    assert!(
        again.end.is_none() && again.rows.len() == count,
        "{:?}",
        again.end
    );
    for (row, record) in again.rows.iter().zip(found.records()) {
        match row {
            Ok(row) => assert_eq!(row.record, *record),
            Err(bad) => panic!("{record:?} is exported and refused: {bad:?}"),
        }
    }
    assert!(may_replace(
        export.clone(),
        &export,
        table,
        &settings.currency
    ));
}

/// Rows that were set aside are refused again when nobody has mended them.
fn set_aside_is_not_taken_in<K: Kind>(found: &Outcome<K::Record>, settings: &Settings)
where
    K::Record: Debug,
{
    // A cell with text after its closing quote is written in full quotes, which
    // mends it.
    let after_quote = |bad: &BadRow| bad.problems[0].expected.contains("after the quote");
    let bad = found.rows.iter().filter_map(|row| row.as_ref().err());
    let bad: Vec<&BadRow> = bad.filter(|bad| !after_quote(bad)).collect();
    if bad.is_empty() {
        return;
    }
    let mut rejects = csv::WriterBuilder::new()
        .flexible(true)
        .from_writer(Vec::new());
    let titles = found
        .header
        .iter()
        .map(String::as_str)
        .chain(REJECTS_COLUMNS);
    rejects.write_record(titles).unwrap();
    for bad in &bad {
        let cells = bad.cells.iter().map(String::as_str);
        rejects
            .write_record(cells.chain(["7", "a reason"]))
            .unwrap();
    }
    let rejects = rejects.into_inner().unwrap();
    let again = read::<K>(&rejects, settings);
    assert!(
        again.end.is_none() && again.rows.len() == bad.len(),
        "{:?}",
        again.end
    );
    for (row, bad) in again.rows.iter().zip(bad) {
        assert!(row.is_err(), "set aside and taken in as {row:?}: {bad:?}");
    }
}

/// The most that is read, in minor units (as documented).
const LARGEST: i64 = 9_000_000_000_000_000;

fn amounts<const N: usize>(least: i64, amounts: [Option<Money>; N]) {
    for amount in amounts.into_iter().flatten() {
        assert!((least..=LARGEST).contains(&amount.minor()), "{amount:?}");
    }
}

/// Days that are known stand in this order.
fn in_order<const N: usize>(days: [Option<Day>; N]) {
    let known: Vec<Day> = days.into_iter().flatten().collect();
    assert!(known.is_sorted(), "{known:?}");
    for day in known {
        assert!(day.year() >= 1900 && day <= TODAY, "{day}");
    }
}

/// An id or a text that is given: not empty, no blanks around, nothing that a
/// terminal would obey.
fn text(text: &str) {
    assert!(
        !text.is_empty() && !text.contains(char::is_control),
        "{text:?}"
    );
}

fn features(bike: &Bike) {
    amounts(1, [bike.new_price]);
    if let Some(made) = bike.made {
        assert!(made.first() >= 1817 && made.last() <= 2027, "{made}");
    }
}

fn sale(sale: &Sale) {
    text(&sale.id);
    features(&sale.bike);
    amounts(1, [sale.ask]);
    amounts(
        0,
        [
            sale.sold.map(|sold| sold.price),
            sale.purchase,
            sale.parts,
            sale.fees,
            sale.other_cost,
            sale.guess,
            sale.left.as_ref().and_then(|left| left.box_value),
        ],
    );
    let sold = sale.sold.map(|sold| sold.on);
    in_order([sale.listed_on, sold]);
    in_order([sale.bought_on, sold]);
    assert!(
        sale.hours
            .is_none_or(|hours| (0..=1_000_000).contains(&hours))
    );
    if let Some(note) = &sale.note {
        text(note);
    }
    if let Some(left) = &sale.left {
        assert!(sale.sold.is_none(), "{sale:?}");
        in_order([sale.bought_on, Some(left.on)]);
        let gave = left.box_value.is_some() || left.box_item.is_some();
        assert!(!gave || left.how == LeftAs::Scrapped, "{sale:?}");
    }
}

fn comp(comp: &Comparable) {
    text(&comp.listing);
    features(&comp.bike);
    amounts(1, [Some(comp.ask), comp.last_ask, comp.sold_price]);
    in_order([comp.listed_on, comp.first_seen, comp.last_seen]);
    in_order([comp.listed_on, comp.ended_on, comp.last_seen]);
    if comp.outcome == End::Listed {
        assert!(
            comp.ended_on.is_none() && comp.sold_price.is_none(),
            "{comp:?}"
        );
    }
}

fn ask(ask: &AskChange) {
    text(&ask.bike);
    amounts(1, [Some(ask.ask)]);
    in_order([Some(ask.on)]);
}

fn cost(cost: &Cost) {
    for given in [&cost.bike, &cost.item].into_iter().flatten() {
        text(given);
    }
    amounts(0, [Some(cost.amount)]);
    in_order([Some(cost.on)]);
}

fn gift(gift: &Gift) {
    text(&gift.beneficiary);
    if let Some(reference) = &gift.reference {
        text(reference);
    }
    amounts(1, [Some(gift.amount)]);
    in_order([Some(gift.on)]);
}

fn back(back: &Return) {
    text(&back.bike);
    amounts(0, [Some(back.refund), back.back.map(|sold| sold.price)]);
    in_order([back.back.map(|sold| sold.on), Some(back.on)]);
    assert!(
        back.back.is_none_or(|sold| back.refund <= sold.price),
        "{back:?}"
    );
}

fn offer(offer: &KeptOffer) {
    text(&offer.bike);
    offer.jobs.iter().for_each(|job| text(job));
    offer.found.iter().for_each(features);
    let told = [offer.margin, offer.most_mean, offer.most_cautious];
    amounts(0, told.map(Some));
    amounts(0, [offer.cost, offer.fees, offer.price].map(Some));
    amounts(0, [offer.asking]);
    in_order([Some(offer.on)]);
}

/// Bikes to price are never exported: each is written as a sale on hand.
fn bikes(file: &[u8], settings: &Settings) {
    let found = read_soundly::<Bikes>(file, settings);
    set_aside_is_not_taken_in::<Bikes>(&found, settings);
    for bike in found.records() {
        let BikeToPrice {
            bike: id,
            features,
            cost,
            hours,
            guess,
        } = bike.clone();
        let on_hand = Sale {
            purchase: cost,
            hours,
            guess,
            ..Sale::of(id, features)
        };
        sale(&on_hand);
        let mut export = CsvTable::new(Table::Sales);
        export.push(&record_cells::sale(&on_hand, &settings.currency));
        let plain = Settings::new(settings.currency, TODAY);
        let again = read::<Sales>(&export.finish().unwrap(), &plain);
        assert_eq!(again.records().collect::<Vec<_>>(), [&on_hand]);
    }
}
