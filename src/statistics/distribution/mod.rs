//! Distributions and their quantiles: Student t, normal, binomial.

pub mod binomial;
pub mod normal;
pub mod student_t;
