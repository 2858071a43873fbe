//! Asks of own listings held against the sales: what cannot be true is refused,
//! what is odd is told.

use crate::book::{Book, BookProblem, Put};
use crate::cli::unknown_bike::UnknownBikes;
use crate::intake::CellProblem;
use crate::report::text::amounts;
use crate::trade::{AskChange, Currency, Day, Money, Sale};
use std::collections::BTreeMap;

/// An ask this many times an earlier ask of the bike, or this small a part of
/// it, is told. A slipped decimal makes ten times; mark-downs seldom reach a
/// third in all. A choice without a source.
const TIMES: f64 = 3.0;

/// The listings of the user's own bikes, as the book and the file have them.
#[derive(Default)]
pub(crate) struct Listings {
    bikes: BTreeMap<String, Listing>,
    unknown: UnknownBikes,
    /// Line of the file and words.
    doubts: Vec<(u64, String)>,
}

#[derive(Default)]
struct Listing {
    listed_on: Option<Day>,
    sold_on: Option<Day>,
    /// The last day on which it came back from a buyer.
    back: Option<Day>,
    /// First ask, as the sales have it.
    first: Option<Money>,
    /// Later asks by day, each with its line of the file (0: in the book).
    asks: BTreeMap<Day, (Money, u64)>,
}

impl Listings {
    /// All that the book has.
    ///
    /// # Errors
    /// When the book cannot be read.
    pub(crate) fn of(book: &Book) -> Result<Self, BookProblem> {
        let mut listings = Self {
            unknown: UnknownBikes::of(book)?,
            ..Self::default()
        };
        for sale in book.sales()? {
            listings.bikes.insert(sale.id.clone(), Listing::of(&sale));
        }
        for change in book.asks()? {
            let listing = listings.bikes.entry(change.bike).or_default();
            listing.asks.insert(change.on, (change.ask, 0));
        }
        Ok(listings)
    }

    /// Why a price change cannot be used: our name of a column, and the problem.
    pub(crate) fn refusal(&mut self, change: &AskChange) -> Option<(&'static str, CellProblem)> {
        let Some(listing) = self.bikes.get(&change.bike) else {
            let ids = self.bikes.keys().map(String::as_str);
            return Some(("bike", self.unknown.problem(ids, &change.bike)));
        };
        listing.beyond(change.on)?;
        let from = listing
            .listed_on
            .map(|day| format!(" from {day} (listed_on)"));
        let to = listing.sold_on.map(|day| format!(" up to {day} (sold_on)"));
        let span: String = from.into_iter().chain(to).collect();
        let expected = format!("a day in the listing of {}:{span}", change.bike);
        let mend = "Correct the day; or, if the sales are wrong or it came back from a buyer, import the corrected sales or the returns first.";
        Some(("on", CellProblem::new(expected, mend)))
    }

    /// Takes in a price change that was put, from a line of the file.
    pub(crate) fn asked(&mut self, change: &AskChange, line: u64) {
        if let Some(listing) = self.bikes.get_mut(&change.bike) {
            listing.asks.insert(change.on, (change.ask, line));
        }
    }

    /// Takes in a sale that was put: one that moved away from under its asks is
    /// doubted.
    pub(crate) fn sold(&mut self, sale: &Sale, line: u64, put: &Put, currency: &Currency) {
        let (Put::Updated { changed }, Some(before)) = (put, self.bikes.get(&sale.id)) else {
            return;
        };
        let asks = &before.asks;
        let moved = |fields: &[&str]| changed.iter().any(|f| fields.contains(&f.field));
        let now = Listing::of(sale);
        let beyond = asks.keys().find_map(|on| Some((on, now.beyond(*on)?)));
        if let Some((on, beyond)) = beyond.filter(|_| moved(&["listed_on", "sold_on"])) {
            let words = format!(
                "{} has an ask on {on}, {beyond}; correct the one that is wrong",
                sale.id
            );
            self.doubts.push((line, words));
        }
        let on_listing = sale.listed_on.and_then(|day| asks.get(&day));
        if let Some((ask, _)) = on_listing.filter(|_| moved(&["listed_on", "ask"])) {
            let differs = now.differs(&sale.id, *ask, currency);
            self.doubts.extend(differs.map(|words| (line, words)));
        }
    }

    /// What is odd about the lines of the file, in their order.
    pub(crate) fn doubts(mut self, currency: &Currency) -> Vec<(u64, String)> {
        for (id, listing) in &self.bikes {
            listing.doubts(id, currency, &mut self.doubts);
        }
        self.doubts.sort_by_key(|(line, _)| *line);
        self.doubts
    }
}

