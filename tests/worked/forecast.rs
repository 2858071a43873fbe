//! What became of offers, by hand. Forecast: 160.00 less 25.00 of jobs and 4.00 of fees, so
//! 131.00 left. It came to 150.00 less a part of 20.00 and fees of 5.00: 125.00, which is
//! 6.00 less, 0.0375 of 160.00. Paid were 50.00, so the margin is 75.00.

use crate::support::records::{Says as _, day, sale, units};
use crate::support::tolerance::{SAME_NUMBER, assert_near};
use wheelworth::accounts::forecast::{Outcome, forecasts};
use wheelworth::accounts::{Fate, Forecast};
use wheelworth::trade::{Condition, Cost, CostKind, KeptOffer, Money, Sale, Tier};

fn offer(bike: &str, on: &str) -> KeptOffer {
    KeptOffer {
        bike: bike.into(),
        on: day(on),
        asking: None,
        margin: units(40),
        most_mean: units(70),
        most_cautious: units(60),
        jobs: vec![],
        cost: units(25),
        hours: 300,
        fees: units(4),
        price: units(160),
        days: 200,
        condition: Condition::from_grade(4),
        tier: Tier::from_grade(2),
        found: None,
    }
}

fn sold() -> Sale {
    Sale {
        parts: Some(units(20)),
        fees: Some(units(5)),
        ..sale("A")
            .condition(4)
            .bought("2026-03-02")
            .purchase(50)
            .listed("2026-03-20", 170)
            .sold("2026-04-11", 150)
    }
}

fn of(offers: &[KeptOffer], sales: &[Sale]) -> Vec<Fate> {
    let found = forecasts(offers, sales, &[], day("2026-05-02"));
    found.into_iter().map(|found| found.fate).collect()
}

fn outcome(sale: Sale) -> Outcome {
    match of(&[offer("A", "2026-03-01")], &[sale]).remove(0) {
        Fate::Sold(outcome) => outcome,
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_came_of_an_offer_by_hand() {
    let found = outcome(sold());
    assert_eq!(found.cost, units(20));
    assert_eq!(found.left, units(125));
    assert_near("error", found.error, -0.0375, SAME_NUMBER);
    assert_eq!(found.days, Some(22));
    assert_eq!(found.margin(), Some(units(75)));
    let told = offer("A", "2026-03-01");
    assert_eq!(found.more_than(&told), Money::from_minor(-600));
}

/// As planned is what agrees in condition and in tier, each as far as it is known.
#[test]
fn as_planned_is_both_condition_and_tier() {
    let with = |grade: u8, tier: Option<u8>| {
        let mut sale = sold().condition(grade);
        sale.bike.tier = tier.and_then(Tier::from_grade);
        outcome(sale).as_planned
    };
    assert!(with(4, None));
    assert!(with(4, Some(2)));
    assert!(!with(4, Some(3)));
    assert!(!with(3, Some(2)));
    assert!(!with(3, None));
}

/// The bike was bought on 2 March: an offer of that day still was a bid for it, one of the
/// day after was none, and of several bids the last counts.
#[test]
fn the_last_bid_by_the_day_it_was_bought_counts() {
    let offers = ["2026-02-20", "2026-03-02", "2026-03-03"].map(|on| offer("A", on));
    let fates = of(&offers, &[sold()]);
    assert_eq!(fates[0], Fate::Superseded);
    assert!(matches!(fates[1], Fate::Sold(_)), "{:?}", fates[1]);
    assert_eq!(fates[2], Fate::BoughtBefore);
    // Not in the book: the later offer, but none of a day to come, takes its place.
    let offers = ["2026-04-20", "2026-05-02", "2026-05-03"].map(|on| offer("B", on));
    let expected = [Fate::Superseded, Fate::NotBought, Fate::NotBought];
    assert_eq!(of(&offers, &[sold()]), expected);
    assert_eq!(of(&offers[..1], &[sold()]), [Fate::NotBought]);
}

/// A part of 12.00 takes the place of the 20.00 of the sales; one of tomorrow does not.
#[test]
fn costs_up_to_today_count() {
    let part = |on: &str, amount| Cost {
        bike: Some("A".into()),
        on: day(on),
        kind: CostKind::Part,
        item: None,
        amount: units(amount),
        from_box: false,
    };
    let costs = [part("2026-05-02", 12), part("2026-05-03", 7)];
    let found = forecasts(
        &[offer("A", "2026-03-01")],
        &[sold()],
        &costs,
        day("2026-05-02"),
    );
    assert_eq!(found[0].outcome().unwrap().cost, units(12));
}

#[test]
fn a_forecast_keeps_its_offer() {
    let offers = [offer("A", "2026-03-01"), offer("B", "2026-03-01")];
    let found: Vec<Forecast> = forecasts(&offers, &[sold()], &[], day("2026-05-02"));
    let kept: Vec<&KeptOffer> = found.iter().map(|found| &found.offer).collect();
    assert_eq!(kept, [&offers[0], &offers[1]]);
    assert!(found[0].outcome().is_some() && found[1].outcome().is_none());
}
