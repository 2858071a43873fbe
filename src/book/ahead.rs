//! Comps read ahead by a second thread, in batches, while the caller works on
//! those read before.

use super::comps::{blank, stream};
use crate::trade::Comparable;
use rusqlite::Connection;
use std::sync::mpsc::{channel, sync_channel};

/// Comps in a batch.
const BATCH: usize = 512;

/// Batches that may wait.
const WAITING: usize = 4;

/// Whether there is a processor for a second thread.
pub(super) fn pays() -> bool {
    std::thread::available_parallelism().is_ok_and(|processors| processors.get() > 1)
}

/// Shows `take` every comp that `reader` reads, in order. Emptied batches go back,
/// so that only the first ones ask for memory. A panic goes on in the caller.
///
/// # Errors
/// As reading without a second thread; what was shown before stands.
pub(super) fn each(
    reader: Connection,
    take: &mut dyn FnMut(i64, &Comparable),
) -> rusqlite::Result<()> {
    std::thread::scope(|scope| {
        let (full, batches) = sync_channel::<Vec<(i64, Comparable)>>(WAITING);
        let (back, emptied) = channel::<Vec<(i64, Comparable)>>();
        let reading = scope.spawn(move || -> rusqlite::Result<()> {
            let (mut comp, mut batch, mut used) = (blank(), Vec::with_capacity(BATCH), 0);
            stream(&reader, &mut comp, |row, comp| {
                if used == batch.len() {
                    batch.push((row, blank()));
                }
                batch[used].0 = row;
                std::mem::swap(&mut batch[used].1, comp);
                used += 1;
                if used < BATCH {
                    return true;
                }
                used = 0;
                let next = emptied.try_recv().unwrap_or_default();
                // Nobody takes any more when the caller panicked.
                full.send(std::mem::replace(&mut batch, next)).is_ok()
            })?;
            batch.truncate(used);
            let _ = full.send(batch);
            Ok(())
        });
        for batch in batches {
            batch.iter().for_each(|(row, comp)| take(*row, comp));
            let _ = back.send(batch);
        }
        reading
            .join()
            .unwrap_or_else(|fault| std::panic::resume_unwind(fault))
    })
}
