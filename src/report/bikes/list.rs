//! All own bikes, a line each.

use crate::accounts::life::{Life, Stage};
use crate::report::text::amounts::exact;
use crate::report::text::counts::many;
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::cut;
use crate::trade::{Bike, Currency, Day};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Longest id and longest description of a bike that are shown whole.
const LONGEST: (usize, usize) = (12, 26);

/// The table, at most 80 columns wide for ids that are shown whole.
pub fn text(lives: &[Life], as_of: Day, currency: &Currency) -> String {
    let mut out = String::new();
    if lives.is_empty() {
        return "No bike to show. Bikes come in with 'wheelworth import sales FILE' or 'wheelworth \
                record sale'.\n"
            .into();
    }
    let _ = writeln!(
        out,
        "{} on {as_of}; money in {currency}\n",
        many(lives.len(), "bike")
    );
    let mut table = Table::new([
        Column::left(4).fitted().after(""),
        Column::left(12).fitted().after("  "),
        Column::left(19).after("  "),
        Column::right(8).fitted(),
        Column::right(9).fitted(),
    ]);
    table.row(["bike", "", "", "price", "left over"]);
    for life in lives {
        let money = |money| exact(money, currency);
        let price = match life.sale.sold {
            Some(sold) => Some(sold.price),
            None => life.ask.filter(|_| life.stage == Stage::Listed),
        };
        table.row([
            cut(&life.sale.id, LONGEST.0),
            cut(&briefly(&life.sale.bike), LONGEST.1),
            state(life),
            price.map_or(String::new(), money),
            life.margin().map_or(String::new(), money),
        ]);
    }
    table.write(&mut out);
    let _ = writeln!(
        out,
        "\nThe price is what was paid or is asked. All of one bike: wheelworth show ID"
    );
    out
}

/// The same for programs.
pub fn json(lives: &[Life], currency: &Currency) -> Value {
    let units = |money| currency.units(money);
    let line = |life: &Life| {
        json!({
            "bike": life.sale.id, "style": life.sale.bike.style.word(),
            "made": life.sale.bike.made, "state": life.stage.word(),
            "left_as": life.sale.left.as_ref().map(|left| left.how.word()),
            "since": life.since.map(|day| day.to_string()),
            "ask": life.ask.map(units),
            "sold_price": life.sale.sold.map(|sold| units(sold.price)),
            "direct_cost": life.cost.known().map(units),
            "margin": life.margin().map(units),
        })
    };
    lives.iter().map(line).collect()
}

/// `sold 2026-04-11`, `given 2026-04-11`, `listed 2026-03-01`, `in the workshop`.
pub(super) fn state(life: &Life) -> String {
    match (life.stage, life.since) {
        (Stage::Workshop, _) => "in the workshop".into(),
        (Stage::Left, Some(day)) => {
            let how = life
                .sale
                .left
                .as_ref()
                .map_or("left", |left| left.how.word());
            format!("{how} {day}")
        }
        (stage, Some(day)) => format!("{} {day}", stage.word()),
        (stage, None) => stage.word().into(),
    }
}

/// `hybrid 2016, tidy`.
fn briefly(bike: &Bike) -> String {
    let made = bike.made.map_or(String::new(), |years| format!(" {years}"));
    let condition = bike.condition;
    let condition = condition.map_or(String::new(), |grade| format!(", {grade}"));
    format!("{}{made}{condition}", bike.style)
}
