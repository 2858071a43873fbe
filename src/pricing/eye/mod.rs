//! The user's own eye: what somebody who has a bike in front of them sees of it and no
//! column holds (paint, charm, a good name), and how much that eye is to be trusted.
//!
//! Beside the price without the eye stand, of each own sale, the guess and what the bike
//! brought. Let `d` be ln of the guess and `e` ln of the sale price, each less ln of the
//! value told without that sale; `B` the variance of the bike's own worth around that
//! value, `L` the variance that is only luck. Of the bike
//!
//! ```text
//! e = u + luck          u ~ N(0, B)      luck ~ N(0, L)
//! d = u + a + noise     a: the eye's bias    noise ~ (0, t^2)
//! ```
//!
//! so that after the sale `u` is known as `r e`, give or take `r L`, `r = B / (B + L)`, and
//! the eye has missed by `d - r e`, which has the mean `a` and the variance `t^2 + r L`.
//! From these misses `a` and `t` are learnt (`record`), and a new guess moves ln of the
//! value by `k (d - a)`, `k = B / (B + t^2)`: the more, the less is known without it
//! ([`look`]). Its doubt is in the range: `B (1 - k)`, and what is not known of `a` and `t`.
//!
//! * what was seen of a sold bike: [`sighting`]; how well it was seen: `record`
//! * guesses and first asks together: [`learnt`]; what a new guess does: [`look`]

pub mod learnt;
pub mod look;
mod record;
pub mod sighting;
