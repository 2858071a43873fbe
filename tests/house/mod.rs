//! The rules of the house, held against the files.

mod arrows;
mod circles;
mod doors;
mod pages;
mod readme;
mod sizes;
mod test_files;
mod words;
