//! What an analyst would fit to the same rows: least squares of ln price, and ridge.
//!
//! Rows are dated as the model dates them. Columns, most wanted first: level, whether it
//! is an ask, age, tier, condition as numbers, kids, the square of the age, ln new price
//! (and whether it is known), the other styles, sizes off M, a straight trend, sine and
//! cosine of the year; what is unknown takes the mean. Least squares takes as
//! many of them as leave three rows to each. Ridge takes all, scaled to spread 1, the
//! level free, its penalty by generalised cross-validation (Golub, Heath & Wahba 1979,
//! from memory). Without own sales nothing tells what asks stand above sales: a tenth is
//! taken off (common practice, no source).

use super::market::Market;
use wheelworth::pricing::records::observation::{Group, of_comp, of_sale};
use wheelworth::statistics::distribution::student_t::Predictive;
use wheelworth::statistics::{Design, Fit};
use wheelworth::trade::calendar::{days_between, year_fraction};
use wheelworth::trade::{Bike, Currency, Day, SizeClass, Style};

/// Rows that a column of least squares needs.
const ROWS_A_COLUMN: usize = 3;

/// ln of what asks are taken to stand above sales where no own sale tells.
const USUAL_ASK: f64 = 0.105;

/// Penalties of ridge that are tried, as a share of the rows.
const PENALTIES: [f64; 12] = [
    0.0003, 0.001, 0.003, 0.01, 0.03, 0.1, 0.2, 0.4, 0.8, 1.5, 3.0, 10.0,
];

/// A trace of a penalty, so that a style never seen has the level of the others.
const TRACE: f64 = 1e-6;

/// A price seen, as numbers; an unknown one is NaN.
pub struct Row {
    /// The columns after the level.
    pub x: Vec<f64>,
    /// ln price.
    pub y: f64,
}

/// A fitted rival.
pub struct Rival {
    /// Columns it takes, the level first.
    columns: Vec<usize>,
    mean: Vec<f64>,
    spread: Vec<f64>,
    fit: Fit,
    sd: f64,
    freedom: f64,
    less: f64,
}

/// The rows of a market's records.
pub fn rows(market: &Market, currency: &Currency) -> Vec<Row> {
    let as_of = market.as_of;
    let own = market.sales.iter().filter_map(|sale| {
        let seen = of_sale(sale, as_of, currency).ok()?;
        Some((sale.bike, seen))
    });
    let comps = market.comps.iter().filter_map(|comp| {
        let seen = of_comp(comp, 1.0, as_of, currency).ok()?;
        Some((comp.bike, seen))
    });
    own.chain(comps)
        .map(|(bike, seen)| {
            let asked = !matches!(seen.group, Group::Own | Group::Price);
            Row {
                x: columns(&bike, seen.day, asked, as_of, currency),
                y: seen.ln_price,
            }
        })
        .collect()
}

/// The columns after the level.
pub fn columns(bike: &Bike, day: Day, asked: bool, as_of: Day, currency: &Currency) -> Vec<f64> {
    let flag = |yes: bool| f64::from(u8::from(yes));
    let or_nan = |value: Option<f64>| value.unwrap_or(f64::NAN);
    let age = or_nan(bike.age(day));
    let new = bike.new_price.map(|price| currency.units(price).ln());
    let size = |one, other| or_nan(bike.size().map(|s| flag(s == one || s == other)));
    let angle = std::f64::consts::TAU * year_fraction(day);
    let mut x = vec![
        flag(asked),
        age,
        or_nan(bike.tier.map(|t| t.grade().into())),
        or_nan(bike.condition.map(|c| c.grade().into())),
        flag(bike.style == Style::Kids),
        age * age / 10.0,
        or_nan(new),
        flag(new.is_some()),
    ];
    let others = [Style::Road, Style::Mountain, Style::City, Style::Touring];
    let rare = [Style::Folding, Style::Cruiser, Style::Other];
    x.extend(others.iter().chain(&rare).map(|s| flag(*s == bike.style)));
    x.extend([
        size(SizeClass::S, SizeClass::L),
        size(SizeClass::XS, SizeClass::XL),
        days_between(day, as_of) as f64 / -365.25,
        angle.sin(),
        angle.cos(),
    ]);
    x
}

