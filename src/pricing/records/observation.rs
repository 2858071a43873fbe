//! A price seen in the records, as the value model takes it.

use crate::pricing::design::features::{Asked, Facts, facts};
use crate::trade::calendar::days_between;
use crate::trade::comparable::State;
use crate::trade::{AskChange, Bike, Comparable, Currency, Day, Money, Outcome, Sale};
use jiff::ToSpan;

/// Why the records could not be read.
pub type RecordsError = Box<dyn std::error::Error + Send + Sync>;

/// Where the model gets its records from: the book, a file, or a test.
pub trait Records {
    /// The user's own bikes, sold or on hand.
    fn sales(&self) -> &[Sale];

    /// Shows every comp to `visit`, always in the same order, with its key, which rises,
    /// and its weight (1, or less for one of several listings of the same bike).
    ///
    /// # Errors
    /// When the records cannot be read.
    fn each_comp(&self, visit: &mut dyn FnMut(i64, &Comparable, f64)) -> Result<(), RecordsError>;

    /// Shows every comp to `visit`, in any order, each with its key: keys rise in the
    /// order of [`Records::each_comp`]. What is known of its bike may be missing.
    ///
    /// # Errors
    /// When the records cannot be read.
    fn each_price_as_it_comes(
        &self,
        visit: &mut dyn FnMut(i64, &Comparable),
    ) -> Result<(), RecordsError>;

    /// The bikes of the comps with these keys, with their weights as
    /// [`Records::each_comp`] shows them. `None` for a comp that is there no more.
    ///
    /// # Errors
    /// When the records cannot be read.
    fn bikes_of(&self, keys: &[i64]) -> Result<Vec<Option<(Bike, f64)>>, RecordsError>;

    /// Price changes of the user's own listings, in the order of bike and day.
    fn ask_changes(&self) -> &[AskChange] {
        &[]
    }
}

/// Records held in memory.
#[derive(Clone, Debug, Default)]
pub struct InMemory {
    /// Own bikes.
    pub sales: Vec<Sale>,
    /// Comps with their weights.
    pub comps: Vec<(Comparable, f64)>,
    /// Price changes of own listings, in the order of bike and day.
    pub asks: Vec<AskChange>,
}

impl Records for InMemory {
    fn sales(&self) -> &[Sale] {
        &self.sales
    }

    fn each_comp(&self, visit: &mut dyn FnMut(i64, &Comparable, f64)) -> Result<(), RecordsError> {
        for (key, (comp, weight)) in (0..).zip(&self.comps) {
            visit(key, comp, *weight);
        }
        Ok(())
    }

    fn each_price_as_it_comes(
        &self,
        visit: &mut dyn FnMut(i64, &Comparable),
    ) -> Result<(), RecordsError> {
        let comps = self.comps.iter();
        (0..)
            .zip(comps)
            .for_each(|(key, (comp, _))| visit(key, comp));
        Ok(())
    }

    fn bikes_of(&self, keys: &[i64]) -> Result<Vec<Option<(Bike, f64)>>, RecordsError> {
        let comp = |key: &i64| self.comps.get(usize::try_from(*key).ok()?);
        let bike = |key| comp(key).map(|(comp, weight)| (comp.bike, *weight));
        Ok(keys.iter().map(bike).collect())
    }

    fn ask_changes(&self) -> &[AskChange] {
        &self.asks
    }
}

/// What kind of price it is. Each has its own offset and its own spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Group {
    /// Price of an own sale.
    Own,
    /// Price of somebody else's sale.
    Price,
    /// Last ask of a listing that sold.
    Sold,
    /// Last ask of a listing that is no longer there.
    Gone,
    /// Last ask of a listing that was still there.
    Listed,
    /// Last ask of a listing that was taken back.
    Withdrawn,
}

impl Group {
    /// All groups, in order.
    pub const ALL: [Group; 6] = [
        Group::Own,
        Group::Price,
        Group::Sold,
        Group::Gone,
        Group::Listed,
        Group::Withdrawn,
    ];

    /// Its column among the sources; own sales have none.
    pub fn source(self) -> Option<usize> {
        (self as usize).checked_sub(1)
    }
}

/// Number of groups.
pub const GROUPS: usize = Group::ALL.len();

/// One price with the facts of its bike.
#[derive(Clone, Copy, Debug, serde::Serialize, serde::Deserialize)]
pub struct Observation {
    /// What kind of price.
    pub group: Group,
    /// ln of the price in the currency's units.
    pub ln_price: f64,
    /// The day for which it speaks.
    pub day: Day,
    /// How long an ask stood, `ln((1 + days) / 22)`; 0 for a price that was paid.
    pub stood: f64,
    /// The bike.
    pub facts: Facts,
    /// Weight, 1 or less.
    pub weight: f64,
}

