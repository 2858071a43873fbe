//! Householder reflections of a block of rows below an R factor, a few at a time.
//!
//! The reflections of a panel of columns are found one by one; every later column
//! then meets all of them in one reading and one writing (the idea of the compact WY
//! form: Schreiber & Van Loan 1989, from memory; LAPACK's `dlarfb`). All numbers go
//! through in vectors of four in an order of their own, so that every processor gives
//! the same bits.

use wide::f64x4;

/// Rows gathered before a block is folded into the R factor.
pub(in crate::statistics) const BLOCK: usize = 192;

/// Columns of a panel.
const PANEL: usize = 4;

/// Numbers of a vector.
const LANES: usize = 4;

/// Below this a pivot has no finite reciprocal to be relied on.
const SMALLEST_PIVOT: f64 = 1e-300;

/// The factor `r` (row-major, `width` squared, upper-triangular) of what it was the
/// factor of and the first `rows` numbers of the columns of `block`, each [`BLOCK`]
/// apart. The block is used up.
///
/// The first column, the level of most designs, is met alone: what the others have in
/// common is gone after it, and the products in a panel do not cancel. With all in
/// panels NIST's Longley set loses two and a half digits.
pub(in crate::statistics) fn fold(width: usize, rows: usize, r: &mut [f64], block: &mut [f64]) {
    let (level, mut rest) = block[..width * BLOCK].split_at_mut(BLOCK);
    let [tau, ..] = reflections(0..1, width, rows, r, level);
    for (top, column) in r[1..width].iter_mut().zip(rest.chunks_exact_mut(BLOCK)) {
        reflect(tau, &level[..rows], top, &mut column[..rows]);
    }
    for first in (1..width).step_by(PANEL) {
        let last = (first + PANEL).min(width);
        let (ours, later) = rest.split_at_mut((last - first) * BLOCK);
        let taus = reflections(first..last, width, rows, r, ours);
        if last < width {
            let panel = Panel::new(taus, std::array::from_fn(|k| &ours[k * BLOCK..][..rows]));
            for (column, j) in later.chunks_exact_mut(BLOCK).zip(last..) {
                let tops = std::array::from_fn(|k| r[(first + k) * width + j]);
                if let Some(scales) = panel.reflect(tops, &mut column[..rows]) {
                    for (k, scale) in scales.iter().enumerate() {
                        r[(first + k) * width + j] -= scale;
                    }
                }
            }
        }
        rest = later;
    }
}

/// One reflection `H = I - tau (1, v)(1, v)'` a column, acting on its row of R and on
/// the block (everything between is already zero); `ours` becomes the `v` of each. A
/// tau of 0 stands for no reflection.
fn reflections(
    columns: std::ops::Range<usize>,
    width: usize,
    rows: usize,
    r: &mut [f64],
    ours: &mut [f64],
) -> [f64; PANEL] {
    let mut taus = [0.0; PANEL];
    for (k, j) in columns.clone().enumerate() {
        let (left, right) = ours.split_at_mut((k + 1) * BLOCK);
        let v = &mut left[k * BLOCK..][..rows];
        let below = norm(v);
        if below == 0.0 {
            continue;
        }
        let pivot = r[j * width + j];
        let length = pivot.hypot(below);
        let beta = if pivot > 0.0 { -length } else { length };
        divide(v, pivot - beta);
        taus[k] = (beta - pivot) / beta;
        r[j * width + j] = beta;
        let tops = &mut r[j * width + j + 1..j * width + columns.end];
        for (top, column) in tops.iter_mut().zip(right.chunks_exact_mut(BLOCK)) {
            reflect(taus[k], v, top, &mut column[..rows]);
        }
    }
    taus
}

/// One reflection of a column and its `top` in R.
fn reflect(tau: f64, v: &[f64], top: &mut f64, column: &mut [f64]) {
    let scale = tau * (*top + dot(v, column));
    if scale != 0.0 {
        *top -= scale;
        let less = column.iter_mut().zip(v);
        less.for_each(|(c, x)| *c -= scale * x);
    }
}

/// The reflections of a whole panel.
struct Panel<'a> {
    taus: [f64; PANEL],
    v: [&'a [f64]; PANEL],
    /// Inner products of each `v` with those before it.
    with_earlier: [[f64; PANEL]; PANEL],
}

