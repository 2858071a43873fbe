//! What words that are none of ours probably mean, in English and German: proposed, never
//! taken by themselves. Common usage, no source.

use super::did_you_mean::nearest;

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
    (
        "touring",
        &[
            "trekking",
            "trekkingrad",
            "trekkingbike",
            "reiserad",
            "randonneur",
            "tourer",
            "travel",
        ],
    ),
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

/// What a word in a column of ours probably means, and whether that is a guess at all
/// rather than what the word says; `None` where nothing sensible can be said.
pub(in crate::intake) fn meaning(column: &str, word: &str) -> Option<(&'static str, bool)> {
    let meanings = match column {
        "style" => STYLES,
        "condition" => CONDITIONS,
        "tier" => TIERS,
        "outcome" => OUTCOMES,
        "kind" => KINDS,
        _ => return None,
    };
    let said = word.trim().to_lowercase();
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
        assert_eq!(meaning("style", "Trekking"), Some(("touring", false)));
        assert_eq!(meaning("style", "bananas"), Some(("other", true)));
        assert_eq!(meaning("condition", "bananas"), None);
        assert_eq!(meaning("condition", "Gut"), Some(("tidy", false)));
        assert_eq!(meaning("note", "gut"), None);
    }
}
