//! Laws of the shed, on random records.

use jiff::ToSpan as _;
use proptest::prelude::*;
use std::collections::BTreeSet;
use wheelworth::accounts::stock::line::StockLine;
use wheelworth::accounts::{NextStep, Prospect, Stock, on_hand};
use wheelworth::trade::sale::Sold;
use wheelworth::trade::{AskChange, Bike, Condition, Cost, CostKind, Day, Money, Sale, Style};

const TODAY: Day = Day::constant(2026, 5, 2);
const BIKES: usize = 12;

#[derive(Clone, Debug)]
struct Records {
    sales: Vec<Sale>,
    costs: Vec<Cost>,
    asks: Vec<AskChange>,
    prospects: Vec<Prospect>,
}

fn day() -> impl Strategy<Value = Day> {
    (-120..40_i64).prop_map(|days| TODAY.saturating_add(days.days()))
}

fn money() -> impl Strategy<Value = Money> {
    (1..60_000_i64).prop_map(Money::from_minor)
}

fn maybe<T: std::fmt::Debug + Clone>(
    of: impl Strategy<Value = T>,
) -> impl Strategy<Value = Option<T>> {
    prop::option::of(of)
}

prop_compose! {
    /// Dates in any order that a file may hold; a sale comes last.
    fn sale()(
        grade in 0_u8..6,
        bought_on in maybe(day()),
        listed_on in maybe(day()),
        sold in maybe(0..50_i64),
        ask in maybe(money()),
        columns in prop::array::uniform4(maybe(money())),
    ) -> Sale {
        let mut bike = Bike::of(Style::Road);
        bike.condition = Condition::from_grade(grade);
        let last = bought_on.max(listed_on).unwrap_or(TODAY);
        let price = Money::from_minor(9000);
        let sold = sold.map(|days| Sold { on: last.saturating_add(days.days()), price });
        let [purchase, parts, fees, other_cost] = columns;
        Sale {
            bought_on,
            listed_on,
            ask,
            sold,
            purchase,
            parts,
            fees,
            other_cost,
            ..Sale::of("", bike)
        }
    }
}

fn id(place: usize) -> String {
    // Bytes and numbers in different orders.
    format!("{}{}", ["b", "B", "é"][place % 3], 7 * place % 12)
}

prop_compose! {
    fn cost()(
        place in 0..=BIKES,
        on in day(),
        kind in prop::sample::select(CostKind::ALL),
        amount in money(),
        from_box in any::<bool>(),
    ) -> Cost {
        let bike = (place < BIKES).then(|| id(place));
        Cost { bike, on, kind, item: None, amount, from_box }
    }
}

prop_compose! {
    fn prospect()(
        value in maybe(money()),
        brings in maybe(money()),
        steps in prop::collection::vec((1..60_i64, money()), 0..5),
        today in money(),
    ) -> Prospect {
        let mut asks = vec![(TODAY, today)];
        let mut on = TODAY;
        for (days, ask) in &steps {
            on = on.saturating_add(days.days());
            asks.push((on, *ask));
        }
        // As plans are: falling; none without a value.
        asks.sort_by_key(|step| step.0);
        asks.dedup_by(|later, before| later.1 >= before.1);
        let planned = value.is_some() && !steps.is_empty();
        let asks = if planned { asks } else { Vec::new() };
        Prospect { value, asks, brings: brings.filter(|_| planned) }
    }
}

prop_compose! {
    fn records()(
        sales in prop::collection::vec(sale(), BIKES),
        costs in prop::collection::vec(cost(), 0..40),
        asks in prop::collection::btree_map((0..BIKES, day()), money(), 0..20),
        prospects in prop::collection::vec(prospect(), BIKES),
    ) -> Records {
        let sales = sales.into_iter().enumerate();
        let asks = asks.into_iter();
        Records {
            sales: sales.map(|(place, sale)| Sale { id: id(place), ..sale }).collect(),
            costs,
            asks: asks.map(|((place, on), ask)| AskChange { bike: id(place), on, ask }).collect(),
            prospects,
        }
    }
}

