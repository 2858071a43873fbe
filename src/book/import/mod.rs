//! An import: records put, told apart, compared with what is there.
//!
//! * `imports`: the import; `writer`: its statements; `put`: what became of a record;
//!   `old_state`: what it was before
//! * `alike`: records without an id; `likeness`: one bike listed twice
//! * `column_maps`: the columns given for a header

pub(super) mod alike;
pub(super) mod column_maps;
pub(super) mod imports;
pub(super) mod likeness;
pub(super) mod old_state;
pub(super) mod put;
pub(super) mod writer;
