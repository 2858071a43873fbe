//! The page as a folder for a web space: opened once there, the phone keeps it.

use super::model::Pocket;
use super::page::{MODEL_STARTS, put_together, short_name};

const MANIFEST: &str = include_str!("assets/manifest.webmanifest");
const WORKER: &str = include_str!("assets/worker.js");
const ICON: &str = include_str!("assets/icon.svg");

/// What the worker names its store by.
const HASH: &str = "{{HASH}}";

/// What the head has beside the page's own.
const HEAD: &str = "<link rel=\"manifest\" href=\"manifest.webmanifest\">\n\
                    <link rel=\"icon\" href=\"icon.svg\" type=\"image/svg+xml\">";

/// The page, its manifest, its icon and the worker come from the same place, and
/// nothing else does.
const BESIDE: &str = "img-src 'self' data:; manifest-src 'self'; worker-src 'self'";

/// What each file of an earlier site holds, so that no other file is taken for one.
pub const SITE_MARKS: [(&str, &str); 4] = [
    ("index.html", MODEL_STARTS),
    ("manifest.webmanifest", "\"start_url\": \"index.html\""),
    ("icon.svg", "<svg"),
    ("worker.js", "wheelworth-pocket-"),
];

/// The files: name and content.
pub fn site(pocket: &Pocket<'_>) -> [(&'static str, String); 4] {
    let page = put_together(pocket, BESIDE, HEAD);
    let all = [&page, MANIFEST, ICON].concat();
    let worker = WORKER.replace(HASH, &short_name(&all));
    [
        ("index.html", page),
        ("manifest.webmanifest", MANIFEST.to_string()),
        ("icon.svg", ICON.to_string()),
        ("worker.js", worker),
    ]
}
