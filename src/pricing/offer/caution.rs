//! Doubt about an offer as a value. The words are `report`'s.

use crate::pricing::quote::caution::QuoteCaution;
use crate::trade::{Condition, Money};

/// A doubt about an offer.
#[derive(Clone, Debug, PartialEq)]
pub enum OfferCaution {
    /// Open gates that no job clears: the bike stays as it was found.
    LeftOpen {
        /// The checks.
        items: Vec<&'static str>,
    },
    /// Mechanical faults that no job clears: the bike is a rider at best.
    FaultsLeft {
        /// The checks.
        items: Vec<&'static str>,
    },
    /// A better condition was given than open gates or safety jobs allow.
    FoundCapped {
        /// As given.
        given: Condition,
        /// As it counts.
        counts: Condition,
    },
    /// No condition was given, and no sheet says one.
    ConditionUnknown,
    /// The list says that a job is no safety job, but it clears an open gate.
    CountsAsSafety {
        /// The job.
        job: String,
    },
    /// A job with a `condition_after` that is no better than as found.
    NoBetterCondition {
        /// The jobs.
        jobs: Vec<String>,
    },
    /// A job with a `tier_after` that is no better than as found.
    NoBetterTier {
        /// The jobs.
        jobs: Vec<String>,
    },
    /// Jobs of which nothing says what they do for the value.
    SaysNothing {
        /// The jobs.
        jobs: Vec<String>,
    },
    /// Jobs whose hours are not known: they count as none.
    HoursUnknown {
        /// The jobs.
        jobs: Vec<String>,
    },
    /// What the pricing doubts.
    OfPrice(QuoteCaution),
    /// Grades go with more than a repair.
    Associational,
    /// Repairs cost more or less than was guessed.
    RepairCosts,
    /// What is cheap is so for a reason.
    Cheap,
    /// Parts from the box that the best set takes.
    FromBox {
        /// What they are worth.
        worth: Money,
    },
    /// Parts that are scrap, and the check that each has not passed.
    Scrap {
        /// Part and check.
        parts: Vec<(String, &'static str)>,
    },
    /// Parts that hold the rider, sold without an inspection.
    PartsNotInspected {
        /// The parts.
        parts: Vec<String>,
    },
    /// A job's list certifies nothing.
    NoSafetyCheck,
}
