//! A quarter's report as JSON: money as numbers in the book's currency.

use super::audience::Audience;
use super::caution_words;
use super::words;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::figures::{
    self, Balance, Correction, GiftLine, LeftLine, ReturnLine, SaleLine,
};
use crate::report::text::coded::CodedText;
use crate::trade::{Cost, Currency, Money};
use serde::Serialize;
use serde_json::Number;

#[derive(Serialize)]
struct Answer {
    quarter: String,
    from: String,
    to: String,
    currency: String,
    rule: Rule,
    sales: Vec<Sale>,
    returns: Vec<Back>,
    #[serde(skip_serializing_if = "Option::is_none")]
    left: Option<Vec<Gone>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    workshop_costs: Option<f64>,
    brought_forward: f64,
    due: f64,
    carried_forward: f64,
    gifts: Vec<Gift>,
    opening: f64,
    given: f64,
    closing: f64,
    beneficiaries: Vec<Owed>,
    means: Vec<Meant>,
    as_of: String,
    closed_on: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    from_box: Option<Vec<Boxed>>,
    corrections: Vec<Corrected>,
    cautions: Vec<CodedText>,
}

#[derive(Serialize)]
struct Rule {
    give: &'static str,
    share: Number,
}

#[derive(Serialize)]
struct Sale {
    bike: String,
    sold_on: String,
    sold_price: f64,
    #[serde(flatten)]
    private: Option<Private>,
    /// Null where it would tell a margin that the reader does not see.
    due: Option<f64>,
}

#[derive(Serialize)]
struct Private {
    direct_cost: f64,
    margin: f64,
    hours: Option<Number>,
}

#[derive(Serialize)]
struct Back {
    bike: String,
    on: String,
    refund: f64,
    sold_on: Option<String>,
    came_back: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    cost_back: Option<f64>,
}

#[derive(Serialize)]
struct Gone {
    bike: String,
    left_on: String,
    left_as: &'static str,
    direct_cost: f64,
    /// What of it is in `workshop_costs`.
    counted: f64,
    box_value: Option<f64>,
    box_item: Option<String>,
}

#[derive(Serialize)]
struct Gift {
    on: String,
    beneficiary: String,
    amount: f64,
    reference: Option<String>,
    /// The closed quarter that it would belong to by its day.
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<String>,
}

#[derive(Serialize)]
struct Owed {
    name: String,
    opening: f64,
    due: f64,
    given: f64,
    closing: f64,
}

/// What the money handed over to somebody does, by their own figure.
#[derive(Serialize)]
struct Meant {
    beneficiary: String,
    on: String,
    unit: String,
    units: String,
    amount: f64,
    given: f64,
    count: i64,
}

#[derive(Serialize)]
struct Boxed {
    bike: Option<String>,
    on: String,
    kind: &'static str,
    item: Option<String>,
    amount: f64,
}

#[derive(Serialize)]
struct Corrected {
    of: String,
    bike: Option<String>,
    what: String,
    amount: Option<f64>,
}