impl<'a> Panel<'a> {
    fn new(taus: [f64; PANEL], v: [&'a [f64]; PANEL]) -> Self {
        let product = |k: usize, i: usize| if i < k { dot(v[k], v[i]) } else { 0.0 };
        let with_earlier = std::array::from_fn(|k| std::array::from_fn(|i| product(k, i)));
        Self {
            taus,
            v,
            with_earlier,
        }
    }

    /// Reflects a column with `tops` in the rows of R; returns what is to be taken
    /// off those, or nothing when the column is as it was.
    fn reflect(&self, tops: [f64; PANEL], column: &mut [f64]) -> Option<[f64; PANEL]> {
        let dots = self.dots(column);
        let mut scales = [0.0; PANEL];
        for k in 0..PANEL {
            // What `v` meets after the reflections before it.
            let earlier = (0..k).map(|i| scales[i] * self.with_earlier[k][i]);
            let met = earlier.fold(tops[k] + dots[k], |met, less| met - less);
            scales[k] = self.taus[k] * met;
        }
        if scales == [0.0; PANEL] {
            return None;
        }
        self.subtract(column, scales);
        Some(scales)
    }

    fn dots(&self, column: &[f64]) -> [f64; PANEL] {
        let mut sums = [f64x4::ZERO; PANEL];
        let (column, column_rest) = column.as_chunks::<LANES>();
        let [p, q, r, s] = self.v.map(|v| v.as_chunks::<LANES>());
        for ((((c, p), q), r), s) in column.iter().zip(p.0).zip(q.0).zip(r.0).zip(s.0) {
            let c = f64x4::from(*c);
            sums[0] += c * f64x4::from(*p);
            sums[1] += c * f64x4::from(*q);
            sums[2] += c * f64x4::from(*r);
            sums[3] += c * f64x4::from(*s);
        }
        let rests = [p.1, q.1, r.1, s.1];
        std::array::from_fn(|k| total(sums[k]) + rest_of(rests[k], column_rest))
    }

    fn subtract(&self, column: &mut [f64], scales: [f64; PANEL]) {
        let (column, column_rest) = column.as_chunks_mut::<LANES>();
        let [p, q, r, s] = self.v.map(|v| v.as_chunks::<LANES>());
        let [a, b, c, d] = scales.map(f64x4::splat);
        for ((((x, p), q), r), s) in column.iter_mut().zip(p.0).zip(q.0).zip(r.0).zip(s.0) {
            let first = a * f64x4::from(*p) + b * f64x4::from(*q);
            let second = c * f64x4::from(*r) + d * f64x4::from(*s);
            *x = (f64x4::from(*x) - (first + second)).to_array();
        }
        for (i, x) in column_rest.iter_mut().enumerate() {
            let first = scales[0] * p.1[i] + scales[1] * q.1[i];
            *x -= first + (scales[2] * r.1[i] + scales[3] * s.1[i]);
        }
    }
}

fn divide(v: &mut [f64], by: f64) {
    if by.abs() < SMALLEST_PIVOT {
        for value in v {
            *value /= by;
        }
    } else {
        let times = 1.0 / by;
        for value in v {
            *value *= times;
        }
    }
}

/// Euclidean length, scaled so that it neither overflows nor underflows.
fn norm(v: &[f64]) -> f64 {
    let largest = v.iter().fold(0.0_f64, |m, x| m.max(x.abs()));
    if largest == 0.0 {
        return 0.0;
    }
    if (1e-100..1e100).contains(&largest) {
        return dot(v, v).sqrt();
    }
    let scaled: f64 = v.iter().map(|x| (x / largest).powi(2)).sum();
    largest * scaled.sqrt()
}

/// Inner product with eight running sums: one alone waits for each addition before
/// the next.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a, a_rest) = a.as_chunks::<{ 2 * LANES }>();
    let (b, b_rest) = b.as_chunks::<{ 2 * LANES }>();
    let (mut low, mut high) = (f64x4::ZERO, f64x4::ZERO);
    for (a, b) in a.iter().zip(b) {
        let [a0, a1, a2, a3, a4, a5, a6, a7] = *a;
        let [b0, b1, b2, b3, b4, b5, b6, b7] = *b;
        low += f64x4::from([a0, a1, a2, a3]) * f64x4::from([b0, b1, b2, b3]);
        high += f64x4::from([a4, a5, a6, a7]) * f64x4::from([b4, b5, b6, b7]);
    }
    let (a, a_rest) = a_rest.as_chunks::<LANES>();
    let (b, b_rest) = b_rest.as_chunks::<LANES>();
    for (a, b) in a.iter().zip(b) {
        low += f64x4::from(*a) * f64x4::from(*b);
    }
    total(low + high) + rest_of(a_rest, b_rest)
}

