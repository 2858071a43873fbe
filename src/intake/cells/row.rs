//! The cells of one row, read by field. Problems pile up in the row, so that
//! all of them are reported together.

use super::dates::{check_day, order_told, parse_day, parse_typed_day};
use super::decimal_sign::DecimalSign;
use super::decimals::Decimals;
use super::features::{
    EARLY_MODEL_YEAR, exact_or_rounded_hours, parse_condition, parse_made, parse_seat_tube_of,
    parse_style, parse_tier,
};
use super::guard::without_guard;
use super::id::LONGEST_ID;
use super::invisible::invisible;
use super::meanings::is_free;
use super::money::{parse_money, reads_two_ways};
use crate::intake::field::{BikePlaces, Field};
use crate::intake::problems::columns::word_flag;
use crate::intake::problems::problem::{CellProblem, RowNote, code_point};
use crate::intake::settings::{DateOrder, Settings};
use crate::intake::sheets::table::Places;
use crate::trade::{Bike, Day, Money, Years};
use csv::StringRecord;
use std::cell::RefCell;

/// The cells of a row during reading. A field is meant by its place in
/// [`crate::intake::Kind::FIELDS`]. Every method returns `None` for an empty cell, a
/// column that the file lacks, and a cell with a problem (which is kept).
pub struct RowCells<'r> {
    cells: &'r StringRecord,
    at: &'r [Option<usize>],
    fields: &'static [Field],
    settings: &'r Settings,
    decimals: &'r Decimals,
    /// Problems with the number of their column, from 0.
    faults: Vec<(usize, CellProblem)>,
    notes: Vec<RowNote>,
    /// Days that can be read in one order alone, by the number of their column.
    orders: Vec<(usize, DateOrder)>,
    /// Of a spreadsheet, where its cells stand, and the row.
    sheet: Option<(&'r Places, u64)>,
    /// Columns whose cells hold control characters.
    spoiled: Vec<usize>,
    /// Fields whose cells do not count in this row.
    hidden: Vec<usize>,
    /// Columns that make up the id together.
    joined: &'r [usize],
    /// Words of the settings that stood in the row, by their places.
    words: RefCell<Vec<usize>>,
}

/// Hours for one bike above which minutes may have been meant, in hundredths. A choice
/// without a source.
const MANY_HOURS: i64 = 6_000;

/// Features that a bike may lack: unreadable cells of these may be left unknown.
pub(in crate::intake) const MAY_BE_BLANK: [&str; 5] =
    ["made", "condition", "tier", "seat_tube", "new_price"];

/// Fields of free text, in which line breaks and tabs become blanks.
const FREE: [&str; 4] = ["note", "item", "box_item", "jobs"];

/// A text with each run of line breaks and tabs as one blank.
fn without_breaks(text: &str) -> String {
    if !text.contains(['\n', '\r', '\t']) {
        return text.to_string();
    }
    let words = text.split(['\n', '\r', '\t']).map(str::trim);
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join(" ")
}

/// Whether an amount of 0 makes sense.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::intake) enum Zero {
    Allowed,
    Refused,
}

impl<'r> RowCells<'r> {
    pub(in crate::intake) fn new(
        cells: &'r StringRecord,
        at: &'r [Option<usize>],
        fields: &'static [Field],
        settings: &'r Settings,
        decimals: &'r Decimals,
    ) -> Self {
        let mut row = Self {
            cells,
            at,
            fields,
            settings,
            decimals,
            faults: Vec::new(),
            notes: Vec::new(),
            orders: Vec::new(),
            sheet: None,
            spoiled: Vec::new(),
            hidden: Vec::new(),
            joined: &[],
            words: RefCell::default(),
        };
        // 0xC2 starts the controls U+0080 to U+009F, and much that is harmless.
        let suspect = |b: u8| b < 0x20 || b == 0x7f || b == 0xc2;
        if cells
            .as_slice()
            .bytes()
            .fold(false, |found, b| found | suspect(b))
        {
            row.refuse_control_characters();
        }
        row
    }

    /// The same row as one of a spreadsheet.
    pub(in crate::intake) fn of_sheet(self, places: &'r Places, row: u64) -> Self {
        Self {
            sheet: Some((places, row)),
            ..self
        }
    }

    /// The same row with an id that several columns make up together.
    pub(in crate::intake) fn with_id_of(self, joined: &'r [usize]) -> Self {
        Self { joined, ..self }
    }

