//! What to say of a file so that it can be read, as its names and values suggest.

use super::column_values::{are_marks, filled, is_name_of_marks};
use super::columns::is_known;
use super::synonyms::field_of;
use super::totals::DAYS;
use super::unsaid_columns::{self, bikes_and_numbers, cannot_be};
use crate::intake::cells::around::without_words_around;
use crate::intake::cells::dates::{is_a_day, order_told, parse_day};
use crate::intake::cells::decimal_sign::DecimalSign;
use crate::intake::cells::did_you_mean::nearest;
use crate::intake::cells::meanings::{is_free, is_no_bike, is_unsold, is_word_of, meaning};
use crate::intake::cells::money::{decimal_sign_told, parse_money, reads_two_ways};
use crate::intake::cells::own_words::reads_by_itself;
use crate::intake::cells::row::MAY_BE_BLANK;
use crate::intake::field::Field;
use crate::intake::problems::columns::shell_word;
use crate::intake::problems::pointing::shortened;
use crate::intake::problems::proposal::Proposal;
use crate::intake::settings::{DateOrder, Settings};
use csv::StringRecord;
use std::collections::BTreeSet;

/// Rows from which columns are told by their values.
pub(in crate::intake) const SAMPLE: usize = 200;

/// Rows whose values are looked at.
pub(in crate::intake) const MOST_ROWS: usize = 200_000;

/// Most words that are proposed a meaning.
const MOST_WORDS: usize = 40;

/// The field of a column by its number and name, beside those that are taken.
type Find<'a> = dyn Fn(usize, &str, &BTreeSet<&'static str>) -> Option<&'static str> + 'a;

/// Which column is which field: what was said, our own names, names that people use, slips
/// of the pen, and what the values of the first rows look like. What is left is ignored.
pub(in crate::intake) fn columns(
    header: &[String],
    fields: &'static [Field],
    settings: &Settings,
    sample: &[StringRecord],
) -> Proposal {
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    let mut proposal = Proposal::default();
    let mut taken: BTreeSet<&'static str> = BTreeSet::new();
    for field in fields {
        let said = settings.columns.iter().any(|(ours, theirs)| {
            same(ours, field.name) && header.iter().any(|name| same(name, theirs))
        });
        if said || header.iter().any(|name| same(name, field.name)) {
            taken.insert(field.name);
        }
    }
    let mut open: Vec<(usize, &String)> = header
        .iter()
        .enumerate()
        .filter(|(_, name)| !is_known(name, fields, settings))
        .collect();
    if let Some((what, number)) = bikes_and_numbers(header, fields, settings, sample) {
        for (ours, at) in [("bike", number), ("style", what)] {
            let theirs = header.get(at).cloned().unwrap_or_default();
            proposal.columns.push((ours.to_string(), theirs));
            taken.insert(ours);
            open.retain(|(column, _)| *column != at);
        }
    }
    let mut assign =
        |open: &mut Vec<(usize, &String)>, taken: &mut BTreeSet<&'static str>, find: &Find<'_>| {
            open.retain(|(at, name)| match find(*at, name, taken) {
                Some(field) => {
                    taken.insert(field);
                    proposal.columns.push((field.to_string(), (*name).clone()));
                    false
                }
                None => true,
            });
        };
    assign(&mut open, &mut taken, &|at, name, taken| {
        let free = |field: &str| !taken.contains(field) && !cannot_be(field, at, sample);
        field_of(name, fields, free).filter(|_| !name.is_empty())
    });
    assign(&mut open, &mut taken, &|_, name, taken| {
        let free = fields
            .iter()
            .map(|field| field.name)
            .filter(|name| !taken.contains(name));
        nearest(name, free).filter(|_| !name.is_empty())
    });
    assign(&mut open, &mut taken, &|at, name, taken| {
        let free = fields
            .iter()
            .filter(|field| field.required && !taken.contains(field.name));
        let mut like =
            free.filter(|field| !name.is_empty() && looks_like(field, at, sample, settings));
        like.next().map(|field| field.name)
    });
    assign(&mut open, &mut taken, &|at, name, taken| {
        let free = fields.iter().any(|field| field.name == "reference");
        let free = free && !taken.contains("reference");
        (free && is_name_of_marks(name) && are_marks(at, sample)).then_some("reference")
    });
    unsaid_columns::days(&mut proposal, &mut open, &mut taken, fields, sample);
    unsaid_columns::how_they_left(&mut proposal, &mut open, &mut taken, fields, sample);
    sold_rather_than_asked(&mut proposal, fields, &taken);
    let left_out = costs_left_out(&open, fields, sample, settings, &taken);
    proposal.look_at.extend(left_out);
    proposal.ignore = open.iter().map(|(_, name)| (*name).clone()).collect();
    proposal.ignore.dedup();
    unsaid_columns::missing(&mut proposal, header, fields, settings, &taken);
    proposal
}

