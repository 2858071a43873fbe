//! Value by age, and below it what an ask brings.

pub mod plan;
pub mod value;
