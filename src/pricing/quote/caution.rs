//! Doubt as a value: what was seen, with its numbers. The words are `report`'s.

use crate::pricing::inspection::Lid;
use crate::trade::{Condition, Day, Money};

/// A doubt about a price.
#[derive(Clone, Debug, PartialEq)]
pub enum QuoteCaution {
    /// No records and no new price: there is no value at all.
    NothingToGoOn,
    /// The price lies outside what can be computed with.
    OutOfReach,
    /// An own bike of that name is sold, and its sale is among the records.
    OwnSaleAmongRecords {
        /// Its name.
        bike: String,
    },
    /// No records: the value comes from the new price and the trade priors alone.
    PriorOnly,
    /// Fewer than five own sales: the range rests on beliefs and on comps.
    FewOwnSales {
        /// Own sales used.
        sales: usize,
    },
    /// The bike lies outside what the records show.
    OutsideExperience {
        /// Which feature.
        feature: &'static str,
        /// Its value here.
        here: String,
        /// What was seen.
        seen: String,
    },
    /// Facts that are unknown; the range is wider for it.
    Unknown {
        /// Their names.
        features: Vec<&'static str>,
    },
    /// The records contradict a trade prior.
    Disagreement {
        /// Name of the effect.
        effect: String,
        /// Studentised distance; beyond 2.5 in size.
        distance: f64,
    },
    /// The value is near or above the price of a new one.
    NearNew {
        /// Value.
        value: Money,
        /// Price of a new one.
        new_price: Money,
    },
    /// The newest comp is old.
    OldComps {
        /// Its day.
        newest: Day,
        /// Days since.
        days: i64,
    },
    /// The bike in the book is sold; its own sale was left out of the fit.
    OwnSaleLeftOut {
        /// The bike's id.
        bike: String,
        /// Its sale price.
        price: Money,
        /// Day of the sale.
        on: Day,
    },
    /// No listing with a known length spoke: the pace is the belief's.
    PaceBelieved,
    /// Few sales with a known length: the pace rests on beliefs for a part.
    FewDurations {
        /// Sales of known length, own and others'.
        sales: usize,
    },
    /// The fitted pace and the records disagree in a stretch of days.
    PaceDisagrees {
        /// Days from listing: from.
        from: f64,
        /// To; none for no end.
        to: Option<f64>,
        /// Sales observed.
        observed: f64,
        /// Sales that the fitted pace expects.
        expected: f64,
    },
    /// Asks seemed to matter less than they can: the elasticity was held.
    PremiumHeld,
    /// It has stood longer than it may.
    Overdue {
        /// Days it has stood.
        days: i64,
        /// Weeks it may stand.
        weeks: usize,
    },
    /// It asks less than a fresh listing would.
    AsksTooLittle {
        /// Its ask.
        now: Money,
        /// The best ask of a fresh listing.
        fresh: Money,
    },
    /// The suggested ask stands further above the value than the user's asks did.
    BeyondHabit {
        /// Suggested ask over value, less 1.
        premium: f64,
        /// The same of the user's usual first ask.
        usual: f64,
    },
    /// No inspection of the own bike is kept.
    NotInspected,
    /// The latest inspection found the serial number missing, scratched out or on a list of stolen bikes.
    MayBeStolen {
        /// Its day.
        on: Day,
    },
    /// Gates were open at the latest inspection.
    GatesOpen {
        /// Its day.
        on: Day,
        /// The gates, in the order of the walk.
        gates: Vec<&'static str>,
        /// Whether it is on offer.
        listed: bool,
    },
    /// The frame had failed at the latest inspection.
    OnlyParts {
        /// Its day.
        on: Day,
        /// Whether it is on offer.
        listed: bool,
    },
    /// The latest inspection does not let it count as what is recorded.
    CountsAs {
        /// In the record.
        recorded: Option<Condition>,
        /// What is priced.
        counts: Condition,
        /// By the inspection.
        inspected: Condition,
        /// Why it counts as no more.
        lid: Lid,
        /// Day of the inspection.
        on: Day,
    },
    /// The latest inspection is long ago.
    InspectionOld {
        /// Its day.
        on: Day,
        /// Days since.
        days: i64,
    },
    /// A part was paid for after the latest inspection.
    ChangedSince {
        /// Day of the inspection.
        on: Day,
        /// Day of the last such cost.
        part: Day,
    },
    /// Every gate has passed at the latest inspection, and no road test.
    NoRoadTest {
        /// Its day.
        on: Day,
    },
    /// The inspection came to another condition than the one that is priced.
    ConditionDiffers {
        /// In the record.
        recorded: Condition,
        /// By the latest inspection.
        inspected: Condition,
        /// Its day.
        on: Day,
    },
}
