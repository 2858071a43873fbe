//! Imports: new, unchanged, updated, dropped; remembered columns.

use super::*;

#[test]
fn the_same_file_again_changes_nothing_and_leaves_no_entry() {
    let (_folder, mut book) = new_book();
    let comps = [full_comp(), comp("a", "1", 5), comp("b", "1", 6)];
    let (puts, summary) = import(&mut book, &comps);
    assert_eq!(puts, [Put::Added, Put::Added, Put::Added]);
    assert_eq!(
        summary,
        ImportSummary {
            number: Some(1),
            added: 3,
            updated: 0,
            unchanged: 0
        }
    );
    let before = fs::read(&book.path).unwrap();
    let (puts, summary) = import(&mut book, &comps);
    assert_eq!(puts, [Put::Unchanged, Put::Unchanged, Put::Unchanged]);
    assert_eq!(
        summary,
        ImportSummary {
            number: None,
            added: 0,
            updated: 0,
            unchanged: 3
        }
    );
    assert_eq!(book.history().unwrap().len(), 1);
    assert_eq!(fs::read(&book.path).unwrap(), before, "not one byte");
}

#[test]
fn a_changed_row_is_updated_and_says_so() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[full_comp()]);
    let mut now = full_comp();
    now.bike.condition = None;
    now.bike.style = Style::Road;
    now.last_ask = Some(Money::from_minor(11_950));
    now.first_seen = Some(Day::constant(2024, 3, 2));
    now.outcome = Outcome::Sold;
    let (puts, summary) = import(&mut book, std::slice::from_ref(&now));
    let change = |field, before: &str, after: &str| FieldChange {
        field,
        before: before.into(),
        after: after.into(),
    };
    let changed = vec![
        change("style", "other", "road"),
        change("condition", "5 mint", ""),
        change("first_seen", "2024-03-01", "2024-03-02"),
        change("last_ask", "0.00", "119.50"),
        change("outcome", "gone", "sold"),
    ];
    assert_eq!(puts, [Put::Updated { changed }]);
    assert_eq!(
        summary,
        ImportSummary {
            number: Some(2),
            added: 0,
            updated: 1,
            unchanged: 0
        }
    );
    assert_eq!(all(&book), [now]);

    let told = super::changes::changes(&book);
    let comp = format!("2 comp north board/{}", full_comp().listing);
    assert_eq!(told.len(), 5);
    assert_eq!(told[1], format!("{comp} condition '5 mint' -> ''"));
    assert_eq!(told[4], format!("{comp} outcome 'gone' -> 'sold'"));
}

#[test]
fn a_row_that_comes_twice_in_one_import_is_told() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[comp("a", "old", 5)]);
    let comps = [
        comp("a", "new", 1),
        comp("a", "new", 2),
        comp("a", "old", 5),
        comp("a", "old", 6),
    ];
    let (puts, _) = import(&mut book, &comps);
    assert_eq!(
        puts,
        [
            Put::Added,
            Put::TwiceInFile,
            Put::Unchanged,
            Put::TwiceInFile
        ]
    );
    let comps = [comp("a", "old", 7), comp("a", "old", 8)];
    let (puts, _) = import(&mut book, &comps);
    assert!(matches!(puts[..], [Put::Updated { .. }, Put::TwiceInFile]));
    assert_eq!(all(&book), [comp("a", "old", 7), comp("a", "new", 1)]);
}

#[test]
fn a_dropped_import_leaves_the_book_as_it_was() {
    let (folder, mut book) = new_book();
    import(&mut book, &[comp("a", "1", 5)]);
    let before = fs::read(&book.path).unwrap();
    let mut dry = book.begin_import("comps", "more.csv", TODAY).unwrap();
    dry.remember_columns(&["x".into()], &[("ask".into(), "x".into())], None);
    assert!(matches!(
        dry.put_comp(&comp("a", "1", 6)).unwrap(),
        Put::Updated { .. }
    ));
    assert_eq!(
        dry.put_comp(&comp("new source", "2", 6)).unwrap(),
        Put::Added
    );
    assert_eq!(dry.put_sale(&sale("B-1", 100)).unwrap(), Put::Added);
    drop(dry);
    assert_eq!(all(&book), [comp("a", "1", 5)]);
    assert_eq!(book.sales().unwrap(), []);
    assert_eq!(book.sources().unwrap(), [(1, "a".to_string())]);
    assert_eq!(
        book.remembered_columns("comps", &["x".into()]).unwrap(),
        None
    );
    assert_eq!(fs::read(&book.path).unwrap(), before);
    assert_eq!(files_in(&folder), [NAME]);
}

#[test]
fn columns_are_remembered_for_exactly_their_header() {
    let (_folder, mut book) = new_book();
    let header: Vec<String> = vec!["Titel".into(), "Preis \"VB\"".into()];
    let map = vec![("ask".to_string(), "Preis \"VB\"".to_string())];
    let remember = |book: &mut Book, dates: Option<&str>| {
        let mut import = book.begin_import("comps", "c.csv", TODAY).unwrap();
        import.remember_columns(&header, &map, dates);
        assert_eq!(import.commit().unwrap().number, None);
    };
    remember(&mut book, None);
    remember(&mut book, Some("dmy"));
    let found = book.remembered_columns("comps", &header).unwrap();
    let dates = Some("dmy".to_string());
    assert_eq!(
        found,
        Some(RememberedColumns {
            map: map.clone(),
            dates
        })
    );
    assert_eq!(book.remembered_columns("sales", &header).unwrap(), None);
    assert_eq!(
        book.remembered_columns("comps", &header[..1]).unwrap(),
        None
    );
    assert_eq!(book.history().unwrap(), []);
}
