//! Rows of each kind: what is read, what cannot be true, the two sample files.

use crate::intake::{BadRow, Bikes, Comps, DateOrder, Kind, Reader, RowNote, Sales, Settings};
use crate::trade::bike::{Condition, Style, Tier};
use crate::trade::{Currency, Day, Money, Outcome, Years};
use std::path::PathBuf;

fn settings(code: &str) -> Settings {
    Settings::new(
        Currency::from_code(code).unwrap(),
        Day::constant(2024, 12, 31),
    )
}

fn rows<K: Kind>(
    text: &str,
    settings: &Settings,
) -> Vec<Result<crate::intake::Row<K::Record>, BadRow>> {
    let bytes = std::io::Cursor::new(text.as_bytes().to_vec());
    let mut reader = Reader::<K>::from_reader(Box::new(bytes), "x.csv", settings).unwrap();
    std::iter::from_fn(|| reader.next_row().unwrap()).collect()
}

/// The columns that one row of a file is refused for.
fn refused<K: Kind>(header: &str, row: &str) -> Vec<String> {
    let mut found = rows::<K>(&format!("{header}\n{row}\n"), &settings("EUR"));
    let columns = |bad: BadRow| bad.problems.into_iter().map(|p| p.column).collect();
    found.remove(0).err().map(columns).unwrap_or_default()
}

#[test]
fn the_six_features_follow_one_another_in_every_kind() {
    fn check<K: Kind>() {
        let names: Vec<&str> = K::FIELDS.iter().map(|field| field.name).collect();
        let style = names.iter().position(|name| *name == "style").unwrap();
        let features = [
            "style",
            "made",
            "condition",
            "tier",
            "seat_tube",
            "new_price",
        ];
        assert_eq!(names[style..style + 6], features, "{}", K::NAME);
    }
    check::<Sales>();
    check::<Comps>();
    check::<Bikes>();
}

#[test]
fn a_sale_is_read_field_by_field() {
    let text = "bike,style,made,condition,tier,seat_tube,new_price,bought_on,listed_on,ask,sold_on,\
        sold_price,purchase,parts,fees,other_cost,hours,note\n\
        B1,road,2013,4,club,56cm,900,2024-01-02,2024-02-01,320,2024-03-01,300.50,80,22.5,4,3,6.5,'=x\n";
    let sale = rows::<Sales>(text, &settings("EUR"))
        .remove(0)
        .unwrap()
        .record;
    let euros = |amount: f64| Some(Money::from_minor((amount * 100.0) as i64));
    assert_eq!(sale.id, "B1");
    assert_eq!(
        (sale.bike.style, sale.bike.made),
        (Style::Road, Some(Years::from(2013)))
    );
    assert_eq!(
        (sale.bike.condition, sale.bike.tier),
        (Some(Condition::Tidy), Some(Tier::Club))
    );
    assert_eq!(
        (sale.bike.seat_tube.unwrap().number(), sale.bike.new_price),
        (5600, euros(900.0))
    );
    assert_eq!(
        (sale.bought_on, sale.listed_on),
        (
            Some(Day::constant(2024, 1, 2)),
            Some(Day::constant(2024, 2, 1))
        )
    );
    let sold = sale.sold.unwrap();
    assert_eq!(
        (sold.on, Some(sold.price)),
        (Day::constant(2024, 3, 1), euros(300.5))
    );
    assert_eq!(
        (sale.ask, sale.purchase, sale.parts),
        (euros(320.0), euros(80.0), euros(22.5))
    );
    assert_eq!(
        (sale.fees, sale.other_cost, sale.hours),
        (euros(4.0), euros(3.0), Some(650))
    );
    assert_eq!(sale.note.as_deref(), Some("=x"));
}

