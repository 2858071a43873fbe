//! Rows folded into a triangle by a second thread while the caller makes the next
//! ones. The result is the same to the last bit: blocks are folded in their order.

use super::checks::FitProblem;
use super::triangle::{BLOCK, Triangle};
use std::sync::mpsc::{Receiver, SyncSender, channel, sync_channel};
use std::thread::{Scope, ScopedJoinHandle, available_parallelism};

/// Blocks that the caller folds before a second thread is worth starting.
const ALONE: usize = 16;

/// Full blocks that may wait.
const WAITING: usize = 8;

/// Takes rows for a triangle.
pub struct Rows<'scope, 'env> {
    front: Triangle,
    /// Blocks that the caller still folds itself.
    alone: usize,
    scope: &'scope Scope<'scope, 'env>,
    folding: Option<Folding<'scope>>,
}

struct Folding<'scope> {
    full: SyncSender<Vec<f64>>,
    emptied: Receiver<Vec<f64>>,
    whole: ScopedJoinHandle<'scope, Triangle>,
}

impl Triangle {
    /// The triangle of the rows that `make` pushes, and what `make` returns.
    pub fn beside<T>(columns: usize, make: impl FnOnce(&mut Rows<'_, '_>) -> T) -> (Triangle, T) {
        let processors = available_parallelism().map_or(1, |n| n.get());
        std::thread::scope(|scope| {
            let mut rows = Rows {
                front: Triangle::new(columns),
                alone: if processors > 1 { ALONE } else { usize::MAX },
                scope,
                folding: None,
            };
            let made = make(&mut rows);
            (rows.end(), made)
        })
    }
}

impl Rows<'_, '_> {
    /// As [`Triangle::push`].
    ///
    /// # Errors
    /// The same.
    pub fn push(&mut self, x: &[f64], y: f64, weight: f64) -> Result<(), FitProblem> {
        if !self.front.take(x, y, weight)? {
            return Ok(());
        }
        if self.alone > 0 {
            self.alone -= 1;
            self.front.fold();
            return Ok(());
        }
        let folding = self.folding.get_or_insert_with(|| {
            let mut back = Triangle::new(self.front.columns());
            std::mem::swap(&mut back.r, &mut self.front.r);
            Folding::start(self.scope, back)
        });
        let emptied = folding.emptied.try_recv();
        let next = emptied.unwrap_or_else(|_| vec![0.0; self.front.block.len()]);
        let full = std::mem::replace(&mut self.front.block, next);
        self.front.waiting = 0;
        // Fails only when the other thread panicked, which `end` passes on.
        let _ = folding.full.send(full);
        Ok(())
    }

    fn end(mut self) -> Triangle {
        if let Some(Folding { full, whole, .. }) = self.folding.take() {
            drop(full);
            let back = whole.join();
            let back = back.unwrap_or_else(|fault| std::panic::resume_unwind(fault));
            self.front.r = back.r;
        }
        self.front
    }
}

impl<'scope> Folding<'scope> {
    fn start(scope: &'scope Scope<'scope, '_>, mut back: Triangle) -> Self {
        let (full, blocks) = sync_channel::<Vec<f64>>(WAITING);
        let (again, emptied) = channel();
        let whole = scope.spawn(move || {
            for block in blocks {
                back.block = block;
                back.waiting = BLOCK;
                back.fold();
                let _ = again.send(std::mem::take(&mut back.block));
            }
            back
        });
        Self {
            full,
            emptied,
            whole,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whether or not a second thread folds, every bit is the same. The rows are
    /// made up (a linear congruential generator).
    #[test]
    fn a_second_thread_changes_no_bit() {
        for rows in [0, 1, BLOCK * ALONE, BLOCK * (ALONE + 9) + 5] {
            let mut seed = 1_u64;
            let mut next = || {
                seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                (seed >> 40) as f64 / 1e7
            };
            let numbers: Vec<[f64; 7]> =
                (0..rows).map(|_| std::array::from_fn(|_| next())).collect();
            let mut plain = Triangle::new(5);
            for row in &numbers {
                plain.push(&row[..5], row[5], row[6]).unwrap();
            }
            let (beside, ()) = Triangle::beside(5, |triangle| {
                for row in &numbers {
                    triangle.push(&row[..5], row[5], row[6]).unwrap();
                }
            });
            let bits = |t: &Triangle| t.factor().iter().map(|v| v.to_bits()).collect::<Vec<_>>();
            assert_eq!(bits(&plain), bits(&beside), "{rows} rows");
            assert_eq!(plain.rows(), beside.rows());
            assert_eq!(
                plain.log_weights().to_bits(),
                beside.log_weights().to_bits()
            );
        }
    }
}
