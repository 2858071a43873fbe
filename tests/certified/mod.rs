//! Values from outside: where each comes from is said beside it. Nothing here
//! is ignored, and no tolerance is wider than its stated reason.

mod adaptive;
/// The search for the best asks: closed forms of the pricing literature.
mod asking;
mod binomial;
mod cars_as_bikes;
mod drift;
mod hedonic;
mod inspection;
mod largest_remainder;
mod missing;
mod nist;
mod normal;
mod offer;
mod open_ranges;
mod quantiles;
mod quartiles;
mod ratio_study;
mod ratio_tables;
mod refusals;
mod scores;
mod stackloss;
mod survival;
mod toy;
mod weights;
