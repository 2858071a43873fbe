//! The way up to the top of a smooth function: Newton's steps, halved where
//! they overshoot, kept inside bounds.

/// A function's height, slope and curvature at a place.
#[derive(Clone, Debug)]
pub(in crate::statistics) struct Slope {
    pub value: f64,
    pub gradient: Vec<f64>,
    /// Negative second derivatives, row by row, symmetric.
    pub information: Vec<f64>,
}

/// The room that a search may move in.
#[derive(Clone, Debug)]
pub(in crate::statistics) struct Room {
    pub lower: Vec<f64>,
    pub upper: Vec<f64>,
    /// Coordinates that stay where they start.
    pub held: Vec<bool>,
    /// Longest step of each coordinate in one round.
    pub longest: Vec<f64>,
}

/// Rounds after which a search is given up. A fit takes 5 to 15; one that
/// runs off to infinity gains ever less and is seen by its curvature.
const ROUNDS: usize = 200;
/// Halvings of one step: 2^-40 of it moves nothing.
const HALVINGS: usize = 40;
/// Twice the height still to gain (slope times step) below which a place is the
/// top: far below the rounding of the height itself.
const AT_TOP: f64 = 1e-20;
/// The same below which rounding of the height can hide a gain, so the last
/// few steps, which converge quadratically, are taken without looking.
const NEAR_TOP: f64 = 1e-7;
/// Rounding of a height that is a sum over many rows, relative to it.
const ROUNDING: f64 = 1e-13;
/// How many such steps; each doubles the number of digits.
const LAST_STEPS: usize = 4;

/// Newton's method from `start`. Answers the top with its slope and which coordinates
/// rest on a bound, or the rounds made when it found none.
pub(in crate::statistics) fn newton(
    start: Vec<f64>,
    room: &Room,
    at: impl Fn(&[f64]) -> Slope,
) -> Result<(Vec<f64>, Slope, Vec<bool>), usize> {
    let mut place = start;
    let mut here = at(&place);
    if !here.sound() {
        return Err(0);
    }
    let mut unseen = 0;
    for round in 0..ROUNDS {
        let (step, resting) = step(&place, &here, room);
        let gain: f64 = step.iter().zip(&here.gradient).map(|(s, g)| s * g).sum();
        if gain.abs() <= AT_TOP || unseen == LAST_STEPS {
            return Ok((place, here, resting));
        }
        let near = gain < f64::max(NEAR_TOP, ROUNDING * here.value.abs());
        let mut part = reach(&place, &step, room);
        let mut moved = None;
        for _ in 0..HALVINGS {
            let next = advance(&place, &step, part, room);
            let there = at(&next);
            if there.sound() && (near || there.value > here.value) {
                moved = Some((next, there));
                break;
            }
            part /= 2.0;
        }
        let Some((next, there)) = moved else {
            return Err(round);
        };
        unseen += usize::from(near);
        (place, here) = (next, there);
    }
    Err(ROUNDS)
}

impl Slope {
    fn sound(&self) -> bool {
        self.value.is_finite()
            && self.gradient.iter().all(|g| g.is_finite())
            && self.information.iter().all(|h| h.is_finite())
    }
}

/// How near a bound counts as on it: a step that was cut to end there ends beside it
/// by a rounding, and the next, cut again, would move nothing at all.
fn edge(bound: f64) -> f64 {
    1e-12 * (1.0 + bound.abs())
}

/// Newton's step among the free coordinates, and which rest on a bound: those
/// that stand on one and that the slope or the step would carry beyond it.
fn step(place: &[f64], here: &Slope, room: &Room) -> (Vec<f64>, Vec<bool>) {
    let n = place.len();
    let outward = |i: usize, way: f64| {
        let (lower, upper) = (room.lower[i], room.upper[i]);
        (place[i] <= lower + edge(lower) && way < 0.0)
            || (place[i] >= upper - edge(upper) && way > 0.0)
    };
    let mut resting: Vec<bool> = (0..n).map(|i| outward(i, here.gradient[i])).collect();
    loop {
        let free: Vec<usize> = (0..n).filter(|&i| !resting[i] && !room.held[i]).collect();
        let mut step = newton_step(&free, here, n);
        let over = free.iter().copied().find(|&i| outward(i, step[i]));
        if let Some(i) = over {
            resting[i] = true;
            continue;
        }
        let excess = (0..n)
            .map(|i| step[i].abs() / room.longest[i])
            .fold(1.0, f64::max);
        for s in &mut step {
            *s /= excess;
        }
        return (step, resting);
    }
}

/// Solves `information step = gradient` over the free coordinates; where the
/// function does not curve downwards, with enough added to the diagonal that it does.
fn newton_step(free: &[usize], here: &Slope, n: usize) -> Vec<f64> {
    let mut step = vec![0.0; n];
    let right: Vec<f64> = free.iter().map(|&i| here.gradient[i]).collect();
    let mut added = 0.0;
    for _ in 0..60 {
        let mut part = part_of(&here.information, n, free);
        for (k, &i) in free.iter().enumerate() {
            part[k * free.len() + k] += added * here.information[i * n + i].abs().max(1e-6);
        }
        if let Ok(factor) = Cholesky::of(part, free.len()) {
            for (&i, s) in free.iter().zip(factor.solve(&right)) {
                step[i] = s;
            }
            break;
        }
        added = if added == 0.0 { 1e-3 } else { added * 4.0 };
    }
    step
}

fn part_of(matrix: &[f64], n: usize, keep: &[usize]) -> Vec<f64> {
    let rows = keep.iter().map(|&i| &matrix[i * n..(i + 1) * n]);
    rows.flat_map(|row| keep.iter().map(|&j| row[j])).collect()
}