/// That a column is left out which may hold what bikes cost.
fn costs_left_out(
    open: &[(usize, &String)],
    fields: &'static [Field],
    sample: &[StringRecord],
    settings: &Settings,
    taken: &BTreeSet<&'static str>,
) -> Option<String> {
    let mut free = fields.iter().filter(|field| !taken.contains(field.name));
    free.find(|field| field.name == "parts")?;
    let amounts = |at: usize| {
        let cells = filled(at, sample);
        let good = cells
            .iter()
            .filter(|cell| is_amount(cell, settings))
            .count();
        !cells.is_empty() && 10 * good >= 8 * cells.len()
    };
    let (_, name) = open.iter().find(|(at, _)| amounts(*at))?;
    let shown = shortened(name);
    let typed = shell_word(&shown);
    Some(format!(
        "'{shown}' is left out although it holds numbers: if they are costs of the bikes, write --column \
         parts={typed} in place of --ignore {typed}."
    ))
}

/// Whether a cell is an amount, or one of two.
fn is_amount(cell: &str, settings: &Settings) -> bool {
    let point = Some(DecimalSign::Point);
    parse_money(cell, &settings.currency, point).is_ok() || reads_two_ways(cell, &settings.currency)
}

/// The column of each field by what was said and by our own names, the first of several.
pub(in crate::intake) fn places(
    header: &[String],
    fields: &'static [Field],
    settings: &Settings,
) -> Vec<Option<usize>> {
    let same = |a: &str, b: &str| a.trim().to_lowercase() == b.trim().to_lowercase();
    let place = |field: &Field| {
        let mut said = settings
            .columns
            .iter()
            .filter(|(ours, _)| same(ours, field.name));
        let said = said.find_map(|(_, theirs)| header.iter().position(|name| same(name, theirs)));
        said.or_else(|| header.iter().position(|name| same(name, field.name)))
    };
    fields.iter().map(place).collect()
}

/// A price in a file with days of sale and no other price is what a buyer paid.
fn sold_rather_than_asked(
    proposal: &mut Proposal,
    fields: &'static [Field],
    taken: &BTreeSet<&'static str>,
) {
    let of_sales = fields.iter().any(|field| field.name == "purchase");
    if of_sales && taken.contains("sold_on") && !taken.contains("sold_price") {
        let asked = proposal.columns.iter_mut().find(|(ours, _)| ours == "ask");
        if let Some((ours, _)) = asked {
            *ours = "sold_price".to_string();
        }
    }
}

/// Whether the values of a column look like those of a field that every row must have.
fn looks_like(field: &Field, at: usize, sample: &[StringRecord], settings: &Settings) -> bool {
    let cells = filled(at, sample);
    // Every row must have it: a column that is mostly empty is another.
    if cells.is_empty() || 10 * cells.len() < 8 * sample.len() {
        return false;
    }
    // Of ten cells so many must fit: fewer of words, which people make up.
    let of_ten = |least: usize, is: &dyn Fn(&str) -> bool| {
        let good = cells.iter().filter(|cell| is(cell)).count();
        10 * good >= least * cells.len()
    };
    let most = |is: &dyn Fn(&str) -> bool| of_ten(8, is);
    match field.name {
        "style" | "kind" => of_ten(5, &|cell| is_word_of(field.name, cell)),
        "bike" | "listing" => {
            let distinct: BTreeSet<&&str> = cells.iter().collect();
            let full = cells.len() == sample.len();
            full && distinct.len() == cells.len() && !most(&|cell| is_a_day(cell))
        }
        "on" => most(&is_a_day),
        _ if field.is_money => most(&|cell| is_amount(cell, settings)),
        _ => false,
    }
}

