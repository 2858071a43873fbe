//! Records in and out.

use super::*;

#[test]
fn records_come_back_as_they_were_put() {
    let (_folder, mut book) = new_book();
    let comps = [full_comp(), comp("", "", 1)];
    import(&mut book, &comps);
    assert_eq!(all(&book), comps);
    let mut rows = Vec::new();
    book.each_comp(&mut |row, comp| rows.push((row, comp.clone())))
        .unwrap();
    for (row, whole) in rows {
        assert_eq!(book.comp_by_row(row).unwrap(), Some(whole));
    }
    assert_eq!(book.comp_by_row(99).unwrap(), None);

    let (mut on_hand, sold) = (sale("b", 1), sale("B", 18_000));
    on_hand.sold = None;
    on_hand.note = None;
    let mut import = book.begin_import("sales", "sales.csv", TODAY).unwrap();
    for sale in [&on_hand, &sold] {
        assert_eq!(import.put_sale(sale).unwrap(), Put::Added);
    }
    import.commit().unwrap();
    assert_eq!(
        book.sales().unwrap(),
        [sold.clone(), on_hand],
        "by bytes: B before b"
    );
    assert_eq!(book.sale("B").unwrap(), Some(sold));
    assert_eq!(book.sale("x").unwrap(), None);
    assert_eq!(
        book.counts().unwrap(),
        Counts {
            sales: 2,
            asks: 0,
            costs: 0,
            gifts: 0,
            returns: 0,
            inspections: 0,
            offers: 0,
            comps: 2,
            imports: 2
        }
    );
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn the_numbers_of_styles_and_outcomes_mean_the_words_in_the_book() {
    let (_folder, book) = new_book();
    let styles: Vec<String> = Style::ALL.iter().map(Style::to_string).collect();
    assert_eq!(
        book.texts("SELECT word FROM styles ORDER BY number")
            .unwrap(),
        styles
    );
    let outcomes: Vec<String> = Outcome::ALL.iter().map(Outcome::to_string).collect();
    assert_eq!(
        book.texts("SELECT word FROM outcomes ORDER BY number")
            .unwrap(),
        outcomes
    );
}

#[test]
fn comps_that_may_be_one_bike_are_grouped() {
    let (_folder, mut book) = new_book();
    let like = |listing: &str, first_seen: Option<Day>| Comparable {
        listing: listing.into(),
        first_seen,
        ..full_comp()
    };
    let day = |month, day| Some(Day::constant(2024, month, day));
    let mut known_little = like("two facts only", day(3, 1));
    (known_little.bike.made, known_little.bike.tier) = (None, None);
    let mut dearer = like("other ask", day(3, 1));
    dearer.last_ask = Some(Money::from_minor(1));
    let mut undated = like("no day", None);
    undated.listed_on = None;
    let comps = [
        like("row 1: 30 days after the next but one", day(4, 27)), // 28 March + 30
        like("row 2: alone", day(5, 28)),                          // 27 April + 31
        like("row 3", day(2, 27)),
        like("row 4: 30 days on", day(3, 28)), // 27 February + 30 in a leap year
        known_little.clone(),
        Comparable {
            listing: "two facts, again".into(),
            ..known_little
        },
        dearer,
        undated,
    ];
    import(&mut book, &comps);
    assert_eq!(
        book.double_listings(Day::constant(2030, 1, 1)).unwrap(),
        [[3, 4, 1]]
    );
    // The first import puts the index off and makes it again.
    let index = "SELECT name FROM sqlite_schema WHERE name = 'comps_by_likeness'";
    assert_eq!(book.texts(index).unwrap(), ["comps_by_likeness"]);
}
