//! Ranks, and how far two orders agree.

/// Two numbers that differ by less than this part of the larger are tied: ratios
/// that are equal on paper differ by a few roundings of 1e-16.
const SAME: f64 = 1e-12;

/// Ranks from 1 on; tied numbers share the mean of their ranks.
pub fn mid_ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    while from < order.len() {
        let first = values[order[from]];
        let tied = |i: &&usize| {
            let room = SAME * first.abs().max(values[**i].abs());
            values[**i] - first <= room
        };
        let count = order[from..].iter().take_while(tied).count().max(1);
        let rank = from as f64 + f64::midpoint(count as f64, 1.0);
        order[from..from + count]
            .iter()
            .for_each(|i| ranks[*i] = rank);
        from += count;
    }
    ranks
}

/// Spearman's rank correlation of pairs, the product-moment correlation of their
/// mid-ranks (Spearman 1904, Am. J. Psychology 15:72-101); `None` below three
/// pairs or where one side is all alike.
///
/// ```
/// use wheelworth::statistics::evaluation::ranks::spearman;
/// assert_eq!(spearman(&[(1.0, 2.0), (3.0, 9.0), (2.0, 5.0)]), Some(1.0));
/// ```
pub fn spearman(pairs: &[(f64, f64)]) -> Option<f64> {
    if pairs.len() < 3 {
        return None;
    }
    let (x, y): (Vec<f64>, Vec<f64>) = pairs.iter().copied().unzip();
    let centre = f64::midpoint(pairs.len() as f64, 1.0);
    let off = |values: &[f64]| -> Vec<f64> {
        mid_ranks(values).iter().map(|rank| rank - centre).collect()
    };
    let (x, y) = (off(&x), off(&y));
    let product = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
    let both = (product(&x, &x) * product(&y, &y)).sqrt();
    (both > 0.0).then(|| product(&x, &y) / both)
}
