//! The page as a folder for a web space: opened once there, the phone keeps it.

use super::model::Pocket;
use super::page::{MODEL_STARTS, put_together, short_name};

const MANIFEST: &str = include_str!("assets/manifest.webmanifest");
const WORKER: &str = include_str!("assets/worker.js");
const ICON: &str = include_str!("assets/icon.svg");
/// The icon for home screens that take no SVG, drawn from it by `.ci/pocket-icon`.
const BITMAP: &[u8] = include_bytes!("assets/icon.png");

/// What the worker names its store by.
const HASH: &str = "{{HASH}}";

/// What the head has beside the page's own.
const HEAD: &str = "<link rel=\"manifest\" href=\"manifest.webmanifest\">\n\
                    <link rel=\"icon\" href=\"icon.svg\" type=\"image/svg+xml\">\n\
                    <link rel=\"apple-touch-icon\" href=\"icon.png\">";

/// The page, its manifest, its icon and the worker come from the same place, and
/// nothing else does.
const BESIDE: &str = "img-src 'self' data:; manifest-src 'self'; worker-src 'self'";

/// What each file of an earlier site holds, so that no other file is taken for one.
pub const SITE_MARKS: [(&str, &str); 5] = [
    ("index.html", MODEL_STARTS),
    ("manifest.webmanifest", "\"start_url\": \"index.html\""),
    ("icon.svg", "<svg"),
    ("icon.png", "Title\0What can I pay for this bike?"),
    ("worker.js", "wheelworth-pocket-"),
];

/// The files: name and content.
pub fn site(pocket: &Pocket<'_>) -> [(&'static str, Vec<u8>); 5] {
    let page = put_together(pocket, BESIDE, HEAD);
    let all = [
        page.as_bytes(),
        MANIFEST.as_bytes(),
        ICON.as_bytes(),
        BITMAP,
    ];
    let worker = WORKER.replace(HASH, &short_name(&all.concat()));
    [
        ("index.html", page.into_bytes()),
        ("manifest.webmanifest", MANIFEST.into()),
        ("icon.svg", ICON.into()),
        ("icon.png", BITMAP.to_vec()),
        ("worker.js", worker.into_bytes()),
    ]
}
