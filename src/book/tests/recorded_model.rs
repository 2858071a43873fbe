//! Random series of imports and undoings on different days, against a plain
//! model that keeps a copy of everything at the end of each day.

use super::costs::cost;
use super::gifts::gift;
use super::recorded::may;
use super::*;
use crate::trade::sale::Sold;
use crate::trade::{Cost, Gift, Left, LeftAs, Return};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// What is done, on how many days after the one before.
type Step = (i8, Do);

#[derive(Clone, Debug)]
enum Do {
    Sales(Vec<Sale>),
    Costs(Vec<Cost>, Repeat),
    Gifts(Vec<Gift>, Repeat),
    Returns(Vec<Return>),
    /// Undo the import that is so many before the latest.
    Undo(usize),
}

/// Everything that is in the book, each with the import that wrote it; of
/// records that have an id every state, the latest at the end. In the order in
/// which they came.
#[derive(Clone, Default)]
struct Model {
    sales: BTreeMap<String, Vec<(i64, Sale)>>,
    costs: Vec<(i64, Cost)>,
    gifts: Vec<Vec<(i64, Gift)>>,
    returns: BTreeMap<(String, Day), Vec<(i64, Return)>>,
    undone: Vec<i64>,
    imports: i64,
}

impl Model {
    fn snapshot(&self) -> Recorded {
        let last = |states: &Vec<(i64, Gift)>| states.last().unwrap().1.clone();
        let sales = self.sales.values().map(|s| {
            let mut sale = s.last().unwrap().1.clone();
            let returns = self.returns.values().map(|r| r.last().unwrap().1.clone());
            sale.returns
                .extend(returns.filter(|one| one.bike == sale.id));
            sale
        });
        let mut costs: Vec<Cost> = self.costs.iter().map(|(_, c)| c.clone()).collect();
        let mut gifts: Vec<Gift> = self.gifts.iter().map(last).collect();
        costs.sort_by_key(|cost| cost.on);
        gifts.sort_by_key(|gift| gift.on);
        Recorded {
            sales: sales.collect(),
            costs,
            gifts,
        }
    }

    fn put_sale(&mut self, import: i64, sale: &Sale) -> bool {
        let states = self.sales.entry(sale.id.clone()).or_default();
        let new = states.last().is_none_or(|(_, last)| last != sale);
        if new {
            states.push((import, sale.clone()));
        }
        new
    }

    /// `before`: the costs that were there before the file. The file's third of
    /// a kind is new unless there were three.
    fn put_cost(&mut self, import: i64, cost: &Cost, so_far: usize, before: &[Cost]) -> bool {
        let new = before.iter().filter(|there| *there == cost).count() <= so_far;
        if new {
            self.costs.push((import, cost.clone()));
        }
        new
    }

    fn put_gift(&mut self, import: i64, gift: &Gift, so_far: usize, before: &[Gift]) -> bool {
        if gift.reference.is_some() {
            let like = |s: &&mut Vec<(i64, Gift)>| s[0].1.reference == gift.reference;
            if let Some(states) = self.gifts.iter_mut().find(like) {
                let new = states.last().unwrap().1 != *gift;
                if new {
                    states.push((import, gift.clone()));
                }
                return new;
            }
        } else if before.iter().filter(|there| *there == gift).count() > so_far {
            return false;
        }
        self.gifts.push(vec![(import, gift.clone())]);
        true
    }

    fn put_return(&mut self, import: i64, one: &Return) -> bool {
        let states = self.returns.entry((one.bike.clone(), one.on)).or_default();
        let new = states.last().is_none_or(|(_, last)| last != one);
        if new {
            states.push((import, one.clone()));
        }
        new
    }