/// The report as pretty-printed JSON with a line end. For the beneficiary,
/// fields that tell of costs, hours and margins are left out.
///
/// # Errors
/// None in practice: every number is finite.
pub fn render(
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Result<String, serde_json::Error> {
    let units = |money: Money| currency.units(money);
    let open = audience.sees_costs();
    let told = |change: &Correction| corrected(change, report, audience, currency);
    let answer = Answer {
        quarter: report.quarter.to_string(),
        from: report.from.to_string(),
        to: report.to.to_string(),
        currency: currency.code().to_string(),
        rule: Rule {
            give: report.giving.give.word(),
            share: hundredths(i64::from(report.giving.share)).unwrap_or_else(|| 0.into()),
        },
        sales: sales(report, audience, currency),
        returns: returns(report, audience, currency),
        left: open.then(|| left(report, currency)),
        workshop_costs: open.then(|| units(report.workshop_costs)),
        brought_forward: units(report.brought_forward),
        due: units(report.due),
        carried_forward: units(report.carried_forward),
        gifts: report.gifts.iter().map(|g| gift(g, currency)).collect(),
        opening: units(report.opening),
        given: units(report.given),
        closing: units(report.closing),
        beneficiaries: balances(report, currency),
        means: report.meant.iter().map(|m| meant(m, currency)).collect(),
        as_of: report.as_of.to_string(),
        closed_on: report.closed_on.map(|day| day.to_string()),
        from_box: open.then(|| report.from_box.iter().map(|c| boxed(c, currency)).collect()),
        corrections: report.corrections.iter().filter_map(told).collect(),
        cautions: audience
            .cautions(report)
            .map(|caution| CodedText {
                code: caution_words::code(caution),
                text: caution_words::words(caution, currency),
            })
            .collect(),
    };
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}

fn sales(report: &QuarterReport, audience: Audience, currency: &Currency) -> Vec<Sale> {
    let sale = |line: &SaleLine| Sale {
        bike: line.id.clone(),
        sold_on: line.sold_on.to_string(),
        sold_price: currency.units(line.sold_price),
        private: audience.sees_costs().then(|| Private {
            direct_cost: currency.units(line.direct_cost),
            margin: currency.units(line.margin),
            hours: line.hours.and_then(hundredths),
        }),
        due: audience.sees_dues(report).then(|| currency.units(line.due)),
    };
    report.sales.iter().map(sale).collect()
}

fn returns(report: &QuarterReport, audience: Audience, currency: &Currency) -> Vec<Back> {
    let back = |line: &ReturnLine| Back {
        bike: line.id.clone(),
        on: line.on.to_string(),
        refund: currency.units(line.refund),
        sold_on: line.sold_on.map(|day| day.to_string()),
        came_back: line.came_back,
        cost_back: audience
            .sees_costs()
            .then(|| currency.units(line.cost_back)),
    };
    report.returns.iter().map(back).collect()
}

fn left(report: &QuarterReport, currency: &Currency) -> Vec<Gone> {
    let gone = |line: &LeftLine| Gone {
        bike: line.id.clone(),
        left_on: line.left.on.to_string(),
        left_as: line.left.how.word(),
        direct_cost: currency.units(line.direct_cost),
        counted: currency.units(line.counts()),
        box_value: line.left.box_value.map(|worth| currency.units(worth)),
        box_item: line.left.box_item.clone(),
    };
    report.left.iter().map(gone).collect()
}

fn gift(line: &GiftLine, currency: &Currency) -> Gift {
    Gift {
        on: line.gift.on.to_string(),
        beneficiary: line.gift.beneficiary.clone(),
        amount: currency.units(line.amount),
        reference: line.gift.reference.clone(),
        of: line.of_closed.map(|quarter| quarter.to_string()),
    }
}

fn balances(report: &QuarterReport, currency: &Currency) -> Vec<Owed> {
    let owed = |one: &Balance| Owed {
        name: one.name.clone(),
        opening: currency.units(one.opening),
        due: currency.units(one.due),
        given: currency.units(one.given),
        closing: currency.units(one.closing),
    };
    report.beneficiaries.iter().map(owed).collect()
}

fn meant(meant: &figures::Meant, currency: &Currency) -> Meant {
    let figure = &meant.means;
    Meant {
        beneficiary: figure.beneficiary.clone(),
        on: figure.on.to_string(),
        unit: figure.unit.clone(),
        units: figure.units.clone(),
        amount: currency.units(figure.amount),
        given: currency.units(meant.given),
        count: meant.count,
    }
}

fn boxed(cost: &Cost, currency: &Currency) -> Boxed {
    Boxed {
        bike: cost.bike.clone(),
        on: cost.on.to_string(),
        kind: cost.kind.word(),
        item: cost.item.clone(),
        amount: currency.units(cost.amount),
    }
}

/// `None` where the reader is told nothing of it.
fn corrected(
    change: &Correction,
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Option<Corrected> {
    Some(Corrected {
        of: change.of.to_string(),
        bike: change.bike.clone(),
        what: words::told_correction(change, audience, currency)?,
        amount: audience
            .sees_dues(report)
            .then(|| currency.units(change.amount)),
    })
}

/// Hundredths as a number, whole where they are: `100`, `33.33`.
fn hundredths(count: i64) -> Option<Number> {
    if count % 100 == 0 {
        Some((count / 100).into())
    } else {
        Number::from_f64(count as f64 / 100.0)
    }
}
