//! The vocabulary of the trade as plain, checked records. Uses no other room.

pub mod ask_change;
pub mod bike;
pub mod calendar;
pub mod comparable;
pub mod cost;
pub mod gift;
pub mod giving;
pub mod gone;
pub mod inspection;
pub mod kept_offer;
pub mod money;
pub mod quarter;
pub mod repair;
pub mod sale;
pub mod years;

pub use ask_change::AskChange;
pub use bike::{Bike, Condition, SeatTube, SizeClass, Style, Tier};
pub use calendar::Day;
pub use comparable::{Comparable, Outcome};
pub use cost::{Cost, CostKind};
pub use gift::Gift;
pub use giving::{Beneficiary, Give, Giving, Means, RuleChange, Rules};
pub use gone::{Left, LeftAs, Return};
pub use kept_offer::KeptOffer;
pub use money::{Currency, Money};
pub use quarter::Quarter;
pub use repair::{Job, Part};
pub use sale::Sale;
pub use years::Years;
