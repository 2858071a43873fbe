//! A progress bar on standard error for long files, where a terminal is there.

use indicatif::{ProgressBar, ProgressStyle};

/// Files below this size (bytes) are done before a bar could be read.
const LONG: u64 = 4_000_000;
/// Rows between two updates.
const EVERY: u64 = 4096;

/// A bar, or nothing.
pub(super) struct Progress {
    bar: Option<ProgressBar>,
    rows: u64,
}

impl Progress {
    /// A bar over `bytes` when `wanted` and the file is long.
    pub(super) fn new(wanted: bool, bytes: Option<u64>, file: &str) -> Self {
        let bar = bytes.filter(|b| wanted && *b > LONG).map(|bytes| {
            let bar = ProgressBar::new(bytes);
            let style = ProgressStyle::with_template("{msg} [{wide_bar}] {percent} %");
            bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
            bar.set_message(file.to_string());
            bar
        });
        Self { bar, rows: 0 }
    }

    /// One more row; `at` is the byte reached.
    pub(super) fn row(&mut self, at: u64) {
        self.rows += 1;
        if let Some(bar) = self
            .bar
            .as_ref()
            .filter(|_| self.rows.is_multiple_of(EVERY))
        {
            bar.set_position(at);
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.bar {
            bar.finish_and_clear();
        }
    }
}
