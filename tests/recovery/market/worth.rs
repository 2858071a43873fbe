//! What a bike is truly worth in the simulated market. Deliberately not of the
//! value model's form: smooth decay to a floor, interactions, a vintage upturn,
//! a trend with a jump, a season with a narrow peak. All numbers are invented.

use super::Config;
use super::buyers::Buyers;
use super::form::Form;
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Normal, StudentT};
use wheelworth::trade::calendar::{DAYS_PER_YEAR, year_fraction};
use wheelworth::trade::{Day, SeatTube, SizeClass, Style};

/// The oldest bike on the market, in years.
pub const OLDEST: usize = 48;

/// A bicycle as it truly is.
#[derive(Clone, Copy, Debug)]
pub struct TrueBike {
    pub style: Style,
    pub made: i16,
    /// True condition, 1 to 5.
    pub condition: usize,
    /// True component tier, 1 to 5.
    pub tier: usize,
    pub seat_tube: SeatTube,
    /// ln of its price new over what is usual for its style and tier.
    pub new_surprise: f64,
    /// What a buyer sees and no record holds (ln).
    pub hidden: f64,
}

/// Who brings bikes to the market: shares of condition 1 to 5.
#[derive(Clone, Copy, Debug)]
pub struct Stock {
    pub conditions: [f64; 5],
}

/// Bikes of the workshop: repaired before they are offered.
pub const WORKSHOP: Stock = Stock {
    conditions: [0.01, 0.08, 0.36, 0.43, 0.12],
};
/// Bikes that private sellers offer as they stand.
pub const PRIVATE: Stock = Stock {
    conditions: [0.05, 0.20, 0.38, 0.27, 0.10],
};

/// Share of each style on the market, in the order of [`Style::ALL`].
const STYLE_SHARES: [f64; 9] = [0.21, 0.26, 0.20, 0.16, 0.03, 0.04, 0.03, 0.06, 0.01];
/// ln worth of a bike of 8 years, condition 3, tier 2, middle size.
const STYLE_LEVEL: [f64; 9] = [5.45, 5.10, 5.25, 4.85, 4.75, 5.40, 5.05, 3.90, 4.90];
/// Years in which the part of the worth above the floor falls to 1/e.
const STYLE_DECAY: [f64; 9] = [6.5, 6.0, 5.3, 6.3, 6.5, 7.0, 6.0, 5.0, 6.0];
/// Part of the worth of a new bike that age never takes.
const STYLE_FLOOR: [f64; 9] = [0.26, 0.24, 0.22, 0.27, 0.28, 0.28, 0.24, 0.22, 0.24];
/// ln of the price new at tier 2.
const STYLE_NEW: [f64; 9] = [6.75, 6.30, 6.50, 6.20, 6.05, 6.85, 6.40, 5.20, 6.30];
/// ln price new of each tier above tier 2.
const TIER_NEW: [f64; 5] = [-0.40, 0.0, 0.42, 0.85, 1.30];
/// Spread (ln) of prices new within a style and tier.
pub const NEW_SPREAD: f64 = 0.28;
/// How much of a surprise in the price new remains in the worth.
const NEW_SHARE: f64 = 0.6;
/// Middle seat tube of each style in centimetres, and the spread around it.
const STYLE_TUBE: [(f64, f64); 9] = [
    (55.0, 2.6),
    (51.5, 3.2),
    (45.8, 4.0),
    (51.0, 3.2),
    (47.0, 3.0),
    (55.0, 2.8),
    (51.0, 1.5),
    (29.0, 2.0),
    (51.0, 3.5),
];
/// Shares of tier 1 to 5 by style.
fn tier_shares(style: Style) -> [f64; 5] {
    match style {
        Style::Road => [0.10, 0.32, 0.32, 0.18, 0.08],
        Style::Mountain | Style::Touring => [0.18, 0.36, 0.28, 0.13, 0.05],
        Style::Kids | Style::Cruiser => [0.58, 0.34, 0.07, 0.008, 0.002],
        _ => [0.32, 0.43, 0.19, 0.05, 0.01],
    }
}

/// How fully a style carries the tier's premium.
fn tier_strength(style: Style) -> f64 {
    match style {
        Style::Road | Style::Mountain => 1.1,
        Style::Kids => 0.5,
        Style::City | Style::Cruiser => 0.75,
        _ => 0.95,
    }
}