/// What the values of the rows say.
pub(in crate::intake) struct Values<'a> {
    fields: &'static [Field],
    at: Vec<Option<usize>>,
    settings: &'a Settings,
    day_first: usize,
    month_first: usize,
    two_orders: Option<String>,
    /// A date with one order of day and month, whose year may stand in front.
    year_first: Option<String>,
    point: bool,
    comma: bool,
    two_ways: Option<String>,
    /// Our column, their word, what it means, and whether that is a guess.
    words: Vec<(String, String, String, bool)>,
    no_bike_may_be: bool,
    unreadable: Option<String>,
}

impl<'a> Values<'a> {
    /// Values of a file whose columns are found.
    pub(in crate::intake) fn of(
        fields: &'static [Field],
        at: Vec<Option<usize>>,
        settings: &'a Settings,
    ) -> Self {
        Self {
            fields,
            at,
            settings,
            day_first: 0,
            month_first: 0,
            two_orders: None,
            year_first: None,
            point: false,
            comma: false,
            two_ways: None,
            words: Vec::new(),
            no_bike_may_be: fields
                .iter()
                .any(|field| field.name == "bike" && !field.required),
            unreadable: None,
        }
    }

    /// Takes in a row; `typed` says which of its cells are numbers of a spreadsheet.
    pub(in crate::intake) fn take(&mut self, row: &StringRecord, typed: &dyn Fn(usize) -> bool) {
        for (field, column) in self.fields.iter().zip(self.at.clone()) {
            let Some((column, cell)) = column.and_then(|at| Some((at, row.get(at)?.trim()))) else {
                continue;
            };
            if cell.is_empty() {
                continue;
            }
            if DAYS.contains(&field.name) {
                self.take_day(cell);
            } else if field.is_money && !typed(column) {
                self.take_amount(cell);
            }
            self.take_word(field.name, cell);
        }
    }

    fn take_day(&mut self, cell: &str) {
        if self.settings.dates.is_some() {
            return;
        }
        let told = order_told(cell);
        match told {
            Some(DateOrder::DayFirst) => self.day_first += 1,
            Some(DateOrder::MonthFirst) => self.month_first += 1,
            None => {}
        }
        if (self.two_orders.is_some() && self.year_first.is_some())
            || parse_day(cell, None).is_ok()
            || !is_a_day(cell)
        {
            return;
        }
        self.two_orders.get_or_insert_with(|| shortened(cell));
        if told.is_some() {
            self.year_first.get_or_insert_with(|| shortened(cell));
        }
    }

    fn take_amount(&mut self, cell: &str) {
        let currency = &self.settings.currency;
        match decimal_sign_told(cell, currency) {
            Some(DecimalSign::Point) => self.point = true,
            Some(DecimalSign::Comma) => self.comma = true,
            None if self.two_ways.is_none() && reads_two_ways(cell, currency) => {
                self.two_ways = Some(cell.to_string());
            }
            None => {}
        }
    }

    fn take_word(&mut self, column: &'static str, cell: &str) {
        let said = self.settings.words.iter().any(|(ours, theirs, _)| {
            ours == column && theirs.to_lowercase() == cell.to_lowercase()
        });
        let reads = match column {
            "style" | "condition" | "tier" | "outcome" | "kind" | "made" | "seat_tube"
            | "new_price" => reads_by_itself(self.fields, column, cell, self.settings),
            // Where the column may be empty: in a list of costs.
            "bike" => !self.no_bike_may_be || !is_no_bike(cell),
            _ if DAYS.contains(&column) => {
                let unsold = column == "sold_on" && is_unsold(cell);
                is_a_day(cell) || !(unsold || self.left_of(column, cell).is_some())
            }
            _ if self.of_money(column) => self.is_an_amount(cell) || !self.is_near_one(cell),
            "left_as" => reads_by_itself(self.fields, column, cell, self.settings),
            _ => true,
        };
        if reads || said {
            return;
        }
        let small = cell.to_lowercase();
        // A flag's first equals sign ends the word.
        let can_be_said = cell.len() <= 100 && !cell.contains('=');
        // What is cheap to tell comes before what a word is like.
        let known = |(ours, theirs, ..): &(String, String, String, bool)| {
            ours == column && *theirs == small
        };
        if can_be_said && (self.words.len() >= MOST_WORDS || self.words.iter().any(known)) {
            return;
        }
        let means = || {
            let meaning = meaning(column, cell).map(|(ours, guessed)| (ours.to_string(), guessed));
            let near = || Some((self.left_of(column, cell)?, false));
            meaning.or_else(near)
        };
        if let Some((ours, guessed)) = means().filter(|_| can_be_said) {
            self.words.push((column.to_string(), small, ours, guessed));
        } else if MAY_BE_BLANK.contains(&column) && self.unreadable.is_none() {
            self.unreadable = Some(format!("{column} '{}'", shortened(cell)));
        }
    }

