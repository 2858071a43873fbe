//! Names that people give to columns, in English and German, and the field that each
//! probably is: proposed, never taken by themselves. Common usage, no source.

use crate::intake::field::Field;

/// Fields in the order in which they are tried, and the names in small letters.
const NAMES: &[(&[&str], &[&str])] = &[
    (
        &["bike", "listing"],
        &[
            "rad",
            "fahrrad",
            "velo",
            "nr",
            "no",
            "nummer",
            "number",
            "id",
            "bike id",
            "for",
            "für",
            "bike no",
            "bike number",
            "radnr",
            "rad nr",
            "ref",
            "code",
            "kennung",
            "lfd nr",
            "lfdnr",
            "stock no",
            "stock number",
            "bicycle",
            "tag",
            "item no",
            "bike name",
            "fahrradnummer",
            "inventory",
            "serial",
        ],
    ),
    (
        &["listing", "bike"],
        &[
            "anzeige",
            "inserat",
            "ad",
            "advert",
            "listing id",
            "ad id",
            "anzeigennummer",
            "link",
            "url",
        ],
    ),
    (
        &["source"],
        &[
            "quelle",
            "portal",
            "site",
            "where",
            "wo",
            "website",
            "platform",
            "plattform",
            "marketplace",
            "where seen",
            "gesehen bei",
            "seen at",
        ],
    ),
    (
        &["style", "kind"],
        &[
            "typ",
            "type",
            "art",
            "kategorie",
            "category",
            "what",
            "what it is",
            "bike type",
            "type of bike",
            "fahrradtyp",
            "radtyp",
            "class of bike",
            "kind of bike",
            "bauart",
            "sort",
            "style of bike",
        ],
    ),
    (
        &["made"],
        &[
            "baujahr",
            "jahr",
            "year",
            "model year",
            "modelljahr",
            "bj",
            "built",
            "vintage",
            "year made",
            "year of make",
        ],
    ),
    (
        &["condition"],
        &[
            "zustand",
            "state",
            "cond",
            "grade",
            "shape",
            "qualität",
            "quality",
        ],
    ),
    (
        &["tier"],
        &[
            "ausstattung",
            "komponenten",
            "components",
            "groupset",
            "gruppe",
            "level",
            "class",
            "klasse",
            "component tier",
            "component level",
            "parts level",
            "schaltung",
        ],
    ),
    (
        &["seat_tube"],
        &[
            "rahmenhöhe",
            "rahmengröße",
            "rahmenhoehe",
            "rahmengroesse",
            "rahmen",
            "frame",
            "frame size",
            "size",
            "größe",
            "groesse",
            "rh",
            "seat tube",
            "frame height",
            "höhe",
        ],
    ),
    (
        &["new_price"],
        &[
            "neupreis",
            "np",
            "new price",
            "rrp",
            "msrp",
            "uvp",
            "list price",
            "listenpreis",
            "retail",
            "price new",
            "new cost",
        ],
    ),
    (
        &["bought_on"],
        &[
            "gekauft am",
            "kaufdatum",
            "gekauft",
            "bought",
            "purchase date",
            "date bought",
            "date of purchase",
            "acquired",
            "einkauf am",
            "ankauf am",
            "einkaufsdatum",
            "purchased",
            "bought date",
            "got it",
            "got it on",
            "bekommen",
        ],
    ),
    (
        &["listed_on"],
        &[
            "eingestellt",
            "inseriert",
            "inseriert am",
            "eingestellt am",
            "online seit",
            "listed",
            "date listed",
            "posted",
            "posted on",
            "online since",
            "angeboten am",
            "list date",
            "listing date",
            "advertised",
        ],
    ),
    (
        &["sold_on", "ended_on"],
        &[
            "verkauft am",
            "verkaufsdatum",
            "verkauft",
            "sold",
            "sale date",
            "date sold",
            "date of sale",
            "sold date",
            "verkauf am",
            "verkaufstag",
        ],
    ),
    (
        &["sold_price"],
        &[
            "verkaufspreis",
            "vk",
            "vk preis",
            "erlös",
            "erloes",
            "got",
            "sale price",
            "sold for",
            "selling price",
            "received",
            "verkauft für",
            "verkauft fuer",
            "proceeds",
            "revenue",
            "price sold",
            "sales price",
            "einnahme",
        ],
    ),
    (
        &["last_ask"],
        &[
            "letzter preis",
            "last price",
            "current price",
            "price now",
            "aktueller preis",
            "preis jetzt",
            "latest ask",
        ],
    ),
    (
        &["ask", "amount"],
        &[
            "preis",
            "price",
            "asking price",
            "vb",
            "angebotspreis",
            "asking",
            "preisvorstellung",
            "ask price",
            "asked",
            "wunschpreis",
            "startpreis",
            "first ask",
            "first price",
            "list",
            "list at",
            "angebot",
            "listed price",
        ],
    ),
    (
        &["amount", "purchase"],
        &[
            "betrag",
            "cost",
            "costs",
            "kosten",
            "sum",
            "paid",
            "value",
            "wert",
            "spent",
            "eur",
            "euro",
            "gesamtpreis",
        ],
    ),
    (
        &["purchase"],
        &[
            "einkaufspreis",
            "ek",
            "ek preis",
            "einkauf",
            "kaufpreis",
            "bought for",
            "buying price",
            "purchase price",
            "ankauf",
            "ankaufspreis",
            "gekauft für",
            "bezahlt",
            "price paid",
            "paid for it",
        ],
    ),
    (
        &["parts"],
        &[
            "teile",
            "ersatzteile",
            "spares",
            "material",
            "parts cost",
            "cost of parts",
            "teilekosten",
            "spare parts",
        ],
    ),
    (
        &["fees"],
        &[
            "gebühren",
            "gebuehren",
            "gebühr",
            "fee",
            "commission",
            "provision",
            "selling fees",
        ],
    ),
    (
        &["other_cost"],
        &[
            "sonstiges",
            "sonstige kosten",
            "other",
            "other costs",
            "travel",
            "fahrtkosten",
            "extras",
        ],
    ),
    (
        &["hours"],
        &[
            "stunden",
            "h",
            "hrs",
            "std",
            "time",
            "zeit",
            "arbeitszeit",
            "labour",
            "labor",
            "work",
            "work hours",
            "arbeitsstunden",
            "hours worked",
            "time spent",
        ],
    ),
    (
        &["item"],
        &[
            "artikel",
            "teil",
            "part",
            "bezeichnung",
            "gegenstand",
            "wofür",
            "what for",
            "thing",
            "was",
            "description",
            "beschreibung",
        ],
    ),
    (
        &["note"],
        &[
            "notiz",
            "notizen",
            "bemerkung",
            "bemerkungen",
            "anmerkung",
            "anmerkungen",
            "kommentar",
            "comment",
            "comments",
            "remark",
            "remarks",
            "notes",
            "memo",
            "description",
            "beschreibung",
            "info",
        ],
    ),
    (
        &["guess"],
        &["schätzung", "estimate", "my guess", "my estimate"],
    ),
    (
        &["on", "first_seen", "sold_on"],
        &["datum", "date", "day", "when", "wann", "am"],
    ),
    (
        &["first_seen"],
        &[
            "gesehen",
            "gesehen am",
            "first seen",
            "seen",
            "seen on",
            "date seen",
            "erstmals gesehen",
            "found on",
            "found",
        ],
    ),
    (
        &["last_seen"],
        &[
            "zuletzt gesehen",
            "last seen",
            "zuletzt",
            "last look",
            "last checked",
        ],
    ),
    (
        &["outcome"],
        &[
            "status",
            "ergebnis",
            "result",
            "ausgang",
            "what became of it",
        ],
    ),
    (
        &["ended_on"],
        &[
            "ende",
            "end",
            "ended",
            "beendet am",
            "weg seit",
            "gone on",
            "end date",
        ],
    ),
    (
        &["from_box"],
        &[
            "aus der kiste",
            "aus lager",
            "own stock",
            "from the box",
            "parts box",
        ],
    ),
    (
        &["beneficiary"],
        &[
            "empfänger",
            "empfaenger",
            "recipient",
            "charity",
            "verein",
            "who",
            "wer",
            "an",
            "to",
            "given to",
        ],
    ),
    (
        &["reference"],
        &[
            "referenz",
            "ref",
            "beleg",
            "belegnummer",
            "belegnr",
            "verwendungszweck",
            "receipt",
            "receipt no",
        ],
    ),
    (&["kind"], &["sort of cost", "kostenart", "expense type"]),
];

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
