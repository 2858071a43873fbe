//! Asks by style, days on market, how prices moved and the season.

pub mod asks;
pub mod course;
pub mod days;