impl Records {
    fn stock(&self) -> Stock {
        let holdings = on_hand(&self.sales, &self.costs, &self.asks, &[], TODAY);
        let known = holdings.into_iter().map(|holding| {
            let place = (0..BIKES).find(|place| id(*place) == holding.sale.id);
            (holding, self.prospects[place.unwrap()].clone())
        });
        Stock::of(known, TODAY)
    }

    /// Cash tied up in a bike, told anew: by column, the rows where there are any.
    fn cash(&self, sale: &Sale) -> Option<i64> {
        let columns: [(Option<Money>, &[CostKind]); 4] = [
            (sale.purchase, &[CostKind::Purchase]),
            (sale.parts, &[CostKind::Part, CostKind::Supply]),
            (sale.fees, &[CostKind::Fee]),
            (sale.other_cost, &[CostKind::Travel, CostKind::Other]),
        ];
        let mut sum = None;
        for (column, kinds) in columns {
            let rows: Vec<i64> = self
                .costs
                .iter()
                .filter(|c| c.bike.as_ref() == Some(&sale.id) && c.on <= TODAY && !c.from_box)
                .filter(|c| kinds.contains(&c.kind))
                .map(|c| c.amount.minor())
                .collect();
            let counted = match rows.as_slice() {
                [] => column.map(Money::minor),
                rows => Some(rows.iter().sum()),
            };
            if let Some(counted) = counted {
                sum = Some(sum.unwrap_or(0) + counted);
            }
        }
        sum
    }
}

