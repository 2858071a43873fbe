//! Words for parts of a bike, in English and German. Common usage, no source.

const PARTS: [&str; 52] = [
    "bar",
    "bearing",
    "bearings",
    "bell",
    "bottom",
    "bracket",
    "brake",
    "brakes",
    "bremsen",
    "cable",
    "cables",
    "cassette",
    "chain",
    "chainring",
    "derailleur",
    "freewheel",
    "griffe",
    "grip",
    "grips",
    "headset",
    "inner",
    "kassette",
    "kette",
    "licht",
    "light",
    "lights",
    "mantel",
    "mudguard",
    "mudguards",
    "pads",
    "pedal",
    "pedals",
    "rack",
    "reifen",
    "saddle",
    "sattel",
    "schlauch",
    "schläuche",
    "shifter",
    "spoke",
    "spokes",
    "stand",
    "tape",
    "tire",
    "tires",
    "tube",
    "tubes",
    "tyre",
    "tyres",
    "wheel",
    "wheels",
    "züge",
];

/// Words beside them that say nothing of what it is.
const BESIDE: [&str; 6] = ["and", "und", "new", "neu", "rear", "front"];

/// Most bytes of a text that is looked at.
const LONGEST: usize = 100;

/// Whether a text in small letters names parts of a bike and nothing else: `chain and
/// cables`, `new tyre`.
pub(in crate::intake) fn names_parts(text: &str) -> bool {
    if text.len() > LONGEST {
        return false;
    }
    let words = text.split(|c: char| !c.is_alphabetic());
    let mut words = words.filter(|word| word.chars().count() > 2);
    let mut any = false;
    let all = words.all(|word| {
        any |= PARTS.contains(&word);
        PARTS.contains(&word) || BESIDE.contains(&word)
    });
    all && any
}

#[cfg(test)]
mod tests {
    use super::names_parts;

    #[test]
    fn only_parts_are_parts() {
        for text in [
            "tyre",
            "chain and cables",
            "new rear tyre",
            "reifen und schlauch",
        ] {
            assert!(names_parts(text), "{text}");
        }
        for text in ["", "and", "oil for the chain", "train", "new"] {
            assert!(!names_parts(text), "{text}");
        }
    }
}
