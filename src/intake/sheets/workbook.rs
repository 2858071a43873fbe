//! A spreadsheet as the text of one of its sheets, told by its first bytes, whatever the
//! file's name is.

use super::archive::{Archive, DAMAGED, MOST_PACKED, check};
use super::ods;
use super::table::{Cells, SheetText};
use super::xlsx::Workbook;
use crate::intake::parquet::caught::caught;
use crate::intake::problems::file::FileProblem;
use crate::intake::settings::Settings;
use std::io::{Cursor, Read};
use std::path::Path;

/// First bytes of a zip archive, and of the older way in which programs keep documents,
/// which holds `.xls` and whatever is protected with a password.
const ZIP: &[u8] = b"PK\x03\x04";
const COMPOUND: &[u8] = b"\xd0\xcf\x11\xe0";

/// An input and its length in bytes.
pub(in crate::intake) type Input = (Box<dyn Read + Send>, u64);

/// How well a sheet fits by its name and the texts of its first rows.
pub(in crate::intake) type Fits<'a> = dyn Fn(&str, &[&str]) -> usize + 'a;

/// Rows of a sheet among which its header is looked for.
const TOP: usize = 10;

/// What an input turned out to be.
pub(in crate::intake) enum Found {
    /// A sheet as text.
    Sheet(SheetText),
    /// No spreadsheet: the input as it was.
    Other(Input),
}

/// The text of a sheet where the input is a spreadsheet.
pub(in crate::intake) fn as_text(
    (mut input, total): Input,
    path: &Path,
    settings: &Settings,
    fits: &Fits<'_>,
) -> Result<Found, FileProblem> {
    let failed = |source| FileProblem::ReadFailed {
        path: path.into(),
        line: 1,
        source,
    };
    let mut bytes = Vec::new();
    let start = &mut input.by_ref().take(ZIP.len() as u64);
    start.read_to_end(&mut bytes).map_err(failed)?;
    let is_ours = bytes == ZIP || bytes == COMPOUND;
    if !is_ours {
        if let Some(sheet) = &settings.sheet {
            return Err(FileProblem::NoSheets {
                path: path.into(),
                sheet: sheet.clone(),
            });
        }
        return Ok(Found::Other((
            Box::new(Cursor::new(bytes).chain(input)),
            total,
        )));
    }
    input
        .take(MOST_PACKED)
        .read_to_end(&mut bytes)
        .map_err(failed)?;
    let sheet = text_of(&bytes, path, settings, fits)?;
    Ok(Found::Sheet(sheet))
}

fn refused(path: &Path, problem: impl Into<String>, mend: &str) -> FileProblem {
    FileProblem::Sheet {
        path: path.into(),
        problem: problem.into(),
        mend: mend.into(),
    }
}

/// What to do about a workbook that cannot be read.
const SAVE_AGAIN: &str = "Save it again as .xlsx or .ods, or its sheet as CSV in UTF-8.";
const WITHOUT_PASSWORD: &str = "Save a copy without a password, as .xlsx, .ods or CSV.";

/// Whether bytes hold a text as the older kind of file writes names.
fn holds(bytes: &[u8], name: &str) -> bool {
    let wide: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
    bytes.windows(wide.len()).any(|window| window == wide)
}

fn text_of(
    bytes: &[u8],
    path: &Path,
    settings: &Settings,
    fits: &Fits<'_>,
) -> Result<SheetText, FileProblem> {
    if bytes.starts_with(COMPOUND) {
        let locked = holds(bytes, "EncryptedPackage");
        return Err(match locked {
            true => refused(path, "it is protected with a password", WITHOUT_PASSWORD),
            false => refused(
                path,
                "it is an old spreadsheet or document (.xls)",
                "Save it as .xlsx, .ods or CSV, without a password.",
            ),
        });
    }
    if bytes.len() as u64 >= MOST_PACKED {
        return Err(refused(
            path,
            "it is larger than 256 MiB",
            "Save its sheet as CSV in UTF-8.",
        ));
    }
    let read = caught(|| -> Result<Vec<Sheet>, FileProblem> {
        let archive = check(bytes).map_err(|problem| refused(path, problem, SAVE_AGAIN))?;
        let sheets = match archive {
            Archive::Other(what, mend) => return Err(refused(path, format!("it is {what}"), mend)),
            Archive::Xlsx => of_xlsx(bytes, settings),
            Archive::Ods => of_ods(bytes, settings),
        };
        sheets.map_err(|problem| {
            let mend = match problem.contains("password") {
                true => WITHOUT_PASSWORD,
                false => SAVE_AGAIN,
            };
            refused(path, problem, mend)
        })
    });
    let sheets = read.unwrap_or_else(|| Err(refused(path, DAMAGED, SAVE_AGAIN)))?;
    let sheet = chosen(sheets, path, settings, fits)?;
    let name = sheet.name;
    let text = sheet.cells.into_text(&name);
    text.map_err(|problem| refused(path, problem, SAVE_AGAIN))
}

