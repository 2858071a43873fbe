//! What is said of a bike that the book does not have.

use super::like_id;
use super::renamed::names_now;
use crate::book::{Book, BookProblem};
use crate::intake::{CellProblem, made_visible};
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
        ids: impl Iterator<Item = &'a str>,
        id: &str,
    ) -> CellProblem {
        let expected = "a bike that is among the sales in the book";
        if let Some(now) = self.renamed.get(id) {
            let now = made_visible(now);
            return CellProblem::new(expected, format!("Write {now}: it was renamed to that."));
        }
        self.looked_up += 1;
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
