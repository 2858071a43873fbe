//! What to doubt about the shed, with its numbers. The words are the report room's.

use super::line::StockLine;
use super::next_step::NextStep;
use crate::accounts::inspected::Clearance;
use crate::trade::Condition;
use crate::trade::Money;

/// A doubt, or a usual caution.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StockCaution {
    /// The same doubt about one bike or more.
    About {
        /// What it is.
        doubt: Doubt,
        /// The bikes, in the order of the lines.
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
    /// A price is no safety check. There whenever a bike is.
    NoSafetyCheck,
}

/// What there is to doubt about a bike on hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Doubt {
    /// No value can be given.
    NoValue,
    /// A value and no plan: the step rests on the records alone.
    NoPlan,
    /// Listed, and no ask is known.
    NoAsk,
    /// An ask is known and no day of listing: it counts as not listed.
    NoListingDay,
    /// Not listed, condition 2: valued as it stands.
    Unfinished,
    /// Not listed, condition 1: good only for its parts.
    Donor,
    /// Not listed, condition unknown: it counts as not ready.
    ConditionUnknown,
    /// Listed, although the record does not say that it can be ridden.
    ListedUnready,
    /// Its latest inspection says that it may be stolen.
    NotToBeSold,
    /// Its frame had failed at its latest inspection.
    OnlyParts,
    /// Gates were open at its latest inspection.
    GatesOpen,
    /// Its latest inspection has no road test.
    NoRoadTest,
    /// It was never inspected.
    NotInspected,
    /// No purchase cost is known; it counts 0.
    NoPurchase,
    /// No day of purchase is known.
    NoPurchaseDay,
    /// Listed before it was bought.
    ListedFirst,
}

impl Doubt {
    /// All, in the order in which they are told.
    pub const ALL: [Doubt; 16] = [
        Doubt::NotToBeSold,
        Doubt::NoValue,
        Doubt::NoPlan,
        Doubt::NoAsk,
        Doubt::NoListingDay,
        Doubt::Unfinished,
        Doubt::Donor,
        Doubt::ConditionUnknown,
        Doubt::ListedUnready,
        Doubt::OnlyParts,
        Doubt::GatesOpen,
        Doubt::NoRoadTest,
        Doubt::NotInspected,
        Doubt::NoPurchase,
        Doubt::NoPurchaseDay,
        Doubt::ListedFirst,
    ];

    fn holds(self, line: &StockLine) -> bool {
        let (holding, prospect) = (&line.holding, &line.prospect);
        let sale = &holding.sale;
        let listed = holding.is_listed();
        let inspected = holding.inspection.map(|(_, result)| result);
        let on_stand = |grade: Option<u8>| {
            let condition = sale.bike.condition.map(Condition::grade);
            !listed && line.next == NextStep::Finish && condition == grade
        };
        match self {
            Doubt::NoValue => prospect.value.is_none(),
            Doubt::NoPlan => prospect.value.is_some() && prospect.asks.is_empty(),
            Doubt::NoAsk => listed && holding.ask.is_none(),
            Doubt::NoListingDay => !listed && sale.ask.is_some(),
            Doubt::Unfinished => on_stand(Some(2)),
            Doubt::Donor => on_stand(Some(1)),
            Doubt::ConditionUnknown => on_stand(None),
            Doubt::ListedUnready => listed && !holding.is_ready(),
            Doubt::NotToBeSold => inspected == Some(Clearance::NotToBeSold),
            Doubt::OnlyParts => inspected == Some(Clearance::OnlyParts),
            Doubt::GatesOpen => inspected == Some(Clearance::GatesOpen),
            Doubt::NoRoadTest => inspected == Some(Clearance::NoRoadTest),
            Doubt::NotInspected => inspected.is_none(),
            Doubt::NoPurchase => holding.cost.purchase.is_none(),
            Doubt::NoPurchaseDay => sale.bought_on.is_none(),
            Doubt::ListedFirst => sale
                .listed_on
                .zip(sale.bought_on)
                .is_some_and(|(listed, bought)| listed < bought),
        }
    }
}

/// What to doubt about the lines.
pub(in crate::accounts) fn of(lines: &[StockLine]) -> Vec<StockCaution> {
    let name = |line: &StockLine| line.holding.sale.id.clone();
    let about = |doubt: Doubt| {
        let bikes = lines.iter().filter(|line| doubt.holds(line)).map(name);
        let bikes: Vec<String> = bikes.collect();
        (!bikes.is_empty()).then_some(StockCaution::About { doubt, bikes })
    };
    let mut cautions: Vec<StockCaution> = Doubt::ALL.into_iter().filter_map(about).collect();
    for line in lines {
        let replaced = line.holding.cost.replaced.iter();
        cautions.extend(replaced.map(|replaced| StockCaution::Replaced {
            bike: name(line),
            column: replaced.column,
            said: replaced.said,
            counted: replaced.counted,
        }));
    }
    if !lines.is_empty() {
        cautions.push(StockCaution::NoSafetyCheck);
    }
    cautions
}
