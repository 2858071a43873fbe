//! The records as the models take them.
//!
//! * a price seen: [`observation`]; what the records hold: [`gathered`]
//! * those most like a bike: [`nearest`]; those of its style, and the curve: [`curve`]
//! * asks far from their like: [`unusual`]; grades that run the other way: [`reversed`]

pub mod curve;
pub mod gathered;
pub mod nearest;
pub mod observation;
pub mod reversed;
pub mod unusual;
