//! Columns that a name alone does not tell: days, ids, how bikes left, what a file lacks.

use super::column_values::{are_days, are_marks, filled, is_name_of_marks};
use super::synonyms::plain;
use crate::intake::cells::meanings::is_word_of;
use crate::intake::field::Field;
use crate::intake::problems::pointing::shortened;
use crate::intake::problems::proposal::Proposal;
use crate::intake::settings::Settings;
use csv::StringRecord;
use std::collections::BTreeSet;

/// Fields that a column of days may be where its name does not say, the likeliest first.
/// Not that of a sale, which would need a price.
const UNSURE_DAYS: [&str; 5] = ["on", "bought_on", "listed_on", "first_seen", "last_seen"];

/// Short names of columns of days, and the field of each: a bike comes in and goes out.
const IN_AND_OUT: [(&str, &[&str]); 2] = [
    (
        "bought_on",
        &["in", "came in", "arrived", "got in", "rein", "eingang"],
    ),
    (
        "sold_on",
        &["out", "went", "gone", "left", "raus", "weg", "abgang"],
    ),
];

/// Columns of days whose names say little: a guess that is told, never left out in silence.
pub(super) fn days(
    proposal: &mut Proposal,
    open: &mut Vec<(usize, &String)>,
    taken: &mut BTreeSet<&'static str>,
    fields: &'static [Field],
    sample: &[StringRecord],
) {
    let mut guessed = Vec::new();
    open.retain(|(at, name)| {
        if !are_days(*at, sample) || name.is_empty() {
            return true;
        }
        let named = plain(name);
        let known = IN_AND_OUT
            .iter()
            .find(|(_, names)| names.contains(&named.as_str()));
        let known = known.map(|(field, _)| field);
        let mut free = known
            .into_iter()
            .chain(&UNSURE_DAYS)
            .filter(|day| !taken.contains(*day));
        let free = free.find_map(|day| fields.iter().find(|field| field.name == *day));
        let Some(field) = free else {
            guessed.push(format!(
                "The column '{}' holds days, and all columns for days are taken: it is left out.",
                shortened(name)
            ));
            return true;
        };
        if known != Some(&field.name) {
            guessed.push(format!(
                "The column '{}' holds days: that it is {} ({}) is a guess.",
                shortened(name),
                field.name,
                field.what
            ));
        }
        taken.insert(field.name);
        proposal
            .columns
            .push((field.name.to_string(), (*name).clone()));
        false
    });
    proposal.look_at.append(&mut guessed);
}

/// A column that says how each bike left, sold or not, beside one column for the day.
pub(super) fn how_they_left(
    proposal: &mut Proposal,
    open: &mut Vec<(usize, &String)>,
    taken: &mut BTreeSet<&'static str>,
    fields: &'static [Field],
    sample: &[StringRecord],
) {
    let may = fields.iter().any(|field| field.name == "left_as")
        && !taken.contains("left_as")
        && !taken.contains("left_on");
    let sold = proposal.columns.iter().find(|(ours, _)| ours == "sold_on");
    let Some((_, day)) = sold.filter(|_| may).cloned() else {
        return;
    };
    let says = |at: usize| {
        let cells = filled(at, sample);
        let words = cells.iter().filter(|cell| is_word_of("left_as", cell));
        !cells.is_empty() && 10 * words.count() >= 8 * cells.len()
    };
    let Some(place) = open
        .iter()
        .position(|(at, name)| !name.is_empty() && says(*at))
    else {
        return;
    };
    let (_, name) = open.remove(place);
    taken.insert("left_as");
    taken.insert("left_on");
    proposal.columns.push(("left_on".to_string(), day.clone()));
    proposal.columns.push(("left_as".to_string(), name.clone()));
    proposal.look_at.push(format!(
        "'{}' holds the day of each bike that left, sold or not, and '{}' says which.",
        shortened(&day),
        shortened(name)
    ));
}

/// A column called `bike` that says what each is, beside one with numbers.
pub(super) fn bikes_and_numbers(
    header: &[String],
    fields: &'static [Field],
    settings: &Settings,
    sample: &[StringRecord],
) -> Option<(usize, usize)> {
    let of_bikes = ["bike", "style"].map(|name| fields.iter().any(|field| field.name == name));
    let same = |name: &String, ours: &str| name.trim().to_lowercase() == ours;
    let said = settings
        .columns
        .iter()
        .any(|(ours, _)| ours == "bike" || ours == "style");
    if of_bikes != [true, true] || said || header.iter().any(|name| same(name, "style")) {
        return None;
    }
    let what = header.iter().position(|name| same(name, "bike"))?;
    let cells = filled(what, sample);
    let words = cells.iter().filter(|cell| cell.contains(' '));
    if 2 * words.count() < cells.len() {
        return None;
    }
    let number = header.iter().enumerate().position(|(at, name)| {
        let all = filled(at, sample).len() == sample.len();
        at != what && all && is_name_of_marks(name) && are_marks(at, sample)
    })?;
    Some((what, number))
}

