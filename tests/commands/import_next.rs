//! A refusal proposes the whole command to run next. Run as it stands it reads the file,
//! or brings the next problem only; three tries at most.

use crate::support::program::{both, program};
use crate::support::workshop::Workshop;
use std::process::Command;

/// What is said by the command that a refusal proposes, run by the shell as it stands.
fn proposed(said: &str) -> Option<String> {
    let line = said
        .lines()
        .find(|line| line.starts_with("  wheelworth import "))?;
    Some(line.trim().to_string())
}

/// Runs the first command, then each that is proposed; all that was said.
fn followed(workshop: &Workshop, first: &str) -> Vec<(bool, String)> {
    let path = program(workshop.folder()).get_program().to_owned();
    let mut line = first.to_string();
    let mut said = Vec::new();
    for _ in 0..4 {
        let command = line.replacen("wheelworth", "\"$WHEELWORTH\" --as-of 2026-05-02", 1);
        let mut shell = Command::new("sh");
        shell.args(["-c", &command]).current_dir(workshop.folder());
        let output = shell.env("WHEELWORTH", &path).output().unwrap();
        let (done, text) = (output.status.success(), both(&output));
        said.push((done, text.clone()));
        match proposed(&text) {
            Some(next) if !done => line = next,
            _ => break,
        }
    }
    said
}

/// Untidy files: kind, text, tries until it is read, and a row of the export.
const UNTIDY: [(&str, &str, usize, &str); 8] = [
    (
        "sales",
        "Rad;Typ;Preis\n1;Hybrid;120,00\n",
        2,
        "1,hybrid,,,,,,,,120.00",
    ),
    (
        "sales",
        "Meine Räder\n\nNr;Rad-Typ;Zustand;Baujahr;VB;Gekauft am;Farbe\n1;Trekkingrad;gut;2012;1.250;13/04/2025;rot\n2;bananas;wie neu;~2010;900;14/04/2025;blau\nSumme;;;;2.150;;\n",
        2,
        "1,hybrid,2012,4,,,,2025-04-13,,1250.00",
    ),
    (
        "sales",
        "No,What it is,Date sold,Sold for (EUR),Who's it for?,what I paid\nB-1,racer,04/03/2026,\"1,250\",Ann,20\nB-2,town,03/29/2026,90,,15\n",
        2,
        "B-1,road,,,,,,,,,2026-04-03,1250.00",
    ),
    (
        "comps",
        "Anzeige,Quelle,Typ,Zustand,Ausstattung,Preis,Gesehen am,Status\nx1,Markt,Rennrad,schlecht,hoch,100,02.03.2026,verkauft\nx2,Markt,MTB,defekt,einfach,80,14.03.2026,weg\n",
        2,
        "x1,Markt,road,,2,4",
    ),
    (
        "comps",
        "id,kind,price,year,size\nx1,city,100,ages ago,53cm\nx2,road,90,2010,huge\n",
        2,
        "x2,,road,2010,,,,,,,,90.00",
    ),
    (
        "costs",
        "Datum;Art;Was;Betrag\n01.02.2026;Teile;Kette;12,50\n13.02.2026;Sprit;;8,00\n",
        2,
        ",2026-02-01,part,Kette,12.50",
    ),
    (
        "gifts",
        "When,Who,How much\n2026-02-13,Room,20\n2026-02-14,Room,30\n",
        2,
        "2026-02-13,Room,20.00",
    ),
    // Known columns: only the values need a word.
    (
        "sales",
        "bike,style,condition\nA1,bananas,so so\nA2,road,Good\n",
        2,
        "A2,road,,4",
    ),
];

#[test]
fn what_is_proposed_reads_the_file() {
    for (kind, text, tries, row) in UNTIDY {
        let workshop = Workshop::empty();
        workshop
            .run_as_typed(
                &["--book", "@wheelworth.sqlite", "start", "--currency", "EUR"],
                crate::support::workshop::TODAY,
            )
            .done();
        workshop.file("my file.csv", text);
        let said = followed(
            &workshop,
            &format!("wheelworth import {kind} 'my file.csv'"),
        );
        let all: Vec<&str> = said.iter().map(|(_, text)| text.as_str()).collect();
        let all = all.join("\n----\n");
        assert!(said.last().unwrap().0 && said.len() <= tries, "{all}");
        let export = ["--book", "@wheelworth.sqlite", "export", kind, "@out.csv"];
        workshop
            .run_as_typed(&export, crate::support::workshop::TODAY)
            .done();
        let out = workshop.text("out.csv");
        assert!(out.contains(row), "{row} in {out}\n{all}");
    }
}

#[test]
fn guesses_are_said_to_be_guesses() {
    let workshop = Workshop::new();
    workshop.file(
        "mine.csv",
        "Rad,Typ,Preis,Gekauft am\n1,bananas,\"1,250\",03/04/2025\n",
    );
    let said = [
        "--dates dmy --decimal point --column bike=Rad",
        "--word style:bananas=other",
        "'bananas' is no word for style that is known: 'other' stands there for you to change",
        "Nothing tells whether '03/04/2025' has the day or the month first",
        "'1,250' is taken for 1250.00",
    ];
    workshop.refuses(&["import", "sales", "@mine.csv"], &said);
    // Never put in by itself: --correct. The ids of other bikes get a prefix.
    let workshop = Workshop::new().sales("bike,style\n1,road\n");
    workshop.file("next.csv", "bike,style\n1,city\n");
    let output = workshop.refuses(
        &["import", "sales", "@next.csv"],
        &["@next.csv --prefix 2026-", "if they are the same bikes"],
    );
    assert!(!proposed(&output.err).unwrap().contains("--correct"));
    // Where nothing looks like what every row must have, that is said.
    workshop.file("few.csv", "Farbe,Preis\nrot,20\nrot,30\n");
    workshop.refuses(
        &["import", "comps", "@few.csv"],
        &[
            "No column looks like 'listing'",
            "--column listing=THEIRS",
            "--word style:=other",
        ],
    );
}

#[test]
fn what_was_said_already_stays_in_the_command() {
    let workshop = Workshop::new();
    workshop.file("mine.csv", "Rad,Kategorie x,Tag\n1,road,03/04/2025\n");
    let line = [
        "import",
        "sales",
        "@mine.csv",
        "--column",
        "style=Kategorie x",
        "--ignore",
        "Tag",
        "--dry-run",
        "--prefix",
        "n-",
    ];
    let output = workshop.refuses(&line, &[]);
    let command = proposed(&output.err).unwrap();
    for part in [
        "--column style='Kategorie x'",
        "--column bike=Rad",
        "--ignore Tag",
        "--dry-run",
        "--prefix n-",
    ] {
        assert!(command.contains(part), "{part} in {command}");
    }
}