impl Listing {
    fn of(sale: &Sale) -> Self {
        Self {
            listed_on: sale.listed_on,
            sold_on: sale.sold.map(|sold| sold.on),
            back: sale
                .returns
                .iter()
                .filter(|one| one.back.is_some())
                .map(|one| one.on)
                .max(),
            first: sale.ask,
            asks: BTreeMap::new(),
        }
    }

    /// How a day lies outside the listing.
    fn beyond(&self, on: Day) -> Option<String> {
        // Of before it came back from a buyer: of a listing that ended then.
        if self.back.is_some_and(|back| on < back) {
            return None;
        }
        let early = self.listed_on.filter(|listed| on < *listed);
        let late = self.sold_on.filter(|sold| on > *sold);
        early
            .map(|listed| format!("before its listed_on, {listed}"))
            .or(late.map(|sold| format!("after its sold_on, {sold}")))
    }

    /// An ask on the day of listing that is not the first ask of the sales.
    fn differs(&self, id: &str, ask: Money, currency: &Currency) -> Option<String> {
        let (first, day) = self
            .first
            .filter(|first| *first != ask)
            .zip(self.listed_on)?;
        Some(format!(
            "{id} was asked at {} on {day}, the day of its listing, but the first ask of the sales is {}; \
             correct the one that is wrong",
            words(ask, currency),
            words(first, currency)
        ))
    }

    /// What is odd about the lines of the file, walking through all asks of the
    /// bike by day. A row of the book is told of at the line before it.
    fn doubts(&self, id: &str, currency: &Currency, doubts: &mut Vec<(u64, String)>) {
        let lines = self.asks.values().map(|(_, line)| *line);
        let Some(first_line) = lines.filter(|line| *line > 0).min() else {
            return;
        };
        let again = self
            .back
            .filter(|back| self.listed_on.is_some_and(|listed| listed < *back));
        let asked_since = |back: &Day| self.asks.range(*back..).any(|(_, (_, line))| *line > 0);
        if let Some(back) = again.filter(asked_since) {
            let words = format!(
                "{id} came back on {back} and is not listed again since; give the day from which it is: record sale \
                 --bike {id} --listed-on DAY"
            );
            doubts.push((first_line, words));
        }
        if self.listed_on.is_none() {
            let words = format!(
                "{id} has no listed_on among the sales; fill it in there, so that its days on \
                 market are known"
            );
            doubts.push((first_line, words));
        }
        // The ask before that was not far off, with its line.
        let (mut first, mut before) = (self.first, self.first.map(|ask| (ask, 0)));
        for (on, (ask, line)) in &self.asks {
            let mut others = first.into_iter().chain(before.map(|(ask, _)| ask));
            let far = others.find_map(|other| Some((times(*ask, other, TIMES, currency)?, other)));
            let higher = before.filter(|(before, _)| ask > before);
            let told = before
                .filter(|_| *line == 0)
                .map_or(*line, |(_, line)| line);
            let asked = format!("{id} is asked at {} from {on} on", words(*ask, currency));
            let doubt = if let Some((times, other)) = &far {
                let other = words(*other, currency);
                Some(format!(
                    "{asked}, {times} its ask of {other}; check the decimal point"
                ))
            } else if self.listed_on == Some(*on) {
                self.differs(id, *ask, currency)
            } else {
                higher.map(|(before, _)| {
                    let before = words(before, currency);
                    format!("{asked}, more than the {before} before; check that it is meant")
                })
            };
            doubts.extend(doubt.filter(|_| told > 0).map(|words| (told, words)));
            if far.is_none() {
                first = first.or(Some(*ask));
                before = Some((*ask, *line));
            }
        }
    }
}

/// An amount in words.
pub(crate) fn words(money: Money, currency: &Currency) -> String {
    format!("{} {currency}", amounts::exact(money, currency))
}

/// How far a price is from another, in words, when it is at least `far` times as
/// large or as small.
pub(crate) fn times(price: Money, other: Money, far: f64, currency: &Currency) -> Option<String> {
    let (ask, other) = (currency.units(price), currency.units(other));
    if other > 0.0 && ask >= far * other {
        Some(format!("{:.0} times", ask / other))
    } else if ask > 0.0 && other >= far * ask {
        Some(format!("1/{:.0} of", other / ask))
    } else {
        None
    }
}
