//! Pictures of a command that draws several into a folder (`--charts`).

use super::chart_file;
use super::failure::Failure;
use std::io::Write;
use std::path::Path;

/// What is named in the help of a message.
const FOLDER: &str = "folder for --charts";

/// A picture of a `T`: its name, and what draws it.
pub(super) type Picture<T> = (&'static str, fn(&T) -> Result<String, String>);

/// Refuses a folder in which something other than a picture would be lost.
///
/// # Errors
/// When it is a file, or holds such a thing.
pub(super) fn check_names<T>(folder: &Path, pictures: &[Picture<T>]) -> Result<(), Failure> {
    if folder.exists() && !folder.is_dir() {
        return Err(Failure::refused(
            format!("{}: is there already and is no folder", folder.display()),
            format!("Name another {FOLDER}."),
        ));
    }
    pictures
        .iter()
        .try_for_each(|(name, _)| chart_file::check_nothing_lost(&folder.join(name), FOLDER))
}

/// Draws them all of `what` and says where they are; `None` when there is nothing
/// to draw.
///
/// # Errors
/// When the folder or a picture cannot be written.
pub(super) fn write<T>(
    folder: &Path,
    pictures: &[Picture<T>],
    what: Option<&T>,
    err: &mut dyn Write,
) -> Result<(), Failure> {
    let Some(what) = what else {
        writeln!(err, "No charts: there is nothing to draw yet.")?;
        return Ok(());
    };
    std::fs::create_dir_all(folder).map_err(|error| chart_file::cannot(folder, FOLDER, &error))?;
    for (name, draw) in pictures {
        let path = folder.join(name);
        let svg = draw(what).map_err(|error| chart_file::cannot(&path, FOLDER, &error))?;
        chart_file::write(&path, &svg, FOLDER)?;
        writeln!(err, "Chart: {}", path.display())?;
    }
    Ok(())
}
