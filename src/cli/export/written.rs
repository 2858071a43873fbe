//! What both a table and a model say and refuse when they are written.

use crate::cli::context::{Context, DONE, Format};
use crate::cli::failure::Failure;
use std::fs;
use std::path::Path;

/// What is named in the help of a message.
pub(crate) const FILE: &str = "file";

/// Says what was written.
pub(crate) fn say(
    context: &mut Context<'_>,
    word: &str,
    file: &Path,
    rows: u64,
) -> Result<u8, Failure> {
    let shown = file.display();
    if context.format == Format::Json {
        let file = shown.to_string();
        let text = serde_json::json!({ "table": word, "file": file, "rows": rows });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    let rows = if rows == 1 {
        "1 row".into()
    } else {
        format!("{rows} rows")
    };
    writeln!(context.out, "Wrote {shown}: {rows}.")?;
    Ok(DONE)
}

/// Refuses the book's own file, also under another spelling of its path.
pub(crate) fn refuse_the_book(file: &Path, book: &Path) -> Result<(), Failure> {
    let same = fs::canonicalize(file)
        .is_ok_and(|file| fs::canonicalize(book).is_ok_and(|book| book == file));
    if same {
        return Err(Failure::refused(
            format!("{}: is the book itself", file.display()),
            "Name another file, so that nothing is lost.",
        ));
    }
    Ok(())
}
