//! The coding of one fit: from facts to a row of the design.

use super::features::{
    ALL_KNOWN, COLLECTED, COLUMNS, FACTS, Facts, HALF_YEAR, NEW_FACT, NEW_KNOWN, NEW_PRICE, SEASON,
    SOURCE, STYLE_AGE, STYLE_TIER, VINTAGE, VINTAGE_YEARS, groups, keep_possible, prior_moments,
};
use super::new_prices::NewPrices;
use super::priors::Priors;
use crate::statistics::missing::Completions;
use crate::trade::calendar::{quarter_number, year_fraction};
use crate::trade::{Day, Style};

/// The coding of one fit: the day of the answer, the market's steps and what
/// unknown facts are expected to be.
#[derive(Clone, Debug)]
pub struct Coding {
    /// Day of the answer.
    pub as_of: Day,
    /// Quarters (as [`quarter_number`]) at whose start the market may step.
    steps: Vec<i32>,
    /// Prior standard deviation of each step, as a multiple of a quarter's.
    pub step_spread: Vec<f64>,
    completions: Completions,
    new_prices: NewPrices,
    /// Trust in each group's unknown variance, 0 to 1: rows that know it over
    /// those plus 5. A fact that no record holds is part of the ordinary spread;
    /// where there are no records at all, the belief about that spread is about
    /// bikes that are wholly known, and the trust is 1.
    trust: [f64; 5],
}

impl Coding {
    /// A coding for answers on `as_of` with records from `oldest` on.
    /// Quarters for three years back, then years, fifteen years at most.
    /// `seen` are the records' facts with their weights and `centre` their
    /// median ln price.
    pub fn new(
        as_of: Day,
        oldest: Day,
        priors: &Priors,
        centre: f64,
        seen: &[(Facts, f64)],
    ) -> Self {
        let mut moments = prior_moments(centre + priors.new_price.over_used);
        seen.iter()
            .for_each(|(facts, weight)| moments.push_weighted(&facts.values, facts.known, *weight));
        let now = quarter_number(as_of);
        let (mut steps, mut step_spread) = (Vec::new(), Vec::new());
        let mut step = now;
        while step > quarter_number(oldest) && now - step < 60 {
            let length = if now - step < 12 { 1 } else { 4 };
            steps.push(step);
            step_spread.push(f64::from(length).sqrt());
            step -= length;
        }
        let trust = std::array::from_fn(|group| {
            if seen.is_empty() {
                return 1.0;
            }
            let known = seen.iter().filter(|(f, _)| f.known & (1 << group) != 0);
            let known: f64 = known.map(|(_, weight)| weight).sum();
            known / (known + 5.0)
        });
        let completions = Completions::of_all(&moments);
        let new_prices = NewPrices::learn(priors, centre, seen, &completions);
        Self {
            as_of,
            steps,
            step_spread,
            completions,
            new_prices,
            trust,
        }
    }

    /// Columns of the design.
    pub fn width(&self) -> usize {
        COLUMNS + self.steps.len()
    }

    /// Names of the columns.
    pub fn names(&self) -> Vec<String> {
        let mut names = vec!["level".to_string()];
        names.extend(
            [
                "a year of age to 3",
                "a year from 3 to 8",
                "a year from 8 to 15",
                "a year from 15 to 35",
                "a year beyond 35",
            ]
            .map(String::from),
        );
        names.extend((1..5).map(|g| format!("condition {g} to {}", g + 1)));
        names.extend((1..5).map(|g| format!("tier {g} to {}", g + 1)));
        names.extend(["size S or L", "size XS or XL", "new price"].map(String::from));
        names.extend(Style::ALL.iter().map(|s| format!("style {s}")));
        names.extend(["season, sine", "season, cosine"].map(String::from));
        names.extend(
            [
                "seen sale prices",
                "asks sold",
                "asks gone",
                "asks listed",
                "asks withdrawn",
            ]
            .map(String::from),
        );
        names.extend(Style::ALL.iter().map(|s| format!("age, {s}")));
        names.extend(Style::ALL.iter().map(|s| format!("tier, {s}")));
        names.push("vintage".to_string());
        names.extend(["half year, sine", "half year, cosine"].map(String::from));
        names.extend(
            self.steps
                .iter()
                .map(|q| format!("market {}-Q{}", q.div_euclid(4), q.rem_euclid(4) + 1)),
        );
        names
    }

