//! The component tier from what can be seen, without any maker's name.

use crate::trade::Tier;
use crate::trade::inspection::{Fact, FactWord, Holds, Sheet, items};

/// Fewer facts than this give no tier (judgement, no source).
pub const FEWEST_FACTS: usize = 3;

/// One fact and the tier that such parts go with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Vote {
    /// The item.
    pub item: &'static str,
    /// What was seen.
    pub word: &'static str,
    /// 1 to 5; `None` where the fact says nothing of the tier.
    pub tier: Option<u8>,
}

/// The facts that were seen, and the mean of their tiers, halves rounded down;
/// `None` with fewer than [`FEWEST_FACTS`]. The tier of each word is judgement.
pub fn tier(sheet: &Sheet) -> (Vec<Vote>, Option<Tier>) {
    let votes: Vec<Vote> = items()
        .filter_map(|item| match item.holds {
            Holds::Fact(Fact::Words(words)) => vote(sheet, item.name, words),
            _ => None,
        })
        .collect();
    let tiers: Vec<u8> = votes.iter().filter_map(|vote| vote.tier).collect();
    let tier = tier_of(&tiers);
    (votes, tier)
}

/// The mean of the tiers of at least three facts, halves rounded down.
pub fn tier_of(tiers: &[u8]) -> Option<Tier> {
    if tiers.len() < FEWEST_FACTS {
        return None;
    }
    let sum: usize = tiers.iter().map(|tier| usize::from(*tier)).sum();
    // ceil(mean - 1/2), in whole numbers.
    let rounded = (2 * sum - tiers.len()).div_ceil(2 * tiers.len());
    Tier::from_grade(u8::try_from(rounded).ok()?)
}

fn vote(sheet: &Sheet, item: &'static str, words: &'static [FactWord]) -> Option<Vote> {
    let word = sheet.word(item)?;
    let known = words.iter().find(|known| known.word == word)?;
    Some(Vote {
        item,
        word,
        tier: known.tier,
    })
}
