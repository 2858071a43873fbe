//! Fair shares of several causes in what they do together (Shapley 1953, *A value
//! for n-person games*), where some come before others.
//!
//! The share of a cause is the mean of what it adds, over all orders in which the
//! causes may come. The shares add up to the whole, causes that do the same have
//! the same share, and one that adds nothing has none. Causes of a lower rank come
//! first, so only orders that keep the ranks count (Faigle & Kern 1992, *The
//! Shapley value for cooperative games under precedence constraints*, from memory).

/// Causes at most: all sets of them are gone through.
pub const MOST: usize = 16;

/// Weights of the outcomes in the share of each cause; `ranks` has one a cause.
///
/// `outcome[set]` is the number, below `outcomes`, of what the causes in `set` (a
/// bit each) come to together. The result has a row a cause: its share is the sum
/// of `weight x worth` over the outcomes, for any worth that the outcomes may have.
/// With `n` causes of the rank, a set of `s` of them that came before, on top of all
/// of lower ranks, weighs `s! (n - s - 1)! / n!`.
///
/// ```
/// use wheelworth::statistics::shapley::weights;
/// // Two causes that do something only together share it.
/// let shares = weights(&[0, 0], &[0, 0, 0, 1], 2);
/// assert_eq!(shares, [[-0.5, 0.5], [-0.5, 0.5]]);
/// // If the first is there in any case, it is the second that does it.
/// let shares = weights(&[0, 1], &[0, 0, 0, 1], 2);
/// assert_eq!(shares, [[0.0, 0.0], [-1.0, 1.0]]);
/// ```
///
/// # Panics
/// With more than [`MOST`] causes, or when `outcome` is not one for each set.
pub fn weights(ranks: &[usize], outcome: &[usize], outcomes: usize) -> Vec<Vec<f64>> {
    let causes = ranks.len();
    assert!(causes <= MOST && outcome.len() == 1 << causes);
    let set_of = |which: &dyn Fn(usize) -> bool| -> usize {
        (0..causes)
            .filter(|i| which(ranks[*i]))
            .fold(0, |set, i| set | 1 << i)
    };
    (0..causes)
        .map(|cause| {
            let before = set_of(&|rank| rank < ranks[cause]);
            let beside = set_of(&|rank| rank == ranks[cause]);
            let n = beside.count_ones() as usize;
            // s! (n - s - 1)! / n! = 1 / (n C(n - 1, s))
            let mut chance = Vec::with_capacity(n);
            let mut ways = 1.0;
            for s in 0..n {
                chance.push(1.0 / (n as f64 * ways));
                ways *= (n - 1 - s) as f64 / (s + 1) as f64;
            }
            let others = beside & !(1 << cause);
            let mut row = vec![0.0; outcomes];
            for came in (0..outcome.len()).filter(|set| set & !others == 0) {
                let weight = chance[came.count_ones() as usize];
                let set = before | came;
                row[outcome[set | 1 << cause]] += weight;
                row[outcome[set]] -= weight;
            }
            row
        })
        .collect()
}
