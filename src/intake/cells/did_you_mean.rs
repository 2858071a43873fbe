//! The word that was probably meant.

/// Longer texts, in bytes, are like no word of ours; comparing them would cost
/// memory in proportion to their length.
const LONGEST_WORD: usize = 100;

/// The candidate that a word is most like: one slip of the pen away, or by Jaro
/// and Winkler's similarity of at least 0.84 (chosen by trial; no source).
pub(in crate::intake) fn nearest<'a>(
    word: &str,
    candidates: impl Iterator<Item = &'a str>,
) -> Option<&'a str> {
    let key = |text: &str| text.trim().to_lowercase().replace([' ', '-'], "_");
    if word.len() > LONGEST_WORD {
        return None;
    }
    let word = key(word);
    let numbers = |text: &str| -> Vec<String> {
        let runs = text.split(|c: char| !c.is_ascii_digit());
        runs.filter(|run| !run.is_empty())
            .map(String::from)
            .collect()
    };
    let asked = numbers(&word);
    // Another number is another thing, however few strokes lie between.
    let other_number = |candidate: &str| {
        let there = numbers(candidate);
        !asked.is_empty() && !there.is_empty() && asked != there
    };
    let likeness = |candidate: &str| {
        let candidate = key(candidate);
        let one_slip = word.len() >= 3 && strsim::damerau_levenshtein(&word, &candidate) <= 1;
        let alike = strsim::jaro_winkler(&word, &candidate);
        if one_slip { alike.max(0.9) } else { alike }
    };
    let scored = candidates
        .filter(|candidate| !other_number(candidate))
        .map(|candidate| (likeness(candidate), candidate));
    let best = scored.max_by(|(a, _), (b, _)| a.total_cmp(b));
    best.filter(|(score, _)| *score >= 0.84)
        .map(|(_, candidate)| candidate)
}
