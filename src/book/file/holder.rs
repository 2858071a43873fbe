//! Who holds a locked book, where the system tells (Linux).

use std::path::Path;

/// First byte of the range that `SQLite` locks in a book
/// (`PENDING_BYTE`, <https://www.sqlite.org/fileformat2.html#the_lock_byte_page>).
const LOCK_BYTES_FROM: u64 = 0x4000_0000;

/// Name and process number of another program that holds a lock on the book,
/// from `/proc/locks` (`proc_locks(5)`) and `/proc/PID/comm`. `None` where it
/// cannot be known: on other systems, across a network, or from inside a
/// container that does not see the other program.
pub(in crate::book) fn of(path: &Path) -> Option<String> {
    let locks = std::fs::read_to_string("/proc/locks").ok()?;
    let process = process_with_lock(&locks, inode(path)?, std::process::id())?;
    let name = std::fs::read_to_string(format!("/proc/{process}/comm")).ok();
    Some(match name {
        Some(name) => format!("{}, process {process}", name.trim()),
        None => format!("process {process}"),
    })
}

#[cfg(unix)]
fn inode(path: &Path) -> Option<u64> {
    use std::os::unix::fs::MetadataExt;
    path.metadata().ok().map(|file| file.ino())
}

#[cfg(not(unix))]
fn inode(_: &Path) -> Option<u64> {
    None
}

/// Finds the process in lines such as
/// `1: POSIX  ADVISORY  WRITE 1234 fd:00:5678 1073741824 1073742335`.
/// A writer comes before a reader, because it is what is waited for.
fn process_with_lock(locks: &str, inode: u64, own: u32) -> Option<u32> {
    let mut reader = None;
    for line in locks.lines() {
        let fields: Vec<&str> = line
            .split_whitespace()
            .filter(|field| *field != "->")
            .collect();
        let [_, _, _, mode, process, file, from, ..] = fields.as_slice() else {
            continue;
        };
        let same_file = file.rsplit(':').next().and_then(|n| n.parse().ok()) == Some(inode);
        let of_sqlite = from
            .parse::<u64>()
            .is_ok_and(|from| from >= LOCK_BYTES_FROM);
        let Some(process) = process.parse().ok().filter(|process| *process != own) else {
            continue;
        };
        match (same_file && of_sqlite, *mode) {
            (true, "WRITE") => return Some(process),
            (true, _) => reader = Some(process),
            _ => {}
        }
    }
    reader
}

#[cfg(test)]
mod tests {
    use super::process_with_lock;

    #[test]
    fn a_writer_on_the_same_file_is_named_before_a_reader() {
        // Layout as in proc_locks(5).
        let locks = "1: FLOCK  ADVISORY  WRITE 7 fd:00:99 0 EOF\n\
                     2: POSIX  ADVISORY  READ  11 fd:00:55 1073741826 1073742335\n\
                     2: -> POSIX  ADVISORY  READ  13 fd:00:56 1073741826 1073742335\n\
                     3: POSIX  ADVISORY  WRITE 12 fd:00:55 1073741825 1073741825\n";
        assert_eq!(process_with_lock(locks, 55, 1), Some(12));
        assert_eq!(process_with_lock(locks, 55, 12), Some(11));
        assert_eq!(process_with_lock(locks, 56, 1), Some(13));
        assert_eq!(process_with_lock(locks, 99, 1), None);
    }
}