/// Shares of the ages 0 to [`OLDEST`] (model years before the year of listing).
pub fn age_shares(style: Style) -> [f64; OLDEST + 1] {
    let vintage = match style {
        Style::Road => 0.5,
        Style::Touring => 0.6,
        Style::Cruiser => 0.3,
        _ => 0.0,
    };
    let youth = if style == Style::Kids { 3.0 } else { 5.5 };
    std::array::from_fn(|years| {
        let age = years as f64;
        (age + 0.4) * (-age / youth).exp() + vintage * (-0.5 * ((age - 35.0) / 5.0).powi(2)).exp()
    })
}

/// Draws the place of a share in a list of shares that need not add up to 1.
pub fn pick(rng: &mut ChaCha8Rng, shares: &[f64]) -> usize {
    let mut left = rng.random::<f64>() * shares.iter().sum::<f64>();
    for (place, share) in shares.iter().enumerate() {
        left -= share;
        if left < 0.0 {
            return place;
        }
    }
    shares.len() - 1
}

impl TrueBike {
    /// Draws a bike brought to the market in `year`.
    pub fn draw(rng: &mut ChaCha8Rng, stock: &Stock, year: i16) -> Self {
        let style = Style::ALL[pick(rng, &STYLE_SHARES)];
        Self::of_style(rng, stock, year, style)
    }

    /// Draws a bike of a style.
    pub fn of_style(rng: &mut ChaCha8Rng, stock: &Stock, year: i16, style: Style) -> Self {
        let years = pick(rng, &age_shares(style));
        let (middle, spread) = STYLE_TUBE[style.index()];
        let tube: f64 = Normal::new(middle, spread).unwrap().sample(rng);
        let tenths = (tube.clamp(25.5, 66.0) * 2.0).round() as i64 * 50; // to 5 mm
        let wild: f64 = StudentT::new(6.0).unwrap().sample(rng);
        Self {
            style,
            made: year - years as i16,
            condition: pick(rng, &stock.conditions) + 1,
            tier: pick(rng, &tier_shares(style)) + 1,
            seat_tube: SeatTube::from_tenths(tenths).unwrap(),
            new_surprise: Normal::new(0.0, NEW_SPREAD).unwrap().sample(rng),
            hidden: 0.10 * wild,
        }
    }

    /// ln of its price new.
    pub fn ln_new_price(&self) -> f64 {
        usual_new_price(self.style, self.tier) + self.new_surprise
    }
}

/// ln of what is usual for a new bike of this style and tier.
pub fn usual_new_price(style: Style, tier: usize) -> f64 {
    STYLE_NEW[style.index()] + TIER_NEW[tier - 1] * tier_strength(style)
}

/// Share of a tier within a style.
pub fn tier_share(style: Style, tier: usize) -> f64 {
    tier_shares(style)[tier - 1]
}

/// Everything that differs from one seed's market to the next.
#[derive(Clone, Debug)]
pub struct World {
    /// Date of the first day in decimal years.
    start: f64,
    /// The day of the answer, in days after the first.
    pub as_of: f64,
    style_shift: [f64; 9],
    decay: f64,
    trend: f64,
    jump: f64,
    jump_at: f64,
    level: f64,
    /// Who comes to look.
    pub buyers: Buyers,
    /// What is strange about it.
    pub form: Form,
}

impl World {
    /// Draws the market of a configuration.
    pub fn of(rng: &mut ChaCha8Rng, config: &Config) -> Self {
        let world = Self::draw(rng, config.start, config.days, config.level);
        Self {
            form: config.form,
            ..world
        }
    }

    /// Draws a market that runs for `days` from `start`; worths are `level`
    /// times those of the constants above.
    pub fn draw(rng: &mut ChaCha8Rng, start: Day, days: i64, level: f64) -> Self {
        let shift = Normal::new(0.0, 0.10).unwrap();
        let days = days as f64;
        Self {
            start: f64::from(start.year()) + year_fraction(start),
            as_of: days,
            style_shift: std::array::from_fn(|_| shift.sample(rng)),
            decay: rng.random_range(0.85..1.2),
            trend: rng.random_range(-0.06..0.10),
            jump: if rng.random() { 0.07 } else { -0.06 },
            jump_at: days * rng.random_range(0.3..0.9),
            level: level.ln(),
            buyers: Buyers::Haggling,
            form: Form::Usual,
        }
    }

    /// ln of one: the scale of this market's money.
    pub fn ln_level(&self) -> f64 {
        self.level
    }

