//! Rows of several kinds folded into one R factor, by a second thread while the
//! caller makes the next ones.
//!
//! Rows of a kind have numbers in some columns only. Each kind has an R factor of
//! those alone, and all are merged at the end: the work grows with the square of
//! the columns. Blocks of a kind are folded in their order, so that the result is
//! the same to the last bit with and without the second thread.

use super::checks::FitProblem;
use super::householder::BLOCK;
use super::r_factor::RFactor;
use std::sync::mpsc::{Receiver, SyncSender, channel, sync_channel};
use std::thread::{Scope, ScopedJoinHandle, available_parallelism};

/// Blocks that the caller folds before a second thread is worth starting.
const ALONE: usize = 16;

/// Full blocks that may wait.
const WAITING: usize = 8;

/// Folds rows of several kinds, and again with other rows in the same room.
pub struct ByKind<'k> {
    /// By kind: the columns, ascending, in which its rows may have numbers.
    kinds: &'k [Vec<usize>],
    /// By kind.
    fronts: Vec<RFactor>,
    whole: RFactor,
}

/// Takes rows for an R factor.
pub struct Rows<'k, 'scope, 'env> {
    columns: usize,
    kinds: &'k [Vec<usize>],
    /// What the second thread folded already is not in them.
    fronts: &'k mut [RFactor],
    /// Blocks that the caller still folds itself.
    alone: usize,
    scope: &'scope Scope<'scope, 'env>,
    folding: Option<Folding<'scope>>,
}

struct Folding<'scope> {
    /// A kind and its block.
    full: SyncSender<(usize, Vec<f64>)>,
    emptied: Receiver<Vec<f64>>,
    backs: ScopedJoinHandle<'scope, Vec<RFactor>>,
}

impl<'k> ByKind<'k> {
    /// For rows of `columns` numbers. `kinds` has for each kind of rows the columns,
    /// ascending and below `columns`, in which they may have numbers.
    pub fn new(columns: usize, kinds: &'k [Vec<usize>]) -> Self {
        let fronts = kinds.iter().map(|kind| RFactor::new(kind.len()));
        Self {
            kinds,
            fronts: fronts.collect(),
            whole: RFactor::new(columns),
        }
    }

    /// The R factor of the rows that `make` pushes, and what `make` returns.
    pub fn fold<T>(&mut self, make: impl FnOnce(&mut Rows<'_, '_, '_>) -> T) -> (&RFactor, T) {
        let processors = available_parallelism().map_or(1, std::num::NonZero::get);
        self.fronts.iter_mut().for_each(RFactor::clear);
        let made = std::thread::scope(|scope| {
            let mut rows = Rows {
                columns: self.whole.columns(),
                kinds: self.kinds,
                fronts: &mut self.fronts,
                alone: if processors > 1 { ALONE } else { usize::MAX },
                scope,
                folding: None,
            };
            let made = make(&mut rows);
            rows.end();
            made
        });
        self.whole.clear();
        for (front, places) in self.fronts.iter().zip(self.kinds) {
            self.whole.merge_of(front, places);
        }
        self.whole.fold();
        (&self.whole, made)
    }
}

impl Rows<'_, '_, '_> {
    /// As [`RFactor::push`], with a row of one kind; what it has in other columns
    /// than the kind's must be 0 and is not looked at.
    ///
    /// # Errors
    /// The same.
    pub fn push(&mut self, kind: usize, x: &[f64], y: f64, weight: f64) -> Result<(), FitProblem> {
        let places = &self.kinds[kind];
        debug_assert!((0..x.len()).all(|j| x[j] == 0.0 || places.contains(&j)));
        let front = &mut self.fronts[kind];
        if !front.take_of(self.columns, places, (x, y, weight))? {
            return Ok(());
        }
        if self.alone > 0 {
            self.alone -= 1;
            front.fold();
            return Ok(());
        }
        if self.folding.is_none() {
            let start = |front: &mut RFactor| {
                let mut back = RFactor::new(front.columns());
                std::mem::swap(&mut back.r, &mut front.r);
                back
            };
            let backs = self.fronts.iter_mut().map(start).collect();
            self.folding = Some(Folding::start(self.scope, backs));
        }
        if let Some(folding) = &self.folding {
            let front = &mut self.fronts[kind];
            let length = front.block.len();
            let mut next = folding.emptied.try_recv().unwrap_or_default();
            next.resize(length, 0.0);
            let full = std::mem::replace(&mut front.block, next);
            front.waiting = 0;
            // Fails only when the other thread panicked, which `end` passes on.
            let _ = folding.full.send((kind, full));
        }
        Ok(())
    }

    fn end(mut self) {
        if let Some(Folding { full, backs, .. }) = self.folding.take() {
            drop(full);
            let backs = backs.join();
            let backs = backs.unwrap_or_else(|fault| std::panic::resume_unwind(fault));
            for (front, back) in self.fronts.iter_mut().zip(backs) {
                front.r = back.r;
            }
        }
    }
}

