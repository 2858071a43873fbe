//! Comps read ahead by other threads, in batches, while the caller works on those
//! read before.

use super::comps::{Part, blank, stream};
use crate::trade::Comparable;
use rusqlite::Connection;
use std::ops::RangeInclusive;
use std::sync::mpsc::{Receiver, SyncSender, channel, sync_channel};

/// Comps in a batch.
const BATCH: usize = 512;

/// Batches that may wait.
const WAITING: usize = 4;

type Batch = Vec<(i64, Comparable)>;

/// Whether there is a processor for a second thread.
pub(super) fn pays() -> bool {
    std::thread::available_parallelism().is_ok_and(|processors| processors.get() > 1)
}

/// Shows `take` every comp that the readers read, each the rows given with it: those
/// of one reader in order, of several as they come. Emptied batches go back, so that
/// only the first ones ask for memory. A panic goes on in the caller.
///
/// # Errors
/// As reading without other threads; what was shown before stands.
pub(super) fn each(
    readers: Vec<(Connection, RangeInclusive<i64>)>,
    part: Part,
    take: &mut dyn FnMut(i64, &Comparable),
) -> rusqlite::Result<()> {
    std::thread::scope(|scope| {
        let (full, batches) = sync_channel::<(usize, Batch)>(WAITING);
        let (mut back, mut reading) = (Vec::new(), Vec::new());
        for (place, (reader, rows)) in readers.into_iter().enumerate() {
            let full = full.clone();
            let (again, emptied) = channel();
            back.push(again);
            reading.push(scope.spawn(move || {
                let mut handed = Handed::new(place, full, emptied);
                stream(&reader, rows, part, &mut blank(), |row, comp| {
                    handed.take(row, comp)
                })?;
                handed.end();
                Ok(())
            }));
        }
        drop(full);
        for (place, batch) in batches {
            batch.iter().for_each(|(row, comp)| take(*row, comp));
            let _ = back[place].send(batch);
        }
        reading.into_iter().try_for_each(|reading| {
            let read = reading.join();
            read.unwrap_or_else(|fault| std::panic::resume_unwind(fault))
        })
    })
}

/// The batch that a reader fills.
struct Handed {
    place: usize,
    batch: Batch,
    used: usize,
    full: SyncSender<(usize, Batch)>,
    emptied: Receiver<Batch>,
}

impl Handed {
    fn new(place: usize, full: SyncSender<(usize, Batch)>, emptied: Receiver<Batch>) -> Self {
        Self {
            place,
            batch: Batch::with_capacity(BATCH),
            used: 0,
            full,
            emptied,
        }
    }

    /// Takes the comp, for which the reader gets an old one; false when nobody wants
    /// any more (the caller panicked).
    fn take(&mut self, row: i64, comp: &mut Comparable) -> bool {
        if self.used == self.batch.len() {
            self.batch.push((row, blank()));
        }
        let (number, place) = &mut self.batch[self.used];
        *number = row;
        std::mem::swap(place, comp);
        self.used += 1;
        if self.used < BATCH {
            return true;
        }
        self.used = 0;
        let next = self.emptied.try_recv().unwrap_or_default();
        let full = std::mem::replace(&mut self.batch, next);
        self.full.send((self.place, full)).is_ok()
    }

    fn end(mut self) {
        self.batch.truncate(self.used);
        let _ = self.full.send((self.place, self.batch));
    }
}
