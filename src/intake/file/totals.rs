//! Rows at the end that add up those above: left out and told, never in silence.
//!
//! A last row is a total where
//! * it calls itself one (`Total`, `Summe`) and lacks something that every row must have;
//! * it lacks such a thing, and each of its amounts is the sum of two amounts or more above;
//! * it has all that, but its amounts are the sums above in two columns, or in the only one
//!   with amounts after three rows, and it names no day.
//!
//! A row with a day is always read as a row, and told where it looks like a total: a day is
//! what a total cannot have, a bike sold for what two others brought can. Rows in the middle
//! are never left out: what was taken for a total counts as a row once one follows.

use super::columns::Columns;
use super::divider::divider;
use super::records::Records;
use crate::intake::cells::dates::is_a_day;
use crate::intake::cells::decimal_sign::DecimalSign;
use crate::intake::cells::money::{parse_money, reads_two_ways};
use crate::intake::field::Field;
use crate::intake::problems::notes::FileNote;
use crate::intake::settings::Settings;
use crate::trade::Money;
use std::collections::BTreeMap;

/// Words by which a row calls itself a total, in small letters.
const WORDS: [&str; 24] = [
    "total",
    "totals",
    "sum",
    "sums",
    "grand total",
    "subtotal",
    "sub-total",
    "sub total",
    "subtotals",
    "overall",
    "all together",
    "altogether",
    "in total",
    "sum total",
    "total sum",
    "summe",
    "summen",
    "gesamt",
    "gesamtsumme",
    "zwischensumme",
    "endsumme",
    "insgesamt",
    "σ",
    "∑",
];

/// Fields that hold a day.
pub(in crate::intake) const DAYS: [&str; 8] = [
    "on",
    "bought_on",
    "listed_on",
    "sold_on",
    "first_seen",
    "last_seen",
    "ended_on",
    "left_on",
];

/// What the last rows of a file are.
#[derive(Clone, Debug, Default)]
pub(in crate::intake) struct Totals {
    /// Rows to leave out by their lines.
    pub(in crate::intake) left_out: BTreeMap<u64, FileNote>,
    /// A row that was read although it looks like a total.
    pub(in crate::intake) like_one: Option<FileNote>,
    /// Whether some amount could not be read because it reads two ways.
    pub(in crate::intake) two_ways: bool,
}

/// The amounts of a column so far.
#[derive(Clone, Copy, Default)]
struct Sum {
    minor: i128,
    count: usize,
    broken: bool,
}

/// What is needed to judge the rows of a file.
pub(in crate::intake) struct Judge<'a> {
    pub(in crate::intake) fields: &'static [Field],
    pub(in crate::intake) columns: &'a Columns,
    pub(in crate::intake) settings: &'a Settings,
    pub(in crate::intake) decimal: Option<DecimalSign>,
}

/// An amount of a row: the place of its column among those of money, and its value.
type Amount = (usize, Option<Money>);

