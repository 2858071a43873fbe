//! Undo.

use super::*;

#[test]
fn undo_goes_back_step_by_step_and_refuses_to_jump() {
    let (_folder, mut book) = new_book();
    let state = |asks: &[(&str, i64)]| -> Vec<Comparable> {
        asks.iter()
            .map(|(listing, ask)| comp("a", listing, *ask))
            .collect()
    };
    let states = [
        state(&[("1", 10), ("2", 20)]),
        state(&[("1", 11), ("2", 20), ("3", 30)]),
        state(&[("1", 12), ("2", 20), ("3", 30)]),
    ];
    for state in &states {
        import(&mut book, state);
    }
    assert_eq!(all(&book), states[2]);
    let refused = book.undo(1, TODAY).unwrap_err();
    assert_eq!(refused.mend(), "Undo import 2 first.");
    let refused = book.undo(2, TODAY).unwrap_err();
    assert!(
        refused
            .to_string()
            .contains("import 3 (comps.csv) later changed 1"),
        "{refused}"
    );
    assert_eq!(all(&book), states[2]);

    assert_eq!(
        book.undo(3, TODAY).unwrap(),
        Undone {
            removed: 0,
            restored: 1
        }
    );
    assert_eq!(all(&book), states[1]);
    assert_eq!(
        book.undo(2, TODAY).unwrap(),
        Undone {
            removed: 1,
            restored: 1
        }
    );
    assert_eq!(all(&book), states[0]);
    let again = book.undo(2, TODAY).unwrap_err();
    assert!(
        matches!(again, BookProblem::AlreadyUndone { number: 2, .. }),
        "{again}"
    );
    assert_eq!(
        book.undo(1, TODAY).unwrap(),
        Undone {
            removed: 2,
            restored: 0
        }
    );
    assert_eq!(book.counts().unwrap(), Counts::default());
    assert_eq!(book.sources().unwrap(), []);
    let none = book.undo(4, TODAY).unwrap_err();
    assert!(
        matches!(none, BookProblem::NoSuchImport { number: 4, .. }),
        "{none}"
    );

    let history = book.history().unwrap();
    let told: Vec<_> = history
        .iter()
        .map(|e| (e.number, e.added, e.updated, e.unchanged))
        .collect();
    assert_eq!(told, [(1, 2, 0, 0), (2, 1, 1, 1), (3, 0, 1, 2)]);
    assert!(
        history
            .iter()
            .all(|entry| entry.undone_on == Some(TODAY) && entry.on == TODAY)
    );
    // What was undone can be imported again.
    let (_, summary) = import(&mut book, &states[2]);
    assert_eq!(
        summary,
        ImportSummary {
            number: Some(4),
            added: 3,
            updated: 0,
            unchanged: 0
        }
    );
    assert_eq!(book.check(), Vec::<String>::new());
}

#[test]
fn an_import_that_nobody_built_on_can_be_undone_out_of_turn() {
    let (_folder, mut book) = new_book();
    import(&mut book, &[full_comp()]);
    import(&mut book, &[comp("a", "1", 1)]);
    let mut sales = book.begin_import("sales", "s.csv", TODAY).unwrap();
    sales.put_sale(&sale("B-1", 9000)).unwrap();
    sales.commit().unwrap();
    let mut changed = book.begin_import("sales", "s.csv", TODAY).unwrap();
    let mut other = sale("B-1", 9500);
    other.note = None;
    changed.put_sale(&other).unwrap();
    changed.commit().unwrap();
    assert_eq!(
        book.undo(1, TODAY).unwrap(),
        Undone {
            removed: 1,
            restored: 0
        }
    );
    assert_eq!(all(&book), [comp("a", "1", 1)]);
    assert_eq!(
        book.undo(4, TODAY).unwrap(),
        Undone {
            removed: 0,
            restored: 1
        }
    );
    assert_eq!(book.sales().unwrap(), [sale("B-1", 9000)]);
}
