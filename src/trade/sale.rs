//! A bike of the user's own, from purchase to sale.

use super::bike::Bike;
use super::calendar::Day;
pub use super::gone::Sold;
use super::gone::{Left, Return};
use super::money::Money;

/// One row of `sales.csv`: a bike sold, or on hand when it has no sale.
#[derive(Clone, Debug, PartialEq)]
pub struct Sale {
    /// The user's own id of the bike, unique.
    pub id: String,
    /// Its features.
    pub bike: Bike,
    /// Day of purchase.
    pub bought_on: Option<Day>,
    /// Day on which it was first offered.
    pub listed_on: Option<Day>,
    /// First ask.
    pub ask: Option<Money>,
    /// Day and price of the sale; `None` while it is on hand.
    pub sold: Option<Sold>,
    /// What was paid for it.
    pub purchase: Option<Money>,
    /// Parts and supplies.
    pub parts: Option<Money>,
    /// Fees of listing and selling.
    pub fees: Option<Money>,
    /// Travel and anything else that it cost.
    pub other_cost: Option<Money>,
    /// Unpaid hours, in hundredths of an hour.
    pub hours: Option<i64>,
    /// The user's own remark; never leaves the workshop.
    pub note: Option<String>,
    /// What the user expected it to bring, before the program had said anything.
    pub guess: Option<Money>,
    /// How it left without a sale; never beside `sold`.
    pub left: Option<Left>,
    /// Money handed back to its buyers, by day. No column of `sales.csv`: the
    /// book keeps it, and `returns.csv` tells it.
    pub returns: Vec<Return>,
}

impl Sale {
    /// A bike of which only its id and features are known.
    pub fn of(id: impl Into<String>, bike: Bike) -> Self {
        Self {
            id: id.into(),
            bike,
            bought_on: None,
            listed_on: None,
            ask: None,
            sold: None,
            purchase: None,
            parts: None,
            fees: None,
            other_cost: None,
            hours: None,
            note: None,
            guess: None,
            left: None,
            returns: Vec::new(),
        }
    }

    /// The record as it was known on `day`: `None` when it lies wholly in the
    /// future, without its sale when that came later. A sale that came back
    /// later is still there; what was handed back by then of a sale that stands is
    /// off its price. A listing ends with the sale: a bike that came back stands listed
    /// again only from a day of listing after that.
    pub fn as_known_on(&self, day: Day) -> Option<Sale> {
        let sales = self.every_sale().map(|(sold, _)| sold.on);
        let left = self.left.as_ref().map(|left| left.on);
        let days = [self.bought_on, self.listed_on, left];
        let first = days.into_iter().flatten().chain(sales).min();
        if first.is_some_and(|d| d > day) {
            return None;
        }
        let mut known = self.clone();
        known.sold = self.sold_by(day);
        // What was handed back of the sale that stands is off its price.
        known
            .returns
            .retain(|one| one.on <= day && one.back.is_some());
        known.left = known.left.filter(|left| left.on <= day);
        let over = |listed: Day| listed > day || !known.since_it_came_back(listed);
        if self.listed_on.is_some_and(over) {
            known.listed_on = None;
            known.ask = None;
        }
        Some(known)
    }

    /// The record as known on `day`, where it counts for prices, days on market
    /// and the stock: `None` also for a bike that left without a sale by then.
    pub fn in_trade_on(&self, day: Day) -> Option<Sale> {
        self.as_known_on(day).filter(|known| known.left.is_none())
    }

    /// The sale that stands on `day`, its price less what was handed back of it by
    /// then, never below 0.
    pub fn sold_by(&self, day: Day) -> Option<Sold> {
        let stands = |back: Option<Day>| back.is_none_or(|back| back > day);
        let mut sales = self.every_sale();
        let (sold, back) = sales.find(|(sold, back)| sold.on <= day && stands(*back))?;
        let refunds = self.refunds_of(sold.on, back);
        let refunds = refunds.filter(|one| one.on <= day).map(|one| one.refund);
        let price = sold.price.minor() - refunds.sum::<Money>().minor();
        Some(Sold {
            price: Money::from_minor(price.max(0)),
            ..sold
        })
    }