#[test]
fn a_comp_is_read_field_by_field() {
    let text = "listing,source,style,made,condition,tier,seat_tube,new_price,listed_on,first_seen,\
        last_seen,ask,last_ask,outcome,ended_on,sold_price\n\
        x1,board,city,2010,2,1,50,400,2024-03-01,2024-03-02,2024-03-20,180,160,Sold,2024-03-19,150\n\
        x2,,kids,,,,,,,,,45,,,,\n";
    let found = rows::<Comps>(text, &settings("EUR"));
    let [Ok(first), Ok(second)] = found.as_slice() else {
        panic!("{found:?}")
    };
    let comp = &first.record;
    assert_eq!(
        (comp.listing.as_str(), comp.source.as_str()),
        ("x1", "board")
    );
    let days = [
        comp.listed_on,
        comp.first_seen,
        comp.last_seen,
        comp.ended_on,
    ];
    assert_eq!(
        days.map(|day| day.unwrap().to_string()),
        ["2024-03-01", "2024-03-02", "2024-03-20", "2024-03-19"]
    );
    let amounts = [
        Some(comp.ask),
        comp.last_ask,
        comp.sold_price,
        comp.bike.new_price,
    ];
    assert_eq!(
        amounts.map(|money| money.unwrap().minor()),
        [18_000, 16_000, 15_000, 40_000]
    );
    assert_eq!(
        (comp.outcome, second.record.outcome),
        (Outcome::Sold, Outcome::Listed)
    );
    assert_eq!(second.record.known_from(), None);
    assert_eq!(second.line, 3);
}

#[test]
fn a_bike_to_price_is_read_field_by_field() {
    let found = rows::<Bikes>(
        "bike;style;cost;hours\n 7 ;road;64,50;3\n",
        &settings("EUR"),
    )
    .remove(0)
    .unwrap();
    assert_eq!(found.record.bike, "7");
    assert_eq!(
        found.notes,
        [RowNote::IdTrimmed {
            column: "bike",
            id: "7".into()
        }]
    );
    assert_eq!(
        (found.record.cost, found.record.hours),
        (Some(Money::from_minor(6450)), Some(300))
    );
}

#[test]
fn a_sale_that_cannot_be_true_is_refused() {
    let header = "bike,style,bought_on,listed_on,ask,sold_on,sold_price,purchase,hours";
    let cases: &[(&str, &[&str])] = &[
        ("B,road,2024-02-01,2024-01-01,100,2024-03-01,90,50,2", &[]), // listed before it was collected
        ("B,road,2024-01-01,2024-01-01,100,2024-01-01,0,0,0", &[]),   // given away on the same day
        ("B,road,,2024-02-01,100,2024-01-31,90,,", &["sold_on"]),
        ("B,road,2024-02-01,,,2024-01-31,90,,", &["sold_on"]),
        ("B,road,,,,2024-01-31,,,", &["sold_on"]),
        ("B,road,,,,,90,,", &["sold_price"]),
        ("B,road,,,0,,,,", &["ask"]),
        ("B,road,,,-5,,,-1,-3", &["ask", "purchase", "hours"]),
        (
            "B,road,2025-01-01,1899-01-01,,,,,10001",
            &["bought_on", "listed_on", "hours"],
        ),
        (",,,,5,,,,", &["bike", "style"]),
    ];
    for (row, columns) in cases {
        assert_eq!(refused::<Sales>(header, row), *columns, "{row}");
    }
}

#[test]
fn a_comp_that_cannot_be_true_is_refused() {
    let header =
        "listing,style,listed_on,first_seen,last_seen,ask,last_ask,outcome,ended_on,sold_price";
    let cases: &[(&str, &[&str])] = &[
        (
            "x,road,2024-03-01,2024-03-05,2024-03-09,100,90,sold,2024-03-07,80",
            &[],
        ),
        (
            "x,road,2024-03-01,2024-03-05,2024-03-09,100,90,gone,2024-03-02,",
            &[],
        ), // seen after its end
        ("x,road,2024-03-01,2024-02-28,,100,,,,", &["first_seen"]),
        ("x,road,,2024-03-05,2024-03-04,100,,,,", &["last_seen"]),
        ("x,road,2024-03-01,,2024-02-28,100,,,,", &["last_seen"]),
        ("x,road,2024-03-01,,,100,,gone,2024-02-28,", &["ended_on"]),
        ("x,road,,,2024-03-01,100,,gone,2024-03-02,", &[]), // its end became known later
        ("x,road,,,,100,,listed,2024-03-02,", &["ended_on"]),
        ("x,road,,,,100,,,2024-03-02,", &["ended_on"]),
        ("x,road,,,,100,,withdrawn,2024-03-02,90", &["sold_price"]),
        ("x,road,,,,100,,sold,2024-03-02,0", &["sold_price"]),
        ("x,road,,,,,,,,", &["ask"]),
        ("x,road,,,,0,0,,,", &["ask", "last_ask"]),
        ("x,road,,,,100,,vanished,,", &["outcome"]),
    ];
    for (row, columns) in cases {
        assert_eq!(refused::<Comps>(header, row), *columns, "{row}");
    }
}

