//! What words that are none of ours probably mean, in English and German: proposed, never
//! taken by themselves. Common usage, no source.

use super::did_you_mean::nearest;
use super::part_words::names_parts;

/// Our word, and the others for it in small letters.
type Meanings = &'static [(&'static str, &'static [&'static str])];

const STYLES: Meanings = &[
    (
        "road",
        &[
            "rennrad",
            "racer",
            "racing",
            "race",
            "racing bike",
            "road bike",
            "roadbike",
            "gravel",
            "gravelbike",
            "rennvelo",
            "ten-speed",
            "halbrenner",
        ],
    ),
    (
        "hybrid",
        &[
            "cross",
            "crossrad",
            "crossbike",
            "fitness",
            "fitnessbike",
            "hybridrad",
            "allround",
            "atb",
            "trekking",
            "trekkingrad",
            "trekkingbike",
        ],
    ),
    (
        "mountain",
        &[
            "mtb",
            "mountainbike",
            "mountain bike",
            "bergrad",
            "offroad",
            "hardtail",
            "fully",
        ],
    ),
    (
        "city",
        &[
            "stadtrad",
            "citybike",
            "city bike",
            "cityrad",
            "damenrad",
            "herrenrad",
            "hollandrad",
            "holländer",
            "three-speed",
            "step-through",
            "dutch",
            "ladies",
            "commuter",
            "urban",
            "shopper",
            "tourenrad",
            "town",
            "roadster",
        ],
    ),
    ("cruiser", &["beach", "beachcruiser", "beach cruiser"]),
    ("touring", &["reiserad", "randonneur", "tourer", "travel"]),
    (
        "folding",
        &[
            "klapprad", "faltrad", "folder", "fold", "foldable", "faltbar",
        ],
    ),
    (
        "kids",
        &[
            "kinderrad",
            "kinder",
            "kind",
            "child",
            "children",
            "childrens",
            "junior",
            "jugendrad",
            "kid",
            "laufrad",
            "boys",
            "girls",
        ],
    ),
    (
        "other",
        &[
            "tandem",
            "cargo",
            "lastenrad",
            "trike",
            "dreirad",
            "recumbent",
            "liegerad",
            "bmx",
            "e-bike",
            "ebike",
            "pedelec",
            "sonstiges",
            "sonstige",
            "andere",
            "misc",
        ],
    ),
];

const CONDITIONS: Meanings = &[
    (
        "donor",
        &[
            "scrap",
            "schrott",
            "parts only",
            "for parts",
            "parts",
            "teile",
            "ersatzteilspender",
            "teilespender",
            "wreck",
        ],
    ),
    (
        "project",
        &[
            "poor",
            "bad",
            "schlecht",
            "defekt",
            "kaputt",
            "broken",
            "needs work",
            "needs repair",
            "reparaturbedürftig",
            "bastler",
            "bastlerrad",
            "rough",
            "mangelhaft",
            "rusty",
            "rostig",
            "beat up",
            "in pieces",
            "wants work",
        ],
    ),
    (
        "rider",
        &[
            "ok",
            "okay",
            "fair",
            "used",
            "gebraucht",
            "average",
            "befriedigend",
            "serviced",
            "usable",
            "fahrbereit",
            "akzeptabel",
            "mittel",
            "worn",
            "so-so",
            "so so",
            "scratched",
            "scratches",
        ],
    ),
    (
        "tidy",
        &[
            "good",
            "gut",
            "very good",
            "sehr gut",
            "gepflegt",
            "clean",
            "great",
            "nice",
            "schön",
            "gd",
            "v gd",
            "vgd",
            "v good",
            "v. good",
            "vg",
            "vgc",
        ],
    ),
    (
        "mint",
        &[
            "like new",
            "as new",
            "wie neu",
            "neuwertig",
            "new",
            "neu",
            "excellent",
            "perfect",
            "top",
            "einwandfrei",
            "exc",
        ],
    ),
];

const TIERS: Meanings = &[
    (
        "basic",
        &[
            "low",
            "entry",
            "entry level",
            "einfach",
            "budget",
            "cheap",
            "billig",
            "einsteiger",
            "niedrig",
        ],
    ),
    (
        "sport",
        &["mid", "middle", "medium", "mittel", "standard", "normal"],
    ),
    ("club", &["good", "gut", "better", "upper", "gehoben"]),
    (
        "race",
        &[
            "high",
            "hoch",
            "hochwertig",
            "sehr gut",
            "very good",
            "high end",
        ],
    ),
    ("pro", &["top", "profi", "best", "professional", "spitze"]),
];

