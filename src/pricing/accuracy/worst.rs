//! The sales that the prices missed most, and what each looks like.

use super::trial::{OwnBike, Regraded, Trial};
use crate::trade::calendar::days_between;
use crate::trade::{Currency, Day, Money};

/// A score beyond this is a sale that the forecast held for very unlikely: 1 in
/// 40 (judgement).
const UNLIKELY: f64 = 2.24;
/// Beyond this a sale is unlike the forecast at all: 1 in 6 on that side.
const UNLIKE: f64 = 1.0;
/// A reading explains a miss when it leaves less than this part of it (judgement).
const EXPLAINS: f64 = 0.5;
/// Days within which sales are of one time.
const OF_ONE_TIME: i64 = 120;
/// Other sales of that time that must lean the same way, and their mean score.
const OTHERS: usize = 2;
const THEY_LEAN: f64 = 0.8;

/// What a miss looks like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LooksLike {
    /// The price with its decimal point moved would be likely.
    SlippedDecimal(Money),
    /// The price with two digits swapped would be likely.
    SwappedDigits(Money),
    /// Another grade would explain it.
    Grade(Regraded),
    /// Other sales of that time lean the same way, and knowing them explains it.
    MarketMoved,
    /// The user's own ask was as far from the value: something that the record
    /// does not hold.
    Unrecorded,
    /// Nothing in particular: one sale's luck.
    Chance,
}

/// One of the largest errors.
#[derive(Clone, Debug, PartialEq)]
pub struct Worst {
    /// The bike.
    pub bike: String,
    /// The day of the sale.
    pub sold_on: Day,
    /// What it brought, in units.
    pub brought: f64,
    /// What was said of it, in units.
    pub priced_at: f64,
    /// Whether that is from the back-test; else from leave-one-out.
    pub back_test: bool,
    /// Whether it lies in its range.
    pub in_range: bool,
    /// What it looks like.
    pub looks_like: LooksLike,
}

/// The most misses, largest first (by the ratio, so that half and double are alike).
pub fn worst(bikes: &[OwnBike], currency: &Currency, most: usize) -> Vec<Worst> {
    let mut missed: Vec<(f64, &OwnBike, &Trial, f64)> = bikes
        .iter()
        .filter_map(|bike| {
            let trial = bike.before.as_ref().or(bike.left_out.as_ref())?;
            let brought = bike.brought?;
            Some(((brought / trial.median).ln().abs(), bike, trial, brought))
        })
        .collect();
    missed.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then_with(|| a.1.sale.id.cmp(&b.1.sale.id))
    });
    let named = missed.into_iter().take(most);
    named
        .filter_map(|(_, bike, trial, brought)| {
            Some(Worst {
                bike: bike.sale.id.clone(),
                sold_on: bike.sale.sold?.on,
                brought,
                priced_at: trial.median,
                back_test: bike.before.is_some(),
                in_range: trial.holds(brought),
                looks_like: looks_like(bike, trial, bikes, currency),
            })
        })
        .collect()
}

fn looks_like(bike: &OwnBike, trial: &Trial, bikes: &[OwnBike], currency: &Currency) -> LooksLike {
    let (Some(sold), Some(score)) = (bike.sale.sold, trial.score) else {
        return LooksLike::Chance;
    };
    let miss = (currency.units(sold.price) / trial.median).ln();
    // Leave-one-out knows most about what the record says.
    let best = bike.left_out.as_ref().unwrap_or(trial);
    // How far the user's own first ask lies from the value, where it is known.
    let ask = bike.sale.ask.filter(|ask| ask.minor() > 0);
    let ask_off = ask.map(|ask| (currency.units(ask) / trial.median).ln());
    let ask_agrees = ask_off.is_none_or(|off| off * miss > 0.0 && off.abs() > miss.abs() / 2.0);
    if score.abs() > UNLIKELY
        && (ask_off.is_none() || !ask_agrees)
        && let Some(slip) = slip(sold.price, best, currency)
    {
        return slip;
    }
    if score.abs() <= UNLIKE {
        return LooksLike::Chance;
    }
    let left = |other: f64| (currency.units(sold.price) / other).ln().abs();
    if left(best.median) < EXPLAINS * miss.abs() && others_lean(bike, score, bikes) {
        return LooksLike::MarketMoved;
    }
    if ask_agrees {
        let regraded = best.otherwise.iter();
        let nearest = regraded.min_by(|a, b| left(a.1.exp()).total_cmp(&left(b.1.exp())));
        if let Some((what, ln_value)) = nearest
            && left(ln_value.exp()) < EXPLAINS * left(best.median)
        {
            return LooksLike::Grade(*what);
        }
        if ask_off.is_some() {
            return LooksLike::Unrecorded;
        }
    }
    LooksLike::Chance
}

/// A slip of the pen that would put the price into its range.
fn slip(price: Money, trial: &Trial, currency: &Currency) -> Option<LooksLike> {
    let likely = |money: &Money| trial.holds(currency.units(*money));
    let minor = price.minor();
    let moved = [
        minor.checked_mul(10),
        minor.checked_mul(100),
        Some(minor / 10),
        Some(minor / 100),
    ];
    let moved = moved
        .into_iter()
        .flatten()
        .map(Money::from_minor)
        .find(likely);
    if let Some(money) = moved {
        return Some(LooksLike::SlippedDecimal(money));
    }
    let digits = minor.to_string().into_bytes();
    (1..digits.len())
        .filter_map(|place| {
            let mut swapped = digits.clone();
            swapped.swap(place - 1, place);
            let text = String::from_utf8(swapped).ok()?;
            text.parse().ok().map(Money::from_minor)
        })
        .find(likely)
        .map(LooksLike::SwappedDigits)
}

/// Whether other sales of that time lean to the side of `score`.
fn others_lean(bike: &OwnBike, score: f64, bikes: &[OwnBike]) -> bool {
    let scores: Vec<f64> = bikes
        .iter()
        .filter(|other| other.sale.id != bike.sale.id)
        .filter(|other| days_between(bike.day, other.day).abs() <= OF_ONE_TIME)
        .filter_map(|other| other.before.as_ref()?.score)
        .collect();
    let mean = scores.iter().sum::<f64>() / scores.len().max(1) as f64;
    scores.len() >= OTHERS && mean * score.signum() >= THEY_LEAN
}
