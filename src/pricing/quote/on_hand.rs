//! Own bikes on hand, many at once: each is priced as if it were asked for alone.

use super::answer::{PriceQuestion, Quote, Source};
use super::price::quote;
use crate::pricing::asking::{Detail, Selling, SellingWishes};
use crate::pricing::design::base::Base;
use crate::pricing::in_parallel;
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::{InMemory, Records};
use crate::pricing::time_on_market::{SeenListings, believed, learn};

/// Bikes on hand and what is known around them.
pub struct OnHand<'a> {
    /// What is asked about each.
    pub questions: &'a [PriceQuestion],
    /// The records, these bikes among them.
    pub records: &'a dyn Records,
    /// The comps, collected while the source was fitted.
    pub listings: &'a SeenListings,
}

/// Prices bikes of the book that are not sold; the answers are in the order of
/// the questions. What is said of a bike that stands listed must not rest on its
/// own listing, whose days count in its plan already, so the pace is learned for
/// each of them without it. The value needs no such care: only sales speak of it.
///
/// Where the pace cannot be learned (which is not known to happen), a bike has a
/// value and no plan.
pub fn quotes_on_hand(
    source: &Source<'_>,
    priors: &Priors,
    on_hand: &OnHand<'_>,
    base: &Base,
    wishes: SellingWishes,
) -> Vec<Quote> {
    // The comps spoke already; what is left can be shared among the processors.
    let own = InMemory {
        sales: on_hand.records.sales().to_vec(),
        comps: Vec::new(),
        asks: on_hand.records.ask_changes().to_vec(),
    };
    let pace = |without: Option<&str>| match source {
        Source::Fitted(model) => learn(priors, model, &own, on_hand.listings.clone(), without).ok(),
        Source::Nothing { .. } => believed(priors).ok(),
    };
    let of_all = pace(None);
    in_parallel::each(on_hand.questions, |question| {
        let listed = question.stood.as_ref().and(question.id.as_deref());
        let alone = listed.and_then(|id| pace(Some(id)));
        let time = match listed {
            Some(_) => alone.as_ref(),
            None => of_all.as_ref(),
        };
        let selling = time.map(|time| Selling {
            time,
            wishes,
            detail: Detail::PlanAlone,
        });
        quote(source, priors, question, base, selling.as_ref())
    })
}
