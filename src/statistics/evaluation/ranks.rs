//! Ranks, and how far two orders agree.

use crate::statistics::distribution::student_t::Predictive;

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

/// How far two orders agree within groups, a third order set apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WithinGroups {
    /// The partial rank correlation, -1 to 1.
    pub correlation: f64,
    /// Its degrees of freedom.
    pub freedom: f64,
}

impl WithinGroups {
    /// The chance of a correlation as low as this or lower where there is none: by
    /// Student's t, `t = r sqrt(n / (1 - r^2))` with n degrees of freedom (Fisher 1924,
    /// "The distribution of the partial correlation coefficient", Metron 3:329-332; of
    /// ranks it holds nearly).
    pub fn chance_of_lower(self) -> f64 {
        let left = 1.0 - self.correlation * self.correlation;
        let t = self.correlation * (self.freedom / left.max(f64::MIN_POSITIVE)).sqrt();
        let student = Predictive {
            freedom: self.freedom,
            location: 0.0,
            scale: 1.0,
        };
        student.cdf(t)
    }
}

/// Spearman's rank correlation of x and y with z set apart, from triples `[x, y, z]` in
/// groups: mid-ranks are taken within each group and counted from its mean, and
/// `r = (Sxy Szz - Sxz Syz) / sqrt((Sxx Szz - Sxz^2) (Syy Szz - Syz^2))` of the sums of
/// their products over all groups (the partial correlation of Yule 1907, Proc. Royal
/// Society A 79:182-193, of ranks). Where z is all alike it is left out. `None` where x or y
/// is all alike in every group, or too little is left to judge by.
///
/// ```
/// use wheelworth::statistics::evaluation::ranks::within_groups;
/// let falls = vec![[1.0, 90.0, 0.0], [2.0, 80.0, 0.0], [3.0, 85.0, 0.0], [4.0, 10.0, 0.0]];
/// let found = within_groups(&[falls]).unwrap();
/// assert!((found.correlation + 0.8).abs() < 1e-12);
/// assert_eq!(found.freedom, 2.0);
/// ```
pub fn within_groups(groups: &[Vec<[f64; 3]>]) -> Option<WithinGroups> {
    let mut sums = [[0.0; 3]; 3];
    let mut count = 0;
    for group in groups {
        let centre = f64::midpoint(group.len() as f64, 1.0);
        let ranks = [0, 1, 2].map(|place| {
            let values: Vec<f64> = group.iter().map(|row| row[place]).collect();
            mid_ranks(&values)
        });
        for (a, row) in sums.iter_mut().enumerate() {
            for (b, sum) in row.iter_mut().enumerate() {
                let pairs = ranks[a].iter().zip(&ranks[b]);
                *sum += pairs.map(|(a, b)| (a - centre) * (b - centre)).sum::<f64>();
            }
        }
        count += group.len();
    }
    let [[xx, xy, xz], [_, yy, yz], [_, _, zz]] = sums;
    let (both, x_alone, y_alone, apart) = if zz > 0.0 {
        (xy * zz - xz * yz, xx * zz - xz * xz, yy * zz - yz * yz, 1)
    } else {
        (xy, xx, yy, 0)
    };
    let freedom = count as f64 - groups.len() as f64 - 1.0 - f64::from(apart);
    let size = (x_alone * y_alone).sqrt();
    (size > 0.0 && freedom > 0.0).then(|| WithinGroups {
        correlation: (both / size).clamp(-1.0, 1.0),
        freedom,
    })
}
