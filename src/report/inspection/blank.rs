//! A blank inspection sheet: CSV (RFC 4180, lines end in LF), a heading for each
//! place of the walk.

use super::words::limit_words;
use crate::intake::{InspectionSheet, Kind as _, with_guard};
use crate::trade::Style;
use crate::trade::inspection::{Check, CheckResult, Fact, FactWord, Holds, Item, Weight, items};

/// What stands on its first row, beside `# how to fill in`.
const HOW_TO_FILL_IN: &str = "Result: pass, fail, unchecked or not_fitted; empty is unchecked, and that never \
     counts as a pass. SAFETY CHECK: do not ride the bike until it has passed. Facts (what it is, how long) \
     go into the \
     measure column. Nothing here certifies a bike: when in doubt ask a qualified mechanic.";

/// The bytes of the file.
///
/// # Errors
/// None in practice: it is written into memory.
pub fn blank() -> Result<Vec<u8>, String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let header = InspectionSheet::FIELDS.iter().map(|field| field.name);
    let mut rows: Vec<[String; 2]> = vec![["# how to fill in".into(), HOW_TO_FILL_IN.into()]];
    let mut group = None;
    for item in items() {
        if group != Some(item.group) {
            group = Some(item.group);
            rows.push([format!("# {}", item.group), String::new()]);
        }
        rows.push([item.name.into(), how_to_look(item)]);
    }
    let mut written = writer.write_record(header);
    for [item, look] in &rows {
        let cells = [
            with_guard(item),
            with_guard(look),
            "".into(),
            "".into(),
            "".into(),
        ];
        written = written.and_then(|()| writer.write_record(cells.iter().map(|c| c.as_bytes())));
    }
    written.map_err(|error| error.to_string())?;
    writer.into_inner().map_err(|error| error.to_string())
}

/// How many items it has.
pub fn count() -> usize {
    items().count()
}

/// How to look, with the limit and where it comes from.
pub fn how_to_look(item: &Item) -> String {
    let source = item.source;
    match &item.holds {
        Holds::Check(check) => {
            let gate = if check.weight == Weight::Gate {
                "SAFETY CHECK. "
            } else {
                ""
            };
            format!("{gate}{}{} [{source}]", item.look, limit(item, check))
        }
        Holds::Fact(fact) => format!("{}{} [{source}]", item.look, choice(fact)),
    }
}

fn limit(item: &Item, check: &Check) -> String {
    let told = item.look.contains(CheckResult::NotFitted.word());
    let lack = if check.may_lack && !told {
        " May be not_fitted."
    } else {
        ""
    };
    match &check.limit {
        Some(limit) => format!(" Limit: {}.{lack}", limit_words(limit)),
        None => lack.into(),
    }
}

fn choice(fact: &Fact) -> String {
    let list = |words: Vec<&str>| format!(" One of: {}.", words.join(", "));
    match fact {
        Fact::Style => list(Style::ALL.iter().map(|style| style.word()).collect()),
        Fact::Words(words) => {
            let word = |known: &FactWord| known.word;
            list(words.iter().map(word).collect())
        }
        Fact::Name | Fact::FrameLength | Fact::Tyre => String::new(),
    }
}
