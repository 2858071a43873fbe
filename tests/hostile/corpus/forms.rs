//! Values as people, spreadsheets and attackers write them. Whether a form is
//! read follows from the description of the files, not from the program.

use super::numbers::{days, grades, hours, money, tubes, years};
use super::tables::Holds;

/// What a cell written so must come to.
#[derive(Clone, Debug)]
pub enum Form {
    /// The value that stood there before.
    Same,
    /// This value, as it is exported.
    Other(String),
    /// No value: the row is refused.
    Refused,
}

/// Every form for a cell that holds `now`, which is not empty.
pub fn forms(holds: Holds, now: &str) -> Vec<(String, Form)> {
    let mut forms = match holds {
        Holds::Price | Holds::Amount => money(now),
        Holds::Day => days(now),
        Holds::Years => years(now),
        Holds::Grade(words) => grades(now, words),
        Holds::Tube => tubes(now),
        Holds::Hours => hours(now),
        Holds::Word(_) => words(now),
        Holds::YesNo => yes_no(),
        Holds::Bike => bikes(now),
        Holds::Id | Holds::Name => texts(now),
        Holds::Text => with_breaks_as_blanks(texts(now)),
    };
    if holds == Holds::Price {
        forms.extend(refused(&["0", "0.00", "0,-"]));
    }
    if !matches!(holds, Holds::Id | Holds::Name | Holds::Text) {
        forms.extend(refused(&NOTHING));
        // Behind what is right, what nobody sees; before it, what Excel would run.
        forms.extend(
            ['\u{200b}', '\u{feff}', '\u{202e}', '\u{ad}']
                .map(|c| (format!("{now}{c}"), Form::Refused)),
        );
        forms.push((format!("={now}"), Form::Refused));
        forms.push((format!("@{now}"), Form::Refused));
        forms.push((format!("{now}\u{7}"), Form::Refused));
        forms.push((format!("{now}\n"), Form::Refused));
        forms.push((format!("\t{now}"), Form::Refused));
        forms.push((format!("{now} {now}?"), Form::Refused));
        forms.push((format!(" {now}  "), Form::Same));
        forms.push((format!("\u{a0}{now}\u{202f}"), Form::Same));
    }
    forms
}

/// Of no kind at all.
const NOTHING: [&str; 18] = [
    "NaN",
    "inf",
    "-inf",
    "∞",
    "NULL",
    "None",
    "n/a",
    "?",
    "#REF!",
    "#VALUE!",
    "1e5",
    "0x10",
    "--5",
    "١٢٣",
    "１２３",
    "½",
    "99999999999999999999",
    "=1+1",
];

/// Texts that are no value.
pub fn refused(texts: &[&str]) -> Vec<(String, Form)> {
    let each = texts
        .iter()
        .map(|text| ((*text).to_string(), Form::Refused));
    each.collect()
}

/// Texts that come to the value that stood there.
pub fn same<const N: usize>(texts: [String; N]) -> impl Iterator<Item = (String, Form)> {
    texts.into_iter().map(|text| (text, Form::Same))
}

/// Texts, each with the value that it comes to.
pub fn others(pairs: &[(&str, &str)]) -> impl Iterator<Item = (String, Form)> {
    let other = |(text, value): &(&str, &str)| ((*text).into(), Form::Other((*value).into()));
    pairs.iter().map(other)
}

fn words(now: &str) -> Vec<(String, Form)> {
    let mut title = now.to_string();
    title[..1].make_ascii_uppercase();
    let mut forms: Vec<_> = same([now.to_uppercase(), title]).collect();
    let (start, end) = now.split_at(2);
    for text in [
        format!("{now}s"),
        format!("{start} {end}"),
        format!("{start}\u{a0}{end}"),
        format!("{start}\u{ad}{end}"),
        format!("{start}{}", end.replace('e', "é").to_uppercase() + "x"),
        format!("{now};{now}"),
        format!("'{now}'"),
        format!("{now}."),
        start.to_string(),
        "道".to_string(),
        "1".to_string(),
        "0".to_string(),
        format!("+{now}"),
    ] {
        forms.push((text, Form::Refused));
    }
    // The letter o of another alphabet, and letters of double width.
    for text in [
        now.replace('o', "о"),
        now.replace('r', "ｒ"),
        now.replace('i', "і"),
    ] {
        if text != now {
            forms.push((text, Form::Refused));
        }
    }
    forms
}

