//! `import KIND --blank`: an empty file with the columns of a kind.

use super::flags::KindOfFile;
use crate::cli::context::{Context, DONE, Format};
use crate::cli::failure::Failure;
use crate::cli::written_file;
use crate::intake::{Asks, Comps, Costs, Field, Gifts, Inspections, Kind, Offers, Returns, Sales};
use std::fs::File;
use std::io::Read as _;
use std::path::Path;

/// What is named in the help of a message.
const FILE: &str = "file for --blank";

/// Writes the header and says what must be filled in.
pub(crate) fn run(context: &mut Context<'_>, kind: KindOfFile, file: &Path) -> Result<u8, Failure> {
    let fields = fields(kind);
    let names: Vec<&str> = fields.iter().map(|field| field.name).collect();
    let header = format!("{}\n", names.join(","));
    let is_blank = |there: &mut File| {
        let mut found = Vec::new();
        let read = there.take(header.len() as u64 + 1).read_to_end(&mut found);
        read.is_ok() && found == header.as_bytes()
    };
    let another = "no empty file of these columns";
    written_file::replace_file(file, header.as_bytes(), is_blank, another, FILE)?;
    let shown = file.display();
    let required = fields.iter().filter(|field| field.required);
    let required: Vec<&str> = required.map(|field| field.name).collect();
    if context.format == Format::Json {
        let text = serde_json::json!({
            "file": shown.to_string(), "columns": names, "required": required,
        });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    writeln!(
        context.out,
        "Wrote {shown}, to fill in: a line for each row."
    )?;
    let longest = names.iter().map(|name| name.len()).max().unwrap_or(0);
    for field in fields {
        let must = if field.required {
            " (must be filled in)"
        } else {
            ""
        };
        writeln!(
            context.out,
            "  {:<longest$}  {}{must}",
            field.name, field.what
        )?;
    }
    writeln!(
        context.out,
        "Delete the columns that you do not need. Next: wheelworth import {} {shown}",
        kind.word()
    )?;
    Ok(DONE)
}

fn fields(kind: KindOfFile) -> &'static [Field] {
    match kind {
        KindOfFile::Sales => Sales::FIELDS,
        KindOfFile::Comps => Comps::FIELDS,
        KindOfFile::Asks => Asks::FIELDS,
        KindOfFile::Costs => Costs::FIELDS,
        KindOfFile::Gifts => Gifts::FIELDS,
        KindOfFile::Returns => Returns::FIELDS,
        KindOfFile::Offers => Offers::FIELDS,
        KindOfFile::Inspections => Inspections::FIELDS,
    }
}
