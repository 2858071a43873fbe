//! Fair shares of several causes in what they do together (Shapley 1953, *A value
//! for n-person games*).
//!
//! The share of a cause is the mean of what it adds, over all orders in which the
//! causes may come. The shares add up to the whole, causes that do the same have
//! the same share, and one that adds nothing has none.

/// Causes at most: all sets of them are gone through.
pub const MOST: usize = 16;

/// Weights of the outcomes in the share of each of `causes` causes.
///
/// `outcome[set]` is the number, below `outcomes`, of what the causes in `set` (a
/// bit each) come to together. The result has a row a cause: its share is the sum
/// of `weight x worth` over the outcomes, for any worth that the outcomes may have.
/// The weight of a set of `s` causes out of `n` is `s! (n - s - 1)! / n!`.
///
/// ```
/// use wheelworth::statistics::shapley::weights;
/// // Two causes that do something only together share it.
/// let shares = weights(2, &[0, 0, 0, 1], 2);
/// assert_eq!(shares, [[-0.5, 0.5], [-0.5, 0.5]]);
/// ```
///
/// # Panics
/// With more than [`MOST`] causes, or when `outcome` is not one for each set.
pub fn weights(causes: usize, outcome: &[usize], outcomes: usize) -> Vec<Vec<f64>> {
    assert!(causes <= MOST && outcome.len() == 1 << causes);
    // s! (n - s - 1)! / n! = 1 / (n C(n - 1, s))
    let mut chance = Vec::with_capacity(causes);
    let mut ways = 1.0;
    for s in 0..causes {
        chance.push(1.0 / (causes as f64 * ways));
        ways *= (causes - 1 - s) as f64 / (s + 1) as f64;
    }
    (0..causes)
        .map(|cause| {
            let mut row = vec![0.0; outcomes];
            let without = (0..outcome.len()).filter(|set| set & (1 << cause) == 0);
            for set in without {
                let weight = chance[set.count_ones() as usize];
                row[outcome[set | 1 << cause]] += weight;
                row[outcome[set]] -= weight;
            }
            row
        })
        .collect()
}
