//! Files that a command reads without keeping any of it: bikes to price, sheets
//! of inspections, jobs, parts, tables of date codes. What is read is seen in the
//! answer: it must be the answer to a plain file with the values that a second
//! reading finds.

use super::case::{Case, FILE, Must, Tally, refusal};
use super::csv_text::{PLAIN, write};
use super::slips::{rows, slip};
use super::tables::{Holds, Table};
use super::{dress, encodings, values};
use crate::support::workshop::{Output, Workshop};
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;
use std::collections::HashMap;

/// Slips for each kind of file.
const SLIPS: usize = 25;

const STYLES: Holds = Holds::Word(&["road", "hybrid", "mountain", "city", "cruiser", "touring"]);
const CONDITION: Holds = Holds::Grade(["donor", "project", "rider", "tidy", "mint"]);
const TIER: Holds = Holds::Grade(["basic", "sport", "club", "race", "pro"]);

const BIKES: Table = Table {
    kind: "bikes",
    columns: &[
        ("bike", Holds::Name, true),
        ("style", STYLES, true),
        ("made", Holds::Years, false),
        ("condition", CONDITION, false),
        ("tier", TIER, false),
        ("seat_tube", Holds::Tube, false),
        ("new_price", Holds::Price, false),
        ("cost", Holds::Amount, false),
        ("hours", Holds::Hours, false),
    ],
    text: "\
bike,style,made,condition,tier,seat_tube,new_price,cost,hours
D-1,hybrid,2017,4,2,52cm,600.00,64.50,4.5
für 2,road,2019..2020,3,4,56.5cm,2100.00,185.00,6
",
    bikes: "",
};

const JOBS: Table = Table {
    kind: "jobs",
    columns: &[
        ("job", Holds::Name, true),
        ("cost", Holds::Amount, true),
        ("hours", Holds::Hours, false),
        ("from_box", Holds::YesNo, false),
        ("safety", Holds::YesNo, false),
        ("condition_after", CONDITION, false),
        ("tier_after", TIER, false),
    ],
    text: "\
job,cost,hours,from_box,safety,condition_after,tier_after
new tyres,34.00,0.75,,yes,3,
Züge,9.00,0.5,yes,,4,4
",
    bikes: "",
};

const PARTS: Table = Table {
    kind: "parts",
    columns: &[
        ("part", Holds::Name, true),
        ("price", Holds::Amount, true),
        ("chance", Holds::Word(&["0.6", "40 %", "0.3", "60 %"]), true),
        ("note", Holds::Text, false),
    ],
    text: "\
part,price,chance,note
wheels,35.00,60 %,mit Felgenband
frame and fork,45.00,40 %,für bastler
crankset,12.00,0.3,
",
    bikes: "",
};

const SHEET: Table = Table {
    kind: "inspection",
    columns: &[
        ("item", Holds::Id, true),
        (
            "result",
            Holds::Word(&["pass", "fail", "unchecked", "not_fitted"]),
            false,
        ),
        ("measure", Holds::Text, false),
        ("note", Holds::Text, false),
    ],
    text: "\
item,result,measure,note
style,,road,
front tyre,fail,,Flanke brüchig
rear tyre,pass,,\"fine, hardly used\"
chain,pass,0.5 %,
seat tube,,53cm,
",
    bikes: "",
};

const CODES: Table = Table {
    kind: "date-codes",
    columns: &[
        ("prefix", Holds::Text, false),
        ("position", Holds::Word(&["2", "3-4"]), true),
        ("meaning", Holds::Text, true),
    ],
    text: "\
prefix,position,meaning
K,2,A=2003 B=2004 C=2005
K,3-4,20yy
Q,2,\"A=1986, A=2006\"
",
    bikes: "",
};

/// A command line that reads such a file.
struct Judge {
    table: &'static Table,
    line: &'static str,
    workshop: Workshop,
    random: ChaCha8Rng,
    /// Answers to plain files, by their rows.
    known: HashMap<Vec<Vec<String>>, String>,
    tally: Tally,
    wrong: Vec<String>,
}

const OFFER: &str = "offer --style road --made 2015 --condition 2 --tier 3 --new-price 900 \
     --format json";

impl Judge {
    fn new(table: &'static Table, line: &'static str) -> Self {
        Self {
            table,
            line,
            workshop: Workshop::new(),
            random: ChaCha8Rng::seed_from_u64(20_260_502),
            known: HashMap::new(),
            tally: Tally::default(),
            wrong: Vec::new(),
        }
    }

    fn answer(&self, bytes: &[u8], flags: &[String]) -> Output {
        self.workshop.file(&FILE[1..], bytes);
        let words = self.line.split_whitespace();
        let words: Vec<&str> = words.chain(flags.iter().map(String::as_str)).collect();
        self.workshop.run(&words)
    }