/// A sheet with its cells.
struct Sheet {
    name: String,
    hidden: bool,
    cells: Cells,
}

/// The sheets, each read; where one is asked for, it alone has its cells.
fn of_xlsx(bytes: &[u8], settings: &Settings) -> Result<Vec<Sheet>, String> {
    let mut workbook = Workbook::open(bytes, settings.currency)?;
    let mut sheets = Vec::new();
    for (name, hidden) in workbook.sheets() {
        let wanted = settings
            .sheet
            .as_ref()
            .is_none_or(|sheet| same(sheet, &name));
        let cells = match wanted {
            true => workbook.cells(&name)?,
            false => Cells::default(),
        };
        sheets.push(Sheet {
            name,
            hidden,
            cells,
        });
    }
    Ok(sheets)
}

fn of_ods(bytes: &[u8], settings: &Settings) -> Result<Vec<Sheet>, String> {
    let sheets = ods::sheets(bytes, settings.currency)?.into_iter();
    let sheet = |sheet: ods::Sheet| Sheet {
        name: sheet.name,
        hidden: sheet.hidden,
        cells: sheet.cells,
    };
    Ok(sheets.map(sheet).collect())
}

fn same(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}

/// The sheet that was asked for, or the one that is not empty; one that is hidden only
/// where it was asked for or is the only one.
fn chosen(
    sheets: Vec<Sheet>,
    path: &Path,
    settings: &Settings,
    fits: &Fits<'_>,
) -> Result<Sheet, FileProblem> {
    let path = path.to_path_buf();
    if let Some(asked) = &settings.sheet {
        let names: Vec<String> = sheets.iter().map(|sheet| sheet.name.clone()).collect();
        let mut sheets = sheets.into_iter();
        return match sheets.find(|sheet| same(&sheet.name, asked)) {
            Some(sheet) if sheet.cells.rows() > 0 => Ok(sheet),
            Some(sheet) => Err(FileProblem::EmptySheet {
                path,
                sheet: sheet.name,
            }),
            None => Err(FileProblem::NoSuchSheet {
                path,
                sheet: asked.clone(),
                sheets: names,
            }),
        };
    }
    let mut filled: Vec<Sheet> = sheets;
    filled.retain(|sheet| sheet.cells.rows() > 0);
    if filled.iter().any(|sheet| !sheet.hidden) {
        filled.retain(|sheet| !sheet.hidden);
    }
    match filled.len() {
        0 => Err(FileProblem::Empty { path }),
        1 => filled.pop().ok_or(FileProblem::Empty { path }),
        _ => Err(FileProblem::SeveralSheets {
            path,
            fits: best(&filled, fits),
            command: None,
            sheets: filled
                .into_iter()
                .map(|sheet| (sheet.cells.rows(), sheet.name))
                .map(|(rows, name)| (name, rows))
                .collect(),
        }),
    }
}

/// The sheet that fits best, the longest of several.
fn best(sheets: &[Sheet], fits: &Fits<'_>) -> usize {
    let fit = |sheet: &Sheet| (fits(&sheet.name, &sheet.cells.top(TOP)), sheet.cells.rows());
    let sheets = sheets.iter().map(fit).enumerate();
    sheets.max_by_key(|(_, fit)| *fit).map_or(0, |(at, _)| at)
}
