//! The coding of one fit: from facts to a row of the design.

use super::fact::{self, ALL_KNOWN, FACTS, GROUPS, NEW_PRICE_KNOWN};
use super::features::{
    Asked, BASE_AGE, COLLECTED, COLUMNS, CONDITION_BY_AGE, FACTS_OF_BIKE, Facts, HALF_YEAR, KNOTS,
    LEVEL, NEW_PRICE, SEASON, SOURCE, STOOD, STYLE, STYLE_AGE, STYLE_TIER, TREND, TREND_YEARS,
    VINTAGE, VINTAGE_YEARS, keep_possible, prior_moments,
};
use super::new_prices::NewPrices;
use crate::pricing::prior::priors::Priors;
use crate::statistics::dot;
use crate::statistics::linear::missing::{Completion, Completions, Filling};
use crate::trade::calendar::{DAYS_PER_YEAR, days_between, quarter_number, year_fraction};
use crate::trade::{Day, Style};

/// The coding of one fit: the day of the answer, the market's steps and what
/// unknown facts are expected to be.
#[derive(Clone, Debug, serde::Serialize, serde::Deserialize)]
pub struct Coding {
    /// Day of the answer.
    pub as_of: Day,
    /// The [`season`] of that day.
    season: [f64; 4],
    /// Quarters (as [`quarter_number`]) at whose start the market may step.
    steps: Vec<i32>,
    /// Prior standard deviation of each step, as a multiple of a quarter's.
    pub step_spread: Vec<f64>,
    completions: Completions,
    new_prices: NewPrices,
    /// The believed steps of condition, which [`CONDITION_BY_AGE`] makes larger.
    condition_steps: [f64; 4],
    /// Trust in each group's unknown variance, 0 to 1: rows that know it over
    /// those plus 5. A fact that no record holds is part of the ordinary spread;
    /// where there are no records at all, the belief about that spread is about
    /// bikes that are wholly known, and the trust is 1.
    trust: [f64; GROUPS.len()],
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
        for (facts, weight) in seen {
            moments.push(&facts.values, facts.known, *weight);
        }
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
            let known = seen.iter().filter(|(f, _)| f.knows(1 << group));
            let known: f64 = known.map(|(_, weight)| weight).sum();
            known / (known + 5.0)
        });
        let completions = Completions::of_all(&moments);
        let new_prices = NewPrices::learn(priors, centre, seen, &completions);
        Self {
            as_of,
            season: season(as_of),
            steps,
            step_spread,
            completions,
            new_prices,
            condition_steps: priors.steps.condition.map(|step| step.mean),
            trust,
        }
    }

    /// Columns of the design.
    pub fn width(&self) -> usize {
        COLUMNS + self.steps.len()
    }

    /// The columns in which a bike of `style` may have numbers, ascending: all but
    /// those of other styles.
    pub fn columns_of(&self, style: Style) -> Vec<usize> {
        let of_styles = [STYLE, STYLE_AGE, STYLE_TIER];
        let has = |column: &usize| {
            let range = of_styles.iter().find(|range| range.contains(column));
            match range {
                Some(range) => column - range.start == style.index(),
                None => *column != VINTAGE || COLLECTED.contains(&style),
            }
        };
        (0..self.width()).filter(has).collect()
    }

    /// [`Coding::columns_of`] each style, in the order of [`Style::ALL`].
    pub fn kinds(&self) -> Vec<Vec<usize>> {
        let kinds = Style::ALL.iter().map(|style| self.columns_of(*style));
        kinds.collect()
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
        names.push("asks, days stood".to_string());
        names.extend(["condition, young", "condition, old"].map(String::from));
        names.push("market, each year".to_string());
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

    /// How unknown facts are completed where these groups are known.
    pub(in crate::pricing) fn filling(&self, known: u32) -> Option<Filling<'_>> {
        self.completions.known(known).map(Completion::filling)
    }

    /// The believed steps of condition, which [`CONDITION_BY_AGE`] makes larger.
    pub(in crate::pricing) fn condition_steps(&self) -> &[f64] {
        &self.condition_steps
    }

    /// Writes the row of a price of `day` into `x` ([`Self::width`] long), as it was
    /// `asked` (`None`: own sales).
    /// Of a range of model years it is the mean of the years' rows.
    pub fn row(&self, facts: &Facts, day: Day, asked: Option<Asked>, x: &mut [f64]) {
        x.fill(0.0);
        let bike = &mut x[..COLUMNS];
        if facts.years.is_none() {
            self.of_bike(facts, bike);
        } else {
            let mut years = 0.0;
            for year in self.of_each_year(facts) {
                for (sum, value) in bike.iter_mut().zip(year) {
                    *sum += value;
                }
                years += 1.0;
            }
            for sum in bike {
                *sum /= years;
            }
        }
        x[LEVEL] = 1.0;
        let columns = SEASON.chain(HALF_YEAR);
        for (column, (then, now)) in columns.zip(season(day).iter().zip(&self.season)) {
            x[column] = then - now;
        }
        if let Some(asked) = asked {
            x[SOURCE.start + asked.source] = 1.0;
            x[STOOD] = asked.stood;
        }
        let years = days_between(day, self.as_of) as f64 / DAYS_PER_YEAR;
        x[TREND] = -years.clamp(0.0, TREND_YEARS);
        let quarter = quarter_number(day);
        for (value, step) in x[COLUMNS..].iter_mut().zip(&self.steps) {
            *value = if quarter < *step { -1.0 } else { 0.0 };
        }
    }

    /// The columns that the bike decides, in each year of its range.
    fn of_each_year(&self, facts: &Facts) -> impl Iterator<Item = [f64; COLUMNS]> {
        facts.of_each_year().map(|year| {
            let mut x = [0.0; COLUMNS];
            self.of_bike(&year, &mut x);
            x
        })
    }

    /// Writes the columns that the bike decides.
    fn of_bike(&self, facts: &Facts, x: &mut [f64]) {
        let mut full = facts.values;
        if let Some(completion) = self
            .completions
            .known(facts.known)
            .filter(|_| facts.known != ALL_KNOWN)
        {
            completion.fill(&mut full);
            keep_possible(&mut full, facts.known);
        }
        x[FACTS_OF_BIKE].copy_from_slice(&full);
        x[NEW_PRICE] = if facts.knows(NEW_PRICE_KNOWN) {
            full[fact::NEW_PRICE] - self.new_prices.usual(&full)
        } else {
            0.0
        };
        let style = facts.style();
        x[STYLE_AGE.start + style.index()] = full[fact::AGE_TO_15].iter().sum();
        x[STYLE_TIER.start + style.index()] = full[fact::TIER].iter().sum();
        let condition: f64 = dot(&full[fact::CONDITION], &self.condition_steps);
        let years: f64 = full[fact::AGE_TO_15].iter().sum();
        let old = (years + BASE_AGE) / KNOTS[2];
        x[CONDITION_BY_AGE].copy_from_slice(&[condition * (1.0 - old), condition * old]);
        if COLLECTED.contains(&style) {
            x[VINTAGE] = full[fact::AGE_15_TO_35] / VINTAGE_YEARS;
        }
    }

    /// Variance of ln price left by the unknown facts and by a range of model
    /// years, under coefficients `b`. By the law of total variance it is the sum
    /// of what is left once the year is known and of what the years differ by.
    pub fn unknown_variance(&self, facts: &Facts, b: &[f64]) -> f64 {
        self.between_years(facts, b) + self.within_a_year(facts.known, facts.style(), b)
    }

    /// `sum (v_y - mean v)^2 / n` over the `n` years of a range, `v_y` being ln
    /// of the value under `b` if the bike is of year `y`; 0 for an exact year.
    /// The ordinary spread of prices holds no part of it, since the years of the
    /// range are known: unlike an unknown year it is not trusted by halves.
    fn between_years(&self, facts: &Facts, b: &[f64]) -> f64 {
        let value = |x: [f64; COLUMNS]| x.iter().zip(b).map(|(x, b)| x * b).sum::<f64>();
        let values: Vec<f64> = self.of_each_year(facts).map(value).collect();
        if values.is_empty() {
            return 0.0;
        }
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / n
    }

    /// What unknown facts leave once the model year is known, by the groups that are
    /// known and the style.
    pub(in crate::pricing) fn within_a_year(&self, known: u32, style: Style, b: &[f64]) -> f64 {
        if known == ALL_KNOWN {
            return 0.0;
        }
        let mut effect = [0.0; FACTS];
        effect.copy_from_slice(&b[FACTS_OF_BIKE]);
        effect[fact::NEW_PRICE] = 0.0;
        for e in &mut effect[fact::AGE_TO_15] {
            *e += b[STYLE_AGE.start + style.index()];
        }
        // An unknown age may be any.
        let by_age = b[CONDITION_BY_AGE].iter().sum::<f64>() / 2.0;
        for (e, step) in effect[fact::CONDITION].iter_mut().zip(self.condition_steps) {
            *e += by_age * step;
        }
        for e in &mut effect[fact::TIER] {
            *e += b[STYLE_TIER.start + style.index()];
        }
        if COLLECTED.contains(&style) {
            effect[fact::AGE_15_TO_35] += b[VINTAGE] / VINTAGE_YEARS;
        }
        let new_known = known & NEW_PRICE_KNOWN != 0;
        if new_known {
            for (e, slope) in effect.iter_mut().zip(self.new_prices.slopes()) {
                *e -= b[NEW_PRICE] * slope;
            }
        }
        for (group, trust) in GROUPS.into_iter().zip(self.trust) {
            for e in &mut effect[group] {
                *e *= trust.sqrt();
            }
        }
        let features = self
            .completions
            .known(known)
            .map_or(0.0, |c| c.variance(&effect));
        let surprise = if new_known {
            0.0
        } else {
            b[NEW_PRICE].powi(2) * self.new_prices.variance
        };
        features + self.trust[fact::group(NEW_PRICE_KNOWN)] * surprise
    }
}

