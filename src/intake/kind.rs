//! What a kind of file is.

use super::cells::row::RowCells;
use super::field::Field;

/// A kind of file: its columns, and how a row of it becomes a record.
pub trait Kind {
    /// What a row says.
    type Record;

    /// The kind's word: `sales`.
    const NAME: &'static str;

    /// The command that reads such a file, up to the file's name.
    const COMMAND: &'static str;

    /// Whether a row is of one bike of somebody else's, so that one of several, or of parts,
    /// is told.
    const OTHERS_BIKES: bool = false;

    /// The columns that it may have, in the order of the documentation.
    const FIELDS: &'static [Field];

    /// Reads a row. `None` only when a problem was kept in `row`; a record is
    /// used only when none was.
    fn read(row: &mut RowCells<'_>) -> Option<Self::Record>;
}
