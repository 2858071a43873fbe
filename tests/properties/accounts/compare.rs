//! A report against the second opinion, field by field.

use super::oracle::{LeftTold, ReturnTold, Told, minor};
use super::plain::{Kind, name_of, quarter_of};
use proptest::prelude::*;
use wheelworth::accounts::quarter::figures::{Counted, What};
use wheelworth::accounts::{QuarterCaution, QuarterReport};
use wheelworth::trade::Money;

type Checked = Result<(), TestCaseError>;

fn pair(counted: Option<Counted>) -> Option<(i128, i128)> {
    counted.map(|counted| (minor(counted.price), minor(counted.cost)))
}

/// A workshop always has costs, if only of 0; a bike is sold or not.
fn or_nothing(pair: Option<(i128, i128)>, bike: &Option<String>) -> Option<(i128, i128)> {
    pair.or(bike.is_none().then_some((0, 0)))
}

/// `told`: of this quarter, the last of them.
pub fn same(report: &QuarterReport, told: &[Told], minor_per_unit: i64) -> Checked {
    let Some((told, earlier)) = told.split_last() else {
        return all_zeros(report);
    };
    prop_assert_eq!(report.quarter.to_string(), name_of(told.quarter));
    let starts = report.giving.year_starts;
    let (from, to) = (report.from, report.to);
    prop_assert_eq!(quarter_of(from, starts), told.quarter);
    prop_assert_eq!(
        quarter_of(from.yesterday().unwrap(), starts) + 1,
        told.quarter
    );
    prop_assert_eq!(quarter_of(to, starts), told.quarter);
    prop_assert_eq!(quarter_of(to.tomorrow().unwrap(), starts) - 1, told.quarter);
    let lines = report.sales.iter().map(|line| {
        let figures = [line.sold_price, line.direct_cost, line.margin, line.due];
        (line.id.clone(), line.sold_on, figures.map(minor))
    });
    let expected = told.sales.iter().map(|line| {
        let (price, cost) = (line.price, line.cost.total);
        (
            line.id.clone(),
            line.on,
            [price, cost, price - cost, line.due],
        )
    });
    prop_assert_eq!(Vec::from_iter(lines), Vec::from_iter(expected));
    afterwards(report, told)?;
    prop_assert_eq!(&report.workshop, &told.workshop);
    prop_assert_eq!(minor(report.workshop_costs), told.workshop_costs);
    prop_assert_eq!(&report.from_box, &told.from_box);
    let corrections = report.corrections.iter().map(|one| {
        let of = one.of.to_string();
        let counted = [one.before, one.after].map(|counted| or_nothing(pair(counted), &one.bike));
        (
            of,
            one.bike.clone(),
            kind(one.what),
            counted,
            minor(one.amount),
        )
    });
    let expected = told.corrections.iter().map(|one| {
        let of = name_of(one.of);
        let counted = [one.before, one.after].map(|counted| or_nothing(counted, &one.bike));
        (of, one.bike.clone(), one.kind, counted, one.amount)
    });
    prop_assert_eq!(Vec::from_iter(corrections), Vec::from_iter(expected));
    let gifts = report.gifts.iter().map(|line| {
        let of_closed = line.of_closed.map(|of| of.to_string());
        (line.gift.clone(), minor(line.amount), of_closed)
    });
    let expected = told.gifts.iter().map(|line| {
        let of_closed = line.of_closed.map(name_of);
        (line.gift.clone(), line.counts(), of_closed)
    });
    prop_assert_eq!(in_one_order(gifts), in_one_order(expected));
    let figures = [
        report.brought_forward,
        report.ended,
        report.due,
        report.carried_forward,
        report.opening,
        report.given,
        report.closing,
    ];
    let expected = [
        told.brought,
        told.ended,
        told.due,
        told.carried,
        told.opening,
        told.given,
        told.closing,
    ];
    prop_assert_eq!(figures.map(minor), expected);
    let people = report.beneficiaries.iter().map(|one| {
        let figures = [one.opening, one.due, one.given, one.closing];
        (one.name.clone(), figures.map(minor))
    });
    prop_assert_eq!(&Vec::from_iter(people), &told.people);
    course(report, told, earlier)?;
    cautions(report, told, minor_per_unit)
}