impl Judge<'_> {
    /// Reads the rows that follow to their end. What ends the reading early leaves nothing
    /// out: it ends the reading under way too.
    pub(in crate::intake) fn totals(&self, records: &mut Records) -> Totals {
        let (mut sums, mut found) = (vec![Sum::default(); self.fields.len()], Totals::default());
        // Those above with the rows that were taken for totals.
        let mut all = sums.clone();
        // Whether each of those has what a row needs.
        let mut may_be_rows = true;
        loop {
            match records.advance() {
                Ok(true) => {}
                Ok(false) => return found,
                Err(_) => return Totals::default(),
            }
            let cells = &records.cells;
            if cells.as_slice().trim().is_empty() || divider(cells).is_some() {
                continue;
            }
            let amounts = self.amounts(records, &mut found.two_ways);
            let mut note = self.judge(records, &amounts, &sums);
            let to_be_judged = !found.left_out.is_empty() && may_be_rows;
            if to_be_judged && !note.as_ref().is_some_and(adds_up) {
                let of_all = self.judge(records, &amounts, &all);
                if of_all.as_ref().is_some_and(adds_up) {
                    // The total of all rows: those taken for totals are none.
                    found.left_out.clear();
                    sums.clone_from(&all);
                    note = of_all;
                }
            }
            add(&mut all, &amounts);
            match note {
                Some(note @ FileNote::Total { .. }) => {
                    may_be_rows &= self.is_whole(records);
                    found.left_out.insert(records.line, note);
                }
                note => {
                    found.like_one = note;
                    found.left_out.clear();
                    sums.clone_from(&all);
                    may_be_rows = true;
                }
            }
        }
    }

    fn cell<'r>(&self, records: &'r Records, field: usize) -> &'r str {
        let column = self.columns.at.get(field).copied().flatten();
        column
            .and_then(|column| records.cells.get(column))
            .unwrap_or("")
            .trim()
    }

    fn amounts(&self, records: &Records, two_ways: &mut bool) -> Vec<Amount> {
        let mut amounts = Vec::new();
        for (at, field) in self.fields.iter().enumerate() {
            let cell = self.cell(records, at);
            if !field.is_money || cell.is_empty() {
                continue;
            }
            let column = self.columns.at.get(at).copied().flatten().unwrap_or(0);
            let sign = if records.is_number(column) {
                Some(DecimalSign::Point)
            } else {
                self.decimal
            };
            let currency = &self.settings.currency;
            *two_ways |= sign.is_none() && reads_two_ways(cell, currency);
            amounts.push((at, parse_money(cell, currency, sign).ok()));
        }
        amounts
    }

    /// Whether a row has what every row must have: what cannot be read is there too.
    fn is_whole(&self, records: &Records) -> bool {
        let mut fields = self.fields.iter().enumerate();
        fields.all(|(at, field)| {
            let cell = self.cell(records, at);
            !field.required || !(cell.is_empty() || calls_itself_a_total(cell))
        })
    }

    /// The cells of a row that hold days.
    fn days<'r>(&'r self, records: &'r Records) -> impl Iterator<Item = &'r str> {
        let fields = self.fields.iter().enumerate();
        let days = fields.filter(|(_, field)| DAYS.contains(&field.name));
        days.map(|(at, _)| self.cell(records, at))
            .filter(|cell| !cell.is_empty())
    }

    /// Whether a row calls itself a total, in a column that holds a field or in its first
    /// cell: what stands elsewhere is left out of the file.
    fn is_by_name(&self, records: &Records) -> bool {
        let mut cells = records.cells.iter().enumerate();
        cells.any(|(column, cell)| {
            let counts = column == 0 || self.columns.at.contains(&Some(column));
            counts && calls_itself_a_total(cell)
        })
    }

    fn name(&self, field: usize) -> String {
        self.fields
            .get(field)
            .map_or("", |field| field.name)
            .to_string()
    }

    fn judge(&self, records: &Records, amounts: &[Amount], sums: &[Sum]) -> Option<FileNote> {
        let by_name = self.is_by_name(records);
        let (mut figures, mut wrong, mut equal, mut most) = (Vec::new(), Vec::new(), 0, 0);
        let currency = &self.settings.currency;
        let shown = |minor: i128| match i64::try_from(minor) {
            Ok(minor) => currency.plain(Money::from_minor(minor)),
            Err(_) => "too much".to_string(),
        };
        for (field, amount) in amounts {
            let sum = sums.get(*field).copied().unwrap_or_default();
            let Some(money) = amount else { continue };
            let minor = i128::from(money.minor());
            figures.push((self.name(*field), shown(minor)));
            if minor == 0 && sum.minor == 0 {
                continue; // says nothing
            }
            if !sum.broken && sum.count >= 2 && minor == sum.minor && minor > 0 {
                equal += 1;
                most = most.max(sum.count);
            } else if !sum.broken && sum.count > 0 {
                wrong.push((self.name(*field), shown(minor), shown(sum.minor)));
            } else {
                wrong.push((self.name(*field), shown(minor), "not known".to_string()));
            }
        }
        let (whole, line) = (self.is_whole(records), records.line);
        let has_a_day = self.days(records).any(is_a_day);
        if has_a_day && !whole {
            return None;
        }
        if by_name && !whole {
            wrong.retain(|(_, _, sum)| sum != "not known");
            return Some(FileNote::Total {
                line,
                by_name,
                figures,
                wrong,
            });
        }
        let unread = amounts.len() != figures.len();
        if equal == 0 || !wrong.is_empty() || unread {
            return None;
        }
        if !whole {
            return Some(FileNote::Total {
                line,
                by_name,
                figures,
                wrong,
            });
        }
        let columns = sums.iter().filter(|sum| sum.count > 0).count();
        if equal < 2 && (columns > 1 || most < 3) {
            return None;
        }
        let names_a_day = self.days(records).next().is_some();
        match !has_a_day && (by_name || !names_a_day) {
            true => Some(FileNote::Total {
                line,
                by_name,
                figures,
                wrong,
            }),
            false => Some(FileNote::LikeATotal { line, figures }),
        }
    }
}

/// Adds the amounts of a row.
fn add(sums: &mut [Sum], amounts: &[Amount]) {
    for (field, amount) in amounts {
        let Some(sum) = sums.get_mut(*field) else {
            continue;
        };
        match amount {
            Some(money) => sum.minor += i128::from(money.minor()),
            None => sum.broken = true,
        }
        sum.count += 1;
    }
}

/// Whether a row is a total with the right amounts.
fn adds_up(note: &FileNote) -> bool {
    matches!(note, FileNote::Total { figures, wrong, .. } if wrong.is_empty() && !figures.is_empty())
}

/// Whether a cell says that its row is a total: one of the words, alone or before a number,
/// a year or something in brackets.
pub(in crate::intake) fn calls_itself_a_total(cell: &str) -> bool {
    let cell = cell.trim();
    if cell.is_empty() || cell.len() > 60 {
        return false;
    }
    let said = cell.to_lowercase();
    let rest = WORDS.iter().filter_map(|word| said.strip_prefix(word));
    rest.into_iter().any(|rest| {
        let rest = rest.trim_start_matches([':', '.', '=']).trim();
        rest.is_empty()
            || rest.starts_with('(')
            || rest
                .bytes()
                .all(|b| b.is_ascii_digit() || b == b'-' || b == b' ')
            || ["eur", "€", "bikes", "räder", "all"].contains(&rest)
    })
}

#[cfg(test)]
mod tests {
    use super::calls_itself_a_total;

    #[test]
    fn totals_call_themselves_so() {
        for cell in [
            "Total",
            "TOTAL:",
            "Summe 2025",
            "Gesamt",
            "Total (12 bikes)",
            "grand total",
        ] {
            assert!(calls_itself_a_total(cell), "{cell}");
        }
        for cell in [
            "total rebuild",
            "Summer",
            "",
            "totally",
            "road",
            "Gesamtzustand gut",
        ] {
            assert!(!calls_itself_a_total(cell), "{cell}");
        }
    }
}
