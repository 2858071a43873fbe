//! What a caution is in JSON.

use serde::Serialize;

/// A short name, so that a script need not read the words, and the words.
#[derive(Serialize)]
pub struct CodedText {
    /// The name.
    pub code: &'static str,
    /// The words.
    pub text: String,
}
