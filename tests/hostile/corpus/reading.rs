//! A second reading of cells, written for these tests from the description of the
//! files: what is accepted must read so here, too. It reads less than the program
//! may; a cell that it cannot read must be refused.

use super::tables::Holds;
use crate::support::workshop::TODAY;
use wheelworth::trade::Day;

/// The cell as it must be exported. `None`: it must be refused.
pub fn read(holds: Holds, required: bool, cell: &str) -> Option<String> {
    if cell.chars().any(char::is_control) {
        return None;
    }
    let text = cell.trim();
    if text.is_empty() {
        return match holds {
            Holds::Word(words) if words[0] == "listed" => Some("listed".into()),
            _ => (!required).then(String::new),
        };
    }
    match holds {
        Holds::Id | Holds::Name | Holds::Bike | Holds::Text => Some(guarded(bare(text))),
        Holds::Word(words) => {
            let word = text.to_lowercase();
            words.contains(&word.as_str()).then_some(word)
        }
        Holds::Grade(words) => {
            let word = text.to_lowercase();
            let by_word = words.iter().position(|known| *known == word);
            let by_number = whole(text).filter(|n| (1..=5).contains(n));
            by_word
                .map(|at| at as u64 + 1)
                .or(by_number)
                .map(|n| n.to_string())
        }
        Holds::Years => years(text),
        Holds::Tube => tube(text),
        Holds::Price => {
            money(text).filter(|money| money.bytes().any(|b| (b'1'..=b'9').contains(&b)))
        }
        Holds::Amount => money(text),
        Holds::Day => day(text),
        Holds::Hours => hours(text),
        Holds::YesNo => match text.to_lowercase().as_str() {
            "yes" | "y" | "true" | "1" => Some("yes".into()),
            "no" | "n" | "false" | "0" => Some(String::new()),
            _ => None,
        },
    }
}

/// Whether a spreadsheet would run a text, after apostrophes.
fn runs(text: &str) -> bool {
    let rest = text.trim_start_matches('\'');
    rest.starts_with(['=', '+', '-', '@'])
}

/// A text without the apostrophe that guards it.
fn bare(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if runs(rest) => rest,
        _ => text,
    }
}

/// A text with its guard.
fn guarded(text: &str) -> String {
    format!("{}{text}", if runs(text) { "'" } else { "" })
}

fn digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// Digits, and digits after a point or comma.
fn decimal(text: &str) -> Option<(u64, &str)> {
    let (whole, part) = text.split_once(['.', ',']).unwrap_or((text, "0"));
    let fits = digits(whole) && digits(part) && whole.len() <= 9 && part.len() <= 6;
    fits.then(|| (whole.parse().unwrap(), part))
}

fn whole(text: &str) -> Option<u64> {
    let (whole, part) = decimal(text)?;
    part.bytes().all(|b| b == b'0').then_some(whole)
}

/// `whole.part` times 100, half up.
fn hundredths(text: &str, times: u64) -> Option<u64> {
    let (whole, part) = decimal(text)?;
    let million = whole * 1_000_000 + format!("{part:0<6}").parse::<u64>().unwrap();
    Some((million * times * 2 + 10_000) / 20_000)
}