impl<'scope> Folding<'scope> {
    fn start(scope: &'scope Scope<'scope, '_>, mut backs: Vec<RFactor>) -> Self {
        let (full, blocks) = sync_channel::<(usize, Vec<f64>)>(WAITING);
        let (again, emptied) = channel();
        let backs = scope.spawn(move || {
            for (kind, block) in blocks {
                let back = &mut backs[kind];
                back.block = block;
                back.waiting = BLOCK;
                back.fold();
                let _ = again.send(std::mem::take(&mut back.block));
            }
            backs
        });
        Self {
            full,
            emptied,
            backs,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Made-up rows (a linear congruential generator) of three kinds, the last of
    /// which is never there; each has its columns, the target and the weight.
    fn made_up(rows: usize) -> Vec<(usize, [f64; 7])> {
        let mut seed = 1_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 40) as f64 / 1e7
        };
        let kinds = kinds();
        (0..rows)
            .map(|_| {
                let kind = usize::from(next() > 0.5);
                let row = std::array::from_fn(|j| {
                    let value = next();
                    if j > 4 || kinds[kind].contains(&j) {
                        value
                    } else {
                        0.0
                    }
                });
                (kind, row)
            })
            .collect()
    }

    fn kinds() -> [Vec<usize>; 3] {
        [vec![0, 1, 3], vec![0, 2, 3, 4], vec![0]]
    }

    const SIZES: [usize; 4] = [0, 1, BLOCK * ALONE, BLOCK * (ALONE + 9) + 5];

    /// Whether or not a second thread folds, every bit is the same.
    #[test]
    fn a_second_thread_changes_no_bit() {
        for rows in SIZES {
            let kinds = kinds();
            let mut alone: Vec<RFactor> = kinds.iter().map(|k| RFactor::new(k.len())).collect();
            let mut by_kind = ByKind::new(5, &kinds);
            let (beside, ()) = by_kind.fold(|r_factor| {
                for (kind, row) in made_up(rows) {
                    let x: Vec<f64> = kinds[kind].iter().map(|j| row[*j]).collect();
                    alone[kind].push(&x, row[5], row[6]).unwrap();
                    r_factor.push(kind, &row[..5], row[5], row[6]).unwrap();
                }
            });
            let mut plain = RFactor::new(5);
            for (one, places) in alone.iter().zip(&kinds) {
                plain.merge_of(one, places);
            }
            let bits = |t: &RFactor| t.factor().iter().map(|v| v.to_bits()).collect::<Vec<_>>();
            assert_eq!(bits(&plain), bits(beside), "{rows} rows");
        }
    }

    /// R'R is the sum over the rows, whatever their kinds: the same as of one
    /// R factor with all columns, but for rounding. R itself is so but for the signs
    /// of its rows, and where there are fewer rows than columns it has many forms.
    #[test]
    fn kinds_of_rows_change_nothing_but_rounding() {
        for rows in SIZES {
            let kinds = kinds();
            let mut plain = RFactor::new(5);
            let mut by_kind = ByKind::new(5, &kinds);
            let (beside, ()) = by_kind.fold(|r_factor| {
                for (kind, row) in made_up(rows) {
                    plain.push(&row[..5], row[5], row[6]).unwrap();
                    r_factor.push(kind, &row[..5], row[5], row[6]).unwrap();
                }
            });
            let products = |t: &RFactor| -> Vec<f64> {
                let r = t.factor();
                let entry = |i: usize, j: usize| (0..6).map(|k| r[k * 6 + i] * r[k * 6 + j]).sum();
                (0..36).map(|at| entry(at / 6, at % 6)).collect()
            };
            // A product of two columns is held against their lengths.
            let (plain_products, products) = (products(&plain), products(beside));
            for (at, (a, b)) in plain_products.iter().zip(&products).enumerate() {
                let length = |j: usize| plain_products[j * 6 + j].sqrt();
                let room = 1e-12 * length(at / 6) * length(at % 6);
                assert!((a - b).abs() <= room, "{rows} rows: {a} {b}");
            }
            assert_eq!(plain.rows(), beside.rows());
            let logs = plain.log_weights() - beside.log_weights();
            assert!(logs.abs() <= 1e-12 * plain.log_weights().abs());
        }
    }

    /// What was folded before leaves nothing behind.
    #[test]
    fn the_same_room_again_changes_no_bit() {
        let kinds = kinds();
        let mut again = ByKind::new(5, &kinds);
        for rows in [SIZES[3], SIZES[2], 7, 0, SIZES[3]] {
            let fold = |by_kind: &mut ByKind<'_>| -> Vec<u64> {
                let (r_factor, ()) = by_kind.fold(|r_factor| {
                    for (kind, row) in made_up(rows) {
                        r_factor.push(kind, &row[..5], row[5], row[6]).unwrap();
                    }
                });
                let sums = [r_factor.rows() as f64, r_factor.log_weights()];
                let numbers = r_factor.factor().into_iter().chain(sums);
                numbers.map(f64::to_bits).collect()
            };
            let anew = fold(&mut ByKind::new(5, &kinds));
            assert_eq!(fold(&mut again), anew, "{rows} rows");
        }
    }

    #[test]
    fn a_row_that_does_not_fit_is_refused() {
        let kinds = kinds();
        let mut by_kind = ByKind::new(5, &kinds);
        let (_, ()) = by_kind.fold(|r_factor| {
            let narrow = r_factor.push(1, &[0.0; 4], 0.0, 1.0);
            assert!(matches!(
                narrow,
                Err(FitProblem::Width {
                    expected: 5,
                    found: 4
                })
            ));
            let endless = r_factor.push(1, &[1.0, 0.0, 1.0, f64::INFINITY, 1.0], 0.0, 1.0);
            assert!(
                matches!(endless, Err(FitProblem::NotFinite { column, .. }) if column == "column 3")
            );
        });
    }
}
