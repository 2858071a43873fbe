//! The rules as JSON.

use crate::book::KeptRule;
use crate::trade::{Currency, Day, Giving, Means, Rules};
use serde_json::{Value, json};

/// `kept`: the changes as they were made, for the days on which that was.
pub fn of(
    rules: &Rules,
    kept: &[KeptRule],
    means: &[Means],
    as_of: Day,
    currency: &Currency,
) -> Value {
    let now = rules.on(as_of);
    let first = one(rules.first(), None, None, rules.first() == now);
    let changes = rules.changes().iter().map(|change| {
        let made = kept
            .iter()
            .rev()
            .find(|kept| kept.change.from == change.from);
        let made_on = made.map(|kept| kept.made_on);
        let in_force = std::ptr::eq(now, &raw const change.giving);
        one(&change.giving, Some(change.from), made_on, in_force)
    });
    json!({
        "as_of": as_of.to_string(), "currency": currency.code(),
        "year_starts": rules.year_starts(),
        "rules": std::iter::once(first).chain(changes).collect::<Vec<_>>(),
        "means": means.iter().map(|one| json!({
            "beneficiary": one.beneficiary, "on": one.on.to_string(), "unit": one.unit,
            "units": one.units, "amount": currency.units(one.amount),
        })).collect::<Vec<_>>(),
    })
}

fn one(giving: &Giving, from: Option<Day>, made_on: Option<Day>, in_force: bool) -> Value {
    let share = i64::from(giving.share);
    let percent: Value = match share % 100 {
        0 => (share / 100).into(),
        _ => (share as f64 / 100.0).into(),
    };
    let day = |day: Option<Day>| day.map(|day| day.to_string());
    json!({
        "from": day(from), "made_on": day(made_on), "in_force": in_force,
        "give": giving.give.word(), "share": percent,
        "beneficiaries": giving.beneficiaries.iter().map(|who| json!({
            "name": who.name, "weight": who.weight,
        })).collect::<Vec<_>>(),
    })
}
