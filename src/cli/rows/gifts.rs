//! Gifts held against the book: somebody it does not name, and a gift that may
//! be recorded twice, are told.

use super::importable::{Importable, Meet, Refusal};
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::cli::like_id;
use crate::cli::typed::quoted;
use crate::intake::{CellProblem, Gifts, word_flag};
use crate::report::text::amounts;
use crate::trade::{Currency, Day, Gift, Money};
use std::collections::{BTreeSet, HashMap};

/// Names for which the one that was meant is looked for.
const LOOKED_UP: usize = 1000;

/// What was handed over, as the book has it, and to whom.
pub(crate) struct Handed {
    /// The book's beneficiaries.
    named: Vec<String>,
    /// Everybody else to whom gifts went.
    others: BTreeSet<String>,
    /// Beneficiary, day and amount by reference.
    by_reference: HashMap<String, (String, Day, Money)>,
    /// Those of one day, to one beneficiary, of one amount.
    gifts: HashMap<(Day, String, Money), Vec<Gift>>,
    /// Names that were told of.
    told: BTreeSet<String>,
    /// Line of the file and words.
    doubts: Vec<(u64, String)>,
}

impl Importable for Gifts {
    type Beside = Handed;
    const ONE: &'static str = "gift";
    const ID: &'static str = "reference";
    const MAY_BE_ANOTHER: bool = true;

    fn beside(book: &Book) -> Result<Handed, BookProblem> {
        let rules = book.rules()?;
        let beneficiaries = rules.named_by(Day::MAX).into_iter();
        let mut handed = Handed {
            named: beneficiaries.map(String::from).collect(),
            others: BTreeSet::new(),
            by_reference: HashMap::new(),
            gifts: HashMap::new(),
            told: BTreeSet::new(),
            doubts: Vec::new(),
        };
        for gift in book.gifts()? {
            handed.others.insert(gift.beneficiary.clone());
            if let Some(reference) = &gift.reference {
                let said = (gift.beneficiary.clone(), gift.on, gift.amount);
                handed.by_reference.insert(reference.clone(), said);
            }
            handed.gifts.entry(alike(&gift)).or_default().push(gift);
        }
        Ok(handed)
    }

    fn put(
        import: &mut Import<'_>,
        record: &Gift,
        repeat: Repeat,
        _: Meet<'_, Gift>,
    ) -> Result<Put, BookProblem> {
        import.put_gift(record, repeat)
    }

    fn name(record: &Gift) -> String {
        match &record.reference {
            Some(reference) => format!("gift {reference}"),
            None => format!("gift on {}", record.on),
        }
    }

    /// The name of the rule for one that differs from it by capitals and blanks alone.
    fn fill(handed: &Handed, record: &mut Gift) -> Option<String> {
        let bare = |name: &str| name.split_whitespace().collect::<String>().to_lowercase();
        let said = &record.beneficiary;
        if handed.named.contains(said) {
            return None;
        }
        let mut like = handed.named.iter().filter(|name| bare(name) == bare(said));
        let (Some(name), None) = (like.next(), like.next()) else {
            return None;
        };
        let words = format!("'{said}' is {name}, as the book writes it");
        record.beneficiary.clone_from(name);
        Some(words)
    }

    fn another(handed: &Handed, record: &Gift) -> Option<Refusal> {
        let reference = record.reference.as_ref()?;
        let (to, on, amount) = handed.by_reference.get(reference)?;
        if *to == record.beneficiary || *amount == record.amount {
            return None;
        }
        let expected = format!("a reference of its own: this one is of the gift to {to} on {on}");
        let mend = "If it is another gift, give it another reference; if that one was wrong in the \
                    book, add --correct.";
        Some((Self::ID, CellProblem::new(expected, mend)))
    }

    fn twice(_: &Gift) -> Refusal {
        let mend = "Keep the row that is right, or give the other a reference of its own.";
        let problem = CellProblem::new("a reference that stands once in the file", mend);
        (Self::ID, problem)
    }

    fn may_repeat(record: &Gift) -> bool {
        record.reference.is_none()
    }

    fn is_there(handed: &Handed, record: &Gift) -> bool {
        let gifts = handed.gifts.get(&alike(record));
        gifts.is_some_and(|gifts| gifts.contains(record))
    }

    fn show(handed: &mut Handed, gift: &Gift, line: u64, put: &Put, currency: &Currency) {
        if *put == Put::Unchanged {
            return;
        }
        let doubt = handed.unnamed(&gift.beneficiary);
        handed.doubts.extend(doubt.map(|words| (line, words)));
        if *put == Put::Added {
            let doubt = handed.recorded_twice(gift, currency);
            handed.doubts.extend(doubt.map(|words| (line, words)));
        }
    }

    fn doubts(handed: Handed, _: &Currency) -> Vec<(u64, String)> {
        handed.doubts
    }
}

/// What a gift that was recorded twice has twice.
fn alike(gift: &Gift) -> (Day, String, Money) {
    (gift.on, gift.beneficiary.clone(), gift.amount)
}

impl Handed {
    /// Somebody whom the book does not name, told once. In a book that names
    /// nobody, a name that is like an earlier one.
    fn unnamed(&mut self, name: &str) -> Option<String> {
        if self.named.iter().any(|known| known == name) || self.told.contains(name) {
            return None;
        }
        let look = self.told.len() < LOOKED_UP;
        self.told.insert(name.to_string());
        if !self.named.is_empty() {
            let known = self.named.iter().map(String::as_str);
            let near = like_id::nearest(known, name).filter(|_| look);
            let meant = near.map_or(".".to_string(), |near| {
                let flag = word_flag("beneficiary", name, near);
                let or = flag.map_or(String::new(), |flag| {
                    format!(" Take it back; then import the file with {flag}, or record it with --beneficiary {}.", quoted(near))
                });
                format!("; did you mean {near}?{or}")
            });
            return Some(format!(
                "'{name}' is not among the book's beneficiaries{meant} As it stands, the gift \
                 counts for '{name}' alone, to whom nothing is due"
            ));
        }
        if !self.others.insert(name.to_string()) || !look {
            return None;
        }
        let others = self.others.iter().map(String::as_str);
        let near = like_id::nearest(others.filter(|other| *other != name), name)?;
        Some(format!(
            "'{name}' is like '{near}', to whom other gifts went; if they are the same, correct \
             the name"
        ))
    }

    /// A gift that the book has with a reference while this one has none, or the
    /// other way round.
    fn recorded_twice(&self, gift: &Gift, currency: &Currency) -> Option<String> {
        let others = self.gifts.get(&alike(gift))?;
        let other = others
            .iter()
            .find(|other| other.reference.is_some() != gift.reference.is_some())?;
        let has = match &other.reference {
            Some(reference) => format!("with the reference {reference}"),
            None => "without a reference".to_string(),
        };
        Some(format!(
            "a gift of {} {currency} to {} on {} is in the book already, {has}: it looks like the \
             same gift recorded twice. Both count now; if it is one, take one back \
             ('wheelworth import --history' lists the imports)",
            amounts::exact(gift.amount, currency),
            gift.beneficiary,
            gift.on
        ))
    }
}
