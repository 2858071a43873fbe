//! One pass over the records, into what the tables and curves are made of.

use super::answer::{CompCounts, MarketQuestion, SaleCounts};
use super::counted::{CompRow, Counted};
use super::far_asks::{FarAsks, Looking};
use super::haggling::{Against, Pairs};
use super::places::Place;
use super::spells::{Spell, Spells, UnusedListings, own_spell};
use super::tables::OwnPrice;
use crate::pricing::prior::priors::Priors;
use crate::pricing::records::observation::{Records, RecordsError, of_comp};
use crate::pricing::value::fitted::FittedValue;
use crate::trade::{AskChange, Day, Sale};

/// What was read.
pub(super) struct Read {
    pub(super) comps: CompCounts,
    pub(super) sales: SaleCounts,
    pub(super) rows: Vec<CompRow>,
    pub(super) own_prices: Vec<OwnPrice>,
    pub(super) spells: Vec<Spell>,
    pub(super) own_spells: Vec<Spell>,
    pub(super) unused: UnusedListings,
    pub(super) pairs: Pairs,
    pub(super) far: FarAsks,
}

/// Reads all that is known on the day of the answer.
///
/// # Errors
/// When the records cannot be read.
pub(super) fn read(
    records: &dyn Records,
    priors: &Priors,
    question: &MarketQuestion,
    model: Option<&FittedValue>,
) -> Result<Read, RecordsError> {
    let as_of = question.as_of;
    let mut comps = CompCounts::default();
    let mut counted = Counted::default();
    let mut spells = Spells::new(as_of);
    let mut pairs = Pairs::default();
    let mut looking = model.map(|model| Looking::new(model, priors, question.top));
    records.each_comp(&mut |_, comp, weight| {
        spells.look(comp);
        if question.style.is_some_and(|style| style != comp.bike.style) {
            return;
        }
        let first = comp.known_from();
        if first.is_some_and(|first| first > as_of) {
            comps.not_yet += 1;
            return;
        }
        let state = comp.state_on(as_of);
        let place = Place::of(&comp.bike, state.day.unwrap_or(as_of));
        widen(&mut comps.dates, first);
        widen(&mut comps.dates, state.day);
        comps.undated += usize::from(first.is_none());
        counted.push(comp, &state, place, weight);
        spells.push(comp, state.outcome, place, weight);
        if let Some(paid) = state.sold_price {
            pairs.push(Against::CompFirst, comp.ask.minor(), paid.minor());
            pairs.push(Against::CompLast, state.ask.minor(), paid.minor());
        }
        if let Some(looking) = &mut looking
            && let Ok(seen) = of_comp(comp, weight, as_of, &question.currency)
        {
            looking.push(comp, &seen, state.outcome);
        }
    })?;
    comps.listings = counted.listings;
    let rows = counted.rows();
    comps.comps = rows.len();
    for row in &rows {
        if let Some(count) = comps.outcomes.get_mut(row.outcome.index()) {
            *count += 1;
        }
    }
    let (spells, unused) = spells.done();
    let mut read = Read {
        comps,
        sales: SaleCounts::default(),
        rows,
        own_prices: Vec::new(),
        spells,
        own_spells: Vec::new(),
        unused,
        pairs,
        far: looking.map_or(FarAsks::default(), Looking::done),
    };
    let wanted = |sale: &&Sale| question.style.is_none_or(|style| style == sale.bike.style);
    for sale in records.sales().iter().filter(wanted) {
        match sale.as_known_on(as_of) {
            // It stood unsold until then, and is nothing else to the market.
            Some(known) if known.left.is_some() => {
                let place = Place::of(&known.bike, known.listed_on.unwrap_or(as_of));
                read.own_spells.extend(own_spell(&known, place, as_of));
            }
            Some(known) => own(&mut read, &known, records.ask_changes(), as_of),
            None => read.sales.not_yet += 1,
        }
    }
    Ok(read)
}

/// Takes an own bike.
fn own(read: &mut Read, sale: &Sale, changes: &[AskChange], as_of: Day) {
    let day = sale.listed_on.or(sale.sold.map(|sold| sold.on));
    let place = Place::of(&sale.bike, day.unwrap_or(as_of));
    read.sales.bikes += 1;
    let spell = own_spell(sale, place, as_of);
    read.unused.own_no_listing_day += usize::from(sale.sold.is_some() && spell.is_none());
    read.own_spells.extend(spell);
    let Some(sold) = sale.sold else {
        match sale.listed_on {
            Some(_) => read.sales.listed += 1,
            None => read.sales.not_listed += 1,
        }
        return;
    };
    read.sales.sold += 1;
    widen(&mut read.sales.dates, Some(sold.on));
    read.own_prices.push(OwnPrice {
        place,
        style: sale.bike.style,
        price: sold.price,
    });
    if let Some(first) = sale.ask {
        let pairs = &mut read.pairs;
        pairs.push(Against::OwnFirst, first.minor(), sold.price.minor());
    }
    let from = changes.partition_point(|change| change.bike < sale.id);
    let own = changes.iter().skip(from).take_while(|c| c.bike == sale.id);
    if let Some(last) = own
        .filter(|c| c.on <= sold.on && sale.since_it_came_back(c.on))
        .last()
    {
        let pairs = &mut read.pairs;
        pairs.push(Against::OwnLast, last.ask.minor(), sold.price.minor());
    }
}

/// Stretches a pair of first and last day to hold a day.
fn widen(dates: &mut Option<(Day, Day)>, day: Option<Day>) {
    if let Some(day) = day {
        let (first, last) = dates.unwrap_or((day, day));
        *dates = Some((first.min(day), last.max(day)));
    }
}
