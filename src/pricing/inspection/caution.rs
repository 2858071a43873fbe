//! A doubt about an inspection, with its numbers. The words are `report`'s.

use super::size::Method;
use crate::trade::inspection::{CheckResult, Item, Limit, TyreSize};

/// A doubt with its numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum InspectionCaution {
    /// No check has a result.
    NotInspected,
    /// The frame has failed.
    FrameFailed,
    /// A measure is beyond the limit of a check that was not failed.
    MeasureDecides {
        /// The item.
        item: &'static str,
        /// What was ticked.
        ticked: CheckResult,
        /// The measure, in the limit's unit.
        value: i64,
        /// The limit.
        limit: Limit,
    },
    /// A measure, and no result.
    NoResult {
        /// The items.
        items: Vec<&'static str>,
    },
    /// Said not to be fitted, and no sound bike is without it.
    Missing {
        /// The item.
        item: &'static str,
    },
    /// Said not to be fitted, and a fact says otherwise.
    FactSaysFitted {
        /// The item.
        item: &'static str,
        /// The fact.
        fact: &'static str,
        /// What it says.
        says: &'static str,
    },
    /// Faults that are no gates have failed on a bike whose gates have passed.
    FaultsOpen {
        /// The items.
        items: Vec<&'static str>,
    },
    /// No road test.
    NoRoadTest,
    /// Checks that nobody made, each at half its points.
    Unchecked {
        /// The items.
        items: Vec<&'static str>,
    },
    /// The recall check has passed without a note on the day and the place.
    RecallWithoutNote,
    /// Something that costs no points has failed.
    Told {
        /// The item.
        item: &'static Item,
    },
    /// Reflectors, lights, bell or guards failed or missing: local rules.
    Fittings {
        /// The items.
        items: Vec<&'static str>,
    },
    /// Too few facts for a tier.
    FewFacts {
        /// Facts that are not known.
        unknown: Vec<&'static str>,
    },
    /// The two methods are more than one class apart.
    MeasureAgain {
        /// The seat tube.
        first: Method,
        /// The other.
        second: Method,
    },
    /// The style is not known, so the table for hybrids was used.
    StyleAssumed,
    /// A child's bike is sized by its wheels.
    SizedByWheels {
        /// Size of the rear tyre, or of the front one.
        tyre: Option<TyreSize>,
    },
    /// The wheels are of two sizes.
    TwoBeads {
        /// Front.
        front: TyreSize,
        /// Rear.
        rear: TyreSize,
    },
    /// A bead-seat diameter that is in no table of ours.
    UnknownBead {
        /// The size.
        tyre: TyreSize,
    },
    /// A check list is no certificate; always told.
    NoCertificate,
    /// Recalls; always told.
    Recalls,
}