    /// Refused when a later import changed one of its records, put costs or returns of a
    /// bike that it added, or returns of a bike whose record it wrote last.
    fn undo(&mut self, import: i64) -> bool {
        let changed = |states: &[i64]| states.contains(&import) && states.last() != Some(&import);
        let writers = |s: &Vec<(i64, Sale)>| s.iter().map(|(n, _)| *n).collect::<Vec<i64>>();
        let givers = |s: &Vec<(i64, Gift)>| s.iter().map(|(n, _)| *n).collect::<Vec<i64>>();
        let named = self.sales.iter().any(|(id, states)| {
            let of = |(n, cost): &(i64, Cost)| *n != import && cost.bike.as_ref() == Some(id);
            writers(states) == [import] && self.costs.iter().any(of)
        });
        let backers = |s: &Vec<(i64, Return)>| s.iter().map(|(n, _)| *n).collect::<Vec<i64>>();
        let back = self.sales.iter().any(|(id, states)| {
            let writers = writers(states);
            let of = |((bike, _), s): (&(String, Day), &Vec<(i64, Return)>)| {
                let put = s.last().unwrap().0;
                bike == id && put != import && (writers == [import] || put > import)
            };
            writers.last() == Some(&import) && self.returns.iter().any(of)
        });
        if self.undone.contains(&import)
            || !(1..=self.imports).contains(&import)
            || self.sales.values().any(|s| changed(&writers(s)))
            || self.gifts.iter().any(|s| changed(&givers(s)))
            || self.returns.values().any(|s| changed(&backers(s)))
            || named
            || back
        {
            return false;
        }
        for states in self.sales.values_mut() {
            states.retain(|(n, _)| *n != import);
        }
        for states in &mut self.gifts {
            states.retain(|(n, _)| *n != import);
        }
        for states in self.returns.values_mut() {
            states.retain(|(n, _)| *n != import);
        }
        self.returns.retain(|_, states| !states.is_empty());
        self.sales.retain(|_, states| !states.is_empty());
        self.gifts.retain(|states| !states.is_empty());
        self.costs.retain(|(n, _)| *n != import);
        self.undone.push(import);
        true
    }
}

/// Puts records into both; how many rows of this kind came before in the file
/// is counted here for both kinds of repeat.
fn put_all<T: PartialEq>(
    rows: &[T],
    repeat: Repeat,
    mut put: impl FnMut(&T, usize) -> bool,
) -> bool {
    let mut any = false;
    for (place, row) in rows.iter().enumerate() {
        let so_far = rows[..place].iter().filter(|other| *other == row).count();
        let so_far = match repeat {
            Repeat::OfAFile => so_far,
            Repeat::OneMore => usize::MAX,
        };
        any |= put(row, so_far);
    }
    any
}

/// Does one step in both; the model follows what an import means, not how the
/// book does it.
fn run(book: &mut Book, model: &mut Model, day: Day, step: &Do) {
    let number = model.imports + 1;
    let before = model.snapshot();
    let (changed, summary) = match step {
        Do::Sales(sales) => {
            let mut import = book.begin_import("sales", "s.csv", day).unwrap();
            let changed = put_all(sales, Repeat::OfAFile, |sale, _| {
                let put = import.put_sale(sale).unwrap();
                put != Put::TwiceInFile && model.put_sale(number, sale)
            });
            (changed, import.commit().unwrap())
        }
        Do::Costs(costs, repeat) => {
            let mut import = book.begin_import("costs", "c.csv", day).unwrap();
            let changed = put_all(costs, *repeat, |cost, so_far| {
                let put = import.put_cost(cost, *repeat);
                if cost
                    .bike
                    .as_ref()
                    .is_some_and(|id| !model.sales.contains_key(id))
                {
                    assert!(matches!(put, Err(BookProblem::NoSuchBike { .. })));
                    return false;
                }
                let new = model.put_cost(number, cost, so_far, &before.costs);
                assert_eq!(put.unwrap() == Put::Added, new);
                new
            });
            (changed, import.commit().unwrap())
        }
        Do::Gifts(gifts, repeat) => {
            let mut import = book.begin_import("gifts", "g.csv", day).unwrap();
            let changed = put_all(gifts, *repeat, |gift, so_far| {
                let put = import.put_gift(gift, *repeat).unwrap();
                put != Put::TwiceInFile && model.put_gift(number, gift, so_far, &before.gifts)
            });
            (changed, import.commit().unwrap())
        }
        Do::Returns(returns) => {
            let mut import = book.begin_import("returns", "r.csv", day).unwrap();
            let mut seen: Vec<(String, Day)> = Vec::new();
            let changed = put_all(returns, Repeat::OfAFile, |one, _| {
                let put = import.put_return(one);
                if !model.sales.contains_key(&one.bike) {
                    assert!(matches!(put, Err(BookProblem::NoSuchBike { .. })));
                    return false;
                }
                let twice = seen.contains(&(one.bike.clone(), one.on));
                assert_eq!(put.unwrap() == Put::TwiceInFile, twice);
                seen.push((one.bike.clone(), one.on));
                !twice && model.put_return(number, one)
            });
            (changed, import.commit().unwrap())
        }
        Do::Undo(back) => {
            let number = model.imports - *back as i64;
            assert_eq!(book.undo(number, day).is_ok(), model.undo(number));
            return;
        }
    };
    assert_eq!(summary.number, changed.then_some(number));
    model.imports += i64::from(changed);
}