    /// The answer to a plain file with these rows.
    fn plain(&mut self, rows: &[Vec<String>]) -> String {
        if let Some(known) = self.known.get(rows) {
            return known.clone();
        }
        let names = self
            .table
            .columns
            .iter()
            .map(|(name, ..)| (*name).to_string());
        let all = [&[names.collect()], rows].concat();
        let answer = self.answer(write(&all, PLAIN).as_bytes(), &[]).out;
        self.known.insert(rows.to_vec(), answer.clone());
        answer
    }

    fn try_case(&mut self, case: &Case) {
        let output = self.answer(&case.bytes, &case.flags);
        let found = match (output.code, &case.must) {
            (0, Must::Accept(rows, _) | Must::Either(_, Some(rows))) => {
                self.tally.accepted += 1;
                match self.plain(rows) == output.out {
                    true => Ok(()),
                    false => Err(format!("another answer than for {rows:?}")),
                }
            }
            (0, _) => Err("accepted".to_string()),
            (1, must) => {
                self.tally.refused += 1;
                refusal(must, &output)
            }
            (code, _) => Err(format!("exit status {code}")),
        };
        if self.workshop.files() != ["book.sqlite", &FILE[1..]] {
            self.wrong.push(format!("left {:?}", self.workshop.files()));
        }
        if let Err(why) = found {
            let (kind, name, Output { out, err, .. }) = (self.table.kind, &case.name, output);
            let shown: String = String::from_utf8_lossy(&case.bytes)
                .chars()
                .take(800)
                .collect();
            self.wrong
                .push(format!("{kind}, {name}: {why}\n{shown}\n{out}\n{err}"));
        }
    }

    fn try_all(&mut self, cases: &[Case]) {
        cases.iter().for_each(|case| self.try_case(case));
    }

    fn encodings_and_dresses(&mut self) {
        let of_all = encodings::cases(self.table, &mut self.random);
        self.try_all(&of_all);
        let of_all = dress::cases(self.table, &mut self.random);
        // What it takes to be twice, each kind says in its own way.
        let kept = |case: &&Case| !case.name.contains("twice");
        let of_all: Vec<Case> = of_all.iter().filter(kept).cloned().collect();
        self.try_all(&of_all);
    }

    fn slips(&mut self) {
        let text = self.table.text;
        for _ in 0..SLIPS {
            let (slipped, at, what) = slip(text, &mut self.random);
            let line = 1 + text[..at].matches('\n').count() as u64;
            // A job or an item that now stands twice, or too many, is told by itself.
            let must = Must::Either(vec![line, line + 1], rows(self.table, &slipped));
            let name = format!("{what} at {at}, line {line}");
            self.try_case(&Case::new(name, slipped, must));
        }
    }

    fn finish(self) {
        let Tally { refused, accepted } = self.tally;
        println!(
            "{}: {refused} refused, {accepted} accepted",
            self.table.kind
        );
        let wrong = self.wrong;
        assert!(
            wrong.is_empty(),
            "{} cases:\n\n{}",
            wrong.len(),
            wrong.join("\n\n")
        );
        assert!(refused > 20 && accepted > 20);
    }
}

#[test]
fn bikes_are_priced_as_they_stand_or_refused() {
    let mut judge = Judge::new(&BIKES, "price --from @case.csv --format json");
    judge.encodings_and_dresses();
    let of_all = values::cases(&BIKES, &mut judge.random);
    judge.try_all(&of_all);
    judge.slips();
    judge.finish();
}

#[test]
fn jobs_are_offered_as_they_stand_or_refused() {
    static LINE: std::sync::LazyLock<String> =
        std::sync::LazyLock::new(|| format!("{OFFER} --jobs @case.csv"));
    let mut judge = Judge::new(&JOBS, &LINE);
    judge.encodings_and_dresses();
    // Every third: an offer takes a while, and the bikes have had the same forms.
    let of_all = values::cases(&JOBS, &mut judge.random);
    let third: Vec<Case> = of_all.into_iter().step_by(3).collect();
    judge.try_all(&third);
    judge.slips();
    judge.finish();
}

#[test]
fn parts_are_offered_as_they_stand_or_refused() {
    static LINE: std::sync::LazyLock<String> =
        std::sync::LazyLock::new(|| format!("{OFFER} --parts @case.csv"));
    let mut judge = Judge::new(&PARTS, &LINE);
    judge.encodings_and_dresses();
    judge.finish();
}

#[test]
fn sheets_are_judged_as_they_stand_or_refused() {
    let mut judge = Judge::new(&SHEET, "inspect @case.csv --format json");
    judge.encodings_and_dresses();
    judge.slips();
    judge.finish();
}

#[test]
fn date_codes_are_read_as_they_stand_or_refused() {
    let line = "price --style road --new-price 900 --date-codes @case.csv --date-code KB04X \
        --format json";
    let mut judge = Judge::new(&CODES, line);
    judge.encodings_and_dresses();
    judge.finish();
}
