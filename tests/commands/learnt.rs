//! What was learnt from many comps is kept in the book, and never outlives what it
//! was learnt from: an answer from a book that kept something is byte for byte that of
//! a copy of the book that kept nothing. The comps are made up from a row's number.

use crate::support::program::program;
use crate::support::workshop::{Output, SALES, TODAY, Workshop};
use std::fmt::Write;
use wheelworth::trade::Day;

/// As many comps as it takes for something to be kept, and some.
const COMPS: usize = 20_500;

const ROAD: [&str; 11] = [
    "--format",
    "json",
    "price",
    "--style",
    "road",
    "--made",
    "2014",
    "--condition",
    "4",
    "--tier",
    "2",
];

/// Chance from a row's number, so that any stretch of rows can be made (`SplitMix64`).
struct Chance(u64);

impl Chance {
    fn below(&mut self, end: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        (mixed ^ (mixed >> 31)) % end
    }

    fn pick(&mut self, of: &[&'static str]) -> &'static str {
        of[self.below(of.len() as u64) as usize]
    }
}

fn comps(from: usize, to: usize) -> String {
    let mut csv = String::from(
        "listing,source,style,made,condition,tier,seat_tube,new_price,listed_on,first_seen,\
         last_seen,ask,last_ask,outcome,sold_price\n",
    );
    for n in from..to {
        let mut chance = Chance(n as u64);
        let style = chance.pick(&["road", "hybrid", "mountain", "kids", "city"]);
        let made = chance.pick(&["2009", "2014", "", "2018", "2010..2012", "1998"]);
        let condition = chance.pick(&["2", "3", "4", "", "5"]);
        let tier = chance.pick(&["1", "2", "", "3"]);
        let tube = match chance.pick(&["52", "", "56", "47", "61"]) {
            "" => "",
            _ if style == "kids" => "33",
            tube => tube,
        };
        let new = chance.pick(&["", "", "650", "1100"]);
        let month = chance.pick(&["2025-06", "2025-10", "2026-01", "2026-03"]);
        let outcome = chance.pick(&["sold", "gone", "listed", "withdrawn"]);
        let grade: u64 = condition.parse().unwrap_or(3);
        // Who asks more waits longer.
        let over = chance.below(120);
        let ask = 40 * grade + over;
        let sold = match outcome {
            "sold" if n % 5 == 0 => (ask - 9).to_string(),
            _ => String::new(),
        };
        let first = 2 + chance.below(9);
        let last = first + 1 + chance.below(6) + over / 10;
        let last_ask = ask - chance.below(7);
        writeln!(
            csv,
            "L{n},ads {},{style},{made},{condition},{tier},{tube},{new},{month}-02,\
             {month}-{first:02},{month}-{last:02},{ask},{last_ask},{outcome},{sold}",
            n % 3,
        )
        .unwrap();
    }
    csv
}

fn big() -> Workshop {
    Workshop::new().sales(SALES).comps(&comps(0, COMPS))
}

/// The book opened by another program.
fn other(workshop: &Workshop) -> rusqlite::Connection {
    rusqlite::Connection::open(workshop.book()).unwrap()
}

fn kept(workshop: &Workshop) -> i64 {
    let all = "SELECT count(*) FROM learnt WHERE EXISTS (SELECT 1 FROM learnt_from)";
    other(workshop)
        .query_row(all, [], |row| row.get(0))
        .unwrap()
}

/// The answer of a copy of the book that kept nothing.
fn anew(workshop: &Workshop, line: &[&str], today: Day) -> Output {
    std::fs::copy(workshop.book(), workshop.path("anew.sqlite")).unwrap();
    let copy = rusqlite::Connection::open(workshop.path("anew.sqlite")).unwrap();
    copy.execute_batch("DELETE FROM learnt_from; DELETE FROM learnt")
        .unwrap();
    drop(copy);
    let answer = workshop.run_as_typed(&[&["--book", "@anew.sqlite"], line].concat(), today);
    std::fs::remove_file(workshop.path("anew.sqlite")).unwrap();
    answer
}

#[track_caller]
fn same_as_anew(workshop: &Workshop, line: &[&str]) -> String {
    let fresh = anew(workshop, line, TODAY).done();
    let answer = workshop.run(line).done();
    // What is proposed there names that book.
    let fresh = fresh.out.replace("--book @anew.sqlite ", "");
    assert_eq!(answer.out, fresh, "{line:?}");
    answer.out
}

#[test]
fn a_kept_answer_is_that_of_a_fresh_one() {
    let workshop = big();
    workshop.file(
        "bikes.csv",
        "bike,style,made,condition,tier,seat_tube,new_price\n\
         a,road,2010..2013,,2,56,\nb,kids,2020,4,,,180\nc,mountain,,2,3,47,900\nd,touring,1986,3,3,57,\n",
    );
    let first = workshop.run(&ROAD).done();
    assert_eq!(kept(&workshop), 1, "the first answer is kept");
    let bytes = workshop.book_bytes();
    assert_eq!(workshop.run(&ROAD).done().out, first.out);
    let lines: [&[&str]; 8] = [
        &ROAD,
        &["price", "--style", "hybrid"],
        &[
            "price",
            "--style",
            "kids",
            "--made",
            "2018",
            "--new-price",
            "200",
        ],
        &[
            "price",
            "--style",
            "mountain",
            "--made",
            "2009..2012",
            "--seat-tube",
            "47",
        ],
        &["price", "--bike", "B-46"],
        &["--format", "json", "price", "--from", "@bikes.csv"],
        &["stock"],
        &[
            "offer",
            "--style",
            "city",
            "--made",
            "2009",
            "--condition",
            "2",
        ],
    ];
    for line in lines {
        same_as_anew(&workshop, line);
    }
    let drawn = ["price", "--style", "city", "--made", "2014", "--chart"];
    anew(&workshop, &[&drawn[..], &["@anew.svg"]].concat(), TODAY).done();
    workshop.run(&[&drawn[..], &["@kept.svg"]].concat()).done();
    assert_eq!(workshop.text("kept.svg"), workshop.text("anew.svg"));
    assert!(workshop.book_bytes() == bytes, "what is kept is only read");
    // A bike that is sold is priced without its own sale: that is another model.
    same_as_anew(&workshop, &["price", "--bike", "B-26"]);
}

#[test]
fn nothing_kept_outlives_a_change() {
    let workshop = big();
    let mut last = workshop.run(&ROAD).done().out;
    let mut changed = |what: &str, change: &dyn Fn()| {
        assert!(kept(&workshop) > 0, "before {what} something is kept");
        change();
        let now = same_as_anew(&workshop, &ROAD);
        assert_ne!(now, last, "{what} moves the answer");
        last = now;
    };
    let run = |words: &[&str]| drop(workshop.run(words).done());
    workshop.file("more.csv", comps(COMPS, COMPS + 300));
    workshop.file("asks.csv", "bike,on,ask\nB-46,2026-04-30,150\n");
    changed("an import", &|| run(&["import", "comps", "@more.csv"]));
    changed("an undoing", &|| run(&["import", "--undo", "3"]));
    changed("a sale", &|| {
        run(&[
            "record",
            "sale",
            "--bike",
            "B-46",
            "--sold-on",
            "2026-05-01",
            "--sold-price",
            "400",
        ]);
    });
    let sql = |sql: &str| other(&workshop).execute_batch(sql).unwrap();
    changed("another program's change", &|| {
        sql(
            "UPDATE comps SET ask = 2 * ask, last_ask = 2 * last_ask WHERE style = 0 AND row < 9000",
        );
    });
    changed("another program's deletion", &|| {
        sql("DELETE FROM comps WHERE row % 50 = 0");
    });
    changed("a change in write-ahead mode", &|| {
        sql(
            "PRAGMA journal_mode = WAL; UPDATE comps SET condition = 3 WHERE style = 0; \
             PRAGMA journal_mode = DELETE",
        );
    });
    changed("a change without triggers or keys", &|| {
        sql(
            "PRAGMA foreign_keys = OFF; UPDATE sales SET sold_price = 3 * sold_price \
             WHERE sold_price IS NOT NULL AND row % 2 = 0",
        );
    });
}

#[test]
fn each_day_is_learnt_by_itself() {
    let workshop = big();
    let days = [
        TODAY,
        Day::constant(2026, 2, 1),
        Day::constant(2026, 7, 1),
        TODAY,
    ];
    let mut answers = Vec::new();
    for day in days {
        let line = [&["--book", "@book.sqlite"], &ROAD[..]].concat();
        let answer = workshop.run_as_typed(&line, day).done();
        assert_eq!(answer.out, anew(&workshop, &ROAD, day).out, "{day}");
        answers.push(answer.out);
        assert!((1..=2).contains(&kept(&workshop)), "at most two are kept");
    }
    assert_ne!(answers[0], answers[1]);
    assert_ne!(answers[0], answers[2]);
    assert_eq!(answers[0], answers[3]);
}

/// A copy that was made by `VACUUM INTO`, or rebuilt, counts its changes anew: it
/// could come to the same count with other records.
#[test]
fn a_rebuilt_copy_keeps_nothing_of_the_old_one() {
    let workshop = big();
    workshop.run(&ROAD).done();
    other(&workshop).execute_batch("VACUUM").unwrap();
    same_as_anew(&workshop, &ROAD);
    let copy = workshop.path("copy.sqlite");
    other(&workshop)
        .execute("VACUUM INTO ?1", [copy.to_str().unwrap()])
        .unwrap();
    let counter = |path: &std::path::Path| -> u32 {
        u32::from_be_bytes(std::fs::read(path).unwrap()[24..28].try_into().unwrap())
    };
    let goal = counter(&workshop.book());
    let copied = rusqlite::Connection::open(&copy).unwrap();
    while counter(&copy) < goal {
        copied
            .execute("UPDATE comps SET ask = ask + 100 WHERE row < 6000", [])
            .unwrap();
    }
    drop(copied);
    assert_eq!(counter(&copy), goal, "the counters are the same");
    std::fs::rename(&copy, workshop.book()).unwrap();
    same_as_anew(&workshop, &ROAD);
}

#[test]
fn what_is_damaged_is_learnt_anew() {
    let workshop = big();
    let fresh = workshop.run(&ROAD).done().out;
    for damage in [
        "UPDATE learnt SET model = zeroblob(length(model))",
        "UPDATE learnt SET model = x''",
        "UPDATE learnt SET sum = sum + 1",
        "UPDATE learnt SET key = 'another version'",
        "UPDATE learnt_comps SET comps = zeroblob(length(comps))",
        "UPDATE learnt_comps SET comps = substr(comps, 2), sum = 0",
        "DELETE FROM learnt",
    ] {
        // The mark is moved along, so that only the damage itself can be seen.
        let batch =
            format!("BEGIN; {damage}; UPDATE learnt_from SET counter = counter + 1; COMMIT");
        other(&workshop).execute_batch(&batch).unwrap();
        assert_eq!(workshop.run(&ROAD).done().out, fresh, "{damage}");
        assert!(kept(&workshop) > 0, "kept again after: {damage}");
        workshop.run(&["check"]).done();
    }
}

#[test]
fn a_book_that_keeps_something_is_sound() {
    let workshop = big();
    workshop.run(&ROAD).done();
    workshop.run(&["check"]).done();
    workshop.run(&["export", "comps", "@out.csv"]).done();
    let again = Workshop::new()
        .sales(SALES)
        .comps(&workshop.text("out.csv"));
    assert_eq!(again.run(&ROAD).done().out, workshop.run(&ROAD).done().out);
}

/// Nobody waits and nobody fails, whoever comes first.
#[test]
fn two_programs_at_once_agree() {
    let workshop = big();
    let start = || {
        let mut one = program(workshop.folder());
        one.args(["--book", "book.sqlite", "--as-of", "2026-05-02"])
            .args(ROAD);
        one.stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::piped());
        one.spawn().unwrap()
    };
    let both = [start(), start()].map(|one| one.wait_with_output().unwrap());
    for one in &both {
        assert!(
            one.status.success(),
            "{}",
            String::from_utf8_lossy(&one.stderr)
        );
        assert_eq!(one.stdout, both[0].stdout);
    }
    workshop.run(&["check"]).done();
}

/// A lock that somebody else holds is no reason to fail, nor to wait.
#[test]
fn a_book_that_is_being_read_is_left_as_it_is() {
    let workshop = big();
    let reader = other(&workshop);
    reader
        .execute_batch("BEGIN; SELECT count(*) FROM sales")
        .unwrap();
    let answer = workshop.run(&ROAD).done();
    assert_eq!(kept(&workshop), 0, "the reader keeps the file as it was");
    reader.execute_batch("COMMIT").unwrap();
    assert_eq!(workshop.run(&ROAD).done().out, answer.out);
    assert_eq!(kept(&workshop), 1);
}
