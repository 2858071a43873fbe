//! What is exported and imported into a new book is the same book, and exporting
//! that gives the same bytes.

use crate::support::workshop::{TODAY, Workshop};
use jiff::ToSpan as _;
use proptest::prelude::*;
use std::collections::BTreeMap;
use wheelworth::book::{Book, Repeat};
use wheelworth::trade::sale::Sold;
use wheelworth::trade::{
    AskChange, Bike, Comparable, Condition, Cost, CostKind, Day, Gift, KeptOffer, Left, LeftAs,
    Money, Outcome, Return, Sale, SeatTube, Style, Tier, Years,
};

/// The tables.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Records {
    pub sales: Vec<Sale>,
    pub comps: Vec<Comparable>,
    pub asks: Vec<AskChange>,
    pub costs: Vec<Cost>,
    pub gifts: Vec<Gift>,
    pub offers: Vec<KeptOffer>,
}

impl Records {
    fn of(workshop: &Workshop) -> Self {
        let book = Book::open(&workshop.book()).unwrap();
        let mut comps = Vec::new();
        book.each_comp(&mut |_, comp| comps.push(comp.clone()))
            .unwrap();
        Self {
            sales: book.sales().unwrap(),
            comps,
            asks: book.asks().unwrap(),
            costs: book.costs().unwrap(),
            gifts: book.gifts().unwrap(),
            offers: book.offers(Day::MAX).unwrap(),
        }
    }

    pub fn put(&self, workshop: &Workshop) {
        let mut book = Book::open(&workshop.book()).unwrap();
        let mut import = book.begin_import("all", "made up", TODAY).unwrap();
        self.sales
            .iter()
            .for_each(|sale| drop(import.put_sale(sale).unwrap()));
        for one in self.sales.iter().flat_map(|sale| &sale.returns) {
            import.put_return(one).unwrap();
        }
        for offer in &self.offers {
            import.put_offer(offer).unwrap();
        }
        self.comps
            .iter()
            .for_each(|comp| drop(import.put_comp(comp).unwrap()));
        self.asks
            .iter()
            .for_each(|ask| drop(import.put_ask(ask).unwrap()));
        let file = Repeat::OfAFile;
        self.costs
            .iter()
            .for_each(|cost| drop(import.put_cost(cost, file).unwrap()));
        self.gifts
            .iter()
            .for_each(|gift| drop(import.put_gift(gift, file).unwrap()));
        import.commit().unwrap();
    }

