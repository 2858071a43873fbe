//! The search's moves: a plan as blocks of periods at one ask each.

use super::solver::{NO_GAIN, Problem};

/// Rounds of moves at most; each must gain, so few are ever used.
const ROUNDS: usize = 60;

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
            let one_free = [
                ((here.k, here.k), (lowest, here.k)),
                ((here.k, highest), (here.k, here.k)),
            ];
            let both_free = [((lowest, highest), (lowest, highest))];
            let pairs = if self.blocks.len() == 1 {
                &both_free[..]
            } else {
                &one_free[..]
            };
            for (above, below) in pairs.iter().copied() {
                let Some((cut, pair, value)) = self.best_pair(&around, above, below) else {
                    continue;
                };
                if value > best.as_ref().map_or(worth, |b| b.1) * (1.0 + NO_GAIN) {
                    let mut blocks = self.blocks.clone();
                    blocks[place].k = pair.0;
                    let lower = Block {
                        start: cut,
                        k: pair.1,
                    };
                    blocks.insert(place + 1, lower);
                    best = Some((blocks, value));
                }
            }
        }
        best
    }

    /// Moves asks and days of cuts while anything improves; returns the worth.
    pub(super) fn improve(&mut self, mut worth: f64) -> f64 {
        for _ in 0..ROUNDS {
            let before = worth;
            for place in 0..self.blocks.len() {
                worth = self.move_ask(place, worth);
            }
            for place in 1..self.blocks.len() {
                worth = self.move_cut(place, worth);
            }
            if worth <= before * (1.0 + NO_GAIN) {
                worth = self.shift(worth);
            }
            if worth <= before * (1.0 + NO_GAIN) {
                break;
            }
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
            let better = self.best_insertion(without).map(|(blocks, gained)| {
                self.blocks = blocks;
                self.improve(gained)
            });
            match better.filter(|better| *better > worth * (1.0 + NO_GAIN)) {
                Some(better) => {
                    worth = better;
                    place = 1;
                }
                None => {
                    self.blocks = kept;
                    place += 1;
                }
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

    /// The best ask for one block, all else as it is.
    fn move_ask(&mut self, place: usize, worth: f64) -> f64 {
        let around = self.around(place, place);
        let (lowest, highest) = self.room(place, place);
        let mut best = (self.blocks[place].k, worth);
        let mut value = around.tail.clone();
        for k in lowest..=highest {
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
    /// of it while the other one stays.
    fn move_cut(&mut self, place: usize, worth: f64) -> f64 {
        let around = self.around(place - 1, place);
        let (higher, lower) = (self.blocks[place - 1].k, self.blocks[place].k);
        let (lowest, highest) = self.room(place - 1, place);
        let mut best = worth;
        for (above, below) in [
            ((higher, higher), (lowest, higher)),
            ((lower, highest), (lower, lower)),
        ] {
            if let Some((cut, pair, value)) = self.best_pair(&around, above, below)
                && value > best * (1.0 + NO_GAIN)
            {
                self.blocks[place - 1].k = pair.0;
                self.blocks[place] = Block {
                    start: cut,
                    k: pair.1,
                };
                best = value;
            }
        }
        best
    }

    /// The best cut within a stretch: its period, the two asks and the worth.
    /// `above` and `below` are the lowest and highest asks before and after it.
    fn best_pair(
        &self,
        around: &Around,
        above: (usize, usize),
        below: (usize, usize),
    ) -> Option<(usize, (usize, usize), f64)> {
        let p = self.problem;
        let (length, s) = (around.end - around.start, p.weights.len());
        if below.1 < below.0 || length < 2 {
            return None;
        }
        // What each lower ask brings from each period of the stretch on.
        let mut follows = vec![0.0; (below.1 - below.0 + 1) * length * s];
        for (lower, rows) in (below.0..).zip(follows.chunks_exact_mut(length * s)) {
            let mut value = around.tail.clone();
            for i in (1..length).rev() {
                p.back(around.start + i, lower, &mut value);
                rows[i * s..(i + 1) * s].copy_from_slice(&value);
            }
        }
        let mut best: Option<(usize, (usize, usize), f64)> = None;
        let mut alive = around.alive.clone();
        for higher in above.0..=above.1 {
            alive.copy_from_slice(&around.alive);
            let mut brought = around.before;
            for i in 1..length {
                brought += p.forth(around.start + i - 1, higher, &mut alive);
                for (lower, rows) in (below.0..).zip(follows.chunks_exact(length * s)) {
                    if !p.is_cut(higher, lower) {
                        break;
                    }
                    let value = brought + dot(&alive, &rows[i * s..(i + 1) * s]);
                    if best.is_none_or(|b| value > b.2) {
                        best = Some((around.start + i, (higher, lower), value));
                    }
                }
            }
        }
        best
    }
}

/// Four sums side by side: one alone waits for each addition before the next.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut sums = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4
        .remainder()
        .iter()
        .zip(b4.remainder())
        .map(|(a, b)| a * b)
        .sum();
    for (a, b) in a4.zip(b4) {
        for (sum, (a, b)) in sums.iter_mut().zip(a.iter().zip(b)) {
            *sum += a * b;
        }
    }
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}