fn sales() -> impl Strategy<Value = Vec<Sale>> {
    let one = (0..3_usize, 0..3_i64, any::<bool>()).prop_map(|(id, price, sold)| {
        let mut sale = sale(["B-1", "a", "ü\"'"][id], 9000 + price);
        sale.sold = sale.sold.filter(|_| sold);
        sale.note = sale.note.filter(|_| price > 0);
        sale.guess = sale.guess.filter(|_| price > 1);
        sale.left = (!sold && price > 0).then(|| Left {
            on: may(2),
            how: LeftAs::ALL[price as usize],
            box_value: (price == 2).then(|| Money::from_minor(500)),
            box_item: (price == 2).then(|| "wheels".to_string()),
        });
        sale
    });
    prop::collection::vec(one, 1..4)
}

fn costs() -> impl Strategy<Value = Vec<Cost>> {
    let one = (0..4_usize, 1..3_i8, 0..2_i64, any::<bool>());
    let one = one.prop_map(|(id, day, amount, from_box)| Cost {
        item: (amount > 0).then(|| "a \"chain\"".to_string()),
        from_box: from_box && amount > 0,
        ..cost([None, None, Some("B-1"), Some("a")][id], day, 99 + amount)
    });
    prop::collection::vec(one, 1..6)
}

fn gifts() -> impl Strategy<Value = Vec<Gift>> {
    let one = (1..3_i8, 0..2_i64, 0..4_usize);
    let one = one.prop_map(|(day, amount, reference)| {
        let reference = [None, None, Some("T-1"), Some("T-2")][reference];
        gift(day, 99 + amount, reference)
    });
    prop::collection::vec(one, 1..4)
}

fn returns() -> impl Strategy<Value = Vec<Return>> {
    let one = (0..4_usize, 1..3_i8, 0..2_i64, any::<bool>());
    let one = one.prop_map(|(id, day, refund, back)| Return {
        bike: ["B-1", "a", "ü\"'", "B-1"][id].to_string(),
        on: may(day),
        refund: Money::from_minor(refund),
        back: back.then(|| Sold {
            on: may(1),
            price: Money::from_minor(9000),
        }),
    });
    prop::collection::vec(one, 1..4)
}

fn step() -> impl Strategy<Value = Step> {
    let repeat = || prop::sample::select(vec![Repeat::OfAFile, Repeat::OfAFile, Repeat::OneMore]);
    let what = prop_oneof![
        3 => sales().prop_map(Do::Sales),
        4 => (costs(), repeat()).prop_map(|(rows, repeat)| Do::Costs(rows, repeat)),
        3 => (gifts(), repeat()).prop_map(|(rows, repeat)| Do::Gifts(rows, repeat)),
        3 => returns().prop_map(Do::Returns),
        5 => (0..4_usize).prop_map(Do::Undo),
    ];
    (0..3_i8, what)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn every_day_is_told_as_it_ended(steps in prop::collection::vec(step(), 1..14)) {
        let (_folder, mut book) = new_book();
        let mut model = Model::default();
        let mut day = 1;
        let mut ends = vec![Recorded::default()];
        for (after, step) in &steps {
            for _ in 0..*after {
                ends.push(model.snapshot());
            }
            day += after;
            run(&mut book, &mut model, may(day), step);
        }
        ends.extend([model.snapshot(), model.snapshot()]);
        // `ends` begins with the day before the first step.
        for (day, end) in (0..).zip(&ends) {
            let day = may(1).saturating_add(jiff::Span::new().days(day - 1));
            prop_assert_eq!(&book.recorded_by(day).unwrap(), end, "{}", day);
        }
        let now = Recorded {
            sales: book.sales().unwrap(),
            costs: book.costs().unwrap(),
            gifts: book.gifts().unwrap(),
        };
        prop_assert_eq!(Some(&now), ends.last());
        prop_assert_eq!(book.check(), Vec::<String>::new());
    }
}
