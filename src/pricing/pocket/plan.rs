//! What the best asking plan brings, as a function of what it depends on.
//!
//! Both its present value and the mean sale go with the value; over it they depend on
//! three numbers and, a little, on what kind of bike it is:
//!
//! * how high the first ask may be, over the value: the upper end of the range, or a
//!   part of what one costs new;
//! * the standard deviation of ln of the value that goes into a plan;
//! * how slow such bikes sell: ln of the days at the value, by style, tier and size.
//!
//! The plans of a grid of these are solved here, for a bike whose price points are 2 %
//! of its value apart. Between them the page interpolates straight; what a kind of bike
//! brings beside that at the middle of the grid corrects it. The mean of what is left is the present
//! value, which is highest at the best plan and so changes little beside it.

use crate::pricing::asking::price_points::{COARSE, STEP};
use crate::pricing::asking::{self, Detail, LOWEST, MOST_OF_NEW, POOREST, Selling, Subject};
use crate::pricing::design::features::{self, Facts};
use crate::pricing::eye::learnt::Eye;
use crate::pricing::in_parallel;
use crate::pricing::prior::priors::Priors;
use crate::pricing::quote::repaired::{CONDITION_SD, OF_CONDITION, OF_TIER, TIER_SD};
use crate::pricing::quote::{
    LARGEST_VARIANCE, MOST_DOUBT, MOST_DOUBT_WITHOUT_RECORDS, Source, UPPER_END,
};
use crate::pricing::time_on_market::columns::{self, COLUMNS};
use crate::statistics::distribution::normal;
use crate::trade::{Bike, Currency, Day, SeatTube, SizeClass, Style, Tier};
use serde::Serialize;

/// Highest asks over the value that are tried, in steps of 2 %.
const TOPS: [u8; 18] = [
    10, 20, 30, 40, 50, 60, 70, 78, 84, 90, 96, 102, 108, 114, 120, 128, 136, 148,
];
/// Deviations of ln of the value.
const DOUBTS: usize = 6;
/// Paces of selling.
const PACES: usize = 4;

/// What the best plan brings, and the numbers around it.
#[derive(Clone, Debug, Serialize)]
pub struct PocketPlan {
    /// Quantile of the sale above which no first ask stands.
    pub upper: f64,
    /// The same where no guess is given: of the model's sale, by how past sales fell.
    pub upper_held: f64,
    /// The same of a standard normal.
    pub upper_normal: f64,
    /// Standard deviation of ln of the value that goes into a plan, at most.
    pub most_doubt: f64,
    /// Largest variance of ln price that goes into a mean.
    pub largest_variance: f64,
    /// No ask is above this part of a new price.
    pub most_of_new: f64,
    /// Asks are tried down to this part of the poorest likely value …
    pub lowest: f64,
    /// … which lies this many deviations below the value.
    pub poorest: f64,
    /// Price points are about this part of the value apart …
    pub step: f64,
    /// … and below one unit only where one unit is more than this part.
    pub coarse: f64,
    /// Part of a better condition's step that repairs bring, and its deviation.
    pub condition: (f64, f64),
    /// Part of a better tier's step that new parts bring, and its deviation.
    pub tier: (f64, f64),
    /// Highest first asks over the value, of the grid.
    pub tops: Vec<f64>,
    /// Standard deviations of ln of the value, of the grid.
    pub doubts: Vec<f64>,
    /// ln of the days at the value, of the grid.
    pub paces: Vec<f64>,
    /// ln of present value over value: by pace, then doubt, then top.
    pub present: Vec<f64>,
    /// ln of mean sale over value, likewise.
    pub sale: Vec<f64>,
    /// Kinds of bike.
    pub kinds: Vec<PocketKind>,
}

/// A kind of bike, as far as it matters to how it sells.
#[derive(Clone, Debug, Serialize)]
pub struct PocketKind {
    /// Styles that sell alike.
    pub styles: Vec<&'static str>,
    /// Tier; of an unknown one that of the base bike.
    pub tier: u8,
    /// Whether it is of size XS or XL.
    pub rare_size: bool,
    /// ln of the days at the value.
    pub pace: f64,
    /// What ln of its present value is beside the grid's …
    pub present: f64,
    /// … and ln of its mean sale.
    pub sale: f64,
}

/// Styles that sell alike; see [`columns`].
const ALIKE: [&[Style]; 3] = [
    &[Style::Hybrid, Style::City, Style::Kids],
    &[Style::Road, Style::Mountain],
    &[Style::Touring, Style::Folding, Style::Cruiser, Style::Other],
];