fn kind(what: What) -> Kind {
    match what {
        What::Sale => Kind::Sale,
        What::Back => Kind::Back,
        What::Refund => Kind::Refund,
        What::Leave => Kind::Leave,
    }
}

/// What came back, and what left without a sale.
fn afterwards(report: &QuarterReport, told: &Told) -> Checked {
    let returns = report.returns.iter().map(|line| ReturnTold {
        id: line.id.clone(),
        on: line.on,
        came_back: line.came_back,
        sold_on: line.sold_on,
        refund: minor(line.refund),
        cost_back: minor(line.cost_back),
    });
    prop_assert_eq!(&Vec::from_iter(returns), &told.returns);
    let left = report.left.iter().map(|line| LeftTold {
        id: line.id.clone(),
        on: line.left.on,
        cost: minor(line.direct_cost),
        counts: minor(line.counts()),
    });
    prop_assert_eq!(&Vec::from_iter(left), &told.left);
    Ok(())
}

type GiftSeen = (wheelworth::trade::Gift, i128, Option<String>);

/// Gifts of the quarter itself as they stand, then those of closed quarters by
/// all that they say: of one day, their order is not laid down.
fn in_one_order(gifts: impl Iterator<Item = GiftSeen>) -> (Vec<GiftSeen>, Vec<String>) {
    let (of_closed, own): (Vec<_>, Vec<_>) = gifts.partition(|(.., of)| of.is_some());
    let mut of_closed: Vec<String> = of_closed.iter().map(|one| format!("{one:?}")).collect();
    of_closed.sort();
    (own, of_closed)
}

/// A quarter before the first record.
fn all_zeros(report: &QuarterReport) -> Checked {
    let mut figures = vec![
        report.workshop_costs,
        report.brought_forward,
        report.ended,
        report.due,
        report.carried_forward,
        report.opening,
        report.given,
        report.closing,
    ];
    for one in &report.beneficiaries {
        figures.extend([one.opening, one.due, one.given, one.closing]);
    }
    prop_assert!(figures.iter().all(|figure| *figure == Money::ZERO));
    let names = report.beneficiaries.iter().map(|one| &one.name);
    let named = report.giving.beneficiaries.iter().map(|who| &who.name);
    prop_assert_eq!(Vec::from_iter(names), Vec::from_iter(named));
    prop_assert!(report.sales.is_empty() && report.workshop.is_empty());
    prop_assert!(report.returns.is_empty() && report.left.is_empty());
    prop_assert!(report.from_box.is_empty() && report.gifts.is_empty());
    prop_assert!(report.corrections.is_empty() && report.course.is_empty());
    Ok(())
}

/// Every quarter from the first with a record, each with its sums.
fn course(report: &QuarterReport, told: &Told, earlier: &[Told]) -> Checked {
    let mut so_far = 0;
    let mut expected = Vec::new();
    for one in earlier.iter().chain([told]) {
        so_far += one.given;
        let figures = [one.due, one.given, so_far, one.closing];
        // Bikes of closed quarters that were recorded or taken out afterwards count.
        let of_bikes = one.corrections.iter().filter(|c| c.bike.is_some());
        let late = of_bikes.map(|c| {
            let more = match (&c.before, &c.after) {
                (None, Some(_)) => 1,
                (Some(_), None) => -1,
                _ => 0,
            };
            match c.kind {
                Kind::Sale => more,
                Kind::Back => -more,
                Kind::Refund | Kind::Leave => 0,
            }
        });
        let back = one.returns.iter().filter(|line| line.came_back).count();
        let sold = one.sales.len() as i64 - back as i64 + late.sum::<i64>();
        expected.push((name_of(one.quarter), sold, figures));
    }
    let course = report.course.iter().map(|line| {
        let figures = [line.due, line.given, line.given_so_far, line.closing];
        (line.quarter.to_string(), line.sold, figures.map(minor))
    });
    prop_assert_eq!(Vec::from_iter(course), expected);
    Ok(())
}

