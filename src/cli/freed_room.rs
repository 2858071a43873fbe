//! Room that is freed and needed again a moment later.

/// Bytes up to which freed room is kept for the next use: the largest that each bike of
/// a table takes are two numbers for 120 asks, 26 weeks and 54 scenarios, 1.3 MB each.
const KEPT: usize = 2 << 20;

/// Has room of up to [`KEPT`] bytes kept when it is freed. glibc gives back at once
/// what is larger than the largest room that was given back so far (mallopt(3): the
/// threshold `M_MMAP_THRESHOLD` follows it) and has to take it again, page by page, for
/// each bike of a table. No page of this one is touched. Elsewhere it does nothing.
pub(super) fn keep() {
    drop(std::hint::black_box(Vec::<u8>::with_capacity(KEPT)));
}