/// A kind of bike before it is worked out.
struct Kind {
    styles: &'static [Style],
    tier: Tier,
    rare_size: bool,
    facts: Facts,
    pace: f64,
}

/// What plans are made for.
struct Maker<'a> {
    selling: &'a Selling<'a>,
    as_of: Day,
    currency: Currency,
    freedom: f64,
}

/// A value whose price points are 2 % of it apart, in units.
const VALUE: f64 = 100.0;

impl PocketPlan {
    /// The plans under the user's wishes. `None` where no plan can be made.
    pub fn of(source: &Source<'_>, priors: &Priors, selling: &Selling<'_>) -> Option<Self> {
        let (as_of, freedom, least, most) = match source {
            Source::Fitted(model) => {
                let none = model.gathered.is_empty();
                let seen = model.bike_share * model.own_variance;
                let seen = model.range_factor.powi(2) * seen;
                let most = if none {
                    MOST_DOUBT_WITHOUT_RECORDS
                } else {
                    MOST_DOUBT
                };
                let least = least_doubt(&model.eye, seen);
                (model.coding.as_of, model.own_freedom, least, most)
            }
            Source::Nothing { as_of, .. } => {
                let seen = priors.selling.bike * priors.noise.powi(2);
                let least = least_doubt(&Eye::believed(priors), seen);
                (
                    *as_of,
                    priors.noise_sales,
                    least,
                    MOST_DOUBT_WITHOUT_RECORDS,
                )
            }
        };
        let maker = Maker {
            selling,
            as_of,
            currency: source.currency(),
            freedom,
        };
        let doubts = between(least.min(most), most, DOUBTS);
        let kinds = maker.kinds();
        let slow = spread_out(&kinds);
        let (grid, kinds) = maker.solve(&kinds, &slow, &doubts)?;
        Some(Self {
            upper: UPPER_END,
            upper_held: match source {
                Source::Fitted(model) => model.levels.quantile(UPPER_END),
                Source::Nothing { .. } => UPPER_END,
            },
            upper_normal: normal::quantile(UPPER_END),
            most_doubt: most,
            largest_variance: LARGEST_VARIANCE,
            most_of_new: MOST_OF_NEW,
            lowest: LOWEST,
            poorest: POOREST,
            step: STEP,
            coarse: COARSE,
            condition: (OF_CONDITION, CONDITION_SD),
            tier: (OF_TIER, TIER_SD),
            tops: TOPS.map(|top| f64::from(top) / VALUE).to_vec(),
            doubts,
            paces: grid.paces,
            present: grid.present,
            sale: grid.sale,
            kinds,
        })
    }
}

/// Numbers from `low` to `high`, one where they are the same.
fn between(low: f64, high: f64, count: usize) -> Vec<f64> {
    if high - low < 1e-3 {
        return vec![high];
    }
    let step = (high - low) / (count - 1) as f64;
    (0..count).map(|i| low + step * i as f64).collect()
}

/// The least doubt about a bike whose own worth has a variance of `seen` at least: with a
/// guess about what the price without it is.
fn least_doubt(eye: &Eye, seen: f64) -> f64 {
    let offs = (-4..=4).map(|tenths| 0.1 * f64::from(tenths));
    let left = offs.map(|off| eye.look(off, seen).bike(seen));
    left.fold(seen, f64::min).sqrt()
}

/// Places of a few kinds that are spread out over the paces, slower and slower.
fn spread_out(kinds: &[Kind]) -> Vec<usize> {
    let pace = |i: usize| kinds[i].pace;
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.sort_by(|a, b| pace(*a).total_cmp(&pace(*b)));
    let (Some(first), Some(last)) = (order.first(), order.last()) else {
        return order;
    };
    let wanted = between(pace(*first), pace(*last), PACES);
    let nearest = wanted.iter().filter_map(|wanted| {
        let off = |i: &usize| (pace(*i) - wanted).abs();
        order
            .iter()
            .copied()
            .min_by(|a, b| off(a).total_cmp(&off(b)))
    });
    let mut chosen: Vec<usize> = nearest.collect();
    chosen.dedup_by(|a, b| pace(*a) - pace(*b) < 1e-6);
    chosen
}

/// The grid.
struct Grid {
    paces: Vec<f64>,
    present: Vec<f64>,
    sale: Vec<f64>,
}

