//! Own bikes: a line each (`list`), and all that is known of one bike or comp (`card`).

pub mod card;
pub mod list;
