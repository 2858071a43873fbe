//! The records as the models take them: prices seen, those most like a bike, odd ones.

pub mod curve;
pub mod gathered;
pub mod nearest;
pub mod observation;
pub mod unusual;