#[test]
fn an_early_model_year_and_rounded_hours_are_noted() {
    let text = "bike,style,made,hours\nB,road,1885,6.333\n";
    let found = rows::<Sales>(text, &settings("EUR")).remove(0).unwrap();
    let notes: Vec<String> = found.notes.iter().map(RowNote::to_string).collect();
    assert_eq!(
        notes,
        [
            "model year 1885 is before 1890: check that it is meant",
            "hours 6.333 are kept as 6.33"
        ]
    );
}

fn fixture(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("tests/fixtures")
        .join(name)
}

/// First cells of the rows that are refused, with the columns.
fn market_watch(dates: Option<DateOrder>) -> Vec<(String, Vec<String>)> {
    let mut settings = settings("EUR");
    settings.today = Day::constant(2026, 11, 25);
    settings.dates = dates;
    let mut reader = Reader::<Comps>::open(&fixture("market-watch.csv"), &settings).unwrap();
    let mut bad = Vec::new();
    let mut good = 0;
    while let Some(row) = reader.next_row().unwrap() {
        match row {
            Ok(_) => good += 1,
            Err(row) => bad.push((
                row.cells[0].clone(),
                row.problems.into_iter().map(|p| p.column).collect(),
            )),
        }
    }
    assert_eq!(good + bad.len(), 17);
    assert_eq!(Some(reader.bytes_read()), reader.bytes_total());
    bad
}

#[test]
fn of_the_market_watch_the_rows_that_cannot_be_true_are_refused() {
    let row = |id: &str, columns: &[&str]| {
        (
            id.to_string(),
            columns
                .iter()
                .map(std::string::ToString::to_string)
                .collect(),
        )
    };
    let mut expected: Vec<(String, Vec<String>)> = vec![
        row("a7", &["made"]),
        row("a8", &["style"]),
        row("a9", &["ask"]),
        row("a14", &["last_seen", "ended_on"]),
        row("a16", &["condition"]),
        row("a17", &["ask"]),
    ];
    assert_eq!(market_watch(Some(DateOrder::DayFirst)), expected);
    expected.insert(4, row("a15", &["listed_on"]));
    assert_eq!(market_watch(None), expected);
}

#[test]
fn the_shed_ledger_is_read_whole_with_a_column_map() {
    let mut settings = settings("GBP");
    settings.dates = Some(DateOrder::DayFirst);
    let map = "bike=No style=What made=Built condition=Shape_(1-5) tier=Parts_(1-5) seat_tube=Frame \
        new_price=New_costs bought_on=Bought listed_on=Up_for_sale ask=Asked sold_on=Sold \
        sold_price=Got purchase=Paid parts=Bits fees=Ad_fee hours=Time_h note=Remarks";
    let pair = |word: &str| {
        word.split_once('=')
            .map(|(ours, theirs)| (ours.to_string(), theirs.replace('_', " ")))
            .unwrap()
    };
    settings.columns = map.split_whitespace().map(pair).collect();
    let mut reader = Reader::<Sales>::open(&fixture("shed-ledger.csv"), &settings).unwrap();
    assert_eq!((reader.separator(), reader.columns_used().len()), (';', 17));
    let mut sales = Vec::new();
    while let Some(row) = reader.next_row().unwrap() {
        sales.push(row.unwrap().record);
    }
    assert_eq!(sales.len(), 12);
    assert_eq!(sales.iter().filter(|sale| sale.sold.is_none()).count(), 1);
    // Sums of the columns Got and Time h, added by hand.
    let got: Money = sales
        .iter()
        .filter_map(|sale| sale.sold)
        .map(|sold| sold.price)
        .sum();
    assert_eq!(got.minor(), 205_500);
    assert_eq!(
        sales.iter().filter_map(|sale| sale.hours).sum::<i64>(),
        7_300
    );
    assert_eq!(sales[0].bike.seat_tube.unwrap().number(), 5080);
    assert_eq!(
        sales[1].note.as_deref(),
        Some("rear wheel trued, \"sits low\"")
    );
    assert_eq!(sales[7].bike.new_price, Some(Money::from_minor(125_000)));
    assert_eq!(sales[7].bought_on, Some(Day::constant(2024, 4, 20)));
}