/// Places of the kinds of step in the order of what needs doing.
fn kind(line: &StockLine) -> usize {
    match line.next {
        NextStep::MarkDown { on, .. } if on == TODAY => 0,
        NextStep::List { .. } => 1,
        NextStep::MarkDown { on, .. } if on <= TODAY.saturating_add(14.days()) => 2,
        NextStep::Finish => 3,
        _ => 4,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, rng_seed: proptest::test_runner::RngSeed::Fixed(23), ..ProptestConfig::default() })]

    #[test]
    fn every_bike_on_hand_stands_exactly_once(records in records()) {
        let stock = records.stock();
        let held: Vec<&str> = stock.lines.iter().map(|l| l.holding.sale.id.as_str()).collect();
        let once: BTreeSet<&str> = held.iter().copied().collect();
        prop_assert_eq!(once.len(), held.len());
        let there: BTreeSet<&str> = records
            .sales
            .iter()
            .filter(|s| {
                let first = [s.bought_on, s.listed_on, s.sold.map(|s| s.on)];
                first.into_iter().flatten().min().is_none_or(|day| day <= TODAY)
            })
            .filter(|s| s.sold.is_none_or(|sold| sold.on > TODAY))
            .map(|s| s.id.as_str())
            .collect();
        prop_assert_eq!(once, there);
    }

    #[test]
    fn totals_are_the_sums_of_the_lines(records in records()) {
        let Stock { lines, totals, .. } = records.stock();
        let sum = |of: &dyn Fn(&StockLine) -> Option<i64>| -> i64 { lines.iter().filter_map(of).sum() };
        let cash = |l: &StockLine| records.cash(&l.holding.sale);
        for line in &lines {
            prop_assert_eq!(line.holding.cash().map(Money::minor), cash(line));
        }
        prop_assert_eq!(totals.bikes, lines.len());
        prop_assert_eq!(totals.cash.minor(), sum(&cash));
        let long = |l: &StockLine| cash(l).filter(|_| l.holding.days_on_hand > Some(60));
        prop_assert_eq!(totals.cash_long.minor(), sum(&long));
        prop_assert_eq!(totals.asks.minor(), sum(&|l| l.holding.ask.map(Money::minor)));
        prop_assert_eq!(totals.expected.minor(), sum(&|l| l.expected().map(Money::minor)));
        prop_assert_eq!(totals.days, sum(&|l| l.holding.days_on_hand));
        prop_assert_eq!(totals.longest, lines.iter().filter_map(|l| l.holding.days_on_hand).max());
        prop_assert!(totals.long_share().is_none_or(|share| (0.0..=1.0).contains(&share)));
    }

    #[test]
    fn order_of_records_does_not_matter(
        (records, mixed) in records().prop_flat_map(|records| {
            let mixed = (
                Just(records.sales.clone()).prop_shuffle(),
                Just(records.costs.clone()).prop_shuffle(),
                Just(records.asks.clone()).prop_shuffle(),
                Just(records.prospects.clone()),
            );
            let mixed = mixed.prop_map(|(sales, costs, asks, prospects)| Records { sales, costs, asks, prospects });
            (Just(records), mixed)
        }),
    ) {
        prop_assert_eq!(records.stock(), mixed.stock());
    }

    #[test]
    fn days_add_up_and_unknown_is_never_0(records in records()) {
        for line in records.stock().lines {
            let holding = &line.holding;
            prop_assert_eq!(holding.days_listed.is_some(), holding.sale.listed_on.is_some());
            prop_assert!(holding.days_in_workshop.is_none() || holding.sale.bought_on.is_some());
            if let (Some(workshop), Some(all)) = (holding.days_in_workshop, holding.days_on_hand) {
                prop_assert_eq!(workshop + holding.days_listed.unwrap_or(0), all);
            }
            let days = [holding.days_in_workshop, holding.days_listed, holding.days_on_hand];
            prop_assert!(days.into_iter().flatten().all(|days| days >= 0));
        }
    }

    #[test]
    fn the_most_urgent_stands_first(records in records()) {
        let lines = records.stock().lines;
        for pair in lines.windows(2) {
            let (above, below) = (&pair[0], &pair[1]);
            prop_assert!(kind(above) <= kind(below));
            if kind(above) != kind(below) {
                continue;
            }
            let days = |l: &StockLine| l.holding.days_in_workshop;
            match (above.next, below.next) {
                (NextStep::MarkDown { from: a, to: b, .. }, NextStep::MarkDown { from: c, to: d, .. })
                    if kind(above) == 0 =>
                {
                    // (a - b) / a >= (c - d) / c, in whole numbers.
                    let (a, b, c, d) = (a.minor(), b.minor(), c.minor(), d.minor());
                    prop_assert!((a - b) * c >= (c - d) * a);
                }
                (NextStep::MarkDown { on: a, .. }, NextStep::MarkDown { on: b, .. }) if kind(above) == 2 => {
                    prop_assert!(a <= b);
                }
                (NextStep::List { .. } | NextStep::Finish, _) => prop_assert!(days(above) >= days(below)),
                _ => prop_assert!(above.holding.days_listed >= below.holding.days_listed),
            }
        }
    }

    #[test]
    fn steps_keep_to_the_plan(records in records()) {
        for line in records.stock().lines {
            let (holding, plan) = (&line.holding, &line.prospect.asks);
            match line.next {
                NextStep::MarkDown { on, from, to } => {
                    prop_assert!(holding.is_listed() && holding.ask == Some(from) && to < from);
                    prop_assert!(plan.contains(&(on, to)));
                    // Nothing sooner in the plan is below the ask.
                    prop_assert!(plan.iter().all(|(day, ask)| *day >= on || *ask >= from));
                }
                NextStep::List { at } => {
                    prop_assert!(!holding.is_listed() && holding.is_ready());
                    prop_assert_eq!(at, plan.first().map(|step| step.1));
                }
                NextStep::Finish => prop_assert!(!holding.is_listed() && !holding.is_ready()),
                NextStep::TakeApart => prop_assert!(holding.is_only_parts()),
                NextStep::Wait => {
                    prop_assert!(holding.is_listed());
                    let lower = |ask| plan.iter().any(|step| step.1 < ask);
                    prop_assert!(!holding.ask.is_some_and(lower));
                }
            }
        }
    }
}
