//! For whom a quarter's report is made.

use crate::accounts::{QuarterCaution, QuarterReport};
use crate::trade::Currency;

/// Who reads it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Audience {
    /// The workshop: everything, with what it would show the beneficiary.
    #[default]
    Whole,
    /// Those who receive the money: nothing of costs, hours and margins, which
    /// are the workshop's own business.
    Beneficiary,
    /// The workshop, in HTML without the beneficiary's part. Text, JSON and CSV
    /// have no parts, so they are the whole.
    Workshop,
}

impl Audience {
    /// Whether costs, hours and margins are shown.
    pub(in crate::report) fn sees_costs(self) -> bool {
        self != Audience::Beneficiary
    }

    /// Whether each bike's part of the due, and what is corrected, is shown: under `give
    /// net` it would tell a bike's margin.
    pub(in crate::report) fn sees_dues(self, report: &QuarterReport) -> bool {
        self.sees_costs() || report.gives_price_alone()
    }

    /// The cautions that concern the reader.
    pub(in crate::report) fn cautions(
        self,
        report: &QuarterReport,
    ) -> impl Iterator<Item = &QuarterCaution> {
        let concerns = move |caution: &&QuarterCaution| self.sees_costs() || is_for_all(caution);
        report.cautions.iter().filter(concerns)
    }

    /// Those that are printed: what the tax of one country asks only where the book is in
    /// its money.
    pub(in crate::report) fn printed<'r>(
        self,
        report: &'r QuarterReport,
        currency: &Currency,
    ) -> impl Iterator<Item = &'r QuarterCaution> {
        let taxed_there = is_in_dollars(currency);
        self.cautions(report).filter(move |caution| {
            taxed_there || !matches!(caution, QuarterCaution::LargeGift { .. })
        })
    }
}

/// Whether the notes on tax in the United States are for this book.
pub(in crate::report) fn is_in_dollars(currency: &Currency) -> bool {
    currency.code() == "USD"
}

/// Cautions that say nothing of the workshop's costs, hours and settings.
fn is_for_all(caution: &QuarterCaution) -> bool {
    match caution {
        QuarterCaution::NotAdvice
        | QuarterCaution::NotBegun { .. }
        | QuarterCaution::NotOver { .. }
        | QuarterCaution::Shortfall { .. }
        | QuarterCaution::ShortfallEnded { .. }
        | QuarterCaution::LargeGift { .. }
        | QuarterCaution::GivenAhead { .. }
        | QuarterCaution::Corrected { .. } => true,
        QuarterCaution::NobodyNamed
        | QuarterCaution::NoPurchase { .. }
        | QuarterCaution::Replaced { .. }
        | QuarterCaution::NoHours { .. }
        | QuarterCaution::NoInspections
        | QuarterCaution::FrameFailed { .. }
        | QuarterCaution::OtherShare { .. }
        | QuarterCaution::NotPassed { .. }
        | QuarterCaution::NotNamed { .. } => false,
    }
}