/// Whether a column cannot be a field that its name suggests: kinds of cost are few words.
pub(super) fn cannot_be(field: &str, at: usize, sample: &[StringRecord]) -> bool {
    let cells = filled(at, sample);
    let words = cells.iter().filter(|cell| is_word_of(field, cell));
    field == "kind" && 2 * words.count() < cells.len()
}

/// Tells of each column that every file must have and none was found for: what stands in
/// for it, where something can.
pub(super) fn missing(
    proposal: &mut Proposal,
    header: &[String],
    fields: &'static [Field],
    settings: &Settings,
    taken: &BTreeSet<&'static str>,
) {
    let without = |name: &str| {
        let mut words = settings.words.iter();
        words.any(|(column, theirs, _)| column == name && theirs.is_empty())
    };
    for field in fields
        .iter()
        .filter(|field| field.required && !taken.contains(field.name) && !without(field.name))
    {
        if let Some((ours, words)) = stands_in(field, settings) {
            let word = (field.name.to_string(), String::new(), ours);
            proposal.words.push(word);
            proposal.look_at.push(words);
            continue;
        }
        if let Some(joined) = what_marks_an_advert(field, proposal, header, fields) {
            proposal.look_at.push(format!(
                "No column marks an advert: rows of one place with the same {} count as looks \
                 at one advert, and a change in these makes it another.",
                shortened(&joined)
            ));
            proposal.columns.push((field.name.to_string(), joined));
            continue;
        }
        proposal.missing.push(field.name);
        proposal.look_at.push(format!(
            "No column looks like '{}' ({}), and every file of this kind must have it: put your \
             column's name in place of THEIRS, or add a column '{}' to the file and leave \
             --column {}=THEIRS out.",
            field.name, field.what, field.name, field.name
        ));
    }
    if !proposal.missing.is_empty() {
        let may = fields
            .iter()
            .filter(|field| !field.required && !taken.contains(field.name));
        let may: Vec<&str> = may.map(|field| field.name).collect();
        if !may.is_empty() {
            proposal
                .look_at
                .push(format!("It may also have: {}.", may.join(", ")));
        }
    }
}

/// What every row may count as where a column is missing, and words about it.
fn stands_in(field: &Field, settings: &Settings) -> Option<(String, String)> {
    Some(match field.name {
        "kind" => (
            "other".to_string(),
            "No column says what the money was spent on: 'other' stands for every row and adds to \
             what the sales say; write purchase, part, supply, fee or travel in its place if that \
             is nearer, which then counts in the place of that column of the sales, or add a \
             column 'kind' to the file."
                .to_string(),
        ),
        "style" => (
            "other".to_string(),
            "No column says what a bike is built for: 'other' stands for every new bike, which \
             prices it poorly (bikes that the book knows stay what they are); better add a column \
             'style' to the file and leave --word style:=other out."
                .to_string(),
        ),
        "beneficiary" => {
            let only = settings.only_beneficiary.clone()?;
            let words = format!(
                "No column says who received it: {only} stands for every row, as the book names \
                 nobody else."
            );
            (only, words)
        }
        _ => return None,
    })
}

/// The columns that tell an advert from others where none marks it: what it is, its size and
/// its year, as `what + size + yr`.
fn what_marks_an_advert(
    field: &Field,
    proposal: &Proposal,
    header: &[String],
    fields: &'static [Field],
) -> Option<String> {
    if field.name != "listing" {
        return None;
    }
    let of = |ours: &str| {
        let proposed = proposal.columns.iter().find(|(known, _)| known == ours);
        let proposed = proposed.map(|(_, theirs)| theirs.clone());
        let by_name = || {
            let mut header = header.iter();
            header
                .find(|name| name.trim().to_lowercase() == ours)
                .cloned()
        };
        fields.iter().find(|field| field.name == ours)?;
        proposed.or_else(by_name)
    };
    let parts = ["style", "seat_tube", "made"];
    let parts: Vec<String> = parts.into_iter().filter_map(of).collect();
    (parts.len() > 1 && parts.iter().all(|part| !part.contains('+'))).then(|| parts.join(" + "))
}
