//! What was found comes back out of the book, whatever it was.

use super::inspection::{findings, sheet_of};
use crate::support::records::sale;
use proptest::prelude::*;
use wheelworth::book::{Book, Put, Settings};
use wheelworth::pricing::inspection::assess;
use wheelworth::trade::inspection::{
    Fact, Holds, Inspection, Item, Measure, Sheet, TyreSize, Unit, items,
};
use wheelworth::trade::{Currency, Day, SizeClass, Style};

const TODAY: Day = Day::constant(2026, 5, 2);

/// A measure of every kind that an item may have.
fn measure(
    item: &Item,
    value: i64,
    which: prop::sample::Index,
    name: &str,
    size: (u16, u16),
) -> Option<Measure> {
    match item.holds {
        Holds::Check(check) => Some(match check.limit?.unit {
            Unit::Length => Measure::Length(value),
            Unit::Percent => Measure::Percent(value),
        }),
        Holds::Fact(Fact::Name) => Some(Measure::Name(name.to_string())),
        Holds::Fact(Fact::Style) => Some(Measure::Style(*which.get(Style::ALL))),
        Holds::Fact(Fact::Words(words)) => Some(Measure::Word(which.get(words).word)),
        Holds::Fact(Fact::FrameLength) if item.name == "seat tube" && value % 2 == 0 => {
            Some(Measure::Size(*which.get(SizeClass::ALL)))
        }
        Holds::Fact(Fact::FrameLength) => Some(Measure::Length(value)),
        Holds::Fact(Fact::Tyre) => TyreSize::new(size.0, size.1).map(Measure::Tyre),
    }
}

proptest! {
    #[test]
    fn a_measure_survives_its_text(
        value in -20_000_i64..20_000,
        which in any::<prop::sample::Index>(),
        name in "\\PC{1,20}",
        size in (18_u16..=150, 150_u16..=800),
    ) {
        for item in items() {
            if let Some(measure) = measure(item, value, which, &name, size) {
                let text = measure.to_string();
                prop_assert_eq!(Measure::read(item, &text), Some(measure), "{} of {}", text, item.name);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Two sheets on any two days: each is kept once, comes back by its day and is
    /// judged as before; a day shows nothing that comes after it.
    #[test]
    fn kept_sheets_come_back_as_they_were(
        first in findings(),
        second in findings(),
        note in prop::option::of("\\PC{1,20}"),
        days in (1_i8..=28, 1_i8..=28),
    ) {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.sqlite");
        let mut book = Book::start(&path, &Settings::new(Currency::from_code("EUR").unwrap())).unwrap();
        let mut import = book.begin_import("sales", "sales.csv", TODAY).unwrap();
        import.put_sale(&sale("a")).unwrap();
        import.commit().unwrap();
        let mut kept: Vec<Inspection> = Vec::new();
        for (findings, day) in [(first, days.0), (second, days.1)] {
            let mut sheet = sheet_of(&findings);
            let (item, mut finding) = findings[0].clone();
            finding.note = note.clone();
            sheet.put(item, finding);
            let inspection = Inspection { bike: "a".into(), on: Day::constant(2026, 4, day), sheet };
            for _ in 0..2 {
                let known = kept.iter().any(|one| same(one, &inspection));
                let mut import = book.begin_import("inspection", "sheet.csv", TODAY).unwrap();
                let put = import.put_inspection(&inspection).unwrap();
                import.commit().unwrap();
                prop_assert_eq!(put, if known { Put::Unchanged } else { Put::Added });
                if !known {
                    kept.push(inspection.clone());
                }
            }
        }
        kept.sort_by_key(|one| one.on); // stable: as recorded on the same day
        let back = book.inspections(TODAY).unwrap();
        prop_assert_eq!(back.len(), kept.len());
        for (back, kept) in back.iter().zip(&kept) {
            prop_assert!(same(back, kept), "{:?} {:?}", back, kept);
            prop_assert_eq!(assess(&back.sheet), assess(&kept.sheet));
        }
        for day in 1..=28 {
            let day = Day::constant(2026, 4, day);
            let by_then = kept.iter().filter(|one| one.on <= day).count();
            prop_assert_eq!(book.inspections(day).unwrap().len(), by_then);
        }
        prop_assert_eq!(book.check(), Vec::<String>::new());
    }
}

/// The same but for rows of a sheet that say nothing.
fn same(one: &Inspection, other: &Inspection) -> bool {
    let said =
        |sheet: &Sheet| -> Vec<String> { sheet.said().map(|said| format!("{said:?}")).collect() };
    (one.bike.as_str(), one.on) == (other.bike.as_str(), other.on)
        && said(&one.sheet) == said(&other.sheet)
}