const OUTCOMES: Meanings = &[
    (
        "listed",
        &[
            "available",
            "active",
            "online",
            "aktiv",
            "verfügbar",
            "noch da",
            "still there",
            "open",
            "offen",
            "for sale",
            "zu verkaufen",
            "da",
        ],
    ),
    ("sold", &["verkauft", "vk", "gone sold", "sale"]),
    (
        "withdrawn",
        &[
            "zurückgezogen",
            "taken down",
            "removed by seller",
            "cancelled",
            "abgebrochen",
        ],
    ),
    (
        "gone",
        &[
            "deleted",
            "removed",
            "gelöscht",
            "weg",
            "verschwunden",
            "expired",
            "abgelaufen",
            "unknown",
            "unbekannt",
            "vanished",
            "ended",
            "beendet",
            "offline",
        ],
    ),
];

const KINDS: Meanings = &[
    (
        "purchase",
        &[
            "kauf", "einkauf", "ankauf", "bike", "rad", "fahrrad", "bought",
        ],
    ),
    (
        "part",
        &[
            "parts",
            "teil",
            "teile",
            "ersatzteil",
            "ersatzteile",
            "spare",
            "spares",
        ],
    ),
    (
        "supply",
        &[
            "supplies",
            "material",
            "verbrauch",
            "verbrauchsmaterial",
            "consumables",
            "consumable",
            "oil",
            "öl",
        ],
    ),
    (
        "fee",
        &["fees", "gebühr", "gebühren", "provision", "commission"],
    ),
    (
        "travel",
        &[
            "fahrt",
            "fahrtkosten",
            "sprit",
            "petrol",
            "fuel",
            "transport",
            "train",
            "bahn",
        ],
    ),
    (
        "other",
        &[
            "sonstiges",
            "sonstige",
            "misc",
            "miscellaneous",
            "tools",
            "tool",
            "werkzeug",
            "andere",
        ],
    ),
];

const LEFT: Meanings = &[
    ("sold", &["verkauft", "sale", "sold it"]),
    (
        "kept",
        &["keeping", "keep", "kept it", "behalten", "own use", "mine"],
    ),
    (
        "given",
        &[
            "given away",
            "gave away",
            "gift",
            "gifted",
            "donated",
            "verschenkt",
            "gespendet",
            "free to good home",
        ],
    ),
    (
        "scrapped",
        &[
            "scrap",
            "parted out",
            "broken up",
            "stripped",
            "verschrottet",
            "ausgeschlachtet",
            "schrott",
            "tip",
        ],
    ),
    ("stolen", &["theft", "nicked", "gestohlen", "geklaut"]),
];

/// Whether a word in place of an amount says that nothing was paid.
pub(in crate::intake) fn is_free(word: &str) -> bool {
    const FREE: [&str; 13] = [
        "free",
        "for free",
        "gift",
        "a gift",
        "gifted",
        "donated",
        "donation",
        "geschenkt",
        "geschenk",
        "gratis",
        "umsonst",
        "kostenlos",
        "found",
    ];
    let said = word.trim().to_lowercase();
    FREE.contains(&said.trim_matches(['(', ')', ' ', '.', '!']))
}

/// Whether a word in place of the day of a sale says that there was none yet.
pub(in crate::intake) fn is_unsold(word: &str) -> bool {
    const UNSOLD: [&str; 13] = [
        "-",
        "unsold",
        "not sold",
        "not yet",
        "still here",
        "in stock",
        "available",
        "noch da",
        "nicht verkauft",
        "unverkauft",
        "vorhanden",
        "offen",
        "steht noch",
    ];
    UNSOLD.contains(&word.trim().to_lowercase().as_str())
}

/// Whether a word in place of a bike says that money was spent on none.
pub fn is_no_bike(word: &str) -> bool {
    const NONE: [&str; 24] = [
        "-",
        "–",
        "--",
        "/",
        "shop",
        "the shop",
        "workshop",
        "shed",
        "general",
        "all",
        "none",
        "n/a",
        "no bike",
        "various",
        "werkstatt",
        "allg",
        "allg.",
        "allgemein",
        "alle",
        "keins",
        "kein rad",
        "diverse",
        "schuppen",
        "garage",
    ];
    NONE.contains(&word.trim().to_lowercase().as_str())
}

