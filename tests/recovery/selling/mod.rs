//! How good plans of selling are, in two simulated markets whose buyers do not
//! behave as any model of the program says: in one they haggle, with tastes of
//! heavy tails, by season and by how many look for such a bike; in the other they
//! pay the ask or walk away. Every plan is judged by the true buyers, exactly
//! (numerical integration, no simulation), beside the best plan for them.

/// The best plan for the true buyers.
mod best;
/// What mark-downs are worth.
mod by_cut;
/// Whether stated chances come true.
mod calibration;
/// The numbers of this folder, against simulation and against brute force.
mod checks;
/// What the decisions of an offer earn.
mod decisions;
/// What a visitor pays, by ask.
mod demand;
/// The best plan of one who knows the buyers but of the bike only the record.
mod known;
/// What a place in the shed earns.
mod place;
/// Plain rules for the ask.
mod plain;
/// Who makes a plan from the records: the program.
mod planner;
/// A plan, and what the true buyers make of it.
mod policy;
/// Shares of the best, and misses of stated chances.
mod shares;
/// The table of plans.
mod tables;

use super::market::buyers::Buyers;
use super::market::posted::Posted;
use super::market::worth::{TrueBike, WORKSHOP, World};
use super::market::{Calendar, Config, OwnListing, comps, records, stream};
use crate::support::records::in_memory;
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::trade::{AskChange, Bike, Comparable, Currency, Day, Sale};

/// The kinds of buyers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// a: they haggle.
    Haggling,
    /// b: they pay the ask or walk away.
    Posted,
}

impl Kind {
    /// Its name in the tables.
    pub fn name(self) -> &'static str {
        match self {
            Kind::Haggling => "haggling",
            Kind::Posted => "posted",
        }
    }
}

/// A bike listed on the last day.
#[derive(Clone, Debug)]
pub struct Fresh {
    /// Its facts as recorded.
    pub bike: Bike,
    /// What it is.
    pub truth: TrueBike,
}

/// A simulated market with the histories of the user's own listings.
#[derive(Clone, Debug)]
pub struct SellingMarket {
    /// The last day.
    pub as_of: Day,
    /// Money of the records.
    pub currency: Currency,
    /// Own bikes, sold or still on hand on the last day.
    pub sales: Vec<Sale>,
    /// Every mark-down of own listings while they stood, by bike and day.
    pub asks: Vec<AskChange>,
    /// Comps, by day of first sighting.
    pub comps: Vec<Comparable>,
    /// Bikes listed on the last day.
    pub fresh: Vec<Fresh>,
    /// The truth.
    pub world: World,
    /// Its calendar.
    pub calendar: Calendar,
}

impl SellingMarket {
    /// Simulates the market of a seed. With haggling buyers the bikes sold are
    /// those of [`super::market::Market`] of the same seed.
    pub fn of(seed: u64, kind: Kind, config: &Config) -> Self {
        let mut world = World::draw(
            &mut stream(seed, 0),
            config.start,
            config.days,
            config.level,
        );
        if kind == Kind::Posted {
            world.buyers = Buyers::Posted(Posted::draw(&mut stream(seed, 6)));
        }
        let calendar = Calendar::of(config);
        let (sales, asks) = own_bikes(seed, &world, &calendar, config);
        let mut rng = stream(seed, 5);
        let fresh = (0..config.fresh)
            .map(|_| {
                let truth = TrueBike::draw(&mut rng, &WORKSHOP, calendar.year(world.as_of));
                let care = &records::OWN;
                let bike = records::note(&mut rng, &truth, care, config.currency, &world);
                Fresh { bike, truth }
            })
            .collect();
        Self {
            as_of: config.as_of(),
            currency: config.currency,
            sales,
            asks,
            comps: comps(seed, &world, &calendar, config.comps),
            fresh,
            world,
            calendar,
        }
    }

    /// The records, as a plan maker gets them.
    pub fn records(&self) -> InMemory {
        in_memory(&self.sales, &self.comps, &self.asks)
    }
}

/// Own bikes listed at any time until so many are sold on the last day, and
/// what was on hand then.
fn own_bikes(
    seed: u64,
    world: &World,
    calendar: &Calendar,
    config: &Config,
) -> (Vec<Sale>, Vec<AskChange>) {
    let mut rng = stream(seed, 1);
    let mut listings = Vec::new();
    let mut sold = 0;
    while sold < config.own_sales {
        let listing = OwnListing::draw(&mut rng, world, calendar);
        sold += usize::from(listing.sold(world).is_some());
        listings.push(listing);
    }
    // Sold ones by day of sale, then those on hand by day of listing.
    listings.sort_by(|a, b| {
        let key = |l: &OwnListing| l.sold(world).map_or(1e6 + l.from, |(on, _)| on.floor());
        key(a).total_cmp(&key(b))
    });
    let (mut sales, mut asks) = (Vec::new(), Vec::new());
    for (number, listing) in (1..).zip(&listings) {
        let mut sale = listing.record(world, calendar);
        sale.id = format!("B-{number}");
        asks.extend(mark_downs(&sale, listing, world, calendar));
        sales.push(sale);
    }
    asks.sort_by(|a, b| (&a.bike, a.on).cmp(&(&b.bike, b.on)));
    (sales, asks)
}

/// The mark-downs of a listing that was written down, while it stood.
fn mark_downs(
    sale: &Sale,
    listing: &OwnListing,
    world: &World,
    calendar: &Calendar,
) -> Vec<AskChange> {
    let unit = world.ln_level().exp();
    let seller = &listing.seller;
    let until = listing.sold(world).map_or(world.as_of, |(on, _)| on) - listing.from;
    let mut standing = seller.ask(0.0, unit);
    let mut rows = Vec::new();
    for cut in (1..=seller.cuts).filter(|_| listing.dated) {
        // A hair later, so that rounding cannot show the ask before the cut.
        let day = cut as f64 * seller.cut_every + 1e-9;
        if day >= until {
            break;
        }
        let ask = seller.ask(day, unit);
        if ask < standing {
            standing = ask;
            rows.extend(
                calendar
                    .currency
                    .round((ask / unit).round() * unit)
                    .map(|ask| AskChange {
                        bike: sale.id.clone(),
                        on: calendar.day(listing.from + day),
                        ask,
                    }),
            );
        }
    }
    rows
}
