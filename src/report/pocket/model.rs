//! The models and what stands beside them, as the page takes them: JSON.

use crate::accounts::usual_cost::UsualCost;
use crate::pricing::pocket::{PocketPlan, PocketValue};
use crate::pricing::quote::caution::QuoteCaution;
use crate::report::quote::caution_words;
use crate::trade::{Currency, Money};
use serde_json::{Value, json};

/// All that a page holds of a book.
pub struct Pocket<'a> {
    /// The value model.
    pub value: &'a PocketValue,
    /// What plans bring; `None` where no plan can be made.
    pub plan: Option<&'a PocketPlan>,
    /// The book's currency.
    pub currency: Currency,
    /// The sign before decimals that the book was told: `point` or `comma`.
    pub decimal: Option<&'static str>,
    /// Own sales used.
    pub own_sales: usize,
    /// Comps used.
    pub comps: usize,
    /// The margin that is wanted, where it was given.
    pub margin: Option<Money>,
    /// What repairs usually cost here.
    pub repairs: &'a [UsualCost],
    /// Doubts about the book as a whole.
    pub doubts: &'a [QuoteCaution],
    /// Quantile of the sale that counts for cautious.
    pub quantile: f64,
    /// What earlier offers teach: added to the most to pay, a part of the expected sale.
    pub applied: f64,
}

/// Days after which the page says that it is old.
const OLD_AFTER_DAYS: u32 = 60;

/// Digits of a number of the models: far more than the 0.5 % that a page may be off.
const DIGITS: usize = 8;

impl Pocket<'_> {
    /// The JSON, with nothing in it that would end a script.
    pub(super) fn json(&self) -> String {
        let value = json!(self.value);
        let mut plan = json!(self.plan);
        if self.plan.is_some() {
            plan["quantile"] = json!(self.quantile);
            plan["applied"] = json!(self.applied);
        }
        let units = |money: Money| self.currency.units(money);
        let says = self.doubts.iter();
        let says = says.map(|doubt| caution_words::words(doubt, &self.currency));
        let repairs = self.repairs.iter();
        let repairs = repairs.map(|one| json!({"job": one.job, "cost": units(one.cost)}));
        let mut whole = json!({
            "made_on": self.value.as_of,
            "currency": {
                "code": self.currency.code(),
                "decimals": self.currency.decimals(),
                "decimal": self.decimal,
            },
            "rests_on": {"own_sales": self.own_sales, "comps": self.comps},
            "margin": self.margin.map(units),
            "repairs": repairs.collect::<Vec<_>>(),
            "book_says": says.collect::<Vec<_>>(),
            "old_after_days": OLD_AFTER_DAYS,
            "value": value,
            "plan": plan,
        });
        shorten(&mut whole);
        whole.to_string().replace('<', "\\u003c")
    }
}

/// Rounds every number that is not whole to [`DIGITS`].
fn shorten(value: &mut Value) {
    match value {
        Value::Array(all) => all.iter_mut().for_each(shorten),
        Value::Object(all) => all.values_mut().for_each(shorten),
        Value::Number(number) => {
            let long = number.as_f64().filter(|_| number.is_f64());
            let short = long.and_then(|long| format!("{long:.*e}", DIGITS - 1).parse::<f64>().ok());
            if let Some(short) = short {
                // A whole number needs no decimal point.
                *value = if short.fract() == 0.0 && short.abs() < 1e15 {
                    json!(short as i64)
                } else {
                    json!(short)
                };
            }
        }
        _ => {}
    }
}