/// What a word in a column of ours probably means, and whether that is a guess at all
/// rather than what the word says; `None` where nothing sensible can be said.
pub(in crate::intake) fn meaning(column: &str, word: &str) -> Option<(&'static str, bool)> {
    let meanings = match column {
        "style" => STYLES,
        "condition" => CONDITIONS,
        "tier" => TIERS,
        "outcome" => OUTCOMES,
        "kind" => KINDS,
        "left_as" => LEFT,
        "purchase" | "parts" | "fees" | "other_cost" | "amount" => {
            return is_free(word).then_some(("0", false));
        }
        "bike" => return is_no_bike(word).then_some(("", false)),
        "sold_on" => return is_unsold(word).then_some(("", false)),
        _ => return None,
    };
    let said = word.trim().to_lowercase();
    if column == "style" && said.contains([' ', ',']) && said.len() <= 100 {
        // 'Rennrad, blau': the first of its words that names a style.
        let words = || said.split([' ', ',', '"', '(', ')', '/']);
        let named = |word: &str| {
            let mut styles = STYLES.iter();
            styles.find(|(ours, words)| *ours == word || words.contains(&word))
        };
        let found = words()
            .find_map(|word| named(word).filter(|(ours, _)| *ours != "other"))
            .or_else(|| words().find_map(named));
        let whole = STYLES
            .iter()
            .any(|(_, words)| words.contains(&said.as_str()));
        if let Some((ours, _)) = found.filter(|_| !whole) {
            return Some((ours, false));
        }
    }
    if column == "kind" && names_parts(&said) {
        return Some(("part", false));
    }
    let known = meanings
        .iter()
        .find(|(_, words)| words.contains(&said.as_str()));
    if let Some((ours, _)) = known {
        return Some((ours, false));
    }
    if let Some(ours) = nearest(&said, meanings.iter().map(|(ours, _)| *ours)) {
        return Some((ours, false));
    }
    let close = meanings
        .iter()
        .find(|(_, words)| nearest(&said, words.iter().copied()).is_some());
    match (close, column) {
        (Some((ours, _)), _) => Some((ours, false)),
        (None, "style" | "kind") => Some(("other", true)),
        (None, "outcome") => Some(("gone", true)),
        (None, _) => None,
    }
}

/// Whether a word of a file is or names one of ours in this column.
pub(in crate::intake) fn is_word_of(column: &str, word: &str) -> bool {
    matches!(meaning(column, word), Some((_, false)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::Outcome;
    use crate::trade::bike::{Condition, Style, Tier};

    #[test]
    fn every_meaning_is_a_word_of_ours() {
        let parses = |column: &str, word: &str| match column {
            "style" => Style::from_word(word).is_some(),
            "condition" => Condition::from_word(word).is_some(),
            "tier" => Tier::from_word(word).is_some(),
            _ => Outcome::from_word(word).is_some(),
        };
        for (column, meanings) in [
            ("style", STYLES),
            ("condition", CONDITIONS),
            ("tier", TIERS),
            ("outcome", OUTCOMES),
        ] {
            assert!(
                meanings.iter().all(|(ours, _)| parses(column, ours)),
                "{column}"
            );
        }
        for (word, kind) in [
            ("tyre", "part"),
            ("chain and cables", "part"),
            ("new rear tyre", "part"),
            ("oil", "supply"),
            ("paint", "other"),
        ] {
            assert_eq!(
                meaning("kind", word).map(|(ours, _)| ours),
                Some(kind),
                "{word}"
            );
        }
        assert_eq!(meaning("style", "Trekking"), Some(("hybrid", false)));
        assert_eq!(
            meaning("style", "MTB 26\", blau"),
            Some(("mountain", false))
        );
        assert_eq!(meaning("style", "Road bike"), Some(("road", false)));
        assert_eq!(meaning("purchase", "(free)"), Some(("0", false)));
        assert_eq!(meaning("ask", "free"), None);
        assert_eq!(meaning("style", "altes Tandem"), Some(("other", false)));
        assert_eq!(meaning("sold_on", "Noch da"), Some(("", false)));
        assert_eq!(meaning("style", "bananas"), Some(("other", true)));
        assert_eq!(meaning("condition", "bananas"), None);
        assert_eq!(meaning("condition", "Gut"), Some(("tidy", false)));
        assert_eq!(meaning("note", "gut"), None);
    }
}