/// Hundredths without zeros at the end.
fn shown(hundredths: u64) -> String {
    let text = format!("{}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn hours(text: &str) -> Option<String> {
    let number = text.strip_suffix(['h', 'H']).unwrap_or(text).trim_end();
    hundredths(number, 1).filter(|n| *n <= 1_000_000).map(shown)
}

fn tube(text: &str) -> Option<String> {
    let sizes = [
        ("XL", "XL"),
        ("medium", "M"),
        ("Extra-small", "XS"),
        ("Size L", "L"),
    ];
    let same = |(word, _): &&(&str, &str)| word.eq_ignore_ascii_case(text);
    if let Some((_, class)) = sizes.iter().find(same) {
        return Some(class.to_string());
    }
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.' && c != ',');
    let (number, unit) = text.split_at(end.unwrap_or(text.len()));
    let (whole, _) = decimal(number)?;
    let unit = unit.trim().to_lowercase();
    if ["700", "700c", "29er", "27.5", "26", "28", "29"].contains(&text.to_lowercase().as_str()) {
        return None; // wheels
    }
    let tenths_of_mm = |in_tenths: u64| hundredths(number, in_tenths).map(|n| (n + 50) / 100);
    let tenths = match unit.as_str() {
        "cm" => tenths_of_mm(100)?,
        "mm" => tenths_of_mm(10)?,
        "in" | "inch" | "\"" | "″" => tenths_of_mm(254)?,
        "" if whole < 30 => tenths_of_mm(254)?,
        "" if hundredths(number, 1)? <= 8000 => tenths_of_mm(100)?,
        "" if hundredths(number, 1)? > 25_000 => tenths_of_mm(10)?,
        _ => return None,
    };
    let in_bounds = (2500..=8000).contains(&tenths);
    in_bounds.then(|| format!("{}cm", shown(tenths)))
}

fn years(text: &str) -> Option<String> {
    let year = |text: &str| {
        let text = text.trim();
        let four = text.find(['.', ',']).unwrap_or(text.len()) == 4;
        whole(text).filter(|year| four && (1817..=2027).contains(year))
    };
    let about = |text: &str, before, after| {
        let year = year(text)?;
        Some(format!("{}..{}", year - before, year + after))
    };
    if let Some(roughly) = text.strip_prefix("~").or(text.strip_prefix("c. ")) {
        return about(roughly, 2, 2);
    }
    if let Some(decade) = text.strip_suffix('s') {
        let full = if decade.len() == 2 {
            format!("19{decade}")
        } else {
            decade.to_string()
        };
        return about(&full, 0, 9).filter(|_| decade.ends_with('0'));
    }
    if let Some((first, next)) = text.split_once('/') {
        let follows = year(first)? + 1;
        let fits = next == follows.to_string() || next == format!("{:02}", follows % 100);
        return about(first, 0, 1).filter(|_| fits);
    }
    let between = ["...", "..", "-", "–"];
    let Some((first, last)) = between.iter().find_map(|sign| text.split_once(sign)) else {
        return year(text).map(|year| year.to_string());
    };
    match (year(first)?, year(last)?) {
        (first, last) if first == last => Some(first.to_string()),
        (first, last) if first < last && last - first <= 40 => Some(format!("{first}..{last}")),
        _ => None,
    }
}

/// Amounts in a currency of two decimals.
fn money(text: &str) -> Option<String> {
    let text = text.trim_matches(|c: char| c == '€' || c.is_whitespace());
    let text = text.strip_prefix('+').unwrap_or(text).trim();
    let text = text.strip_suffix("EUR").unwrap_or(text).trim();
    let text = text.strip_prefix("EUR").unwrap_or(text).trim();
    let text = text.strip_suffix(",-").unwrap_or(text);
    let kind = |c: char| match c {
        '.' | ',' => Some(c),
        '\'' | '’' => Some('\''),
        c if c.is_whitespace() => Some(' '),
        _ => None,
    };
    let mut signs = Vec::new();
    for c in text.chars().filter(|c| !c.is_ascii_digit()) {
        signs.push(kind(c)?);
    }
    let groups: Vec<&str> = text.split(|c: char| !c.is_ascii_digit()).collect();
    let (last, before) = groups.split_last()?;
    let zeros = |text: &str| text.bytes().all(|b| b == b'0');
    let point = match signs.as_slice() {
        [] => false,
        ['.' | ','] => match (before[0], last.len()) {
            (first, 3) if zeros(first) => true,
            // The other amounts of the files have a decimal point.
            (first, 3) if first.len() <= 3 && !first.starts_with('0') => text.contains('.'),
            (_, 3) => return None,
            _ => true,
        },
        [rest @ .., end @ ('.' | ',')] => rest.iter().all(|sign| sign != end),
        _ => false,
    };
    let (whole, part, grouping) = match point {
        true => (before, *last, &signs[..signs.len() - 1]),
        false => (groups.as_slice(), "", signs.as_slice()),
    };
    if point && part.is_empty() {
        return None;
    }
    if !grouping.is_empty() {
        let alike = grouping.iter().all(|sign| *sign == grouping[0]);
        let first = whole[0];
        let first_fits = (1..=3).contains(&first.len()) && !first.starts_with('0');
        if !alike || !first_fits || whole[1..].iter().any(|group| group.len() != 3) {
            return None;
        }
    }
    let (cents, beyond) = part.split_at(part.len().min(2));
    let number: String = whole.concat();
    if !zeros(beyond) || number.len() > 13 || (number.is_empty() && part.is_empty()) {
        return None;
    }
    let number = if number.is_empty() {
        0
    } else {
        number.parse::<u64>().unwrap()
    };
    Some(format!("{number}.{cents:0<2}"))
}

/// Days whose year stands first, as far as nothing else can be meant.
fn day(text: &str) -> Option<String> {
    let sign = text.chars().find(|c| !c.is_ascii_digit() && *c != ' ')?;
    let parts: Vec<&str> = text.split(sign).map(str::trim).collect();
    let [year, month, day] = parts.as_slice() else {
        return None;
    };
    let fits = |part: &str| digits(part) && part.len() <= 4;
    if !"-/.".contains(sign) || year.len() != 4 || !parts.iter().all(|part| fits(part)) {
        return None;
    }
    let day = Day::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?).ok()?;
    let in_bounds = day.year() >= 1900 && day <= TODAY;
    in_bounds.then(|| day.to_string())
}
