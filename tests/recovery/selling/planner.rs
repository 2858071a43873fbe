//! Who makes a plan from the records: the program.

use wheelworth::pricing::asking::{Detail, SellingWishes};
use wheelworth::pricing::design::base::standard_base;
use wheelworth::pricing::offer::{Offer, OfferQuestion, offer};
use wheelworth::pricing::quote::{PriceQuestion, Selling, Source, quote};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::time_on_market::{self, FittedTime, SeenListings};
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::trade::{Bike, Currency, Day};

/// A plan with the chances it states.
#[derive(Clone, Debug)]
pub struct Planned {
    /// (day from the listing, ask); the first on day 0, asks never rising.
    pub steps: Vec<(f64, f64)>,
    /// Stated chance of a sale in the first 7, 14, 30, 60 days.
    pub within: [f64; 4],
}

/// Learns once from a market's records, and then plans for any bike.
pub trait PlanMaker: Sized {
    /// Learns.
    fn learn(records: &InMemory, as_of: Day, currency: &Currency) -> Self;

    /// The plan for a bike listed on `as_of`.
    fn plan(&self, records: &InMemory, bike: &Bike, as_of: Day, currency: &Currency) -> Planned;
}

/// The program's own plan.
pub struct Program {
    model: FittedValue,
    time: FittedTime,
    wishes: SellingWishes,
}

impl Program {
    /// The same for another cost of a week.
    pub fn at(self, week_cost: f64) -> Self {
        let wishes = SellingWishes {
            week_cost,
            ..self.wishes
        };
        Self { wishes, ..self }
    }
}

impl Program {
    /// An offer for a bike, its plans at 1 % a week.
    pub fn offer(&self, question: &OfferQuestion, as_of: Day) -> Offer {
        let selling = Selling {
            time: &self.time,
            wishes: self.wishes,
            detail: Detail::PlanAlone,
        };
        let source = Source::Fitted(&self.model);
        let base = standard_base(as_of);
        offer(&source, Priors::shipped(), question, &base, &selling)
    }
}

impl PlanMaker for Program {
    fn learn(records: &InMemory, as_of: Day, currency: &Currency) -> Self {
        let priors = Priors::shipped();
        let settings = ValueSettings {
            as_of,
            currency: *currency,
            without: None,
        };
        let mut seen = SeenListings::new(as_of, *currency);
        let model = ValueModel { priors, settings };
        let model = model
            .fit(records, &mut seen)
            .expect("no row is without records");
        let time = time_on_market::learn(priors, &model, records, seen, None)
            .expect("the beliefs are proper");
        // Plans are judged at 1 % a week.
        let wishes = SellingWishes {
            week_cost: 0.01,
            ..SellingWishes::default()
        };
        Self {
            model,
            time,
            wishes,
        }
    }

    fn plan(&self, _: &InMemory, bike: &Bike, as_of: Day, currency: &Currency) -> Planned {
        let question = PriceQuestion {
            id: None,
            bike: *bike,
            cost: None,
            guess: None,
            hours: None,
            level: 0.8,
            before: None,
            stood: None,
        };
        let selling = Selling {
            time: &self.time,
            wishes: self.wishes,
            detail: Detail::PlanAlone,
        };
        let source = Source::Fitted(&self.model);
        let base = standard_base(as_of);
        let quote = quote(&source, Priors::shipped(), &question, &base, Some(&selling));
        let plan = quote.plan.expect("a value gives a plan");
        Planned {
            steps: plan
                .steps
                .iter()
                .map(|(day, ask)| (*day as f64, currency.units(*ask)))
                .collect(),
            within: plan.outlook.chances.within,
        }
    }
}
