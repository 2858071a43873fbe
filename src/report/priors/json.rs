//! The trade priors beside what the records say, as JSON.

use crate::pricing::prior::effect::Effect;
use serde::Serialize;

#[derive(Serialize)]
struct Answer<'a> {
    version: u32,
    effects: &'a [Effect],
}

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number is finite.
pub fn json(version: u32, effects: &[Effect]) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(&Answer { version, effects }).map(|text| text + "\n")
}
