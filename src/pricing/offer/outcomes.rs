//! What every set of jobs makes of a bike.

use super::reach::{Grades, Reach};
use crate::trade::Bike;

/// The bikes that sets of jobs lead to, each once.
pub(super) struct Outcomes {
    /// They; the first is the bike as found.
    pub(super) bikes: Vec<Bike>,
    /// By set, a bit a job: the place of its bike.
    pub(super) of_set: Vec<usize>,
    /// By job: its place in the order of doing them.
    pub(super) ranks: Vec<usize>,
}

impl Outcomes {
    pub(super) fn of(bike: &Bike, jobs: usize, reach: &Reach<'_>) -> Self {
        let mut found: Vec<Grades> = Vec::new();
        let mut place = |set: u32| {
            let grades = reach.after(set);
            let known = found.iter().position(|known| *known == grades);
            known.unwrap_or_else(|| {
                found.push(grades);
                found.len() - 1
            })
        };
        let of_set = (0..1_u32 << jobs).map(&mut place).collect();
        let bikes = found.into_iter().map(|(condition, tier)| Bike {
            condition,
            tier,
            ..*bike
        });
        Self {
            bikes: bikes.collect(),
            of_set,
            ranks: (0..jobs).map(|job| reach.rank(job)).collect(),
        }
    }

    /// Place of the bike that a set leads to.
    pub(super) fn place(&self, set: u32) -> usize {
        self.of_set[set as usize]
    }

    /// Place of the bike with all jobs done.
    pub(super) fn done(&self) -> usize {
        self.of_set[self.of_set.len() - 1]
    }
}
