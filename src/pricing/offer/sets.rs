//! The best set of jobs: every set is tried, because effects multiply and a grade
//! is a threshold of several faults.

/// Jobs at most: 2^12 sets.
pub const MOST_JOBS: usize = 12;

/// Two sets this much apart, as a part of the larger, are equally good.
const SAME: f64 = 1e-12;

/// The set, a bit a job, that leaves most of `net(set)`, among those that hold all
/// of `required`; of equally good ones that with the fewest jobs, and then the one
/// whose first job comes first. `None` where no set has a net.
///
/// ```
/// use wheelworth::pricing::offer::sets::best;
/// // Together they bring 10; alone nothing; the third costs 1 and must be done.
/// let net = |set: u32| Some(if set & 0b011 == 0b011 { 10.0 } else { 0.0 } - 4.0 * f64::from(set.count_ones()));
/// assert_eq!(best(3, 0, net), Some((0b011, 2.0)));
/// assert_eq!(best(3, 0b100, net), Some((0b111, -2.0)));
/// ```
pub fn best(jobs: usize, required: u32, net: impl Fn(u32) -> Option<f64>) -> Option<(u32, f64)> {
    let mut best: Option<(u32, f64)> = None;
    for set in (0..1_u32 << jobs).filter(|set| set & required == required) {
        let Some(found) = net(set) else { continue };
        let better = best.is_none_or(|(other, so_far)| {
            let room = SAME * found.abs().max(so_far.abs());
            let key = |set: u32| (set.count_ones(), !set.reverse_bits());
            found > so_far + room || (found >= so_far - room && key(set) < key(other))
        });
        if better {
            best = Some((set, found));
        }
    }
    best
}