    pub fn counts(&self) -> [(&'static str, usize); 7] {
        let returns = self.sales.iter().map(|sale| sale.returns.len());
        [
            ("sales", self.sales.len()),
            ("comps", self.comps.len()),
            ("asks", self.asks.len()),
            ("costs", self.costs.len()),
            ("gifts", self.gifts.len()),
            ("returns", returns.sum()),
            ("offers", self.offers.len()),
        ]
    }
}

/// Texts as an import leaves them: no blanks at the ends, no control characters.
fn text() -> impl Strategy<Value = String> {
    const PIECES: &[&str] = &[
        "'", "''", "=", "+", "-", "@", "\"", "\"\"", ",", ";", " ", "a", "B-1", "0", "1.5", "yes",
        "ü", "日本", "🚲", "e\u{301}", "\u{200b}", "\u{a0}", "|", "\\", "\\n", "#", "null", "NaN",
    ];
    let piece = prop::sample::select(PIECES);
    prop::collection::vec(piece, 1..7)
        .prop_map(|pieces| pieces.concat().trim().to_string())
        .prop_filter("empty", |text| !text.is_empty())
}

fn maybe<T: Clone + std::fmt::Debug>(
    of: impl Strategy<Value = T>,
) -> impl Strategy<Value = Option<T>> {
    prop::option::weighted(0.6, of)
}

fn day() -> impl Strategy<Value = Day> {
    // 1900-01-01 to the day of the workshop, mostly of late years.
    let all = (TODAY - Day::constant(1900, 1, 1)).get_days();
    let back = prop_oneof![0..all + 1, 0..1500, Just(0), Just(all)];
    back.prop_map(|back| TODAY.checked_sub(back.days()).unwrap())
}

/// The most that is read is 9e15.
fn money(least: i64) -> impl Strategy<Value = Money> {
    let minor = prop_oneof![
        least..100_000,
        least..9_000_000_000_000_001,
        Just(9_000_000_000_000_000)
    ];
    minor.prop_map(Money::from_minor)
}

fn bike() -> impl Strategy<Value = Bike> {
    let style = prop::sample::select(Style::ALL);
    let condition = maybe(prop::sample::select(Condition::ALL));
    let tier = maybe(prop::sample::select(Tier::ALL));
    // Below 30 cm a bare number would be inches; 250 mm is the shortest.
    // 1 to 5 are the size classes.
    let tube = prop_oneof![
        2500..8001_i64,
        2500..3001_i64,
        Just(2500),
        Just(8000),
        1..6_i64
    ];
    let tube = maybe(tube.prop_map(|number| SeatTube::from_number(number).unwrap()));
    (
        style,
        maybe(
            (1817..2028_i16, prop_oneof![Just(0), 0..41_i16])
                .prop_map(|(first, more)| Years::range(first, (first + more).min(2027)).unwrap()),
        ),
        condition,
        tier,
        tube,
        maybe(money(1)),
    )
        .prop_map(
            |(style, made, condition, tier, seat_tube, new_price)| Bike {
                style,
                made,
                condition,
                tier,
                // Those of kids are 12 to 40 cm.
                seat_tube: match style {
                    Style::Kids => seat_tube
                        .and_then(|tube| SeatTube::from_tenths(1200 + tube.number() % 2801)),
                    _ => seat_tube,
                },
                new_price,
            },
        )
}

fn sale() -> impl Strategy<Value = Sale> {
    let days = [day(), day(), day()].prop_map(|mut days| {
        days.sort();
        days
    });
    let known = prop::collection::vec(any::<bool>(), 3);
    let costs = [
        maybe(money(0)),
        maybe(money(0)),
        maybe(money(0)),
        maybe(money(0)),
    ];
    let sold = (maybe(money(1)), money(0));
    let last = (maybe(0..1_000_001_i64), maybe(text()), maybe(money(0)));
    (
        bike(),
        days,
        known,
        sold,
        costs,
        last,
        (maybe(left()), returns()),
    )
        .prop_map(
            |(bike, days, known, (ask, price), costs, (hours, note, guess), (left, returns))| {
                let mut sale = Sale {
                    id: String::new(),
                    bike,
                    bought_on: known[0].then_some(days[0]),
                    listed_on: known[1].then_some(days[1]),
                    ask,
                    sold: known[2].then_some(Sold { on: days[2], price }),
                    purchase: costs[0],
                    parts: costs[1],
                    fees: costs[2],
                    other_cost: costs[3],
                    hours,
                    note,
                    guess,
                    left: left.filter(|_| !known[2]),
                    returns,
                };
                if let Some((left, bought)) = sale.left.as_mut().zip(sale.bought_on) {
                    left.on = left.on.max(bought);
                }
                one_after_the_other(&mut sale);
                sale
            },
        )
}

fn left() -> impl Strategy<Value = Left> {
    let how = prop::sample::select(LeftAs::ALL);
    (day(), how, maybe(money(0)), maybe(text())).prop_map(|(on, how, box_value, box_item)| {
        let gave = how == LeftAs::Scrapped;
        Left {
            on,
            how,
            box_value: box_value.filter(|_| gave),
            box_item: box_item.filter(|_| gave),
        }
    })
}

fn returns() -> impl Strategy<Value = Vec<Return>> {
    let one = (day(), money(0), maybe((day(), money(0))));
    let one = one.prop_map(|(on, refund, back)| Return {
        bike: String::new(),
        on,
        refund: refund.min(back.map_or(refund, |(_, price)| price)),
        back: back.map(|(sold, price)| Sold {
            on: sold.min(on),
            price,
        }),
    });
    prop_oneof![2 => Just(vec![]), 1 => prop::collection::vec(one, 1..4)]
}

/// Returns by day, one a day; a bike that came back was sold again later or left later.
fn one_after_the_other(sale: &mut Sale) {
    sale.returns.sort_by_key(|one| one.on);
    sale.returns.dedup_by_key(|one| one.on);
    let from = sale.sold.map(|sold| sold.on);
    sale.returns
        .retain(|one| from.is_none_or(|from| (one.on < from) == one.back.is_some()));
}

fn offer() -> impl Strategy<Value = KeptOffer> {
    let amounts = [money(0), money(0), money(0), money(0), money(0), money(0)];
    let forecast = (maybe(money(0)), 0..1_000_001_i64, 0..100_000_i64);
    let jobs = prop::collection::vec(text(), 0..4);
    let after = (
        maybe(prop::sample::select(Condition::ALL)),
        maybe(prop::sample::select(Tier::ALL)),
    );
    (text(), day(), amounts, forecast, jobs, after, maybe(bike())).prop_map(
        |(bike, on, amounts, (asking, hours, days), jobs, (condition, tier), found)| KeptOffer {
            bike,
            on,
            asking,
            margin: amounts[0],
            most_mean: amounts[1],
            most_cautious: amounts[2],
            jobs: jobs
                .into_iter()
                .filter(|job| !job.trim_matches(';').trim().is_empty())
                .collect(),
            cost: amounts[3],
            hours,
            fees: amounts[4],
            price: amounts[5],
            days,
            condition,
            tier,
            found,
        },
    )
}

fn comp() -> impl Strategy<Value = Comparable> {
    let days = [day(), day(), day(), day()].prop_map(|mut days| {
        days.sort();
        days
    });
    let known = prop::collection::vec(any::<bool>(), 4);
    let money = (money(1), maybe(money(1)), maybe(money(1)));
    let outcome = prop::sample::select(Outcome::ALL);
    (bike(), days, known, money, outcome).prop_map(
        |(bike, days, known, (ask, last_ask, sold_price), outcome)| Comparable {
            listing: String::new(),
            source: String::new(),
            bike,
            listed_on: known[0].then_some(days[0]),
            first_seen: known[1].then_some(days[1]),
            last_seen: known[3].then_some(days[3]),
            ask,
            last_ask,
            outcome,
            ended_on: (known[2] && outcome != Outcome::Listed).then_some(days[2]),
            sold_price: sold_price.filter(|_| outcome == Outcome::Sold),
        },
    )
}

pub fn records() -> impl Strategy<Value = Records> {
    let sales = prop::collection::btree_map(text(), sale(), 1..8);
    let source = prop_oneof![Just(String::new()), text()];
    let comps = prop::collection::btree_map((text(), source), comp(), 1..8);
    // Which bike, how many days into its listing, the ask.
    let asks = prop::collection::vec((any::<prop::sample::Index>(), 0..400_i32, money(1)), 0..8);
    let kind = prop::sample::select(CostKind::ALL);
    let cost = (
        maybe(any::<prop::sample::Index>()),
        day(),
        kind,
        maybe(text()),
        money(0),
        any::<bool>(),
    );
    let costs = prop::collection::vec(cost, 0..8);
    let gifts = prop::collection::vec((day(), text(), money(1), maybe(text())), 0..8);
    let offers = prop::collection::btree_map(text(), offer(), 0..4);
    (sales, comps, asks, costs, gifts, offers).prop_map(
        |(sales, comps, asks, costs, gifts, offers)| {
            let named = |(id, mut sale): (String, Sale)| {
                sale.returns
                    .iter_mut()
                    .for_each(|one| one.bike.clone_from(&id));
                Sale { id, ..sale }
            };
            let offers = offers
                .into_iter()
                .map(|(bike, offer)| KeptOffer { bike, ..offer });
            let mut offers: Vec<KeptOffer> = offers.collect();
            offers.sort_by_key(|offer| offer.on);
            let sales: Vec<Sale> = sales.into_iter().map(named).collect();
            let named = |((listing, source), comp): ((String, String), Comparable)| Comparable {
                listing,
                source,
                ..comp
            };
            let mut changes = BTreeMap::new();
            for (which, days, ask) in asks {
                let sale = which.get(&sales);
                let from = sale.listed_on.unwrap_or(Day::constant(1900, 1, 1));
                let to = sale.sold.map_or(TODAY, |sold| sold.on);
                let on = from.checked_add(days.days()).unwrap().min(to);
                changes.insert((sale.id.clone(), on), ask);
            }
            let asks = changes
                .into_iter()
                .map(|((bike, on), ask)| AskChange { bike, on, ask });
            let costs = costs
                .into_iter()
                .map(|(which, on, kind, item, amount, from_box)| Cost {
                    bike: which.map(|which| which.get(&sales).id.clone()),
                    on,
                    kind,
                    item,
                    amount,
                    from_box,
                });
            // Every other cost twice: both count.
            let costs = costs
                .enumerate()
                .flat_map(|(n, cost)| vec![cost; 1 + n % 2])
                .collect();
            let mut references = std::collections::BTreeSet::new();
            let gifts = gifts
                .into_iter()
                .map(|(on, beneficiary, amount, reference)| Gift {
                    on,
                    beneficiary,
                    amount,
                    reference: reference.filter(|reference| references.insert(reference.clone())),
                });
            Records {
                offers,
                gifts: gifts.collect(),
                comps: comps.into_iter().map(named).collect(),
                asks: asks.collect(),
                costs,
                sales,
            }
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn an_exported_book_is_the_same_book(
        records in records(),
        currency in prop::sample::select(&["JPY", "EUR", "KWD"][..]),
        ending in prop::sample::select(&["csv", "parquet"][..]),
    ) {
        let first = Workshop::in_currency(currency);
        records.put(&first);
        let second = Workshop::in_currency(currency);
        for (table, rows) in records.counts() {
            let file = format!("{table}.{ending}");
            first.run(&["export", table, &format!("@{file}")]).done();
            let bytes = std::fs::read(first.path(&file)).unwrap();
            if rows == 0 {
                continue;
            }
            second.file(&file, &bytes);
            let output = second.run(&["import", table, &format!("@{file}")]).done();
            let added = if rows == 1 { "1 row added".into() } else { format!("{rows} rows added") };
            prop_assert!(output.out.contains(&added), "{}", output.out);
            let again = format!("@again-{file}");
            second.run(&["export", table, &again]).done();
            prop_assert!(std::fs::read(second.path(&again[1..])).unwrap() == bytes);
            // An export may take the place of an earlier one.
            second.run(&["export", table, &format!("@{file}")]).done();
        }
        let (before, after) = (Records::of(&first), Records::of(&second));
        prop_assert_eq!(&before.sales, &after.sales);
        prop_assert_eq!(&before.comps, &after.comps);
        prop_assert_eq!(&before.asks, &after.asks);
        prop_assert_eq!(&before.costs, &after.costs);
        prop_assert_eq!(&before.gifts, &after.gifts);
        prop_assert_eq!(&before.offers, &after.offers);
        prop_assert_eq!(before.counts(), records.counts());
    }
}
