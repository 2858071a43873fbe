//! The shed: bikes on hand, what each needs next, what there is to doubt.

pub mod caution;
pub mod holding;
pub mod inspected;
pub mod next_step;
pub mod shed;
