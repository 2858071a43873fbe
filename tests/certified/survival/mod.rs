//! Durations: curves, Weibull fits and their closed forms, against printed
//! tables, other libraries and exact small cases.

mod kaplan_meier;
