//! Own bikes on hand, many at once: each is priced as if it were asked for alone.

use super::{Question, Quote, Selling, Source, quote};
use crate::pricing::asking::{Detail, Wishes};
use crate::pricing::design::base::Base;
use crate::pricing::in_parallel;
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::{InMemory, Records};
use crate::pricing::time_on_market::{SeenListings, believed, learn};

/// Prices bikes of the book that are not sold; the answers are in the order of
/// the questions. What is said of a bike that stands listed must not rest on its
/// own listing, whose days count in its plan already, so the pace is learned for
/// each of them without it. The value needs no such care: only sales speak of it.
///
/// `seen` collected the comps while the source was fitted. Where the pace cannot
/// be learned (which is not known to happen), a bike has a value and no plan.
pub fn quotes_on_hand(
    source: &Source<'_>,
    priors: &Priors,
    records: &dyn Records,
    seen: &SeenListings,
    questions: &[Question],
    base: &Base,
    wishes: Wishes,
) -> Vec<Quote> {
    // The comps spoke already; what is left can be shared among the processors.
    let own = InMemory {
        sales: records.sales().to_vec(),
        comps: Vec::new(),
        asks: records.ask_changes().to_vec(),
    };
    let pace = |without: Option<&str>| match source {
        Source::Fitted(model) => learn(priors, model, &own, seen.clone(), without).ok(),
        Source::Nothing { .. } => believed(priors).ok(),
    };
    let of_all = pace(None);
    in_parallel::each(questions, |question| {
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
