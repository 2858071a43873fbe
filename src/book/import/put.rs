//! What became of a record that was put into the book.

/// What became of a record that was put into the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Put {
    /// It was not there.
    Added,
    /// It was there, the same in every field.
    Unchanged,
    /// It was there and differed; now it is as put.
    Updated {
        /// The fields that differed.
        changed: Vec<FieldChange>,
    },
    /// The same import put a record with this id before; this one was left out.
    TwiceInFile,
    /// It was there, and whoever put it would not have it changed.
    Refused,
}

/// One field of an updated record; unknown is empty.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldChange {
    /// The field's name in files.
    pub field: &'static str,
    /// As it was.
    pub before: String,
    /// As it is now.
    pub after: String,
}
