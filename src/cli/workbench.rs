//! What every command that prices works at: the book's records and the models learnt
//! from them.

use super::book_records::BookRecords;
use super::failure::Failure;
use super::learn::{Learnt, Like, Sought, learn};
use crate::book::{Book, BookProblem};
use crate::pricing::quote::Source;
use crate::pricing::time_on_market::{self, FittedTime, SeenListings};
use crate::pricing::value::fitted::FittedValue;
use crate::pricing::{Priors, ValueModel, ValueSettings};
use crate::trade::{Currency, Day};

/// A book with its records, for answers on one day.
pub(super) struct Workbench<'b> {
    /// The book's records.
    pub records: BookRecords<'b>,
    /// Of all money in the book.
    pub currency: Currency,
    /// Nothing later is used.
    pub as_of: Day,
    /// What is believed before any record.
    pub priors: &'static Priors,
}

impl<'b> Workbench<'b> {
    /// Reads the records of a book.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(super) fn of(book: &'b Book, as_of: Day) -> Result<Self, BookProblem> {
        Ok(Self {
            records: BookRecords::of(book, as_of)?,
            currency: book.settings().currency,
            as_of,
            priors: Priors::shipped(),
        })
    }

    /// The recipe of the value model, without the own bike of some id.
    pub(super) fn recipe(&self, without: Option<String>) -> ValueModel<'static> {
        ValueModel {
            priors: self.priors,
            settings: ValueSettings {
                as_of: self.as_of,
                currency: self.currency,
                without,
            },
        }
    }

    /// The value model, or what stands in its place, with the listings that tell of the
    /// pace and the comps like the bike that is sought.
    ///
    /// # Errors
    /// When the records cannot be read or the fit is refused.
    pub(super) fn value(
        &self,
        without: Option<String>,
        sought: Option<Sought<'_>>,
    ) -> Result<ValueAtHand, Failure> {
        let Learnt {
            fitted,
            listings,
            like,
        } = learn(&self.records, &self.recipe(without), sought)?;
        Ok(ValueAtHand {
            fitted,
            listings,
            like,
        })
    }

    /// Both models.
    ///
    /// # Errors
    /// When the records cannot be read or a fit is refused.
    pub(super) fn models(
        &self,
        without: Option<&str>,
        sought: Option<Sought<'_>>,
    ) -> Result<Models, Failure> {
        let value = self.value(without.map(String::from), sought)?;
        let time = match &value.fitted {
            Some(model) => {
                let records = &self.records;
                time_on_market::learn(self.priors, model, records, value.listings, without)
            }
            None => time_on_market::believed(self.priors),
        }?;
        Ok(Models {
            value: value.fitted,
            time,
            like: value.like,
        })
    }

    /// What prices are told from.
    pub(super) fn source<'m>(&self, fitted: Option<&'m FittedValue>) -> Source<'m> {
        match fitted {
            Some(model) => Source::Fitted(model),
            None => Source::Nothing {
                as_of: self.as_of,
                currency: self.currency,
            },
        }
    }
}

/// The value model and what was learnt on the way to it.
pub(super) struct ValueAtHand {
    /// `None` without any prices.
    pub fitted: Option<FittedValue>,
    /// Listings that tell of the pace.
    pub listings: SeenListings,
    /// Comps like the bike that was sought.
    pub like: Option<Like>,
}

/// The models that an answer rests on.
pub(super) struct Models {
    /// What bikes are worth; `None` without any prices.
    pub value: Option<FittedValue>,
    /// How long listings stand.
    pub time: FittedTime,
    /// Comps like the bike that was sought.
    pub like: Option<Like>,
}
