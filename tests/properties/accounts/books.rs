//! Random books: bikes, costs of all kinds, gifts to those named and to others.

use super::plain::{end_of, happened, quarter_of};
use crate::support::records;
use jiff::ToSpan as _;
use proptest::prelude::*;
use proptest::sample::Index;
use wheelworth::accounts::Entries;
use wheelworth::trade::{
    Beneficiary, Cost, CostKind, Day, Gift, Give, Giving, Left, LeftAs, Money, Return, RuleChange,
    Sale, sale::Sold,
};

/// Days from some day of 2023 on.
pub fn day(days: std::ops::Range<i64>) -> impl Strategy<Value = Day> {
    days.prop_map(|days| Day::constant(2023, 2, 1).saturating_add(days.days()))
}

/// Small ones, whose splits leave odd units; usual ones; a few that are large.
pub fn money() -> impl Strategy<Value = Money> {
    prop_oneof![
        6 => 0_i64..12,
        12 => 0_i64..50_000,
        1 => 0_i64..900_000_000_000_000,
    ]
    .prop_map(Money::from_minor)
}

/// Different for each number; their bytes stand in another order than the numbers.
pub fn id(number: usize) -> String {
    let start = ["B-", "b-", "a ", "é"][number % 4];
    format!("{start}{number}")
}

/// Two of them differ in nothing but a capital, and only the first four can be
/// named by the book.
pub const NAMES: [&str; 6] = [
    "Reading Room",
    "Night Kitchen",
    "Ferry Club",
    "reading room",
    "Choir",
    "Seed Bank",
];

pub fn giving() -> impl Strategy<Value = Giving> {
    let give = prop_oneof![Just(Give::Price), Just(Give::Net)];
    let share = prop_oneof![2 => 1_u16..=10_000, 1 => Just(10_000), 1 => Just(5_000)];
    let weights = prop::collection::vec(prop_oneof![1_u32..=4, 1_u32..=1000], 0..=4);
    (give, share, 1_u8..=12, weights).prop_map(|(give, share, year_starts, weights)| {
        let named = NAMES.iter().zip(weights);
        let beneficiaries = named.map(|(name, weight)| Beneficiary {
            name: name.to_string(),
            weight,
        });
        Giving {
            give,
            share,
            year_starts,
            beneficiaries: beneficiaries.collect(),
        }
    })
}

/// Up to three later rules, in years that start in the month of the first: each from how
/// many quarters after the one of 1 February 2023 on.
pub fn later_rules() -> impl Strategy<Value = Vec<(i64, Giving)>> {
    prop_oneof![
        1 => Just(vec![]),
        2 => prop::collection::vec((-1_i64..14, giving()), 1..=3),
    ]
}

pub fn minor_per_unit() -> impl Strategy<Value = i64> {
    prop_oneof![Just(1), Just(100), Just(1000)]
}

fn maybe<S: Strategy>(of: S) -> impl Strategy<Value = Option<S::Value>>
where
    S::Value: Clone,
{
    prop::option::weighted(0.6, of)
}

/// A bike, sold more often than not.
pub fn sale(number: usize, days: std::ops::Range<i64>) -> impl Strategy<Value = Sale> {
    let sold = (day(days.clone()), money()).prop_map(|(on, price)| Sold { on, price });
    (
        prop::option::weighted(0.8, sold),
        [
            maybe(money()),
            maybe(money()),
            maybe(money()),
            maybe(money()),
        ],
        maybe(0_i64..2_000),
        afterwards(number, days),
    )
        .prop_map(
            move |(sold, [purchase, parts, fees, other_cost], hours, (returns, left))| {
                let mut sale = Sale {
                    sold,
                    purchase,
                    parts,
                    fees,
                    other_cost,
                    hours,
                    left,
                    returns,
                    ..records::sale(id(number))
                };
                put_in_order(&mut sale);
                sale
            },
        )
}

/// Refunds, bikes that came back and bikes that left: most have none of it.
fn afterwards(
    number: usize,
    days: std::ops::Range<i64>,
) -> impl Strategy<Value = (Vec<Return>, Option<Left>)> {
    let back = (day(days.clone()), money()).prop_map(|(on, price)| Sold { on, price });
    let one = (
        day(days.clone()),
        money(),
        prop::option::weighted(0.6, back),
    );
    let one = one.prop_map(move |(on, refund, back)| Return {
        bike: id(number),
        on,
        refund,
        back,
    });
    let how = (0..LeftAs::ALL.len()).prop_map(|place| LeftAs::ALL[place]);
    let left = (day(days), how).prop_map(|(on, how)| Left {
        on,
        how,
        box_value: None,
        box_item: None,
    });
    let returns = prop_oneof![
        3 => Just(vec![]),
        2 => prop::collection::vec(one, 1..4),
    ];
    (returns, prop::option::weighted(0.6, left))
}