/// [`Coding::unknown_variance`] of many bikes under the same coefficients.
pub struct UnknownVariance<'c> {
    coding: &'c Coding,
    b: &'c [f64],
    /// What does not depend on the year: by known groups and style, once asked for.
    within: Vec<Option<f64>>,
}

impl<'c> UnknownVariance<'c> {
    /// Under coefficients `b`.
    pub fn under(coding: &'c Coding, b: &'c [f64]) -> Self {
        let within = vec![None; (ALL_KNOWN as usize + 1) * Style::ALL.len()];
        Self { coding, b, within }
    }

    /// That of one bike.
    pub fn of(&mut self, facts: &Facts) -> f64 {
        let (coding, b, style) = (self.coding, self.b, facts.style());
        let place = facts.known as usize * Style::ALL.len() + style.index();
        let within = match self.within[place] {
            Some(within) => within,
            None => *self.within[place].insert(coding.within_a_year(facts.known, style, b)),
        };
        coding.between_years(facts, b) + within
    }
}

/// Sine and cosine of the year and of half the year. The half is told from the whole
/// by the double angle.
fn season(day: Day) -> [f64; 4] {
    let angle = 2.0 * std::f64::consts::PI * year_fraction(day);
    let (sin, cos) = angle.sin_cos();
    [sin, cos, 2.0 * sin * cos, 1.0 - 2.0 * sin * sin]
}