impl Rival {
    /// Least squares.
    pub fn least_squares(rows: &[Row]) -> Option<Rival> {
        let most = (rows.len() / ROWS_A_COLUMN).max(1);
        let rival = Self::prepared(rows, most)?;
        rival.fitted(rows, TRACE)
    }

    /// Ridge, the penalty of the least generalised cross-validation.
    pub fn ridge(rows: &[Row]) -> Option<Rival> {
        let n = rows.len() as f64;
        let tried = PENALTIES.iter().filter_map(|penalty| {
            let rival = Self::prepared(rows, usize::MAX)?.fitted(rows, penalty * n)?;
            Some((n * rival.sd * rival.sd / rival.freedom, rival))
        });
        let best = tried.min_by(|a, b| a.0.total_cmp(&b.0))?;
        Some(best.1)
    }

    /// The columns that differ among the rows, `most` with the level, and their scales.
    fn prepared(rows: &[Row], most: usize) -> Option<Rival> {
        let width = rows.first()?.x.len();
        let known = |j: usize| rows.iter().map(move |r| r.x[j]).filter(|v| v.is_finite());
        let mean: Vec<f64> = (0..width)
            .map(|j| known(j).sum::<f64>() / known(j).count().max(1) as f64)
            .collect();
        let spread: Vec<f64> = (0..width)
            .map(|j| {
                let squares: f64 = known(j).map(|v| (v - mean[j]).powi(2)).sum();
                (squares / rows.len() as f64).sqrt()
            })
            .collect();
        let columns = (0..width)
            .filter(|j| spread[*j] > 1e-9)
            .take(most.saturating_sub(1))
            .collect();
        let asks = known(0).filter(|v| *v > 0.5).count();
        let less = if asks == rows.len() { USUAL_ASK } else { 0.0 };
        Some(Rival {
            columns,
            mean,
            spread,
            fit: Fit::of(&single(), &[]).ok()?,
            sd: f64::NAN,
            freedom: f64::NAN,
            less,
        })
    }

    fn row(&self, x: &[f64]) -> Vec<f64> {
        let scaled = |j: &usize| {
            let away = (x[*j] - self.mean[*j]) / self.spread[*j];
            if away.is_finite() { away } else { 0.0 }
        };
        std::iter::once(1.0)
            .chain(self.columns.iter().map(scaled))
            .collect()
    }

    /// The fit with a penalty on all scaled columns but the level.
    fn fitted(mut self, rows: &[Row], penalty: f64) -> Option<Rival> {
        let width = 1 + self.columns.len();
        let mut design = Design::new((0..width).map(|j| format!("x{j}")));
        for row in rows {
            design.push(&self.row(&row.x), row.y, 1.0).ok()?;
        }
        let mut unit = vec![0.0; width];
        for j in 1..width {
            unit[j] = 1.0;
            design.push(&unit, 0.0, penalty).ok()?;
            unit[j] = 0.0;
        }
        self.fit = Fit::of(&design.r_factor().ok()?, design.names()).ok()?;
        // tr H = p - penalty tr (X'X + penalty I)^-1 over the penalised columns.
        let mut kept = width as f64;
        for j in 1..width {
            unit[j] = 1.0;
            kept -= penalty * self.fit.leverage(&unit);
            unit[j] = 0.0;
        }
        self.freedom = (rows.len() as f64 - kept).max(1.0);
        let squares: f64 = rows
            .iter()
            .map(|r| (r.y - self.fit.predict(&self.row(&r.x))).powi(2))
            .sum();
        self.sd = (squares / self.freedom).sqrt();
        Some(self)
    }

    /// What it says of ln of one sale with these columns.
    pub fn one_sale(&self, x: &[f64]) -> Predictive {
        let row = self.row(x);
        Predictive {
            freedom: self.freedom,
            location: self.fit.predict(&row) - self.less,
            scale: self.sd * (1.0 + self.fit.leverage(&row)).sqrt(),
        }
    }
}

/// One row, to start from.
fn single() -> wheelworth::statistics::RFactor {
    let mut one = wheelworth::statistics::RFactor::new(1);
    let _ = one.push(&[1.0], 0.0, 1.0);
    one
}
