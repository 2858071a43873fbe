//! The tables: how records go in and come out.
//!
//! * `stored`: how values are kept, and a table's columns
//! * one file a table: `sales`, `asks`, `comps`, `costs`, `gifts`, `returns`, `inspections`,
//!   `offers`, `closings`, `settings`; `counts`: how many records
//! * `every_comp`: all comps in turn, with `ahead` by several threads

pub(super) mod ahead;
pub(super) mod asks;
pub(super) mod closings;
pub(super) mod comps;
pub(super) mod costs;
pub(super) mod counts;
pub(super) mod every_comp;
pub(super) mod gifts;
pub(super) mod inspections;
pub(super) mod offers;
pub(super) mod returns;
pub(super) mod rules;
pub(super) mod sales;
pub(super) mod settings;
pub(super) mod stored;
