//! Many independent answers, shared among the processors.

/// What `one` makes of each item, in the order of the items and the same as one
/// by one. A panic of `one` goes on in the caller.
pub(super) fn each<T: Sync, R: Send>(items: &[T], one: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let workers = std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    if workers == 1 || items.len() < 2 {
        return items.iter().map(one).collect();
    }
    let one = &one;
    std::thread::scope(|scope| {
        let parts: Vec<_> = items
            .chunks(items.len().div_ceil(workers))
            .map(|part| scope.spawn(move || part.iter().map(one).collect::<Vec<R>>()))
            .collect();
        parts
            .into_iter()
            .flat_map(|part| {
                part.join()
                    .unwrap_or_else(|fault| std::panic::resume_unwind(fault))
            })
            .collect()
    })
}
