//! What one bike cost, each cost counted once.

use crate::trade::{Cost, CostKind, Money, Sale};
use std::collections::HashMap;

/// The direct cost of a bike by the columns of the sales. Where the list of
/// costs has rows of a kind for the bike, their sum stands in place of the
/// column: `purchase` of purchase, `part` and `supply` of parts, `fee` of fees,
/// `travel` and `other` of other cost. Rows from the parts box replace nothing
/// and count nothing. Unknown is `None`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DirectCost {
    /// What was paid for it.
    pub purchase: Option<Money>,
    /// Parts and supplies.
    pub parts: Option<Money>,
    /// Fees.
    pub fees: Option<Money>,
    /// Travel and anything else.
    pub other_cost: Option<Money>,
    /// Columns of the sales in whose place another sum stands.
    pub replaced: Vec<Replaced>,
}

/// A column of the sales that says something else than the costs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Replaced {
    /// Its name.
    pub column: &'static str,
    /// What the sales say.
    pub said: Money,
    /// What the costs add up to, which counts.
    pub counted: Money,
}

impl DirectCost {
    /// `costs`: those of this bike that are to be counted, in any order.
    pub fn of<'a>(sale: &Sale, costs: impl IntoIterator<Item = &'a Cost>) -> Self {
        let mut listed: [Option<Money>; 4] = [None; 4];
        for cost in costs.into_iter().filter(|cost| !cost.from_box) {
            let place = match cost.kind {
                CostKind::Purchase => &mut listed[0],
                CostKind::Part | CostKind::Supply => &mut listed[1],
                CostKind::Fee => &mut listed[2],
                CostKind::Travel | CostKind::Other => &mut listed[3],
            };
            *place = Some(place.iter().copied().chain([cost.amount]).sum());
        }
        let columns = [
            ("purchase", sale.purchase),
            ("parts", sale.parts),
            ("fees", sale.fees),
            ("other_cost", sale.other_cost),
        ];
        let mut replaced = Vec::new();
        let [purchase, parts, fees, other_cost] = std::array::from_fn(|place| {
            let (column, said) = columns[place];
            let counted = listed[place];
            if let (Some(said), Some(counted)) = (said, counted)
                && said != counted
            {
                replaced.push(Replaced {
                    column,
                    said,
                    counted,
                });
            }
            counted.or(said)
        });
        Self {
            purchase,
            parts,
            fees,
            other_cost,
            replaced,
        }
    }

    /// The sum of what is known; `None` when nothing is.
    pub fn known(&self) -> Option<Money> {
        let all = [self.purchase, self.parts, self.fees, self.other_cost];
        let any = all.iter().any(Option::is_some);
        any.then(|| all.into_iter().flatten().sum())
    }

    /// The sum of what is known, 0 when nothing is.
    pub fn total(&self) -> Money {
        self.known().unwrap_or(Money::ZERO)
    }
}

/// The costs of each bike, by its id.
pub fn by_bike<'a>(costs: impl IntoIterator<Item = &'a Cost>) -> HashMap<&'a str, Vec<&'a Cost>> {
    let mut by_bike: HashMap<&str, Vec<&Cost>> = HashMap::new();
    for cost in costs {
        if let Some(bike) = &cost.bike {
            by_bike.entry(bike).or_default().push(cost);
        }
    }
    by_bike
}
