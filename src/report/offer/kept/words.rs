//! Kept offers in words: what came of them, and what that teaches.

use crate::accounts::forecast::{Fate, Outcome};
use crate::pricing::offer::learning::LATEST;
use crate::pricing::offer::{Offer, OfferCorrection};
use crate::report::text::amounts::exact;
use crate::report::text::counts::many;
use crate::trade::Currency;

/// Shares of a price: `8 %`, `0.4 %`.
fn share(of: f64) -> String {
    let percent = 100.0 * of.abs();
    if percent < 0.95 {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.0} %")
    }
}

/// By how much earlier offers lower the most to pay.
pub(crate) fn held_back(offer: &Offer, currency: &Currency) -> String {
    format!(
        "That is {} less than the jobs and the sale alone would say: {}",
        exact(offer.held_back, currency),
        learnt(&offer.learnt)
    )
}

/// What came of the offers so far.
pub(crate) fn learnt(learnt: &OfferCorrection) -> String {
    let which = match learnt.offers {
        0 => return "no bike with a kept offer is sold yet, so nothing is learnt.".into(),
        1 => "the one kept offer that was bought and sold left".to_string(),
        n if n < LATEST => format!("the {n} kept offers that were bought and sold left"),
        n => format!("the latest {n} kept offers that were bought and sold left"),
    };
    if learnt.applied < 0.0 {
        return format!(
            "{which} {} of the price less than predicted on average; to be careful, {} of the price is held back (a part \
             of it, since {} can be chance).",
            share(learnt.mean_error),
            share(learnt.applied),
            many(learnt.offers, "outcome"),
        );
    }
    format!(
        "{which} {} of the price more than predicted on average. Nothing is added for it: nobody knows what the bikes \
         that you did not buy would have left.",
        share(learnt.mean_error)
    )
}

/// A short name of what came of it, for JSON.
pub(crate) fn code(fate: &Fate) -> &'static str {
    match fate {
        Fate::NotBought => "not_bought",
        Fate::Superseded => "superseded",
        Fate::BoughtBefore => "bought_before",
        Fate::OnHand => "on_hand",
        Fate::Left => "left",
        Fate::Sold(_) => "sold",
    }
}

/// What came of an offer that has no outcome.
pub(crate) fn fate(fate: &Fate) -> &'static str {
    match fate {
        Fate::NotBought => "not in the book: not bought, or not recorded yet",
        Fate::Superseded => "a later offer stands in its place",
        Fate::BoughtBefore => "made after the bike was bought, so it was no bid and does not count",
        Fate::OnHand => "bought, not sold yet",
        Fate::Left => "bought, and left without a sale",
        Fate::Sold(_) => "sold",
    }
}

/// What to say of an outcome beside its figures.
pub(crate) fn remark(outcome: &Outcome) -> &'static str {
    if outcome.as_planned {
        ""
    } else {
        "sold in another condition or tier than planned"
    }
}
