//! What a Parquet file says of its own size, held against itself. The library
//! asks for memory by these numbers, and a number too large would end the
//! program.

use polars_io::prelude::FileMetadata;
use polars_parquet::parquet::page::CompressedPage;
use polars_parquet::read::{ColumnChunkMetadata, PageReader};
use std::io::Cursor;

/// Why a file is refused whose numbers contradict one another.
pub(super) const DAMAGED: &str = "it is damaged";
/// Why a file is refused that says of itself that it is very large.
pub(super) const TOO_LARGE: &str = "its cells are more than 1 GiB of text";

/// Checks that there are at most so many cells (each is a byte of text at least),
/// and as many values in every page and column as it says. Columns of lists are
/// left out: they are never read.
pub(super) fn check(file: &[u8], about: &FileMetadata, most: usize) -> Result<(), String> {
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
