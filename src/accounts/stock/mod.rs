//! The shed: bikes on hand, what each needs next, what there is to doubt.
//!
//! * one bike from its records: [`holding`]; what it needs: [`next_step`]; both: [`mod@line`]
//! * all of them, by what is most urgent, with totals: [`shed`]
//! * what there is to doubt: [`caution`]

pub mod caution;
pub mod holding;
pub mod line;
pub mod next_step;
pub mod shed;
