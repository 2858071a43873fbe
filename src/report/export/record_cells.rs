//! A record as the cells of its row in a file, in the order of the columns that
//! files of its kind have. What is written here is read back as the same record.

use crate::intake::InspectionRow;
use crate::trade::inspection::{Finding, Inspection, items};
use crate::trade::{
    AskChange, Bike, Comparable, Condition, Cost, Currency, Day, Gift, KeptOffer, Money, Return,
    Sale, SeatTube, Tier,
};
use std::collections::HashMap;

/// Columns of `sales.csv`.
pub fn sale(sale: &Sale, currency: &Currency) -> Vec<String> {
    let mut cells = vec![sale.id.clone()];
    cells.extend(bike(&sale.bike, currency));
    cells.extend([
        day(sale.bought_on),
        day(sale.listed_on),
        money(sale.ask, currency),
        day(sale.sold.map(|sold| sold.on)),
        money(sale.sold.map(|sold| sold.price), currency),
        money(sale.purchase, currency),
        money(sale.parts, currency),
        money(sale.fees, currency),
        money(sale.other_cost, currency),
        sale.hours.map_or(String::new(), hours),
        text(sale.note.as_deref()),
        money(sale.guess, currency),
    ]);
    let left = sale.left.as_ref();
    cells.extend([
        day(left.map(|left| left.on)),
        left.map_or(String::new(), |left| left.how.to_string()),
        money(left.and_then(|left| left.box_value), currency),
        text(left.and_then(|left| left.box_item.as_deref())),
    ]);
    cells
}

/// Columns of `returns.csv`.
pub fn back(one: &Return, currency: &Currency) -> Vec<String> {
    vec![
        one.bike.clone(),
        one.on.to_string(),
        amount(one.refund, currency),
        day(one.back.map(|sold| sold.on)),
        money(one.back.map(|sold| sold.price), currency),
    ]
}

/// Columns of `offers.csv`.
pub fn offer(offer: &KeptOffer, currency: &Currency) -> Vec<String> {
    let jobs = offer.jobs.iter().map(|job| job.replace(';', ";;"));
    let mut cells = vec![
        offer.bike.clone(),
        offer.on.to_string(),
        money(offer.asking, currency),
        amount(offer.margin, currency),
        amount(offer.most_mean, currency),
        amount(offer.most_cautious, currency),
        jobs.collect::<Vec<_>>().join("; "),
        amount(offer.cost, currency),
        hours(offer.hours),
        amount(offer.fees, currency),
        amount(offer.price, currency),
        decimal(offer.days, 10),
        grade(offer.condition.map(Condition::grade)),
        grade(offer.tier.map(Tier::grade)),
    ];
    let found = offer.found.as_ref().map(|found| bike(found, currency));
    cells.extend(found.unwrap_or_default());
    cells
}

/// Columns of `comps.csv`.
pub fn comp(comp: &Comparable, currency: &Currency) -> Vec<String> {
    let mut cells = vec![comp.listing.clone(), comp.source.clone()];
    cells.extend(bike(&comp.bike, currency));
    cells.extend([
        day(comp.listed_on),
        day(comp.first_seen),
        day(comp.last_seen),
        amount(comp.ask, currency),
        money(comp.last_ask, currency),
        comp.outcome.to_string(),
        day(comp.ended_on),
        money(comp.sold_price, currency),
    ]);
    cells
}

/// Columns of `asks.csv`.
pub fn ask(change: &AskChange, currency: &Currency) -> Vec<String> {
    vec![
        change.bike.clone(),
        change.on.to_string(),
        amount(change.ask, currency),
    ]
}

/// Columns of `costs.csv`.
pub fn cost(cost: &Cost, currency: &Currency) -> Vec<String> {
    vec![
        text(cost.bike.as_deref()),
        cost.on.to_string(),
        cost.kind.to_string(),
        text(cost.item.as_deref()),
        amount(cost.amount, currency),
        if cost.from_box { "yes" } else { "" }.to_string(),
    ]
}

/// Columns of `gifts.csv`.
pub fn gift(gift: &Gift, currency: &Currency) -> Vec<String> {
    vec![
        gift.on.to_string(),
        gift.beneficiary.clone(),
        amount(gift.amount, currency),
        text(gift.reference.as_deref()),
    ]
}

/// Columns of `inspections.csv`.
pub fn inspection_row(row: &InspectionRow, _: &Currency) -> Vec<String> {
    let finding = &row.finding;
    let result = row.item.as_check().map(|_| finding.result.to_string());
    let measure = finding.measure.as_ref().map(ToString::to_string);
    let number = (row.number > 1).then(|| row.number.to_string());
    vec![
        row.bike.clone(),
        row.on.to_string(),
        row.item.name.to_string(),
        result.unwrap_or_default(),
        measure.unwrap_or_default(),
        text(finding.note.as_deref()),
        number.unwrap_or_default(),
    ]
}

/// The rows of an inspection, the `number`-th of its bike and day, in the order of
/// the walk round the bike.
pub fn inspection_rows(inspection: &Inspection, number: u32) -> Vec<InspectionRow> {
    let said: HashMap<&str, &Finding> = inspection.sheet.said().collect();
    let rows = items().filter_map(|item| {
        Some(InspectionRow {
            bike: inspection.bike.clone(),
            on: inspection.on,
            item,
            finding: (*said.get(item.name)?).clone(),
            number,
        })
    });
    rows.collect()
}

/// Hours that are kept in hundredths: `4.5`, `2.25`, `3`.
pub fn hours(hundredths: i64) -> String {
    decimal(hundredths, 100)
}

fn bike(bike: &Bike, currency: &Currency) -> [String; 6] {
    [
        bike.style.to_string(),
        bike.made.map_or(String::new(), |year| year.to_string()),
        grade(bike.condition.map(Condition::grade)),
        grade(bike.tier.map(Tier::grade)),
        bike.seat_tube.map_or(String::new(), tube),
        money(bike.new_price, currency),
    ]
}

fn grade(grade: Option<u8>) -> String {
    grade.map_or(String::new(), |grade| grade.to_string())
}

/// A length with its unit (a bare number of centimetres below 30 would be inches), a
/// class by its word.
fn tube(tube: SeatTube) -> String {
    match tube {
        SeatTube::Class(class) => class.to_string(),
        SeatTube::Length(_) => {
            let length = tube.tenths().map(|tenths| decimal(tenths, 100));
            format!("{}cm", length.unwrap_or_default())
        }
    }
}

/// `amount / scale` without trailing zeros.
fn decimal(amount: i64, scale: i64) -> String {
    let (whole, part) = (amount / scale, amount % scale);
    if part == 0 {
        return whole.to_string();
    }
    let width = scale.ilog10() as usize;
    let text = format!("{whole}.{part:0width$}");
    text.trim_end_matches('0').to_string()
}

/// An amount that reads one way whatever the sign before decimals is taken to be: three
/// decimals alone might be thousands, so a zero stands behind them.
fn amount(money: Money, currency: &Currency) -> String {
    let mut plain = currency.plain(money);
    if currency.decimals() == 3 {
        plain.push('0');
    }
    plain
}

fn money(money: Option<Money>, currency: &Currency) -> String {
    money.map_or(String::new(), |money| amount(money, currency))
}

fn day(day: Option<Day>) -> String {
    day.map_or(String::new(), |day| day.to_string())
}

fn text(text: Option<&str>) -> String {
    text.unwrap_or_default().to_string()
}