    /// Whether the day `on` is not before the last one on which a buyer brought it back:
    /// a listing and asks of before ended with that sale.
    pub fn since_it_came_back(&self, on: Day) -> bool {
        let mut back = self.returns.iter().filter(|one| one.back.is_some());
        back.all(|one| one.on <= on)
    }

    /// Every sale of it, in order: those that came back, each with the day on which
    /// it did, then the one that holds.
    pub fn every_sale(&self) -> impl Iterator<Item = (Sold, Option<Day>)> {
        let back = self.returns.iter();
        let back = back.filter_map(|one| Some((one.back?, Some(one.on))));
        back.chain(self.sold.map(|sold| (sold, None)))
    }

    /// What was handed back of the sale of the day `sold_on`, which came back on
    /// the day `back` or stands: the bike coming back among it.
    pub fn refunds_of(&self, sold_on: Day, back: Option<Day>) -> impl Iterator<Item = &Return> {
        self.returns.iter().filter(move |one| match one.back {
            Some(sold) => sold.on == sold_on && Some(one.on) == back,
            None => one.on >= sold_on && back.is_none_or(|back| one.on < back),
        })
    }

    /// The day for which the sale price speaks: when it was listed, or else
    /// when it was sold. (The value is defined for the day of listing.)
    pub fn priced_on(&self) -> Option<Day> {
        let sold = self.sold?;
        Some(self.listed_on.unwrap_or(sold.on))
    }
}

#[cfg(test)]
mod tests {
    use super::{Sale, Sold};
    use crate::trade::{Bike, Day, Left, LeftAs, Money, Return, Style};

    fn may(day: i8) -> Day {
        Day::constant(2026, 5, day)
    }

    fn sold(day: i8, price: i64) -> Sold {
        Sold {
            on: may(day),
            price: Money::from_minor(price),
        }
    }

    fn back(day: i8, refund: i64, back: Option<Sold>) -> Return {
        Return {
            bike: "B-1".into(),
            on: may(day),
            refund: Money::from_minor(refund),
            back,
        }
    }

    /// Sold on 3 May for 100.00, 10.00 handed back on 5 May, back on 8 May; sold again
    /// on 12 May for 90.00, of which 15.00 are handed back on 20 May.
    fn sold_twice() -> Sale {
        Sale {
            listed_on: Some(may(1)),
            sold: Some(sold(12, 9_000)),
            returns: vec![
                back(5, 1_000, None),
                back(8, 9_000, Some(sold(3, 10_000))),
                back(20, 1_500, None),
            ],
            ..Sale::of("B-1", Bike::of(Style::City))
        }
    }

    #[test]
    fn the_sale_that_stands_is_told_for_any_day_with_what_is_left_of_its_price() {
        let sale = sold_twice();
        for (day, expected) in [
            (2, None),
            (3, Some(sold(3, 10_000))),
            (5, Some(sold(3, 9_000))),
            (7, Some(sold(3, 9_000))),
            (8, None),
            (11, None),
            (12, Some(sold(12, 9_000))),
            (19, Some(sold(12, 9_000))),
            (20, Some(sold(12, 7_500))),
        ] {
            assert_eq!(sale.sold_by(may(day)), expected, "{day} May");
            let known = sale.as_known_on(may(day)).unwrap();
            assert_eq!(known.sold, expected, "{day} May");
            // Its listing of 1 May ended with the sale that came back.
            assert_eq!(known.listed_on.is_some(), day < 8, "{day} May");
            // What is known of it on a day is known of it on that day.
            assert_eq!(known.sold_by(may(day)), expected, "{day} May");
        }
    }

    #[test]
    fn a_bike_that_left_is_known_and_counts_for_nothing_from_that_day_on() {
        let sale = Sale {
            left: Some(Left {
                on: may(9),
                how: LeftAs::Given,
                box_value: None,
                box_item: None,
            }),
            listed_on: Some(may(1)),
            ..Sale::of("B-1", Bike::of(Style::City))
        };
        assert_eq!(sale.in_trade_on(may(8)).unwrap().left, None);
        assert_eq!(sale.in_trade_on(may(9)), None);
        assert_eq!(sale.as_known_on(may(9)).unwrap(), sale);
    }
}
