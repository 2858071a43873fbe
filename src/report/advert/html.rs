//! The advert as a sheet to print and hang on the bike: no network, no script.

use super::lines::Advert;
use maud::{DOCTYPE, PreEscaped, html as markup};

const STYLE: &str = "@page{size:A5;margin:12mm}body{font:18px/1.45 sans-serif;margin:1.2rem auto;\
max-width:34rem;padding:0 1rem;color:#111;background:#fff}h1{font-size:1.7rem;line-height:1.2}\
p{margin:.5rem 0;overflow-wrap:anywhere}.price{font-size:2.6rem;font-weight:700;margin-top:1.2rem}";

/// The page.
pub fn html(advert: &Advert) -> String {
    let page = markup! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'";
                title { (advert.title()) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                h1 { (advert.title()) }
                @for line in advert.lines() { p { (line) } }
                @if let Some(price) = advert.price() { p class="price" { (price) } }
            }
        }
    };
    page.into_string() + "\n"
}
