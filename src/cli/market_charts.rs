//! The pictures of `market --charts`.

use super::chart_file;
use super::failure::Failure;
use crate::pricing::market::Market;
use crate::report::{market_asks_chart, market_course_chart, market_days_chart};
use std::io::Write;
use std::path::Path;

/// What is named in the help of a message.
const FOLDER: &str = "folder for --charts";

/// Draws one picture.
type Draw = fn(&Market) -> Result<String, String>;

/// Every picture with its name.
const PICTURES: [(&str, Draw); 4] = [
    ("asks.svg", market_asks_chart::draw),
    ("days.svg", market_days_chart::draw),
    ("movement.svg", market_course_chart::movement),
    ("season.svg", market_course_chart::season),
];

/// Refuses a folder in which something other than a picture would be lost.
///
/// # Errors
/// When it is a file, or holds such a thing.
pub fn check_names(folder: &Path) -> Result<(), Failure> {
    if folder.exists() && !folder.is_dir() {
        return Err(Failure::refused(
            format!("{}: is there already and is no folder", folder.display()),
            format!("Name another {FOLDER}."),
        ));
    }
    PICTURES
        .iter()
        .try_for_each(|(name, _)| chart_file::check_nothing_lost(&folder.join(name), FOLDER))
}

/// Draws them all and says where they are.
///
/// # Errors
/// When the folder or a picture cannot be written.
pub fn write(folder: &Path, market: &Market, err: &mut dyn Write) -> Result<(), Failure> {
    if market.is_empty() {
        writeln!(err, "No charts: there is nothing to draw yet.")?;
        return Ok(());
    }
    std::fs::create_dir_all(folder).map_err(|error| chart_file::cannot(folder, FOLDER, &error))?;
    for (name, draw) in PICTURES {
        let path = folder.join(name);
        let svg = draw(market).map_err(|error| chart_file::cannot(&path, FOLDER, &error))?;
        chart_file::write(&path, &svg, FOLDER)?;
        writeln!(err, "Chart: {}", path.display())?;
    }
    Ok(())
}
