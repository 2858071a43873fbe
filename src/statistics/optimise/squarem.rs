//! Squared extrapolation (SQUAREM) of a fixed-point iteration.
//!
//! An iteration that closes in on its fixed point by the same share each time can be
//! followed ahead: two steps tell how long and where to (step length S3:
//! Varadhan & Roland 2008, *Scandinavian Journal of Statistics* 35, 335-353, from
//! memory). Made for EM and reweighting, whose steps are safe but short.

/// Longest step, in steps of the iteration (judgement: one that closes in by less than
/// a sixteenth each time is followed as if by that).
const LONGEST: f64 = 16.0;

/// Follows an iteration ahead.
#[derive(Clone, Debug, Default)]
pub struct Squarem {
    /// The start of a cycle and what one step made of it.
    seen: Vec<Vec<f64>>,
}

impl Squarem {
    /// Takes the next state of the iteration. After every second step from a start
    /// it returns the state to go on from, which is the start of the next cycle. All
    /// states are of one length, and the first is a start.
    pub fn follow(&mut self, state: &[f64]) -> Option<Vec<f64>> {
        let [start, first] = self.seen.as_slice() else {
            self.seen.push(state.to_vec());
            return None;
        };
        let step = |i: usize| first[i] - start[i];
        let bend = |i: usize| state[i] - first[i] - step(i);
        let length =
            |of: &dyn Fn(usize) -> f64| (0..state.len()).map(|i| of(i).powi(2)).sum::<f64>();
        // With a length of 1 this is the second step itself.
        let far = (length(&step) / length(&bend)).sqrt().clamp(1.0, LONGEST);
        let far = if far.is_nan() { 1.0 } else { far };
        let ahead = |i: usize| start[i] + 2.0 * far * step(i) + far * far * bend(i);
        let ahead: Vec<f64> = (0..state.len()).map(ahead).collect();
        self.seen = vec![ahead.clone()];
        Some(ahead)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Deaths of women of 80 and above a day in three years of notices in the London
    /// Times: days with 0, 1, ... 9 deaths (Hasselblad 1969; an example of Varadhan &
    /// Roland 2008; from memory, as are the estimates below).
    const DAYS: [f64; 10] = [162.0, 267.0, 271.0, 185.0, 111.0, 61.0, 27.0, 8.0, 3.0, 1.0];

    /// One EM step of a mixture of two Poisson distributions: share and mean of the
    /// first, mean of the second.
    fn step(state: &[f64]) -> Vec<f64> {
        let (share, means) = (state[0], [state[1], state[2]]);
        let mut sums = [[0.0; 2]; 2];
        for (deaths, days) in DAYS.iter().enumerate() {
            let density = |mean: f64| (-mean).exp() * mean.powi(deaths as i32);
            let parts = [share * density(means[0]), (1.0 - share) * density(means[1])];
            for k in 0..2 {
                let days = days * parts[k] / (parts[0] + parts[1]);
                sums[k][0] += days;
                sums[k][1] += days * deaths as f64;
            }
        }
        let all = sums[0][0] + sums[1][0];
        vec![
            sums[0][0] / all,
            sums[0][1] / sums[0][0],
            sums[1][1] / sums[1][0],
        ]
    }

    /// Steps until one moves nothing by more than 1e-9, and where they end.
    fn settled(mut ahead: Option<Squarem>) -> (usize, Vec<f64>) {
        let mut state = vec![0.3, 1.0, 2.5];
        if let Some(squared) = &mut ahead {
            assert_eq!(squared.follow(&state), None);
        }
        for steps in 1..100_000 {
            let next = step(&state);
            let moved = state
                .iter()
                .zip(&next)
                .fold(0.0_f64, |m, (a, b)| m.max((a - b).abs()));
            if moved < 1e-9 {
                return (steps, next);
            }
            let further = ahead.as_mut().and_then(|squared| squared.follow(&next));
            state = further.unwrap_or(next);
        }
        panic!("not settled");
    }

    #[test]
    fn the_published_mixture_is_reached_in_a_fifth_of_the_steps() {
        let (plain, _) = settled(None);
        let (squared, end) = settled(Some(Squarem::default()));
        println!("{plain} steps of EM, {squared} with extrapolation: {end:?}");
        for (found, published) in end.iter().zip([0.3599, 1.256, 2.663]) {
            assert!((found - published).abs() < 6e-4, "{found} for {published}");
        }
        assert!(squared * 5 < plain, "{squared} of {plain}");
    }

    /// One number that closes in by the same share each time is there at once.
    #[test]
    fn a_geometric_approach_is_followed_to_its_end() {
        let mut squared = Squarem::default();
        assert_eq!(squared.follow(&[3.0 + 8.0]), None);
        assert_eq!(squared.follow(&[3.0 + 6.0]), None);
        let ahead = squared.follow(&[3.0 + 4.5]).unwrap();
        assert!((ahead[0] - 3.0).abs() < 1e-12, "{ahead:?}");
    }

    /// What stands still or gives no number is not moved.
    #[test]
    fn an_end_stays_where_it_is() {
        let mut squared = Squarem::default();
        for _ in 0..2 {
            assert_eq!(squared.follow(&[7.0, 0.0]), None);
        }
        assert_eq!(squared.follow(&[7.0, 0.0]), Some(vec![7.0, 0.0]));
        // What was returned is the next start.
        assert_eq!(squared.follow(&[7.0, 0.0]), None);
    }
}
