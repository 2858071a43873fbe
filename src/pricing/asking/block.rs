//! The search's moves: a plan as blocks of periods at one ask each.

use super::problem::{NO_GAIN, Problem};
use crate::statistics::dot;
use std::ops::Range;

/// Rounds of moves at most; each must gain, so few are ever used.
const ROUNDS: usize = 60;
/// How many price points and periods a small move reaches. The full moves come
/// after them, so this is a matter of speed.
const NEAR: usize = 2;
/// The first mark-down is looked for among about so many price points on either
/// side, then between those around the best: its worth is smooth in the asks.
const FIRST_LOOK: usize = 16;

/// An ask kept from one period to the start of the next block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Block {
    pub(super) start: usize,
    pub(super) k: usize,
}

/// A plan under search.
pub(super) struct Path<'p> {
    problem: &'p Problem,
    /// Highest ask allowed.
    first: usize,
    pub(super) blocks: Vec<Block>,
}

/// What stands around a stretch of periods: what was brought before it, what is
/// alive at its start, and what follows its end is worth.
struct Around {
    start: usize,
    end: usize,
    before: f64,
    alive: Vec<f64>,
    tail: Vec<f64>,
}

impl Around {
    /// The periods at which the stretch may be cut in two.
    fn inside(&self) -> Range<usize> {
        self.start + 1..self.end
    }
}

impl Cut {
    /// The block that it starts.
    fn block(&self) -> Block {
        Block {
            start: self.start,
            k: self.lower,
        }
    }
}

/// Price points to look at: every `stride`-th from `lowest` to `highest`.
#[derive(Clone, Copy)]
struct AskRange {
    lowest: usize,
    highest: usize,
    stride: usize,
}

impl AskRange {
    fn all(lowest: usize, highest: usize) -> Self {
        Self {
            lowest,
            highest,
            stride: 1,
        }
    }

    fn one(k: usize) -> Self {
        Self::all(k, k)
    }

    /// Those of `self` within `reach` of `k`.
    fn near(self, k: usize, reach: usize) -> Self {
        Self::all(
            self.lowest.max(k.saturating_sub(reach)),
            self.highest.min(k.saturating_add(reach)),
        )
    }

    fn each(self) -> impl Iterator<Item = usize> {
        (self.lowest..=self.highest).step_by(self.stride)
    }
}

/// A mark-down found: the asks before and after it, its period, the plan's worth.
#[derive(Clone, Copy)]
struct Cut {
    higher: usize,
    lower: usize,
    start: usize,
    worth: f64,
}

impl<'p> Path<'p> {
    pub(super) fn new(problem: &'p Problem, first: usize) -> Self {
        Self {
            problem,
            first,
            blocks: Vec::new(),
        }
    }

    fn end(&self, block: usize) -> usize {
        self.blocks
            .get(block + 1)
            .map_or(self.problem.periods, |b| b.start)
    }

    /// Lowest and highest ask allowed for the blocks from `from` to `to`.
    fn room(&self, from: usize, to: usize) -> (usize, usize) {
        let p = self.problem;
        let highest = match from.checked_sub(1).map(|b| self.blocks[b].k) {
            None => self.first,
            Some(above) => (0..above).rev().find(|k| p.is_cut(above, *k)).unwrap_or(0),
        };
        let lowest = self.blocks.get(to + 1).map_or(0, |below| {
            (below.k + 1..p.asks.len())
                .find(|k| p.is_cut(*k, below.k))
                .unwrap_or(p.asks.len())
        });
        (lowest, highest)
    }

    /// What stands around the blocks `from..=to`.
    fn around(&self, from: usize, to: usize) -> Around {
        let p = self.problem;
        let (start, end) = (self.blocks[from].start, self.end(to));
        let mut alive = p.weights.clone();
        let mut before = 0.0;
        for (i, block) in self.blocks.iter().enumerate().take(from) {
            for n in block.start..self.end(i) {
                before += p.forth(n, block.k, &mut alive);
            }
        }
        let mut tail = p.at_end.clone();
        for (i, block) in self.blocks.iter().enumerate().skip(to + 1).rev() {
            for n in (block.start..self.end(i)).rev() {
                p.back(n, block.k, &mut tail);
            }
        }
        Around {
            start,
            end,
            before,
            alive,
            tail,
        }
    }