impl Observation {
    /// How its row has it; `None` for an own sale.
    pub fn asked(&self) -> Option<Asked> {
        let source = self.group.source()?;
        let stood = self.stood;
        Some(Asked { source, stood })
    }
}

/// A price of a comp, before its bike is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::pricing) struct CompPrice {
    pub(in crate::pricing) group: Group,
    pub(in crate::pricing) price: Money,
    /// The day for which it speaks.
    pub(in crate::pricing) day: Day,
    /// As [`Observation::stood`].
    pub(in crate::pricing) stood: f64,
}

/// Days after which an ask's [`Observation::stood`] is 0, less 1: some three weeks.
const USUAL_STAND: f64 = 22.0;

/// Why a record carries nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unused {
    /// No price above 0.
    NoPrice,
    /// No date at all.
    NoDate,
    /// Not known yet on the day of the answer, or (a sale) not sold yet.
    NotYet,
}

/// An own sale as known on `as_of`.
///
/// # Errors
/// Says why it carries nothing.
pub fn of_sale(sale: &Sale, as_of: Day, currency: &Currency) -> Result<Observation, Unused> {
    let sold = sale.sold_by(as_of).ok_or(Unused::NotYet)?;
    let day = sale.listed_on.unwrap_or(sold.on);
    if sold.price.minor() <= 0 {
        return Err(Unused::NoPrice);
    }
    let ln_price = currency.units(sold.price).ln();
    Ok(Observation {
        group: Group::Own,
        ln_price,
        day,
        stood: 0.0,
        facts: facts(&sale.bike, day, currency),
        weight: 1.0,
    })
}

/// A comp as known on `as_of`.
///
/// # Errors
/// Says why it carries nothing.
pub fn of_comp(
    comp: &Comparable,
    weight: f64,
    as_of: Day,
    currency: &Currency,
) -> Result<Observation, Unused> {
    let price = price_of(comp, as_of)?;
    Ok(of_price(price, &comp.bike, weight, currency))
}

/// What [`price_of`] told, with the bike.
pub(in crate::pricing) fn of_price(
    seen: CompPrice,
    bike: &Bike,
    weight: f64,
    currency: &Currency,
) -> Observation {
    Observation {
        group: seen.group,
        ln_price: currency.units(seen.price).ln(),
        day: seen.day,
        stood: seen.stood,
        facts: facts(bike, seen.day, currency),
        weight,
    }
}

/// What kind of price a comp has as known on `as_of`, the price, and the day for
/// which it speaks.
///
/// A price that was paid speaks for the day of the sale. An ask speaks for the days on
/// which it stood: for the middle between the day on which it was set and the day on
/// which it was last seen. In simulated markets of another form it missed less so than
/// dated by its last day (`the guide's` decisions).
///
/// # Errors
/// Says why it carries nothing.
pub(in crate::pricing) fn price_of(comp: &Comparable, as_of: Day) -> Result<CompPrice, Unused> {
    if comp.known_from().is_some_and(|first| first > as_of) {
        return Err(Unused::NotYet);
    }
    let state = comp.state_on(as_of);
    let last = state.day.ok_or(Unused::NoDate)?;
    let (group, price) = match (state.sold_price, state.outcome) {
        (Some(price), _) => (Group::Price, price),
        (None, Outcome::Sold) => (Group::Sold, state.ask),
        (None, Outcome::Gone) => (Group::Gone, state.ask),
        (None, Outcome::Listed) => (Group::Listed, state.ask),
        (None, Outcome::Withdrawn) => (Group::Withdrawn, state.ask),
    };
    if price.minor() <= 0 {
        return Err(Unused::NoPrice);
    }
    let (day, stood) = match group {
        Group::Price => (last, 0.0),
        _ => ask_stood(comp, &state, last),
    };
    Ok(CompPrice {
        group,
        price,
        day,
        stood,
    })
}

/// The middle of the days on which an ask stood, and [`Observation::stood`]. An ask that
/// was lowered was set in the middle between the two looks; one that was seen on one
/// day, of a listing whose day is not known, is taken to have stood as asks usually do.
fn ask_stood(comp: &Comparable, state: &State, last: Day) -> (Day, f64) {
    let Some(first) = comp
        .listed_on
        .or(comp.first_seen)
        .filter(|day| *day <= last)
    else {
        return (last, 0.0);
    };
    let days = days_between(first, last);
    let set = if state.ask == comp.ask { 0 } else { days / 2 };
    let stood = if days == 0 && comp.listed_on.is_none() {
        0.0
    } else {
        ((1.0 + (days - set) as f64) / USUAL_STAND).ln()
    };
    (first.saturating_add(i64::midpoint(set, days).days()), stood)
}