/// The largest part of a step, at most all of it, that stays inside the bounds.
fn reach(place: &[f64], step: &[f64], room: &Room) -> f64 {
    let mut part = 1.0_f64;
    for i in 0..place.len() {
        if step[i] != 0.0 {
            let bound = if step[i] < 0.0 {
                room.lower[i]
            } else {
                room.upper[i]
            };
            part = part.min((bound - place[i]) / step[i]);
        }
    }
    part.max(0.0)
}

fn advance(place: &[f64], step: &[f64], part: f64, room: &Room) -> Vec<f64> {
    let moved = place.iter().zip(step).map(|(x, s)| x + part * s);
    moved
        .zip(room.lower.iter().zip(&room.upper))
        .map(|(x, (low, high))| x.max(*low).min(*high))
        .map(|x| if x.is_nan() { f64::INFINITY } else { x })
        .collect()
}

/// Inverse of the information among `free` coordinates, zero elsewhere; or the
/// first coordinate that it does not settle.
pub(in crate::statistics) fn inverse(
    information: &[f64],
    n: usize,
    free: &[usize],
) -> Result<Vec<f64>, usize> {
    let factor = Cholesky::of(part_of(information, n, free), free.len())
        .map_err(|k| free.get(k).copied().unwrap_or(k))?;
    let mut found = vec![0.0; n * n];
    for (k, &j) in free.iter().enumerate() {
        let unit: Vec<f64> = (0..free.len())
            .map(|m| f64::from(u8::from(m == k)))
            .collect();
        for (&i, value) in free.iter().zip(factor.solve(&unit)) {
            found[i * n + j] = value;
        }
    }
    // Two routes to one number: their mean makes it exactly symmetric.
    for i in 0..n {
        for j in 0..i {
            let mean = f64::midpoint(found[i * n + j], found[j * n + i]);
            found[i * n + j] = mean;
            found[j * n + i] = mean;
        }
    }
    Ok(found)
}

/// Cholesky factor of a matrix whose diagonal was first scaled to 1.
struct Cholesky {
    n: usize,
    lower: Vec<f64>,
    scale: Vec<f64>,
}

/// Smallest part of a coordinate (squared) that may remain after those before
/// it are taken out; rounding leaves about 1e-15.
const SMALLEST_PART: f64 = 1e-13;

impl Cholesky {
    /// The factor, or the first coordinate where the matrix is not positive definite.
    fn of(mut a: Vec<f64>, n: usize) -> Result<Self, usize> {
        let mut scale = vec![0.0; n];
        // One that is not above 0 or not finite makes no number here, and none below.
        for (i, scale) in scale.iter_mut().enumerate() {
            *scale = 1.0 / a[i * n + i].sqrt();
        }
        for i in 0..n {
            for j in 0..=i {
                let dot: f64 = (0..j).map(|k| a[i * n + k] * a[j * n + k]).sum();
                let value = a[i * n + j] * scale[i] * scale[j] - dot;
                if i != j {
                    a[i * n + j] = value / a[j * n + j];
                } else if value > SMALLEST_PART {
                    a[i * n + i] = value.sqrt();
                } else {
                    return Err(i);
                }
            }
        }
        Ok(Self { n, lower: a, scale })
    }

    fn solve(&self, right: &[f64]) -> Vec<f64> {
        let (n, l) = (self.n, &self.lower);
        let mut x: Vec<f64> = right.iter().zip(&self.scale).map(|(r, s)| r * s).collect();
        for i in 0..n {
            let dot: f64 = (0..i).map(|k| l[i * n + k] * x[k]).sum();
            x[i] = (x[i] - dot) / l[i * n + i];
        }
        for i in (0..n).rev() {
            let dot: f64 = (i + 1..n).map(|k| l[k * n + i] * x[k]).sum();
            x[i] = (x[i] - dot) / l[i * n + i];
        }
        x.iter_mut().zip(&self.scale).for_each(|(x, s)| *x *= s);
        x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten away by a curvature of 1: the step is cut to what the room allows, all of it
    /// alike.
    #[test]
    fn no_step_is_longer_than_its_room() {
        let here = Slope {
            value: 0.0,
            gradient: vec![10.0, 3.0],
            information: vec![1.0, 0.0, 0.0, 1.0],
        };
        let room = Room {
            lower: vec![f64::NEG_INFINITY; 2],
            upper: vec![f64::INFINITY; 2],
            held: vec![false; 2],
            longest: vec![2.0, f64::INFINITY],
        };
        let (found, resting) = step(&[0.0, 0.0], &here, &room);
        assert_eq!((found, resting), (vec![2.0, 0.6], vec![false; 2]));
    }

    /// The top of `-(x + 1)^2 - (y - 3)^2` with `x` at least 0, from beside the bound.
    #[test]
    fn a_start_beside_a_bound_by_a_rounding_does_not_stop_the_search() {
        let room = Room {
            lower: vec![0.0, f64::NEG_INFINITY],
            upper: vec![f64::INFINITY; 2],
            held: vec![false; 2],
            longest: vec![10.0; 2],
        };
        let at = |place: &[f64]| {
            let (x, y) = (place[0] + 1.0, place[1] - 3.0);
            Slope {
                value: -x * x - y * y,
                gradient: vec![-2.0 * x, -2.0 * y],
                information: vec![2.0, 0.0, 0.0, 2.0],
            }
        };
        let (place, _, resting) = newton(vec![5e-17, 0.0], &room, at).unwrap();
        assert!(place[0].abs() < 1e-16 && (place[1] - 3.0).abs() < 1e-12);
        assert_eq!(resting, [true, false]);
    }
}