    /// ln of what a bike usually costs new: a level, a slope for each tier above
    /// the base's, and an effect a style. The column `new price` is what is left.
    pub fn usual_new_price(&self) -> &[f64] {
        self.new_prices.coefficients()
    }

    /// Writes the row of a price of `day` into `x` ([`Self::width`] long), in
    /// the `source` group (`None`: own sales).
    pub fn row(&self, facts: &Facts, day: Day, source: Option<usize>, x: &mut [f64]) {
        let mut full = facts.values;
        if let Some(completion) = self
            .completions
            .known(facts.known)
            .filter(|_| facts.known != ALL_KNOWN)
        {
            completion.fill(&mut full);
            keep_possible(&mut full, facts.known);
        }
        x.fill(0.0);
        x[0] = 1.0;
        x[1..=FACTS].copy_from_slice(&full);
        x[NEW_PRICE] = if facts.known & NEW_KNOWN != 0 {
            full[NEW_FACT] - self.new_prices.usual(&full)
        } else {
            0.0
        };
        let style = facts.style();
        x[STYLE_AGE.start + style.index()] = full[..3].iter().sum();
        x[STYLE_TIER.start + style.index()] = full[9..13].iter().sum();
        if COLLECTED.contains(&style) {
            x[VINTAGE] = full[3] / VINTAGE_YEARS;
        }
        let angle = |d: Day| 2.0 * std::f64::consts::PI * year_fraction(d);
        let (then, now) = (angle(day), angle(self.as_of));
        x[SEASON.start] = then.sin() - now.sin();
        x[SEASON.start + 1] = then.cos() - now.cos();
        x[HALF_YEAR.start] = (2.0 * then).sin() - (2.0 * now).sin();
        x[HALF_YEAR.start + 1] = (2.0 * then).cos() - (2.0 * now).cos();
        if let Some(source) = source {
            x[SOURCE.start + source] = 1.0;
        }
        let quarter = quarter_number(day);
        for (value, step) in x[COLUMNS..].iter_mut().zip(&self.steps) {
            *value = if quarter < *step { -1.0 } else { 0.0 };
        }
    }

    /// Variance of ln price left by the unknown facts, under coefficients `b`.
    pub fn unknown_variance(&self, facts: &Facts, b: &[f64]) -> f64 {
        if facts.known == ALL_KNOWN {
            return 0.0;
        }
        let mut effect = [0.0; FACTS];
        effect.copy_from_slice(&b[1..=FACTS]);
        effect[NEW_FACT] = 0.0;
        let style = facts.style();
        effect[..3]
            .iter_mut()
            .for_each(|e| *e += b[STYLE_AGE.start + style.index()]);
        effect[9..13]
            .iter_mut()
            .for_each(|e| *e += b[STYLE_TIER.start + style.index()]);
        if COLLECTED.contains(&style) {
            effect[3] += b[VINTAGE] / VINTAGE_YEARS;
        }
        let new_known = facts.known & NEW_KNOWN != 0;
        if new_known {
            let slopes = self.new_prices.slopes();
            effect
                .iter_mut()
                .zip(slopes)
                .for_each(|(e, slope)| *e -= b[NEW_PRICE] * slope);
        }
        for (group, (first, end)) in groups().into_iter().enumerate() {
            effect[first..end]
                .iter_mut()
                .for_each(|e| *e *= self.trust[group].sqrt());
        }
        let features = self
            .completions
            .known(facts.known)
            .map_or(0.0, |c| c.variance(&effect));
        let surprise = if new_known {
            0.0
        } else {
            b[NEW_PRICE].powi(2) * self.new_prices.variance
        };
        features + self.trust[4] * surprise
    }
}