    /// The id that several columns make up together: their words with a blank between.
    fn joined_id(&self) -> String {
        let cells = self.joined.iter().filter_map(|at| self.cells.get(*at));
        let words = cells.flat_map(str::split_whitespace);
        words.collect::<Vec<_>>().join(" ")
    }

    /// Whether a field's cell was a number in a spreadsheet.
    fn is_number(&self, field: usize) -> bool {
        let column = self.column(field);
        let place = self.sheet.zip(column);
        place.is_some_and(|((places, row), column)| places.is_number(row, column))
    }

    /// Refuses a cell whatever a field would make of it.
    pub(in crate::intake) fn refuse_value(&mut self, column: usize, problem: CellProblem) {
        self.faults.push((column, problem));
        self.spoiled.push(column);
    }

    /// Takes the days that can be read in one order alone, by the number of their column.
    pub(in crate::intake) fn take_orders(&mut self) -> Vec<(usize, DateOrder)> {
        std::mem::take(&mut self.orders)
    }

    /// Takes the words of the settings that stood in the row, by their places.
    pub(in crate::intake) fn take_words(&mut self) -> Vec<usize> {
        std::mem::take(self.words.get_mut())
    }

    /// Keeps a problem of a column by its number from 0.
    pub(in crate::intake) fn refuse_column(&mut self, column: usize, problem: CellProblem) {
        self.faults.push((column, problem));
    }

    /// The problems with the number of their column from 0, and the notes.
    pub(in crate::intake) fn into_faults_and_notes(
        self,
    ) -> (Vec<(usize, CellProblem)>, Vec<RowNote>) {
        (self.faults, self.notes)
    }

    fn refuse_control_characters(&mut self) {
        for column in self.at.iter().flatten() {
            let cell = self.cells.get(*column).unwrap_or("");
            let Some(found) = cell.chars().find(|c| c.is_control()) else {
                continue;
            };
            let free = |field: &usize| self.at.get(*field) == Some(&Some(*column));
            let mut free_texts = (0..self.fields.len()).filter(|f| FREE.contains(&self.name(*f)));
            let breaks = |c: char| matches!(c, '\n' | '\r' | '\t');
            if free_texts.any(|field| free(&field))
                && cell.chars().all(|c| !c.is_control() || breaks(c))
            {
                self.notes.push(RowNote::BreaksTakenOut);
                continue;
            }
            let name = match found {
                '\n' | '\r' => "a line break".to_string(),
                '\t' => "a tab".to_string(),
                other => format!("the control character {}", code_point(other)),
            };
            let expected = format!("text without {name}");
            self.faults.push((
                *column,
                CellProblem::new(expected, "Take it out of the cell."),
            ));
            self.spoiled.push(*column);
        }
    }

    fn column(&self, field: usize) -> Option<usize> {
        let hidden = self.hidden.contains(&field);
        self.at.get(field).copied().flatten().filter(|_| !hidden)
    }

    /// Whether two fields are held by one column.
    pub(in crate::intake) fn shares(&self, one: usize, other: usize) -> bool {
        self.column(one).is_some() && self.column(one) == self.column(other)
    }

    /// Leaves a field's cell out of this row.
    pub(in crate::intake) fn hide(&mut self, field: usize) {
        self.hidden.push(field);
    }

