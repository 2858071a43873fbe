//! Laws of the market's tables and curves, on simulated books.

use crate::recovery::from_model::{Parameters, Simulated, simulate};
use crate::support::tolerance::assert_near;
use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;
use wheelworth::pricing::Priors;
use wheelworth::pricing::market::places::By;
use wheelworth::pricing::market::{Market, MarketQuestion, market};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::trade::{Currency, Outcome, Style};

/// Sums in another order, and a pilot fit that stops when nothing moves by more
/// than 1e-6 at the same round.
const SAME_FIT: f64 = 1e-9;

fn books() -> Vec<Simulated> {
    [(0, 60), (6, 40), (15, 0), (40, 200)]
        .into_iter()
        .zip(300..)
        .map(|((own, comps), seed)| simulate(seed, &Parameters::default(), own, comps, 1))
        .collect()
}

fn records(book: &Simulated) -> InMemory {
    InMemory {
        sales: book.sales.clone(),
        comps: book.comps.iter().map(|comp| (comp.clone(), 1.0)).collect(),
        asks: Vec::new(),
    }
}

fn ask(book: &Simulated, records: &InMemory, style: Option<Style>) -> Market {
    let question = MarketQuestion {
        as_of: book.as_of,
        currency: Currency::from_code("EUR").unwrap(),
        style,
        top: 10,
        level: 0.8,
    };
    market(records, Priors::shipped(), &question).unwrap()
}

#[test]
fn groups_add_up_to_the_whole() {
    for book in books() {
        let found = ask(&book, &records(&book), None);
        assert_eq!(found.comps.comps, book.comps.len());
        assert_eq!(found.sales.bikes, book.sales.len());
        for by in By::EACH {
            let rows = || found.table(by).iter().map(|group| &group.row);
            let sum = |of: fn(&wheelworth::pricing::market::tables::Row) -> usize| -> usize {
                rows().map(of).sum()
            };
            assert_eq!(sum(|row| row.comps), found.comps.comps, "{by:?}");
            assert_eq!(sum(|row| row.sales), found.sales.sold, "{by:?}");
            for (place, outcome) in Outcome::ALL.iter().enumerate() {
                let all: usize = rows().map(|row| row.outcomes[place]).sum();
                assert_eq!(all, found.comps.outcomes[place], "{by:?} {outcome}");
            }
            for row in rows().filter(|row| row.comps > 0) {
                let shares = Outcome::ALL.iter().map(|o| row.share(*o).unwrap());
                assert_near("shares", shares.sum(), 1.0, 1e-12);
                let asks = row.asks.unwrap();
                assert!(asks.low <= asks.median && asks.median <= asks.high);
            }
        }
    }
}

#[test]
fn styles_alone_add_up_to_the_whole() {
    for book in books() {
        let records = records(&book);
        let whole = ask(&book, &records, None);
        let alone: Vec<Market> = Style::ALL
            .iter()
            .map(|style| ask(&book, &records, Some(*style)))
            .collect();
        let comps: usize = alone.iter().map(|m| m.comps.comps).sum();
        let far: usize = alone.iter().map(|m| m.far.count).sum();
        let unused: usize = alone.iter().map(|m| m.days.unused.comps()).sum();
        assert_eq!(comps, whole.comps.comps);
        assert_eq!(far, whole.far.count);
        assert_eq!(unused, whole.days.unused.comps());
        for (style, one) in Style::ALL.iter().zip(&alone) {
            let in_whole = whole.table(By::Style).iter();
            let in_whole = in_whole.filter(|g| g.row.group == style.word());
            let rows: Vec<_> = in_whole.collect();
            let own: Vec<_> = one.table(By::Style).iter().collect();
            // A listing that is gone ended by the next look at any style.
            assert_eq!(rows, own, "{style}");
        }
    }
}

#[test]
fn order_of_rows_does_not_matter() {
    for (seed, book) in (1..).zip(books()) {
        let mut mixed = records(&book);
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        mixed.sales.shuffle(&mut rng);
        mixed.comps.shuffle(&mut rng);
        let (one, other) = (ask(&book, &records(&book), None), ask(&book, &mixed, None));
        assert_eq!(one.comps, other.comps);
        assert_eq!(one.sales, other.sales);
        assert_eq!(one.by, other.by);
        assert_eq!(one.days, other.days);
        assert_eq!(one.gaps, other.gaps);
        assert_eq!(one.movement.len(), other.movement.len());
        for (one, other) in one.movement.iter().zip(&other.movement) {
            assert_eq!(
                (one.from, one.to, one.rows),
                (other.from, other.to, other.rows)
            );
            assert_near("level", one.level.factor, other.level.factor, SAME_FIT);
            assert_near("low", one.level.low, other.level.low, SAME_FIT);
        }
        let names = |m: &Market| -> Vec<String> {
            m.far.found.iter().map(|far| far.listing.clone()).collect()
        };
        assert_eq!(names(&one), names(&other));
    }
}

#[test]
fn a_bike_listed_several_times_counts_once() {
    for book in books() {
        for times in [2, 3] {
            let mut again = records(&book);
            // Each under another name, as one finds it at another place.
            let listings = again.comps.iter().flat_map(|(comp, _)| {
                (0..times).map(move |place| {
                    let mut comp = comp.clone();
                    comp.listing.push_str(&format!("-{place}"));
                    (comp, 1.0 / f64::from(times))
                })
            });
            again.comps = listings.collect();
            let (one, other) = (ask(&book, &records(&book), None), ask(&book, &again, None));
            assert_eq!(one.comps.comps, other.comps.comps);
            assert_eq!(one.comps.outcomes, other.comps.outcomes);
            assert_eq!(other.comps.listings, book.comps.len() * times as usize);
            for ((_, one), (_, other)) in one.by.iter().zip(&other.by) {
                let rows = |all: &[wheelworth::pricing::market::GroupRow]| {
                    all.iter().map(|g| g.row.clone()).collect::<Vec<_>>()
                };
                assert_eq!(rows(one), rows(other));
            }
            let median = |m: &Market| m.days.comps.as_ref().and_then(|d| d.median);
            assert_eq!(median(&one), median(&other));
        }
    }
}

#[test]
fn curves_never_rise_and_their_limits_hold_them() {
    for book in books() {
        let found = ask(&book, &records(&book), None);
        for of in [&found.days.own, &found.days.comps].into_iter().flatten() {
            for pair in of.steps.windows(2) {
                assert!(pair[1].survival <= pair[0].survival);
                assert!(pair[1].time > pair[0].time);
            }
            for step in &of.steps {
                assert!(step.low <= step.survival && step.survival <= step.high);
            }
            // A bike that was taken back can no longer be sold: fewer are sold
            // than if none were taken back.
            if let (Some([sold, back]), [.., Some(if_none)]) = (of.both, of.within) {
                assert!(sold <= if_none + 1e-12 && sold + back <= 1.0 + 1e-12);
            }
            // The more of the gone were sold, the sooner half are.
            if let [Some(few), Some(all)] = of.otherwise {
                assert!(all <= few);
            }
        }
    }
}