    fn of_money(&self, column: &str) -> bool {
        let mut fields = self.fields.iter();
        fields.any(|field| field.name == column && field.is_money)
    }

    fn is_an_amount(&self, cell: &str) -> bool {
        let currency = &self.settings.currency;
        let point = Some(DecimalSign::Point);
        parse_money(cell, currency, point).is_ok() || reads_two_ways(cell, currency)
    }

    /// Whether a cell says that nothing was paid, that nothing is known, or an amount with
    /// words around it.
    fn is_near_one(&self, cell: &str) -> bool {
        let around = without_words_around(cell);
        is_free(cell) || cell == "-" || around.is_some_and(|left| self.is_an_amount(&left))
    }

    /// What is left of a day or an amount without the words around it; nothing of a dash.
    fn left_of(&self, column: &str, cell: &str) -> Option<String> {
        let left = without_words_around(cell);
        let left = left.filter(|left| match self.of_money(column) {
            true => self.is_an_amount(left),
            false => is_a_day(left),
        });
        left.or_else(|| (self.of_money(column) && cell == "-").then(String::new))
    }

    /// What to say.
    pub(in crate::intake) fn proposed(self, proposal: &mut Proposal) {
        let by_evidence = self.day_first + self.month_first > 0;
        if self.two_orders.is_some() {
            let american = self.settings.currency.code() == "USD";
            let month = match by_evidence {
                true => self.month_first > self.day_first,
                false => american,
            };
            proposal.dates = Some(match month {
                true => DateOrder::MonthFirst,
                false => DateOrder::DayFirst,
            });
            if let (false, Some(day)) = (by_evidence, &self.two_orders) {
                let (first, other) = if month {
                    ("month", "dmy")
                } else {
                    ("day", "mdy")
                };
                proposal.look_at.push(format!(
                    "Nothing tells whether '{day}' has the day or the month first: the {first} is \
                     a guess; write --dates {other} if it is wrong."
                ));
            }
            if let Some(day) = &self.year_first {
                proposal.look_at.push(format!(
                    "'{day}' is taken to have its year at its end; if it stands in front, write \
                     the days as YYYY-MM-DD."
                ));
            }
        }
        self.amounts(proposal);
        for (column, theirs, ours, guessed) in self.words {
            if guessed {
                proposal.look_at.push(format!(
                    "'{}' is no word for {column} that is known: '{ours}' stands there for you to \
                     change.",
                    shortened(&theirs)
                ));
            }
            proposal.words.push((column, theirs, ours));
        }
        if let Some(cell) = self.unreadable.filter(|_| !self.settings.blank_bad) {
            proposal.blank_bad = true;
            proposal.look_at.push(format!(
                "--blank-bad leaves unknown what cannot be read, such as {cell}; leave it out to \
                 correct the cells instead."
            ));
        }
    }

    /// Which sign stands before decimals, where only amounts that read two ways could say.
    fn amounts(&self, proposal: &mut Proposal) {
        let told = self.point != self.comma;
        let settings = self.settings;
        let said = settings.decimal.is_some()
            || (settings.book_decimal.is_some() && !self.point && !self.comma);
        let Some(cell) = self.two_ways.as_ref().filter(|_| !told && !said) else {
            return;
        };
        // Three digits behind it are thousands where the currency has fewer decimals.
        let sign = if cell.contains('.') {
            DecimalSign::Comma
        } else {
            DecimalSign::Point
        };
        proposal.decimal = Some(sign);
        let read = parse_money(cell, &settings.currency, Some(sign));
        let read = read.map_or_else(
            |_| "thousands".into(),
            |money| settings.currency.plain(money),
        );
        proposal.look_at.push(format!(
            "'{}' is taken for {read}; write --decimal {} if its sign stands before decimals.",
            shortened(cell),
            sign.other().word()
        ));
    }
}
