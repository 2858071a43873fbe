//! A picture into a file, without losing anything that is there.

use super::failure::Failure;
use super::written_file;
use std::path::Path;

/// What is named in the help of a message.
pub(super) const FLAG: &str = "file for --chart";

pub(super) use super::written_file::cannot;

/// Refuses a file that is there and is no picture; `flag` names the way out.
///
/// # Errors
/// When something would be lost.
pub(super) fn check_nothing_lost(path: &Path, flag: &str) -> Result<(), Failure> {
    let is_picture = |file: &mut _| written_file::begins_with(file, &[b"<svg ", b"<?xml"]);
    written_file::check_nothing_lost(path, is_picture, "no picture", flag)
}

/// Writes the picture beside its place, then puts it there whole.
///
/// # Errors
/// When it cannot be written; what was there stays.
pub(super) fn write(path: &Path, svg: &str, flag: &str) -> Result<(), Failure> {
    written_file::write(path, svg.as_bytes(), flag)
}

/// Refuses a name under which something other than a picture would be lost.
pub(crate) fn check_name(path: &Path) -> Result<(), Failure> {
    let is_svg = path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("svg"));
    if !is_svg {
        return Err(Failure::usage(
            format!(
                "--chart '{}': expected a name that ends in .svg",
                path.display()
            ),
            "The picture is an SVG: name it so, for example --chart value.svg.",
        ));
    }
    check_nothing_lost(path, FLAG)
}