impl Maker<'_> {
    /// All kinds of bike.
    fn kinds(&self) -> Vec<Kind> {
        let mut kinds = Vec::new();
        for styles in ALIKE {
            for tier in Tier::ALL {
                for rare_size in [false, true] {
                    let class = if rare_size {
                        SizeClass::XL
                    } else {
                        SizeClass::M
                    };
                    let bike = Bike {
                        tier: Some(*tier),
                        seat_tube: Some(SeatTube::Class(class)),
                        ..Bike::of(styles[0])
                    };
                    let facts = features::facts(&bike, self.as_of, &self.currency);
                    kinds.push(Kind {
                        styles,
                        tier: *tier,
                        rare_size,
                        pace: self.pace(&facts),
                        facts,
                    });
                }
            }
        }
        kinds
    }

    /// ln of the days at the value, but for the time of the year.
    fn pace(&self, facts: &Facts) -> f64 {
        let mut x = [0.0; COLUMNS];
        columns::of_bike(facts, true, &mut x);
        let b = self.selling.time.fit.coefficients.iter();
        x.iter().zip(b).map(|(x, b)| x * b).sum()
    }

    /// The grid, and each kind beside it.
    fn solve(
        &self,
        kinds: &[Kind],
        slow: &[usize],
        doubts: &[f64],
    ) -> Option<(Grid, Vec<PocketKind>)> {
        let middle = doubts[doubts.len() / 2];
        let highest = TOPS[TOPS.len() - 1];
        let cells = slow.iter().flat_map(|kind| {
            let of_kind = doubts.iter();
            of_kind.flat_map(move |doubt| TOPS.map(|top| (*kind, *doubt, top)))
        });
        let beside = (0..kinds.len()).map(|kind| (kind, middle, highest));
        let wanted: Vec<(usize, f64, u8)> = cells.chain(beside).collect();
        let solved = in_parallel::each(&wanted, |(kind, doubt, top)| {
            self.brings(&kinds[*kind], *doubt, *top)
        });
        let solved: Vec<[f64; 2]> = solved.into_iter().collect::<Option<_>>()?;
        let (cells, beside) = solved.split_at(solved.len() - kinds.len());
        let grid = Grid {
            paces: slow.iter().map(|kind| kinds[*kind].pace).collect(),
            present: cells.iter().map(|cell| cell[0]).collect(),
            sale: cells.iter().map(|cell| cell[1]).collect(),
        };
        // The grid's own kinds at the middle, between which the others stand.
        let at_middle: Vec<[f64; 2]> = slow.iter().map(|kind| beside[*kind]).collect();
        let kinds = kinds.iter().zip(beside).map(|(kind, [present, sale])| {
            let expected = interpolated(&grid.paces, &at_middle, kind.pace);
            PocketKind {
                styles: kind.styles.iter().map(|style| style.word()).collect(),
                tier: kind.tier.grade(),
                rare_size: kind.rare_size,
                pace: kind.pace,
                present: present - expected[0],
                sale: sale - expected[1],
            }
        });
        let kinds = kinds.collect();
        Some((grid, kinds))
    }

    /// ln of present value and of mean sale over the value.
    fn brings(&self, kind: &Kind, doubt: f64, top: u8) -> Option<[f64; 2]> {
        let top = f64::from(top);
        // The highest ask is the last price point up to here; below the lowest that is
        // tried it is the only one, and the first from here on.
        let low = LOWEST * VALUE * (-POOREST * doubt).exp();
        let aside = if top <= low { -1e-9 } else { 1e-9 };
        let subject = Subject {
            facts: &kind.facts,
            as_of: self.as_of,
            ln_value: VALUE.ln(),
            ln_highest: top.ln() + aside,
            variance: doubt * doubt,
            freedom: self.freedom,
            new_price: None,
            most_paid: None,
            stood: None,
        };
        let selling = Selling {
            detail: Detail::PlanAlone,
            ..*self.selling
        };
        let outlook = asking::plan(&selling, &subject, &self.currency)?.outlook;
        Some([outlook.present_value, outlook.expected_sale].map(|units| (units / VALUE).ln()))
    }
}

/// Straight between the places around `at`; the nearest value beyond them.
fn interpolated(places: &[f64], values: &[[f64; 2]], at: f64) -> [f64; 2] {
    let above = places.partition_point(|place| *place <= at);
    let (below, above) = (above.saturating_sub(1), above.min(places.len() - 1));
    let apart = places[above] - places[below];
    let part = if apart > 0.0 {
        (at - places[below]) / apart
    } else {
        0.0
    };
    std::array::from_fn(|i| values[below][i] + part * (values[above][i] - values[below][i]))
}
