//! A quarter's report as one page, with its pictures: no network, no script.

pub(in crate::report) mod beneficiary;
pub(in crate::report) mod chart;
pub(in crate::report) mod given_chart;
pub mod html;
pub(in crate::report) mod lists;
pub(in crate::report) mod margin_chart;
pub(in crate::report) mod style;
pub(in crate::report) mod tables;
pub(in crate::report) mod workshop;
