//! The items of the inspection sheet by the part of the bike, with their clauses.

pub(super) mod brakes;
pub(super) mod drive;
pub(super) mod frame;
pub(super) mod general;
pub(super) mod wheels;