    /// The best plan with one more mark-down, and its worth; `None` when none gains.
    pub(super) fn best_insertion(&self, worth: f64) -> Option<(Vec<Block>, f64)> {
        let mut best: Option<(Vec<Block>, f64)> = None;
        for place in 0..self.blocks.len() {
            let here = self.blocks[place];
            let around = self.around(place, place);
            let (lowest, highest) = self.room(place, place);
            // The later part lower, or the earlier part higher; the first mark-down
            // is looked for among all pairs of asks.
            let found = if self.blocks.len() == 1 {
                [self.best_first(&around, lowest, highest), None]
            } else {
                let (one, whole) = (AskRange::one(here.k), around.inside());
                [
                    self.best_pair(&around, &whole, one, AskRange::all(lowest, here.k)),
                    self.best_pair(&around, &whole, AskRange::all(here.k, highest), one),
                ]
            };
            for cut in found.into_iter().flatten() {
                if cut.worth > best.as_ref().map_or(worth, |b| b.1) * (1.0 + NO_GAIN) {
                    let mut blocks = self.blocks.clone();
                    blocks[place].k = cut.higher;
                    blocks.insert(place + 1, cut.block());
                    best = Some((blocks, cut.worth));
                }
            }
        }
        best
    }

    /// The best of all pairs of asks, first among a few of them.
    fn best_first(&self, around: &Around, lowest: usize, highest: usize) -> Option<Cut> {
        let all = AskRange::all(lowest, highest);
        let stride = (highest.saturating_sub(lowest) / FIRST_LOOK).max(1);
        let few = AskRange { stride, ..all };
        let rough = self.best_pair(around, &around.inside(), few, few)?;
        let near = |k: usize| all.near(k, stride - 1);
        let (above, below) = (near(rough.higher), near(rough.lower));
        self.best_pair(around, &around.inside(), above, below)
    }

    /// Moves asks and days of cuts while anything improves; returns the worth.
    /// Small moves come first; at the end no full move gains.
    pub(super) fn improve(&mut self, mut worth: f64) -> f64 {
        for _ in 0..ROUNDS {
            let before = self.improve_nearby(worth);
            worth = self.move_all(before, usize::MAX);
            if worth <= before * (1.0 + NO_GAIN) {
                worth = self.shift(worth);
            }
            if worth <= before * (1.0 + NO_GAIN) {
                break;
            }
        }
        worth
    }

    /// Moves asks and days of cuts a little while anything improves.
    pub(super) fn improve_nearby(&mut self, mut worth: f64) -> f64 {
        for _ in 0..ROUNDS {
            let before = worth;
            worth = self.move_all(worth, NEAR);
            if worth <= before * (1.0 + NO_GAIN) {
                break;
            }
        }
        worth
    }

    /// One round of moves of each ask and each cut, by `reach` points and periods.
    fn move_all(&mut self, mut worth: f64, reach: usize) -> f64 {
        for place in 0..self.blocks.len() {
            worth = self.move_ask(place, worth, reach);
        }
        for place in 1..self.blocks.len() {
            worth = self.move_cut(place, worth, reach);
        }
        worth
    }

    /// Takes each mark-down out and puts it where it now gains most, while that
    /// improves: the first ones were placed before the others were there.
    pub(super) fn place_anew(&mut self, mut worth: f64) {
        let mut place = 1;
        while place < self.blocks.len() {
            let kept = self.blocks.clone();
            self.blocks.remove(place);
            let steps: Vec<(usize, usize)> = self.blocks.iter().map(|b| (b.start, b.k)).collect();
            let without = self.problem.worth(&steps);
            // Where it stood is mostly the best place, and there no move gains.
            let elsewhere = self.best_insertion(without).filter(|b| b.0 != kept);
            let better = elsewhere.map(|(blocks, gained)| {
                self.blocks = blocks;
                self.improve(gained)
            });
            if let Some(better) = better.filter(|better| *better > worth * (1.0 + NO_GAIN)) {
                worth = better;
                place = 1;
            } else {
                self.blocks = kept;
                place += 1;
            }
        }
    }