fn yes_no() -> Vec<(String, Form)> {
    let yes = ["Y", "TRUE", "True", "1", "YES"].map(String::from);
    let mut forms: Vec<_> = same(yes).collect();
    forms.extend(others(&[("no", ""), ("FALSE", ""), ("0", ""), ("N", "")]));
    forms.extend(refused(&[
        "maybe", "ja", "2", "on", "✓", "x", "yes!", "-1", "01",
    ]));
    forms
}

/// Ids of bikes that the book does not have; near as they are, none is meant.
fn bikes(now: &str) -> Vec<(String, Form)> {
    let (first, rest) = now.split_at(1);
    let mut texts = [
        now.to_lowercase(),
        now.replace('-', "\u{2011}"),
        now.replace('-', ""),
    ]
    .to_vec();
    texts.extend([
        format!("{first} {rest}"),
        format!("{first}\u{200d}{rest}"),
        format!("'{now}"),
        format!("{now}\u{301}"),
        format!("\u{200f}{now}"),
        format!("{now}; DROP TABLE sales"),
        "\"".into(),
        "%s%n".into(),
        "x".repeat(20_000),
    ]);
    texts
        .into_iter()
        .map(|text| (text, Form::Refused))
        .collect()
}

/// A text is anything but control characters; a guard is taken away and put back.
/// In a free text line breaks and tabs become blanks.
fn with_breaks_as_blanks(forms: Vec<(String, Form)>) -> Vec<(String, Form)> {
    let breaks = ["\r\n", "\n", "\t"];
    let free = |(text, form): (String, Form)| {
        let found = breaks.iter().find(|found| text.contains(**found));
        let form = found.map_or(form, |found| Form::Other(text.replace(found, " ")));
        (text, form)
    };
    forms.into_iter().map(free).collect()
}

fn texts(now: &str) -> Vec<(String, Form)> {
    let mut forms: Vec<_> = same([format!(" {now} "), format!("\u{a0}{now}\u{2003}")]).collect();
    let kept = [
        now.to_lowercase() + "x",
        now.to_uppercase() + "X",
        format!("{now}\u{200b}"),
        format!("\u{feff}{now}"),
        format!("\u{202e}{now}\u{202c}"),
        format!("\u{200f}{now}"),
        format!("ü{now}"),
        format!("u\u{308}{now}"),
        format!("{now} \u{a0} {now}"),
        format!("{now},{now}"),
        format!("{now};{now}"),
        format!("{now}\"{now}\""),
        format!("\"{now}\""),
        format!("'{now}"),
        "🚲".into(),
        "NULL".into(),
        "NaN".into(),
        "007".into(),
        "1e5".into(),
        "0x10".into(),
        "2026-02-30".into(),
        "%s%n%x".into(),
        "../../x".into(),
        "${x}".into(),
        "<b>&amp;</b>".into(),
        "x'; DROP TABLE comps;--".into(),
        "ａｂｃ".into(),
        "١٢٣".into(),
        "x".repeat(5000),
        "#".into(),
        "\\".into(),
        "\\n".into(),
    ];
    forms.extend(kept.map(|text| (text.clone(), Form::Other(text))));
    // Run by a spreadsheet: exported with one apostrophe in front.
    let run = [
        "=1+1",
        "=cmd|' /C calc'!A0",
        "=HYPERLINK(\"x\")",
        "+1",
        "-1",
        "@SUM(A1)",
        "'=1",
        "''@x",
    ];
    for text in run {
        let guarded = format!("'{text}");
        let kept = if text.starts_with('\'') {
            text
        } else {
            &guarded
        };
        forms.push((text.to_string(), Form::Other(kept.to_string())));
    }
    let spoiled = [
        "\u{7}",
        "\u{1b}[31m",
        "\n",
        "\r\n",
        "\t",
        "\u{85}",
        "\u{9b}",
    ];
    forms.extend(spoiled.map(|c| (format!("x{c}{now}"), Form::Refused)));
    forms
}
