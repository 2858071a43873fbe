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
pub(in crate::book) fn pays() -> bool {
    std::thread::available_parallelism().is_ok_and(|processors| processors.get() > 1)
}

/// Shows `take` every comp that the readers read, each the rows given with it: those
/// of one reader in order, of several as they come. Emptied batches go back, so that
/// only the first ones ask for memory. A panic goes on in the caller.
///
/// # Errors
/// As reading without other threads; what was shown before stands.
pub(in crate::book) fn each(
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
            let read = move || read(&reader, (rows, part), place, &full, &emptied);
            reading.push(scope.spawn(read));
        }
        drop(full);
        for (place, batch) in batches {
            for (row, comp) in &batch {
                take(*row, comp);
            }
            let _ = back[place].send(batch);
        }
        reading.into_iter().try_for_each(|reading| {
            let read = reading.join();
            read.unwrap_or_else(|fault| std::panic::resume_unwind(fault))
        })
    })
}

fn read(
    reader: &Connection,
    (rows, part): (RangeInclusive<i64>, Part),
    place: usize,
    full: &SyncSender<(usize, Batch)>,
    emptied: &Receiver<Batch>,
) -> rusqlite::Result<()> {
    let (mut comp, mut batch, mut used) = (blank(), Batch::with_capacity(BATCH), 0);
    stream(reader, rows, part, &mut comp, |row, comp| {
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
        full.send((place, std::mem::replace(&mut batch, next)))
            .is_ok()
    })?;
    batch.truncate(used);
    let _ = full.send((place, batch));
    Ok(())
}
