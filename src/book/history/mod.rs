//! What each import did, and the records before it.
//!
//! * `entries`: the imports; `undo`: taking one back
//! * `changes`: every field of a record that changed
//! * `recorded`: records as they stood on a day

pub(super) mod changes;
pub(super) mod entries;
pub(super) mod recorded;
pub(super) mod renames;
pub(super) mod undo;
