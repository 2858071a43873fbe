//! The bytes of a file on their way to the csv crate, with the record being
//! read kept aside so that a problem can show it. Memory is bounded: a record
//! longer than [`LONGEST_RECORD`] stops the reading.

use std::io::{self, Read};

/// Longest record that is read, in bytes (1 MiB).
pub(in crate::intake) const LONGEST_RECORD: usize = 1 << 20;

/// A reader that keeps what was handed on since the current record began.
pub(in crate::intake) struct Window {
    input: Box<dyn Read + Send>,
    /// Bytes read ahead to judge the file, still to be handed on.
    ahead: Vec<u8>,
    ahead_used: usize,
    /// What was handed on, from byte `kept_from` of the text.
    kept: Vec<u8>,
    kept_from: u64,
    /// Start of the current record; bytes before it are let go.
    floor: u64,
    too_long: bool,
}

impl Window {
    /// A window on `input`, after the bytes `ahead` that were read already.
    pub(in crate::intake) fn new(ahead: Vec<u8>, input: Box<dyn Read + Send>) -> Self {
        Self {
            input,
            ahead,
            ahead_used: 0,
            kept: Vec::new(),
            kept_from: 0,
            floor: 0,
            too_long: false,
        }
    }

    /// Says where the next record begins.
    pub(in crate::intake) fn begin(&mut self, floor: u64) {
        self.floor = floor;
    }

    /// Whether the reading stopped at a record that is too long.
    pub(in crate::intake) fn too_long(&self) -> bool {
        self.too_long
    }

    /// The text from byte `from` up to `to`, as far as it is kept.
    pub(in crate::intake) fn text(&self, from: u64, to: u64) -> &[u8] {
        let place = |at: u64| {
            let at = at.saturating_sub(self.kept_from);
            usize::try_from(at)
                .unwrap_or(usize::MAX)
                .min(self.kept.len())
        };
        self.kept.get(place(from)..place(to)).unwrap_or(&[])
    }

    /// Everything kept from byte `from` on.
    pub(in crate::intake) fn text_from(&self, from: u64) -> &[u8] {
        self.text(from, u64::MAX)
    }

    fn fill(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let ahead = self.ahead.get(self.ahead_used..).unwrap_or(&[]);
        if ahead.is_empty() {
            self.ahead = Vec::new();
            self.ahead_used = 0;
            return read_some(&mut self.input, out);
        }
        let count = ahead.len().min(out.len());
        for (to, from) in out.iter_mut().zip(ahead) {
            *to = *from;
        }
        self.ahead_used += count;
        Ok(count)
    }
}

impl Read for Window {
    fn read(&mut self, out: &mut [u8]) -> io::Result<usize> {
        let gone = usize::try_from(self.floor.saturating_sub(self.kept_from)).unwrap_or(usize::MAX);
        let gone = gone.min(self.kept.len());
        self.kept.drain(..gone);
        self.kept_from += gone as u64;
        if self.kept.len() > LONGEST_RECORD {
            self.too_long = true;
            return Err(io::Error::other("a record longer than 1 MiB"));
        }
        let count = self.fill(out)?;
        self.kept.extend_from_slice(out.get(..count).unwrap_or(&[]));
        Ok(count)
    }
}

/// Reads once, again when a signal came between.
pub(in crate::intake) fn read_some(input: &mut dyn Read, out: &mut [u8]) -> io::Result<usize> {
    loop {
        match input.read(out) {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            other => return other,
        }
    }
}
