//! What to doubt about a report, with its numbers. The words are the report room's.

use crate::trade::{Day, Gift, Money, Quarter};

/// A doubt, or a usual caution.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum QuarterCaution {
    /// Records, not advice. Always there.
    NotAdvice,
    /// The quarter begins after the day of the answer.
    NotBegun {
        /// Its first day.
        from: Day,
    },
    /// The quarter goes on after the day of the answer.
    NotOver {
        /// Its last day.
        to: Day,
    },
    /// The book names no beneficiary, so `due` is due to nobody by name.
    NobodyNamed,
    /// No purchase cost of a sold bike is known; it counts 0.
    NoPurchase {
        /// The bikes.
        bikes: Vec<String>,
    },
    /// Costs in the list of costs stand in place of a column of the sales, and
    /// the two differ.
    Replaced {
        /// The bike.
        bike: String,
        /// The column of the sales.
        column: &'static str,
        /// What the sales say.
        said: Money,
        /// What the costs add up to, which counts.
        counted: Money,
    },
    /// No hours are known of sold bikes, so what an hour brought leaves them out.
    NoHours {
        /// The bikes.
        bikes: Vec<String>,
    },
    /// Bikes sold although their frame had failed at the last inspection.
    FrameFailed {
        /// Their ids.
        bikes: Vec<String>,
    },
    /// The book has no inspection at all, and bikes were sold.
    NoInspections,
    /// Sold bikes whose latest inspection before the sale had not passed, or that
    /// had none.
    NotPassed {
        /// The bikes.
        bikes: Vec<String>,
    },
    /// A single gift of a size for which, in the United States, a written
    /// acknowledgment is needed.
    LargeGift {
        /// The gift.
        gift: Gift,
    },
    /// Gifts of the quarter name somebody whom the book does not.
    NotNamed {
        /// Who.
        beneficiary: String,
        /// The beneficiary of the book that it may be, if one is like it.
        like: Option<String>,
    },
    /// More was handed over than is due.
    GivenAhead {
        /// Who; `None` for the whole.
        beneficiary: Option<String>,
        /// By how much, above 0.
        by: Money,
    },
    /// The costs were more than the sales brought, and the rest is handed on.
    Shortfall {
        /// How much.
        amount: Money,
    },
    /// A shortfall of earlier quarters ended, because the rule became `give price`.
    ShortfallEnded {
        /// How much.
        amount: Money,
    },
    /// What is handed back or corrected of bikes of a quarter with another share counts at
    /// the share of the quarter in which it shows.
    OtherShare {
        /// The quarter of the sales.
        of: Quarter,
        /// The bikes.
        bikes: Vec<String>,
        /// Its share and that of this quarter, in hundredths of a percent.
        shares: [u16; 2],
        /// What the change would add to the due at the share of then, less what it does at
        /// that of now.
        more: Money,
    },
    /// Records of closed quarters changed afterwards.
    Corrected {
        /// The quarters, in order.
        quarters: Vec<Quarter>,
    },
}
