//! Plain ways to price a bike, on the same files as the model.

use super::market::Market;
use wheelworth::statistics::linear::robust::median;
use wheelworth::statistics::{Design, Fit};
use wheelworth::trade::{Bike, Currency, Day, Style};

/// A price seen: the bike, the day and ln of the price.
struct Seen {
    bike: Bike,
    day: Day,
    ln_price: f64,
}

/// Three rules ready to be asked.
pub struct Rules {
    comps: Vec<Seen>,
    least_squares: Option<(Fit, [f64; 3])>,
}

impl Rules {
    /// Learns from a market's records.
    pub fn of(market: &Market, currency: &Currency) -> Self {
        let ln = |money| currency.units(money).ln();
        let comps: Vec<Seen> = market
            .comps
            .iter()
            .filter_map(|c| {
                Some(Seen {
                    bike: c.bike,
                    day: c.priced_on()?,
                    ln_price: ln(c.standing_ask()),
                })
            })
            .collect();
        let own = market.sales.iter().filter_map(|s| {
            Some(Seen {
                bike: s.bike,
                day: s.priced_on()?,
                ln_price: ln(s.sold?.price),
            })
        });
        let all: Vec<Seen> = own.collect();
        let least_squares = least_squares(all.iter().chain(&comps));
        Self {
            comps,
            least_squares,
        }
    }

    /// Ordinary least squares over all rows; the median of the five nearest
    /// comps; the median ask of the style less 10 %.
    pub fn guess(&self, bike: &Bike, day: Day) -> [Option<f64>; 3] {
        let ols = self
            .least_squares
            .as_ref()
            .map(|(fit, means)| fit.predict(&row(bike, day, means)).exp());
        let mut near: Vec<(f64, f64)> = self
            .comps
            .iter()
            .map(|c| (apart(bike, day, c), c.ln_price))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let five =
            (!near.is_empty()).then(|| median(near.iter().take(5).map(|n| n.1).collect()).exp());
        let style: Vec<f64> = self
            .comps
            .iter()
            .filter(|c| c.bike.style == bike.style)
            .map(|c| c.ln_price)
            .collect();
        let all = || self.comps.iter().map(|c| c.ln_price).collect::<Vec<_>>();
        let asks = if style.is_empty() { all() } else { style };
        let style = (!asks.is_empty()).then(|| 0.9 * median(asks).exp());
        [ols, five, style]
    }
}

/// How unlike two bikes are, as one would judge by eye.
fn apart(bike: &Bike, day: Day, other: &Seen) -> f64 {
    let gap = |a: Option<f64>, b: Option<f64>, unit: f64| match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() / unit,
        _ => 1.0,
    };
    let style = if bike.style == other.bike.style {
        0.0
    } else {
        5.0
    };
    style
        + gap(bike.age(day), other.bike.age(other.day), 4.0)
        + gap(
            bike.condition.map(|c| c.grade().into()),
            other.bike.condition.map(|c| c.grade().into()),
            1.0,
        )
        + gap(
            bike.tier.map(|t| t.grade().into()),
            other.bike.tier.map(|t| t.grade().into()),
            0.7,
        )
}

/// Intercept, age, its square, condition, tier, a column a style but the first;
/// what is unknown takes the mean.
fn row(bike: &Bike, day: Day, means: &[f64; 3]) -> Vec<f64> {
    let age = bike.age(day).unwrap_or(means[0]);
    let condition = bike.condition.map_or(means[1], |c| c.grade().into());
    let tier = bike.tier.map_or(means[2], |t| t.grade().into());
    let mut x = vec![1.0, age, age * age / 10.0, condition, tier];
    x.extend(
        Style::ALL
            .iter()
            .skip(1)
            .map(|s| f64::from(u8::from(*s == bike.style))),
    );
    x
}

fn least_squares<'a>(rows: impl Iterator<Item = &'a Seen> + Clone) -> Option<(Fit, [f64; 3])> {
    let mean = |values: Vec<f64>| values.iter().sum::<f64>() / values.len().max(1) as f64;
    let means = [
        mean(rows.clone().filter_map(|r| r.bike.age(r.day)).collect()),
        mean(
            rows.clone()
                .filter_map(|r| Some(r.bike.condition?.grade().into()))
                .collect(),
        ),
        mean(
            rows.clone()
                .filter_map(|r| Some(r.bike.tier?.grade().into()))
                .collect(),
        ),
    ];
    let width = 5 + Style::ALL.len() - 1;
    let mut design = Design::new((0..width).map(|j| format!("x{j}")));
    for seen in rows {
        design
            .push(&row(&seen.bike, seen.day, &means), seen.ln_price, 1.0)
            .ok()?;
    }
    // A style that was never seen gets the first style's level (a trace of ridge).
    for j in 1..width {
        let mut x = vec![0.0; width];
        x[j] = 1.0;
        design.push(&x, 0.0, 1e-6).ok()?;
    }
    Some((
        Fit::of(&design.r_factor().ok()?, design.names()).ok()?,
        means,
    ))
}
