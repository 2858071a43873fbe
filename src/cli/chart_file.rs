//! A picture into a file, without losing anything that is there.

use super::failure::Failure;
use std::io::Read as _;
use std::path::Path;

/// Refuses a file that is there and is no picture; `flag` names the way out.
///
/// # Errors
/// When something would be lost.
pub fn check_nothing_lost(path: &Path, flag: &str) -> Result<(), Failure> {
    let mut start = [0_u8; 5];
    let there = std::fs::File::open(path).and_then(|mut file| file.read(&mut start));
    match there {
        Ok(read) if !matches!(&start[..read], b"" | b"<svg " | b"<?xml") => Err(Failure::refused(
            format!("{}: is there already and is no picture", path.display()),
            format!("Name another {flag}, so that nothing is lost."),
        )),
        _ => Ok(()),
    }
}

/// Writes the picture beside its place, then puts it there whole.
///
/// # Errors
/// When it cannot be written; what was there stays.
pub fn write(path: &Path, svg: &str, flag: &str) -> Result<(), Failure> {
    let mut part = path.as_os_str().to_owned();
    part.push(".part");
    let written = std::fs::write(&part, svg).and_then(|()| std::fs::rename(&part, path));
    written.map_err(|error| {
        let _ = std::fs::remove_file(&part);
        cannot(path, flag, &error)
    })
}

/// The picture cannot be drawn or written.
pub fn cannot(path: &Path, flag: &str, error: &dyn std::fmt::Display) -> Failure {
    Failure::refused(
        format!("{}: cannot be written: {error}", path.display()),
        format!("Name another {flag}."),
    )
}
