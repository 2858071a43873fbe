//! Headers: what fits, and what is told of those that do not.

use super::hostile_tests::{open, settings};
use crate::intake::{ColumnProblem, FileProblem, Sales, Settings};

fn columns(header: &str, settings: &Settings) -> Vec<ColumnProblem> {
    match open::<Sales>(format!("{header}\nx\n"), settings).err() {
        Some(FileProblem::Columns { problems, .. }) => problems,
        other => panic!("{other:?}"),
    }
}

#[test]
fn every_column_that_does_not_fit_is_told_with_its_mend() {
    let told = |header: &str, settings: &Settings| -> Vec<String> {
        columns(header, settings)
            .iter()
            .map(|p| format!("{p}. {}", p.mend()))
            .collect()
    };
    let found = told("bike,stile,condtion", &settings());
    assert_eq!(
        found[0],
        "column 2, 'stile', is not known; did you mean 'style'?. Say what it holds with --column \
         style=stile, or leave it out with --ignore stile."
    );
    assert!(
        found[1].contains("--column condition=condtion"),
        "{}",
        found[1]
    );
    assert!(
        found[2].contains("'style' is missing") && found[2].contains("--column style=stile"),
        "{}",
        found[2]
    );

    let found = told("bike,style,Shape (1-5)", &settings());
    assert!(
        found[0]
            .contains("--column OURS='Shape (1-5)', or leave it out with --ignore 'Shape (1-5)'"),
        "{}",
        found[0]
    );
    // One command says what each column holds, as far as names tell.
    let text = "bike,style,Shape (1-5),Colour\n1,road,2,red\n";
    let refused = open::<Sales>(text, &settings()).err();
    let mend = refused.map(|p| p.mend()).unwrap_or_default();
    let command = "--column condition='Shape (1-5)' --ignore Colour";
    assert_eq!(mend.matches(command).count(), 1, "{mend}");
    assert!(told("bike,style,ask,Ask", &settings())[0].contains("columns 3 and 4 are both 'ask'"));
    assert!(told("bike,style,,ask", &settings())[0].contains("column 3 has no name"));

    let mut mapped = settings();
    mapped.columns = vec![
        ("ask".into(), "Askd".into()),
        ("asq".into(), "style".into()),
    ];
    let found = told("bike,style,Asked", &mapped);
    assert!(
        found[0].contains("no column 'Askd'; did you mean 'Asked'?"),
        "{}",
        found[0]
    );
    assert!(
        found[1].contains("no field 'asq'; did you mean 'ask'?"),
        "{}",
        found[1]
    );
    mapped.columns = vec![("ask".into(), "x".into()), ("parts".into(), "x".into())];
    assert!(told("bike,style,x", &mapped)[0].contains("to both 'ask' and 'parts'"));
}

#[test]
fn a_header_of_very_many_columns_is_told_in_few_words() {
    let found = columns("x,y,".repeat(100_000).trim_end_matches(','), &settings());
    assert_eq!(found.len(), 50 + 1 + 2);
    assert_eq!(found[50], ColumnProblem::AndMore { count: 199_950 });
    assert!(columns(&"bike,".repeat(100_000), &settings()).len() <= 51);
}

#[test]
fn ignored_columns_are_left_out_whatever_they_hold() {
    let mut settings = settings();
    settings.ignore = vec!["colour".into(), String::new(), "note".into()];
    let text = "bike,Colour,style,,colour,note\n1,\"a\nb\",road,x,\u{1},'=y\n";
    let row = open::<Sales>(text, &settings)
        .unwrap()
        .next_row()
        .unwrap()
        .unwrap()
        .unwrap();
    assert_eq!((row.record.id.as_str(), row.record.note), ("1", None));
}

#[test]
fn no_name_of_a_column_is_told_as_a_terminal_would_obey_it() {
    let mut wishes = settings();
    wishes.columns = vec![("ask".into(), "price".into())];
    let red = "bike,styl\u{1b}[31me,pri\u{202e}ce";
    let refused = open::<Sales>(format!("{red}\n1,2,3\n"), &wishes)
        .err()
        .unwrap();
    let said = format!("{}\n{}", refused.message(), refused.mend());
    assert!(said.contains("did you mean 'pri\u{fffd}ce'?"), "{said}");
    assert!(
        said.contains("columns are: bike, styl\u{fffd}[31me, pri\u{fffd}ce"),
        "{said}"
    );
    assert!(!said.contains(['\u{1b}', '\u{202e}']), "{said:?}");
}
