//! What is said of a bike that the book does not have.

use super::like_id;
use super::renamed::names_now;
use crate::book::{Book, BookProblem};
use crate::intake::{CellProblem, made_visible, word_flag};
use std::collections::HashMap;

/// Rows for which the bike that was meant is looked for.
const LOOKED_UP: usize = 1000;

/// Counts how often it was looked for.
#[derive(Default)]
pub(crate) struct UnknownBikes {
    looked_up: usize,
    /// Ids of before a rename, and what those bikes are called now.
    renamed: HashMap<String, String>,
}

impl UnknownBikes {
    /// None was looked for yet.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(crate) fn of(book: &Book) -> Result<Self, BookProblem> {
        Ok(Self {
            looked_up: 0,
            renamed: names_now(book)?,
        })
    }

    /// The problem of a row that names `id`, which is none of `ids`.
    pub(crate) fn problem<'a>(
        &mut self,
        ids: impl Iterator<Item = &'a str> + Clone,
        id: &str,
    ) -> CellProblem {
        let expected = "a bike that is among the sales in the book";
        if let Some(now) = self.renamed.get(id) {
            let now = made_visible(now);
            return CellProblem::new(expected, format!("Write {now}: it was renamed to that."));
        }
        self.looked_up += 1;
        if self.looked_up <= LOOKED_UP
            && let Some((mend, meant)) = as_people_write(&ids, id)
        {
            let problem = CellProblem::new(expected, mend);
            return match meant {
                Some(meant) => problem.meaning(meant),
                None => problem,
            };
        }
        let near = if self.looked_up <= LOOKED_UP {
            like_id::nearest(ids, id)
        } else {
            None
        };
        let mend = match near {
            Some(near) => {
                let unseen = like_id::unseen_difference(id, near);
                let unseen = unseen.map_or(String::new(), |words| format!(" ({words})"));
                let near = made_visible(near);
                format!(
                    "Did you mean {near}{unseen}? A new bike comes in with import sales or record \
                     sale."
                )
            }
            None => "Import the sales with this bike first: wheelworth import sales FILE; or \
                     record the bike: wheelworth record sale."
                .into(),
        };
        CellProblem::new(expected, mend)
    }
}

/// What to do about `#15`, `Nr. 5` or `11 + 12` where the book knows these bikes without
/// what stands around them.
fn as_people_write<'a>(
    ids: &(impl Iterator<Item = &'a str> + Clone),
    id: &str,
) -> Option<(String, Option<String>)> {
    if id.len() > LONGEST {
        return None;
    }
    let known = |text: &str| {
        let text = text.trim();
        let bare = bare(text);
        let mut ids = ids.clone();
        ids.find(|id| *id == text || *id == bare)
    };
    if let Some(meant) = known(id) {
        let shown = made_visible(meant);
        let flag = word_flag("bike", id, &shown);
        let or = flag.map_or(String::new(), |flag| format!(", or import with {flag}"));
        let mend = format!("Did you mean {shown}? Write {shown}{or}.");
        return Some((mend, Some(meant.to_string())));
    }
    let several = id.replace(" und ", "+").replace(" and ", "+");
    let parts: Vec<&str> = several.split(['+', '&', '/', ',']).collect();
    let all: Option<Vec<&str>> = parts.iter().map(|part| known(part)).collect();
    let all = all.filter(|all| all.len() > 1)?;
    let named: Vec<String> = all.iter().map(|id| made_visible(id)).collect();
    let mend = format!(
        "Write a row for each bike ({}), with its part of the amount.",
        named.join(", ")
    );
    Some((mend, None))
}

/// Longer ids, in bytes, are not looked at.
const LONGEST: usize = 100;

/// An id without the word or sign for a number before it.
fn bare(text: &str) -> &str {
    const BEFORE: [&str; 12] = [
        "fahrrad", "rad-nr.", "rad-nr", "number", "bike", "rad", "nr.", "no.", "nr", "no", "id",
        "#",
    ];
    let mut rest = text.trim();
    for word in BEFORE {
        let cut = rest.get(..word.len());
        let tail = rest.get(word.len()..);
        if let (Some(cut), Some(tail)) = (cut, tail)
            && cut.to_lowercase() == word
        {
            rest = tail.trim_start_matches([' ', '.', ':', '#']);
        }
    }
    rest
}
