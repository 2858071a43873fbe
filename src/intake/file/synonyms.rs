//! The field that a column's name probably means.

use super::column_names::NAMES;
use crate::intake::field::Field;

/// Words beside a name that say nothing of the field.
const UNITS: [&str; 14] = [
    "eur", "euro", "euros", "usd", "gbp", "chf", "in", "cm", "mm", "inch", "the", "of", "vb", "ca",
];

/// A name without what stands in brackets, signs and capitals.
pub(in crate::intake) fn plain(name: &str) -> String {
    let mut kept = String::new();
    let mut depth = 0_u32;
    for letter in name.to_lowercase().chars() {
        match letter {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            _ if depth > 0 => {}
            c if c.is_alphanumeric() => kept.push(c),
            _ => kept.push(' '),
        }
    }
    kept.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The field that a column's name probably means; among the fields for which `free` holds.
pub(in crate::intake) fn field_of(
    name: &str,
    fields: &'static [Field],
    free: impl Fn(&str) -> bool,
) -> Option<&'static str> {
    if name.len() > 100 {
        return None;
    }
    let whole = plain(name);
    let words: Vec<&str> = whole
        .split(' ')
        .filter(|word| !UNITS.contains(word))
        .collect();
    let bare = words.join(" ");
    let known = |text: &str| {
        let ours = fields
            .iter()
            .find(|field| field.name.replace('_', " ") == text && free(field.name));
        ours.map(|field| field.name).or_else(|| {
            let mut rows = NAMES.iter().filter(|(_, names)| names.contains(&text));
            rows.find_map(|(wanted, _)| {
                let wanted = wanted.iter().find_map(|wanted| {
                    fields
                        .iter()
                        .find(|field| field.name == *wanted && free(field.name))
                });
                wanted.map(|field| field.name)
            })
        })
    };
    let joined = whole.replace(' ', "");
    [whole.as_str(), bare.as_str(), joined.as_str()]
        .into_iter()
        .filter(|text| !text.is_empty())
        .find_map(known)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::kind::Kind as _;
    use crate::intake::kinds::{comps::Comps, costs::Costs, sales::Sales};

    #[test]
    fn names_in_both_languages_find_their_fields() {
        let of = |name: &str| field_of(name, Sales::FIELDS, |_| true);
        for (name, field) in [
            ("Rad-Nr.", "bike"),
            ("Rad-Typ", "style"),
            ("Typ", "style"),
            ("Preis (EUR)", "ask"),
            ("Verkauft am", "sold_on"),
            ("Zustand", "condition"),
            ("Baujahr", "made"),
            ("Sold for €", "sold_price"),
            ("Seat tube [cm]", "seat_tube"),
            ("Shape (1-5)", "condition"),
        ] {
            assert_eq!(of(name), Some(field), "{name}");
        }
        assert_eq!(of("Farbe"), None);
        assert_eq!(field_of("Typ", Costs::FIELDS, |_| true), Some("kind"));
        assert_eq!(field_of("Nr.", Comps::FIELDS, |_| true), Some("listing"));
        assert_eq!(
            field_of("Typ", Sales::FIELDS, |field| field != "style"),
            None
        );
    }
}
