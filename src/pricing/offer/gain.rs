//! Whether a job is worth its trouble.

use super::JobWorth;

/// A gain below a tenth of what is spent is hardly one (judgement).
const HARDLY: i64 = 10;

/// Whether a job of the best set only just pays.
pub fn hardly_pays(one: &JobWorth) -> bool {
    let gain = one.net_gain.filter(|_| one.in_best);
    gain.is_some_and(|gain| HARDLY * gain.minor() < one.job.spent().minor())
}