    fn untrimmed(&self, field: usize) -> &'r str {
        self.column(field)
            .and_then(|column| self.cells.get(column))
            .unwrap_or("")
    }

    /// The cell of a field, blanks around it taken away; what it means where the user
    /// said so of its text, also of an empty cell and of a column that the file lacks.
    pub(in crate::intake) fn cell(&self, field: usize) -> &'r str {
        self.meaning(field, self.written(field))
    }

    /// The cell of a field as it stands in the file, blanks around it taken away.
    fn written(&self, field: usize) -> &'r str {
        let cell = self.untrimmed(field);
        match cell.as_bytes() {
            // Nearly every cell: no blank at either end.
            [b'!'..=b'~', .., b'!'..=b'~'] | [b'!'..=b'~'] | [] => cell,
            _ => cell.trim(),
        }
    }

    /// Our name of a field.
    pub(in crate::intake) fn name(&self, field: usize) -> &'static str {
        self.fields.get(field).map_or("", |field| field.name)
    }

    /// Keeps a problem of a field's cell.
    pub(in crate::intake) fn refuse(&mut self, field: usize, mut problem: CellProblem) {
        if self.fields.get(field).is_some_and(|field| field.required)
            && let Some(mend) = problem.mend_by_a_value()
        {
            problem.mend = format!("{mend}.");
        }
        if let Some(found) = invisible(self.cell(field)) {
            problem.mend = format!(
                "Take out the invisible character {} (shown as \u{fffd}). {}",
                code_point(found),
                problem.mend
            );
        }
        let column = self.column(field).unwrap_or(0);
        if !self.spoiled.contains(&column) {
            self.faults.push((column, problem));
        }
    }

    /// Reads a cell that is not empty.
    pub(in crate::intake) fn read<T>(
        &mut self,
        field: usize,
        parse: impl FnOnce(&str) -> Result<T, CellProblem>,
    ) -> Option<T> {
        let text = self.cell(field);
        if text.is_empty() {
            return None;
        }
        match parse(text) {
            Ok(value) => Some(value),
            Err(_) if self.settings.blank_bad && MAY_BE_BLANK.contains(&self.name(field)) => {
                self.notes.push(RowNote::LeftUnknown {
                    column: self.name(field),
                    written: self.written(field).to_string(),
                });
                None
            }
            Err(problem) => {
                self.refuse(field, problem);
                None
            }
        }
    }

    /// What a word of the user's means, where that was said; else the text itself.
    fn meaning(&self, field: usize, text: &'r str) -> &'r str {
        let words = &self.settings.words;
        if words.is_empty() {
            return text;
        }
        let (name, said) = (self.name(field), text.to_lowercase());
        let mut words = words.iter().enumerate();
        let word =
            words.find(|(_, (column, theirs, _))| column == name && theirs.to_lowercase() == said);
        word.map_or(text, |(place, (_, _, ours))| {
            self.words.borrow_mut().push(place);
            ours.as_str()
        })
    }

    /// Refuses an empty cell of a field that a row cannot do without.
    pub(in crate::intake) fn require(&mut self, field: usize) {
        if self.cell(field).is_empty() {
            let name = self.name(field);
            let mend = format!("Fill in {name}: a row cannot be used without it.");
            self.refuse(field, CellProblem::new(format!("a value for {name}"), mend));
        }
    }

    /// An id; it must be given. Blanks around it are taken away and noted.
    pub(in crate::intake) fn id(&mut self, field: usize) -> Option<String> {
        if !self.joined.is_empty() {
            let id = self.joined_id();
            if !id.is_empty() && id.len() <= LONGEST_ID {
                return Some(id);
            }
        }
        self.require(field);
        self.id_if_given(field)
    }

    /// An id that a row can do without, likewise.
    pub(in crate::intake) fn id_if_given(&mut self, field: usize) -> Option<String> {
        let (whole, text) = (self.untrimmed(field), self.cell(field));
        if text.is_empty() {
            return None;
        }
        if self.refuse_long(field) {
            return None;
        }
        let id = self.unguarded(text).to_string();
        self.note_invisible(field);
        if whole.len() != self.written(field).len() {
            self.notes.push(RowNote::IdTrimmed {
                column: self.name(field),
                id: id.clone(),
            });
        }
        Some(id)
    }

    /// Refuses a text by which records are told apart that is too long for it.
    pub(in crate::intake) fn refuse_long(&mut self, field: usize) -> bool {
        let is_long = self.cell(field).len() > LONGEST_ID;
        if is_long {
            let expected = format!("at most {LONGEST_ID} bytes");
            let mend = "Check the quotes and separators around it, or write a shorter one.";
            self.refuse(field, CellProblem::new(expected, mend));
        }
        is_long
    }

    /// Tells something of a good row.
    pub(in crate::intake) fn note(&mut self, note: RowNote) {
        self.notes.push(note);
    }

    /// Notes a character that nobody sees: what differs by it alone looks alike.
    pub(in crate::intake) fn note_invisible(&mut self, field: usize) {
        let text = self.cell(field);
        if let Some(character) = invisible(text) {
            self.notes.push(RowNote::Invisible {
                column: self.name(field),
                text: text.to_string(),
                character,
            });
        }
    }

    /// A text.
    pub(in crate::intake) fn text(&self, field: usize) -> Option<String> {
        let text = self.cell(field);
        (!text.is_empty()).then(|| without_breaks(self.unguarded(text)))
    }

    fn unguarded(&self, text: &'r str) -> &'r str {
        if self.settings.guarded {
            without_guard(text)
        } else {
            text
        }
    }

    /// An amount of 0 or more, or of more than 0.
    pub(in crate::intake) fn money(&mut self, field: usize, zero: Zero) -> Option<Money> {
        let mend = "Take the minus sign or the brackets away, or correct the amount.";
        self.money_or(field, zero, mend)
    }

    /// The same, with what to do about a negative amount.
    pub(in crate::intake) fn money_or(
        &mut self,
        field: usize,
        zero: Zero,
        negative: &'static str,
    ) -> Option<Money> {
        let (currency, decimals) = (self.settings.currency, self.decimals);
        let required = self.fields.get(field).is_some_and(|field| field.required);
        let known = match self.is_number(field) {
            true => Some(DecimalSign::Point),
            false => decimals.known(),
        };
        let name = self.name(field);
        self.read(field, |text| {
            let money = parse_money(text, &currency, known).map_err(|problem| {
                if zero == Zero::Allowed && is_free(text) {
                    return nothing_paid(name, text, problem);
                }
                match decimals
                    .both()
                    .filter(|_| known.is_none() && reads_two_ways(text, &currency))
                {
                    Some(both) => problem.with_reason(&both),
                    None => problem,
                }
            })?;
            match (money.minor(), zero) {
                (..0, _) => Err(CellProblem::new("an amount that is not negative", negative)),
                (0, Zero::Refused) => Err(CellProblem::new(
                    "an amount above 0",
                    if required {
                        "Correct the amount."
                    } else {
                        "Leave the cell empty if the amount is not known."
                    },
                )),
                _ => Ok(money),
            }
        })
    }

    /// A day from 1900 to the day the answer is for.
    pub(in crate::intake) fn day(&mut self, field: usize) -> Option<Day> {
        let (order, today) = (self.settings.dates, self.settings.today);
        let typed = !self.settings.guarded;
        if order.is_none()
            && let (Some(told), Some(column)) = (order_told(self.cell(field)), self.column(field))
        {
            self.orders.push((column, told));
        }
        self.read(field, |text| match typed {
            true => check_day(parse_typed_day(text, order, today)?, today),
            false => check_day(parse_day(text, order)?, today),
        })
    }

    /// Hours in hundredths of an hour.
    pub(in crate::intake) fn hours(&mut self, field: usize) -> Option<i64> {
        let (hundredths, exact) = self.read(field, exact_or_rounded_hours)?;
        if !exact {
            let written = self.cell(field).to_string();
            self.notes.push(RowNote::HoursRounded {
                written,
                hundredths,
            });
        }
        if hundredths > MANY_HOURS {
            let written = self.cell(field).to_string();
            self.notes.push(RowNote::ManyHours { written });
        }
        Some(hundredths)
    }

    /// The features of a bike.
    pub(in crate::intake) fn features(&mut self, at: &BikePlaces) -> Option<Bike> {
        let today = self.settings.today;
        self.require(at.style);
        let style = self.read(at.style, parse_style);
        let made = self.read(at.made, |text| parse_made(text, today));
        let earliest = made.map(Years::first);
        if let Some(made) = earliest.filter(|year| *year < EARLY_MODEL_YEAR) {
            self.notes.push(RowNote::EarlyModelYear { made });
        }
        let condition = self.read(at.condition, parse_condition);
        let tier = self.read(at.tier, parse_tier);
        let seat_tube = self.read(at.seat_tube, |text| parse_seat_tube_of(text, style));
        let new_price = self.money(at.new_price, Zero::Refused);
        Some(Bike {
            style: style?,
            made,
            condition,
            tier,
            seat_tube,
            new_price,
        })
    }

    /// Refuses the later of two days when it comes before the earlier one.
    pub(in crate::intake) fn in_order(
        &mut self,
        (earlier, first): (usize, Option<Day>),
        (later, second): (usize, Option<Day>),
    ) {
        let (Some(first), Some(second)) = (first, second) else {
            return;
        };
        if second < first {
            let (earlier, name) = (self.name(earlier), self.name(later));
            let expected = format!("a day not before {earlier}, {first}");
            let mend = format!("Correct {name} or {earlier}.");
            self.refuse(later, CellProblem::new(expected, mend));
        }
    }
}

/// What to do about a word that says that nothing was paid.
fn nothing_paid(column: &str, text: &str, problem: CellProblem) -> CellProblem {
    let flag = word_flag(column, text, "0");
    let or = flag.map_or(String::new(), |flag| format!(", or import with {flag}"));
    CellProblem::new(problem.expected, format!("Write 0{or}."))
}
