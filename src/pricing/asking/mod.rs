//! What to ask: THE decision.
//!
//! The seller chooses an ask and when to cut it, on price points, at most
//! [`CUTS`] times and never by less than [`SMALLEST_CUT`], so that the expected
//! present value of the sale is highest: the sale price after haggling times
//! `(1 - week cost)^(weeks until the sale)`, and what a bike unsold after all the
//! weeks brings in a quick sale. The mean is over what is not known: the value
//! (a part of it is the bike's own, seen by every buyer), the pace of selling and
//! what a premium does to it. That a bike has not sold speaks for a lower value;
//! this is why asks fall although buyers keep coming (Lazear 1986, AER 76(1)).
//!
//! * what is wanted: [`wishes`]; the decision: `decide`; a plan: [`plan`](struct@Plan)
//! * what a week on hand has earned: [`pace`]
//! * scenarios and hazards: `prospects`; the problem in numbers: [`problem`]
//! * the search: [`solver`], its moves: `block`; price points: [`price_points`]
//! * what follows from a plan: `outlook`; chances at asks that are given: `standing`

mod block;
mod decide;
mod outlook;
pub mod pace;
mod plan;
pub mod price_points;
pub mod problem;
mod prospects;
pub mod solver;
mod standing;
pub mod wishes;

pub use decide::plan;
pub(super) use decide::{LOWEST, MOST_OF_NEW, POOREST};
pub use outlook::{Chances, Outlook};
pub use plan::{CurvePoint, Plan};
pub use prospects::Subject;
pub use standing::chances_within;
pub use wishes::{CUTS, Detail, SMALLEST_CUT, Selling, SellingWishes, WeekCostFrom};