    /// Age in years of a model year on day `t`.
    pub fn age(&self, made: i16, t: f64) -> f64 {
        (self.start + t / DAYS_PER_YEAR - f64::from(made) - 0.5).max(0.0)
    }

    /// Place in the year of day `t`, 0 to 1.
    pub fn season_at(&self, t: f64) -> f64 {
        (self.start + t / DAYS_PER_YEAR).rem_euclid(1.0)
    }

    /// ln worth on day `t` without the hidden part. The trend is an S over the
    /// whole time with one jump, and stands still after `as_of`.
    pub fn ln_worth(&self, bike: &TrueBike, t: f64) -> f64 {
        self.ln_worth_known(
            bike.style,
            self.age(bike.made, t),
            bike.condition,
            bike.tier,
        ) + size_effect(bike.style, bike.seat_tube)
            + NEW_SHARE * bike.new_surprise
            + bike.hidden
            + self.drift(t)
            + self.season(t)
    }

    /// The part of ln worth that style, age, condition and tier make together.
    pub fn ln_worth_known(&self, style: Style, age: f64, condition: usize, tier: usize) -> f64 {
        let place = style.index();
        let floor = STYLE_FLOOR[place];
        let decay = STYLE_DECAY[place] * self.decay;
        let left = |age: f64| floor + (1.0 - floor) * (-age / decay).exp();
        let old = match style {
            Style::Road | Style::Touring => 0.35 / (1.0 + (-(age - 29.0) / 3.0).exp()),
            Style::Cruiser => 0.25 / (1.0 + (-(age - 29.0) / 3.0).exp()),
            _ => 0.0,
        };
        let wanted = if tier >= 3 { 1.0 } else { 0.45 } * if condition >= 3 { 1.0 } else { 0.6 };
        let steps = [-1.05, -0.48, 0.0, 0.17, 0.30][condition - 1];
        let more_when_fine = 0.95 + 0.06 * (tier as f64 - 2.0);
        let more_when_old = 0.88 + 0.014 * age.min(20.0);
        let parts = [-0.27, 0.0, 0.27, 0.52, 0.72][tier - 1] * tier_strength(style);
        let parts_age = (1.10 - 0.012 * age).max(0.7);
        self.level
            + STYLE_LEVEL[place]
            + self.style_shift[place]
            + (left(age) / left(8.0)).ln()
            + old * wanted
            + steps * more_when_fine * more_when_old
            + parts * parts_age
    }

    /// What a surprise in the price new adds.
    pub fn new_price_effect(surprise: f64) -> f64 {
        NEW_SHARE * surprise
    }

    /// The market's drift: half an S-curve and one jump.
    pub fn drift(&self, t: f64) -> f64 {
        let t = t.min(self.as_of);
        let way = t / self.as_of.max(1.0);
        self.trend * (3.0 * (way - 0.5)).tanh()
            + if t >= self.jump_at { self.jump } else { 0.0 }
            + self.form.ln_level(self.as_of - t)
    }

    /// ln worth of the season on day `t`: a peak in early May, a shorter dip in December,
    /// flat between.
    pub fn season(&self, t: f64) -> f64 {
        let place = self.season_at(t);
        let from = |centre: f64| {
            let away = (place - centre).abs();
            away.min(1.0 - away)
        };
        self.form.spring() * (-(from(0.36) / 0.12).powi(2)).exp()
            - 0.04 * (-(from(0.95) / 0.10).powi(2)).exp()
    }
}

/// ln worth of the size: a hump around the style's middle, with a bottom.
pub fn size_effect(style: Style, tube: SeatTube) -> f64 {
    let (middle, spread) = STYLE_TUBE[style.index()];
    if style == Style::Kids {
        return 0.0;
    }
    let away = (tube.tenths().unwrap() as f64 / 100.0 - middle) / spread;
    -0.16 * (1.0 - (-0.22 * away * away).exp())
}

/// Shares and mean effect of the seat tubes of a style, in steps of 5 mm:
/// (size class, share, effect).
pub fn tube_shares(style: Style) -> Vec<(Option<SizeClass>, f64, f64)> {
    let (middle, spread) = STYLE_TUBE[style.index()];
    (51..=132)
        .filter_map(|half| {
            let tube = SeatTube::from_tenths(half * 50)?;
            let away = (tube.tenths().unwrap() as f64 / 100.0 - middle) / spread;
            let share = (-0.5 * away * away).exp();
            Some((tube.class(style), share, size_effect(style, tube)))
        })
        .collect()
}
