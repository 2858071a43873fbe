//! The page: its parts put together, with a policy that lets it load and send nothing.

use super::model::Pocket;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};

const HTML: &str = include_str!("assets/page.html");
const STYLE: &str = include_str!("assets/page.css");
/// Its script, in order: numbers, answers, notes, screens.
const SCRIPT: [&str; 4] = [
    include_str!("assets/value.js"),
    include_str!("assets/answer.js"),
    include_str!("assets/notes.js"),
    include_str!("assets/page.js"),
];

/// What stands before the model in every such page.
pub const MODEL_STARTS: &str = "<script type=\"application/json\" id=\"model\">";

/// The page as one file.
pub fn page(pocket: &Pocket<'_>) -> String {
    put_together(pocket, "img-src data:", "")
}

/// Puts the parts in their places. `beside` is what the policy allows beside the page's
/// own style and script, `site` what the head has on a web space.
pub(super) fn put_together(pocket: &Pocket<'_>, beside: &str, site: &str) -> String {
    let script = format!("\n{}", SCRIPT.join("\n"));
    let policy = format!(
        "default-src 'none'; script-src '{}'; style-src 'unsafe-inline'; {beside}; \
         base-uri 'none'; form-action 'none'",
        hash(&script)
    );
    let policy = format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">");
    let model = pocket.json();
    let model = format!("{MODEL_STARTS}{model}</script>");
    // What is put in last holds no place of another part: it is the user's own.
    HTML.replacen("<!-- policy -->", &policy, 1)
        .replacen("<!-- site -->", site, 1)
        .replacen("<!-- style -->", &format!("<style>\n{STYLE}</style>"), 1)
        .replacen("<!-- script -->", &format!("<script>{script}</script>"), 1)
        .replacen("<!-- model -->", &model, 1)
}

/// The hash of a script, as a policy names it (Content Security Policy Level 3).
fn hash(script: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(script)))
}

/// A short name for what files hold: other bytes have another one.
pub(super) fn short_name(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest[..8].iter().fold(String::new(), |name, byte| {
        use std::fmt::Write as _;
        let mut name = name;
        let _ = write!(name, "{byte:02x}");
        name
    })
}
