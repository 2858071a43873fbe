//! Changes of the rule of giving, and what money does by the beneficiaries' figures.

use super::stored::{self, from_day};
use crate::book::connection::Book;
use crate::book::problem::BookProblem;
use crate::book::settings::Settings;
use crate::trade::{Beneficiary, Day, Give, Giving, Means, RuleChange, Rules};
use rusqlite::{Transaction, params};

/// A change of the rule, and the day on which it was made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptRule {
    /// The rule, and from which day on it holds.
    pub change: RuleChange,
    /// When it was made.
    pub made_on: Day,
}

impl Book {
    /// The rules of giving: what `start` set, and the changes since.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn rules(&self) -> Result<Rules, BookProblem> {
        let changes = self.rule_changes()?.into_iter().map(|kept| kept.change);
        Ok(Rules::new(self.settings.giving.clone(), changes))
    }

    /// Changes of the rule as they were made; of several from one day on the last counts.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn rule_changes(&self) -> Result<Vec<KeptRule>, BookProblem> {
        let year_starts = self.settings.giving.year_starts;
        let sql = "SELECT number, \"from\", made_on, give, share FROM rules ORDER BY number";
        let rules: Vec<(i64, KeptRule)> = self.all(sql, [], |row| {
            let give = Give::from_word(row.get_ref(3)?.as_str()?);
            let giving = Giving {
                give: give.ok_or_else(|| stored::nonsense(3))?,
                share: row.get(4)?,
                year_starts,
                beneficiaries: vec![],
            };
            let from = stored::read_day(row, 1)?.ok_or_else(|| stored::nonsense(1))?;
            let made_on = stored::read_day(row, 2)?.ok_or_else(|| stored::nonsense(2))?;
            let change = RuleChange { from, giving };
            Ok((row.get(0)?, KeptRule { change, made_on }))
        })?;
        let named = "SELECT name, weight FROM rule_beneficiaries WHERE rule = ?1 ORDER BY position";
        let with_names = rules.into_iter().map(|(number, mut kept)| {
            kept.change.giving.beneficiaries = self.all(named, [number], |row| {
                Ok(Beneficiary {
                    name: row.get(0)?,
                    weight: row.get(1)?,
                })
            })?;
            Ok(kept)
        });
        with_names.collect()
    }

    /// Keeps a change of the rule.
    ///
    /// # Errors
    /// A rule that a book cannot keep, or the book cannot be written.
    pub fn change_rule(&mut self, change: &RuleChange, made_on: Day) -> Result<(), BookProblem> {
        let as_settings = Settings {
            currency: self.settings.currency,
            giving: change.giving.clone(),
        };
        if let Some(what) = as_settings.fault() {
            return Err(BookProblem::Setting {
                path: self.path.clone(),
                what,
            });
        }
        let book = &*self;
        let failed = |error| book.problem(&error);
        let transaction = book.write()?;
        write(&transaction, change, made_on).map_err(failed)?;
        transaction.commit().map_err(failed)
    }

    /// What money does by the beneficiaries' own figures, as recorded.
    ///
    /// # Errors
    /// The book cannot be read or is damaged.
    pub fn means(&self) -> Result<Vec<Means>, BookProblem> {
        let sql = "SELECT beneficiary, \"on\", unit, units, amount FROM means ORDER BY number";
        self.all(sql, [], |row| {
            Ok(Means {
                beneficiary: stored::read_text(row, 0)?,
                on: stored::read_day(row, 1)?.ok_or_else(|| stored::nonsense(1))?,
                unit: stored::read_text(row, 2)?,
                units: stored::read_text(row, 3)?,
                amount: stored::read_money(row, 4)?.ok_or_else(|| stored::nonsense(4))?,
            })
        })
    }

    /// Keeps a figure; of one beneficiary and day the last counts.
    ///
    /// # Errors
    /// The book cannot be written.
    pub fn keep_means(&mut self, means: &Means) -> Result<(), BookProblem> {
        let book = &*self;
        let failed = |error| book.problem(&error);
        let transaction = book.write()?;
        transaction
            .execute(
                "INSERT INTO means (beneficiary, \"on\", unit, units, amount) \
                 VALUES (?1, ?2, ?3, ?4, ?5)",
                params![
                    means.beneficiary,
                    from_day(means.on),
                    means.unit,
                    means.units,
                    means.amount.minor()
                ],
            )
            .map_err(failed)?;
        transaction.commit().map_err(failed)
    }
}

fn write(transaction: &Transaction<'_>, change: &RuleChange, made_on: Day) -> rusqlite::Result<()> {
    let giving = &change.giving;
    transaction.execute(
        "INSERT INTO rules (\"from\", made_on, give, share) VALUES (?1, ?2, ?3, ?4)",
        params![
            from_day(change.from),
            from_day(made_on),
            giving.give.word(),
            giving.share
        ],
    )?;
    let rule = transaction.last_insert_rowid();
    for (position, who) in giving.beneficiaries.iter().enumerate() {
        transaction.execute(
            "INSERT INTO rule_beneficiaries VALUES (?1, ?2, ?3, ?4)",
            params![rule, position as i64, who.name, who.weight],
        )?;
    }
    Ok(())
}
