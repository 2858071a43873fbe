//! Taking a bike apart for its parts.

use crate::statistics::distribution::normal;
use crate::trade::Part;
use crate::trade::inspection::{Item, plain};

/// Parts that hold the rider, with words that name them, and the check that they
/// must have passed: one that has not is scrap and never passed on.
const STRUCTURAL: [(&str, &[&str]); 6] = [
    ("frame", &["frame", "frameset"]),
    ("fork", &["fork", "frameset"]),
    ("handlebar", &["handlebar", "bar"]),
    ("stem", &["stem"]),
    ("seat post", &["seatpost", "post"]),
    ("cranks", &["crank", "crankset", "chainset"]),
];

/// Words of which a part is named with its wheel, whose rim must have passed.
const WHEELS: [&str; 3] = ["wheel", "wheelset", "rim"];

/// A part and what it counts.
#[derive(Clone, Debug, PartialEq)]
pub struct PartWorth {
    /// The part.
    pub part: Part,
    /// The check that it has not passed, so that it is scrap.
    pub scrap: Option<&'static str>,
    /// Whether it holds the rider, sound or not.
    pub structural: bool,
}

impl PartWorth {
    /// What it brings on average, in the unit of `price`.
    fn mean(&self, price: f64) -> f64 {
        if self.scrap.is_some() {
            0.0
        } else {
            price * self.part.chance
        }
    }
}

/// What each part counts when the gates in `open` have not been passed.
pub fn worth(parts: &[Part], open: &[&'static Item]) -> Vec<PartWorth> {
    parts
        .iter()
        .map(|part| {
            let checks = checks_of(&part.name);
            let failed = |name: &&str| open.iter().any(|item| item.name == *name);
            let carbon = plain(&part.name).split(' ').any(|word| word == "carbon");
            let carbon_check = ["carbon parts"].into_iter().filter(|_| carbon);
            let scrap = checks.iter().copied().chain(carbon_check).find(failed);
            PartWorth {
                part: part.clone(),
                scrap,
                structural: !checks.is_empty(),
            }
        })
        .collect()
}

/// The checks that a part of this name must have passed.
fn checks_of(name: &str) -> Vec<&'static str> {
    let name = plain(name);
    let words: Vec<&str> = name
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(|word| word.strip_suffix('s').unwrap_or(word))
        .collect();
    let any = |named: &[&str]| words.iter().any(|word| named.contains(word));
    // 'bottom bracket', 'bar tape' and 'seat post clamp' hold nobody.
    if any(&["tape", "grip", "clamp", "bag", "plug"]) {
        return Vec::new();
    }
    let mut checks: Vec<&'static str> = STRUCTURAL
        .iter()
        .filter(|(_, named)| any(named))
        .map(|(check, _)| *check)
        .collect();
    if any(&WHEELS) {
        let ends = [("front", "front rim"), ("rear", "rear rim")];
        let named = ends.iter().any(|(end, _)| words.contains(end));
        let of = |end: &str| !named || words.contains(&end);
        checks.extend(ends.iter().filter(|(end, _)| of(end)).map(|(_, rim)| *rim));
    }
    checks
}

/// What the parts bring together, less a fee: on average, and at a quantile. In
/// the unit of `units`, which gives each price. The parts sell independently; their
/// sum is taken for normal, never below 0.
pub fn together(
    parts: &[PartWorth],
    fee: f64,
    at: f64,
    units: impl Fn(&Part) -> f64,
) -> (f64, f64) {
    let mean: f64 = parts.iter().map(|one| one.mean(units(&one.part))).sum();
    let variance: f64 = parts
        .iter()
        .map(|one| one.mean(units(&one.part)) * units(&one.part) * (1.0 - one.part.chance))
        .sum();
    let low = (mean + variance.sqrt() * normal::quantile(at)).max(0.0);
    ((1.0 - fee) * mean, (1.0 - fee) * low)
}
