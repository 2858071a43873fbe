//! The top of a smooth function (Newton: `newton`), and the fixed point of an
//! iteration (SQUAREM: [`squarem`]).

pub(super) mod newton;
pub mod squarem;