/// Moves every day of what happened to a bike.
pub fn each_day(sale: &mut Sale, to: impl Fn(Day) -> Day) {
    if let Some(sold) = &mut sale.sold {
        sold.on = to(sold.on);
    }
    for one in &mut sale.returns {
        one.on = to(one.on);
        if let Some(back) = &mut one.back {
            back.on = to(back.on);
        }
    }
    if let Some(left) = &mut sale.left {
        left.on = to(left.on);
    }
    put_in_order(sale);
}

/// Days in an order that can be: sold, refunded, back, sold again; one refund a day;
/// sold or left.
pub fn put_in_order(sale: &mut Sale) {
    sale.returns.sort_by_key(|one| one.on);
    sale.returns.dedup_by_key(|one| one.on);
    let mut from = Day::MIN;
    for one in &mut sale.returns {
        if let Some(back) = &mut one.back {
            back.on = back.on.clamp(from, one.on);
            from = one.on;
        }
    }
    if let Some(sold) = &mut sale.sold {
        sold.on = sold.on.max(from);
        sale.left = None;
    }
    if let Some(left) = &mut sale.left {
        left.on = left.on.max(from);
    }
}

/// A cost of one of `bikes` bikes or of the workshop.
pub fn cost(bikes: usize, days: std::ops::Range<i64>) -> impl Strategy<Value = Cost> {
    let bike = prop::option::weighted(0.75, 0..bikes.max(1));
    let kind = (0..CostKind::ALL.len()).prop_map(|place| CostKind::ALL[place]);
    let item = prop::option::of(Just("chain".to_string()));
    (
        bike,
        day(days),
        kind,
        item,
        money(),
        prop::bool::weighted(0.15),
    )
        .prop_map(move |(bike, on, kind, item, amount, from_box)| Cost {
            bike: bike.filter(|_| bikes > 0).map(id),
            on,
            kind,
            item,
            amount,
            from_box,
        })
}

/// The references are the caller's, since they are unique.
pub fn gift(days: std::ops::Range<i64>) -> impl Strategy<Value = Gift> {
    (day(days), 0..NAMES.len(), money()).prop_map(|(on, name, amount)| Gift {
        on,
        beneficiary: NAMES[name].to_string(),
        amount,
        reference: None,
    })
}

/// Up to 40 bikes in some three years.
pub fn entries() -> impl Strategy<Value = Entries> {
    const DAYS: std::ops::Range<i64> = 0..1_100;
    let bikes = prop_oneof![0_usize..6, 0_usize..=40];
    bikes.prop_flat_map(|bikes| {
        let sales: Vec<_> = (0..bikes).map(|number| sale(number, DAYS)).collect();
        let costs = prop::collection::vec(cost(bikes, DAYS), 0..=2 * bikes + 4);
        let gifts = prop::collection::vec(gift(DAYS), 0..12);
        (sales, costs, gifts).prop_map(|(sales, costs, gifts)| Entries {
            sales,
            costs,
            gifts,
        })
    })
}

/// A case without closings.
#[derive(Clone, Debug)]
pub struct Case {
    pub giving: Giving,
    /// By quarter, counted from the year 0; of one quarter the last counts.
    pub later: Vec<(i64, Giving)>,
    pub minor_per_unit: i64,
    pub entries: Entries,
    pub as_of: Day,
}

/// The day of the answer before the first record, among them, or after; every
/// other time the very day of a record, or the day before.
pub fn case() -> impl Strategy<Value = Case> {
    let of_a_record = (any::<Index>(), 0_i64..2);
    let as_of = (day(-100..1_400), prop::option::of(of_a_record));
    let rules = (giving(), later_rules());
    (rules, minor_per_unit(), entries(), as_of).prop_map(
        |((giving, later), minor_per_unit, entries, (as_of, of_a_record))| {
            let starts = giving.year_starts;
            let first = quarter_of(Day::constant(2023, 2, 1), starts);
            let later = later.into_iter().map(|(after, rule)| {
                let year_starts = starts;
                (
                    first + after,
                    Giving {
                        year_starts,
                        ..rule
                    },
                )
            });
            let later = later.collect();
            let happened = entries.sales.iter().flat_map(happened);
            let spent = entries.costs.iter().map(|cost| cost.on);
            let given = entries.gifts.iter().map(|gift| gift.on);
            let days: Vec<Day> = happened
                .map(|one| one.on)
                .chain(spent)
                .chain(given)
                .collect();
            let as_of = match of_a_record {
                Some((one, before)) if !days.is_empty() => {
                    one.get(&days).saturating_sub(before.days())
                }
                _ => as_of,
            };
            Case {
                giving,
                later,
                minor_per_unit,
                entries,
                as_of,
            }
        },
    )
}

/// Later rules as the ledger takes them, each from the first day of its quarter on.
pub fn changes(later: &[(i64, Giving)]) -> Vec<RuleChange> {
    let change = |(quarter, giving): &(i64, Giving)| RuleChange {
        from: end_of(quarter - 1, giving.year_starts).tomorrow().unwrap(),
        giving: giving.clone(),
    };
    later.iter().map(change).collect()
}
