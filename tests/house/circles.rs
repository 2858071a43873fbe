//! No two files of a room use each other, directly or in a longer circle: whoever
//! reads one need not have read the other.
//!
//! A folder's `mod.rs` may pass on what its files define; unit tests do not count.

use crate::support::imports::Imports;
use crate::support::sources::rust_files;

#[test]
fn no_files_of_a_room_go_in_circles() {
    let imports = Imports::read();
    let mut rooms: Vec<String> = rust_files("src")
        .iter()
        .filter_map(|file| file.room().map(String::from))
        .collect();
    rooms.dedup();
    for room in rooms {
        let circles: Vec<String> = imports
            .circles(&room)
            .iter()
            .map(|circle| circle.join("\n  "))
            .collect();
        assert!(circles.is_empty(), "circles:\n  {}", circles.join("\n\n  "));
    }
}

/// The test above sees what it is to see: a room knows the statistics, never the
/// other way round, and a name that is passed on counts for the file that has it.
#[test]
fn imports_lead_to_the_files_that_define_what_is_used() {
    let imports = Imports::read();
    let used = |path: [&str; 3]| {
        let module = path.map(String::from).to_vec();
        let (_, used) = &imports.files[&module];
        used.iter().map(|m| m.join("::")).collect::<Vec<_>>()
    };
    let learn = used(["pricing", "value", "learn"]);
    for one in [
        "pricing::value::reduce",
        "pricing::value::mixture",      // through `mixture::components`
        "statistics::linear::r_factor", // passed on by `statistics`
    ] {
        assert!(learn.iter().any(|used| used == one), "{one}: {learn:?}");
    }
}
