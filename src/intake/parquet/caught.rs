//! Calls of a library that panics on damaged files.

use std::cell::Cell;
use std::panic::{self, AssertUnwindSafe};
use std::sync::Once;

thread_local! {
    static HUSHED: Cell<bool> = const { Cell::new(false) };
}

/// What `work` gives; `None` where it panicked, about which nothing is printed.
/// Panics of other threads are told as before. `work` must leave nothing behind
/// that is used after a panic.
pub(in crate::intake) fn caught<T>(work: impl FnOnce() -> T) -> Option<T> {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let tell = panic::take_hook();
        panic::set_hook(Box::new(move |about| {
            if !HUSHED.get() {
                tell(about);
            }
        }));
    });
    let before = HUSHED.replace(true);
    let done = panic::catch_unwind(AssertUnwindSafe(work));
    HUSHED.set(before);
    done.ok()
}

#[cfg(test)]
mod tests {
    use super::{HUSHED, caught};

    #[test]
    fn a_panic_is_none() {
        assert_eq!(caught(|| 1), Some(1));
        let none: Vec<u8> = Vec::new();
        assert_eq!(caught(|| none[0]), None);
        assert_eq!(caught(|| caught(|| none[0])), Some(None));
        assert!(!HUSHED.get());
    }
}