    /// Moves several neighbouring asks one place up or down together, where that
    /// gains: asks that lean on each other are stuck when moved one by one.
    fn shift(&mut self, worth: f64) -> f64 {
        let last = self.problem.asks.len() - 1;
        for from in 0..self.blocks.len() {
            for to in from + 1..self.blocks.len() {
                let (lowest, highest) = self.room(from, to);
                for up in [true, false] {
                    let moved = |k: usize| if up { k + 1 } else { k.saturating_sub(1) };
                    let (top, bottom) = (moved(self.blocks[from].k), moved(self.blocks[to].k));
                    if top > highest.min(last) || bottom < lowest || self.blocks[to].k == 0 && !up {
                        continue;
                    }
                    let mut blocks = self.blocks.clone();
                    blocks[from..=to].iter_mut().for_each(|b| b.k = moved(b.k));
                    let apart = |pair: &[Block]| self.problem.is_cut(pair[0].k, pair[1].k);
                    if !blocks.windows(2).all(apart) {
                        continue;
                    }
                    let steps: Vec<(usize, usize)> =
                        blocks.iter().map(|b| (b.start, b.k)).collect();
                    let here = self.problem.worth(&steps);
                    if here > worth * (1.0 + NO_GAIN) {
                        self.blocks = blocks;
                        return here;
                    }
                }
            }
        }
        worth
    }

    /// The best ask within `reach` for one block, all else as it is.
    fn move_ask(&mut self, place: usize, worth: f64, reach: usize) -> f64 {
        let around = self.around(place, place);
        let (lowest, highest) = self.room(place, place);
        let here = self.blocks[place].k;
        let mut best = (here, worth);
        let mut value = around.tail.clone();
        for k in AskRange::all(lowest, highest).near(here, reach).each() {
            value.copy_from_slice(&around.tail);
            for n in (around.start..around.end).rev() {
                self.problem.back(n, k, &mut value);
            }
            let here = around.before + dot(&around.alive, &value);
            if here > best.1 * (1.0 + NO_GAIN) {
                best = (k, here);
            }
        }
        self.blocks[place].k = best.0;
        best.1
    }

    /// The best day for the cut before `place`, with the best ask on either side
    /// of it while the other one stays, all within `reach`.
    fn move_cut(&mut self, place: usize, worth: f64, reach: usize) -> f64 {
        let around = self.around(place - 1, place);
        let (higher, lower) = (self.blocks[place - 1].k, self.blocks[place].k);
        let (lowest, highest) = self.room(place - 1, place);
        let start = self.blocks[place].start;
        let inside = around.inside();
        let from = inside.start.max(start.saturating_sub(reach));
        let cuts = from..inside
            .end
            .min(start.saturating_add(reach).saturating_add(1));
        let below = AskRange::all(lowest, higher).near(lower, reach);
        let above = AskRange::all(lower, highest).near(higher, reach);
        let mut best = worth;
        for (above, below) in [
            (AskRange::one(higher), below),
            (above, AskRange::one(lower)),
        ] {
            if let Some(cut) = self.best_pair(&around, &cuts, above, below)
                && cut.worth > best * (1.0 + NO_GAIN)
            {
                self.blocks[place - 1].k = cut.higher;
                self.blocks[place] = cut.block();
                best = cut.worth;
            }
        }
        best
    }

    /// The best of `cuts` within a stretch, with the asks `above` before it and
    /// `below` after it.
    fn best_pair(
        &self,
        around: &Around,
        cuts: &Range<usize>,
        above: AskRange,
        below: AskRange,
    ) -> Option<Cut> {
        let (p, s) = (self.problem, self.problem.weights.len());
        let length = cuts.len();
        // What each lower ask brings from each cut on.
        let mut follows = Vec::with_capacity(below.each().count() * length * s);
        let mut value = around.tail.clone();
        for lower in below.each() {
            value.copy_from_slice(&around.tail);
            for n in (cuts.start..around.end).rev() {
                p.back(n, lower, &mut value);
                if n < cuts.end {
                    follows.extend_from_slice(&value);
                }
            }
        }
        let mut best: Option<Cut> = None;
        let mut alive = around.alive.clone();
        for higher in above.each() {
            alive.copy_from_slice(&around.alive);
            let mut brought = around.before;
            for n in around.start..cuts.end.saturating_sub(1) {
                brought += p.forth(n, higher, &mut alive);
                let start = n + 1;
                if start < cuts.start {
                    continue;
                }
                // The rows begin with the latest cut.
                let row = (cuts.end - 1 - start) * s;
                for (lower, rows) in below.each().zip(follows.chunks_exact(length * s)) {
                    if !p.is_cut(higher, lower) {
                        break;
                    }
                    let worth = brought + dot(&alive, &rows[row..row + s]);
                    if best.is_none_or(|b| worth > b.worth) {
                        best = Some(Cut {
                            higher,
                            lower,
                            start,
                            worth,
                        });
                    }
                }
            }
        }
        best
    }
}