fn total(sums: f64x4) -> f64 {
    let [a, b, c, d] = sums.to_array();
    (a + c) + (b + d)
}

fn rest_of(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Made-up numbers (a linear congruential generator) around 0.
    fn made_up(many: usize) -> Vec<f64> {
        let mut seed = 7_u64;
        let mut next = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 40) as f64 / f64::from(1 << 24) - 0.5
        };
        (0..many).map(|_| next()).collect()
    }

    /// R'R after folding is R'R before it plus the products of the block's columns,
    /// for widths and rows that are no multiples of a panel or a vector, with columns
    /// of zeros and numbers near the ends of what a double holds.
    #[test]
    fn the_products_of_columns_are_kept() {
        for width in [1, 3, 4, 5, 8, 11] {
            for rows in [1, 2, 5, 8, 19, BLOCK] {
                for (size, empty) in [
                    (1.0, usize::MAX),
                    (1.0, 0),
                    (1.0, 2),
                    (1e140, 4),
                    (1e-140, 1),
                ] {
                    let numbers = made_up(width * (width + rows));
                    let entry = |i: usize, j: usize| {
                        if i > j || j == empty {
                            0.0
                        } else {
                            numbers[i * width + j]
                        }
                    };
                    let mut r: Vec<f64> = (0..width * width)
                        .map(|at| size * entry(at / width, at % width))
                        .collect();
                    let mut block = vec![f64::NAN; width * BLOCK];
                    for j in 0..width {
                        for i in 0..rows {
                            let value = numbers[width * width + j * rows + i];
                            block[j * BLOCK + i] = if j == empty { 0.0 } else { size * value };
                        }
                    }
                    let product = |r: &[f64], j: usize, k: usize| -> f64 {
                        (0..width)
                            .map(|i| (r[i * width + j] / size) * (r[i * width + k] / size))
                            .sum()
                    };
                    let wanted: Vec<f64> = (0..width * width)
                        .map(|at| {
                            let (j, k) = (at / width, at % width);
                            let of_block: f64 = (0..rows)
                                .map(|i| {
                                    (block[j * BLOCK + i] / size) * (block[k * BLOCK + i] / size)
                                })
                                .sum();
                            product(&r, j, k) + of_block
                        })
                        .collect();
                    fold(width, rows, &mut r, &mut block);
                    for at in 0..width * width {
                        let (j, k) = (at / width, at % width);
                        assert!(j <= k || r[at] == 0.0, "below the diagonal: {}", r[at]);
                        let off = (product(&r, j, k) - wanted[at]).abs();
                        let room = 1e-13 * (wanted[j * width + j] * wanted[k * width + k]).sqrt();
                        assert!(off <= room, "width {width}, rows {rows}: {off} > {room}");
                    }
                }
            }
        }
    }

    /// Where a reciprocal would be endless.
    #[test]
    fn a_length_near_the_smallest_number_is_found() {
        let (mut r, mut block) = (vec![0.0; 4], vec![0.0; 2 * BLOCK]);
        block[..2].copy_from_slice(&[3e-310, 4e-310]);
        block[BLOCK..BLOCK + 2].copy_from_slice(&[6.0, 8.0]);
        fold(2, 2, &mut r, &mut block);
        assert!((r[0].abs() / 5e-310 - 1.0).abs() < 1e-12, "{}", r[0]);
        assert!((r[1].abs() - 10.0).abs() < 1e-12, "{}", r[1]);
        assert!(r[3].abs() < 1e-12, "{}", r[3]);
    }

    /// Against sums of whole numbers, which no order of adding changes.
    #[test]
    fn a_dot_misses_no_place() {
        for many in [0, 1, 7, 8, 9, 16, 31] {
            let a: Vec<f64> = (1..=many).map(f64::from).collect();
            let wanted: i32 = (1..=many).map(|i| i * i).sum();
            assert_eq!(dot(&a, &a), f64::from(wanted));
        }
    }
}