/// The doubts that the rules ask for, whatever their order.
fn cautions(report: &QuarterReport, told: &Told, minor_per_unit: i64) -> Checked {
    let mut expected = vec![QuarterCaution::NotAdvice];
    if report.as_of < report.to {
        expected.push(if report.as_of < report.from {
            QuarterCaution::NotBegun { from: report.from }
        } else {
            QuarterCaution::NotOver { to: report.to }
        });
    }
    let named = &report.giving.beneficiaries;
    if named.is_empty() {
        expected.push(QuarterCaution::NobodyNamed);
    }
    let bikes_without = |known: &dyn Fn(usize) -> bool| -> Vec<String> {
        let lines = told.sales.iter().enumerate();
        let without = lines.filter(|(place, _)| !known(*place));
        // A bike that was sold twice is named once, by its last sale.
        let last =
            |place: usize, id: &str| !told.sales[place + 1..].iter().any(|later| later.id == *id);
        without
            .filter(|(place, line)| last(*place, &line.id))
            .map(|(_, line)| line.id.clone())
            .collect()
    };
    let bikes = bikes_without(&|place| told.sales[place].in_all.purchase_known);
    if !bikes.is_empty() {
        expected.push(QuarterCaution::NoPurchase { bikes });
    }
    let bikes = bikes_without(&|place| report.sales[place].hours.is_some());
    if !bikes.is_empty() {
        expected.push(QuarterCaution::NoHours { bikes });
    }
    if !told.sales.is_empty() {
        // The cases hold no inspection; who is named is checked by hand.
        expected.push(QuarterCaution::NoInspections);
    }
    for (place, line) in told.sales.iter().enumerate() {
        if told.sales[place + 1..]
            .iter()
            .any(|later| later.id == line.id)
        {
            continue;
        }
        for (column, said, counted) in &line.in_all.replaced {
            expected.push(QuarterCaution::Replaced {
                bike: line.id.clone(),
                column,
                said: Money::from_minor(i64::try_from(*said).unwrap()),
                counted: Money::from_minor(i64::try_from(*counted).unwrap()),
            });
        }
    }
    if told.carried > 0 {
        let amount = report.carried_forward;
        expected.push(QuarterCaution::Shortfall { amount });
    }
    if told.ended > 0 {
        let amount = report.ended;
        expected.push(QuarterCaution::ShortfallEnded { amount });
    }
    let ahead = |who: Option<&String>, closing: i128| {
        (closing < 0).then(|| QuarterCaution::GivenAhead {
            beneficiary: who.cloned(),
            by: Money::from_minor(i64::try_from(-closing).unwrap()),
        })
    };
    let nobody = report.giving.beneficiaries.is_empty();
    if told.people.len() > 1 && !nobody {
        for (name, [.., closing]) in &told.people {
            expected.extend(ahead(Some(name), *closing));
        }
    } else {
        expected.extend(ahead(None, told.closing));
    }
    for line in &told.gifts {
        let large = minor_per_unit > 1 && line.counts() >= 250 * i128::from(minor_per_unit);
        if large {
            let gift = line.gift.clone();
            expected.push(QuarterCaution::LargeGift { gift });
        }
    }
    let told_elsewhere = |caution: &&QuarterCaution| {
        // In which order and how they are named is checked by hand.
        !matches!(
            caution,
            QuarterCaution::Corrected { .. }
                | QuarterCaution::NotNamed { .. }
                | QuarterCaution::OtherShare { .. }
        )
    };
    let mut expected: Vec<String> = expected.iter().map(|one| format!("{one:?}")).collect();
    let found = report.cautions.iter().filter(told_elsewhere);
    let mut found: Vec<String> = found.map(|one| format!("{one:?}")).collect();
    expected.sort();
    found.sort();
    prop_assert_eq!(found, expected);
    let mut corrected = report.cautions.iter();
    let corrected = corrected.any(|one| matches!(one, QuarterCaution::Corrected { .. }));
    let of_closed = told.gifts.iter().any(|line| line.of_closed.is_some());
    prop_assert_eq!(corrected, of_closed || !told.corrections.is_empty());
    Ok(())
}
