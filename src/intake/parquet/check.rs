//! What a Parquet file says of its own size, held against itself. The library
//! asks for memory by these numbers, and a number too large would end the
//! program.

use polars_io::prelude::FileMetadata;
use polars_parquet::parquet::page::CompressedPage;
use polars_parquet::read::{ColumnChunkMetadata, PageReader};
use std::io::Cursor;

/// Why a file is refused whose numbers contradict one another.
pub(in crate::intake) const DAMAGED: &str = "it is damaged";
/// Why a file is refused that says of itself that it is very large.
pub(in crate::intake) const TOO_LARGE: &str = "its cells are more than 1 GiB of text";

/// Checks that there are at most so many cells (each is a byte of text at least),
/// and as many values in every page and column as it says. Columns of lists are
/// left out: they are never read.
pub(in crate::intake) fn check(
    file: &[u8],
    about: &FileMetadata,
    most: usize,
) -> Result<(), String> {
    let mut cells = about.num_rows;
    for group in &about.row_groups {
        let columns = group.parquet_columns();
        cells = cells.saturating_add(group.num_rows().saturating_mul(columns.len()));
        if cells > most {
            return Err(TOO_LARGE.into());
        }
        for column in columns {
            let is_list = column.descriptor().descriptor.max_rep_level > 0;
            if !is_list && !has_values(file, column, group.num_rows()) {
                return Err(DAMAGED.into());
            }
        }
    }
    Ok(())
}

/// Whether the pages of a column hold so many values.
fn has_values(file: &[u8], column: &ColumnChunkMetadata, rows: usize) -> bool {
    if usize::try_from(column.num_values()) != Ok(rows) {
        return false;
    }
    let range = column.byte_range();
    let (Ok(from), Ok(to)) = (usize::try_from(range.start), usize::try_from(range.end)) else {
        return false;
    };
    let Some(chunk) = file.get(from..to) else {
        return false;
    };
    let pages = Cursor::new(chunk.to_vec().into());
    let mut left = rows;
    for page in PageReader::new(pages, column, Vec::new(), chunk.len()) {
        match page {
            Ok(CompressedPage::Data(page)) => match left.checked_sub(page.num_values()) {
                Some(rest) => left = rest,
                None => return false,
            },
            Ok(CompressedPage::Dict(_)) => {}
            Err(_) => return false,
        }
    }
    left == 0
}

#[cfg(test)]
mod tests {
    use super::{DAMAGED, TOO_LARGE, check};
    use polars::prelude::{Column, DataFrame, NamedFrom as _, Series};
    use polars_io::prelude::{FileMetadata, ParquetReader, ParquetWriter, SerReader as _};
    use std::io::Cursor;

    /// A file of 2 columns and 3 rows.
    fn file() -> (Vec<u8>, FileMetadata) {
        let series = [
            Series::new("a".into(), [1, 2, 3]),
            Series::new("b".into(), ["x", "y", "z"]),
        ];
        let columns = series.map(Column::from).to_vec();
        let mut frame = DataFrame::new_infer_height(columns).unwrap();
        let mut bytes = Vec::new();
        ParquetWriter::new(&mut bytes).finish(&mut frame).unwrap();
        let mut reader = ParquetReader::new(Cursor::new(bytes.clone()));
        let about = reader.get_metadata().unwrap().as_ref().clone();
        (bytes, about)
    }

    #[test]
    fn cells_are_counted_before_they_are_read() {
        let (bytes, about) = file();
        // 3 rows and 6 cells.
        assert_eq!(check(&bytes, &about, 9), Ok(()));
        assert_eq!(check(&bytes, &about, 8), Err(TOO_LARGE.to_string()));
        let more = FileMetadata {
            num_rows: usize::MAX,
            ..about
        };
        assert_eq!(check(&bytes, &more, 9), Err(TOO_LARGE.to_string()));
    }

    #[test]
    fn pages_must_hold_what_is_said_of_them() {
        let (mut bytes, about) = file();
        // The first page begins after the 4 bytes of the signature.
        bytes[4..40].fill(0);
        assert_eq!(check(&bytes, &about, 9), Err(DAMAGED.to_string()));
        let short = &bytes[..8];
        assert_eq!(check(short, &about, 9), Err(DAMAGED.to_string()));
    }
}
