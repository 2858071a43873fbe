//! How the user's own eye held up, beside the price without it and with it.

use super::eye_trial::EyeTrial;
use super::study::FEWEST;
use super::trial::OwnBike;
use crate::pricing::eye::sighting::EyeSource;
use crate::statistics::evaluation::scores::median_absolute_percentage_error;

/// Median absolute errors on the same sales, as fractions of the sale price; each sale
/// was told by all other records.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyeStudy {
    /// By guesses, or by first asks where those are too few.
    pub from: EyeSource,
    /// Sales.
    pub sales: usize,
    /// Of what the user said.
    pub mdape: f64,
    /// Of the price without it.
    pub priced_without: f64,
    /// Of the price with it.
    pub priced_with: f64,
}

impl EyeStudy {
    /// `None` where there are too few sales of which the user had said anything.
    pub(super) fn of(bikes: &[OwnBike]) -> Option<Self> {
        let kinds = [EyeSource::Guess, EyeSource::FirstAsk];
        kinds.into_iter().find_map(|from| Self::by(from, bikes))
    }

    fn by(from: EyeSource, bikes: &[OwnBike]) -> Option<Self> {
        let tried: Vec<(EyeTrial, f64)> = bikes
            .iter()
            .filter_map(|bike| Some((bike.left_out.as_ref()?.eye?, bike.brought?)))
            .filter(|(trial, _)| trial.from == from)
            .collect();
        if tried.len() < FEWEST {
            return None;
        }
        let mdape = |told: fn(&EyeTrial) -> f64| {
            let pairs = tried.iter().map(|(trial, brought)| (told(trial), *brought));
            median_absolute_percentage_error(&pairs.collect::<Vec<_>>())
        };
        Some(Self {
            from,
            sales: tried.len(),
            mdape: mdape(|trial| trial.said),
            priced_without: mdape(|trial| trial.without),
            priced_with: mdape(|trial| trial.with),
        })
    }
}
