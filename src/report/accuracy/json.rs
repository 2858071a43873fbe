//! How prices held up, as JSON: errors as fractions of the sale price, days in
//! days; null where the sales are too few for a figure.

use super::words;
use crate::pricing::accuracy::Accuracy;
use crate::pricing::accuracy::days::{DaysHeldUp, Told};
use crate::pricing::accuracy::eye_study::EyeStudy;
use crate::pricing::accuracy::rule_study::RuleFigures;
use crate::pricing::accuracy::study::{Figures, RANKS_BELOW, Study};
use crate::pricing::accuracy::trial::WITHIN;
use crate::pricing::accuracy::verdict::TrialKind;
use crate::report::quote::own_eye;
use crate::trade::Currency;
use serde_json::{Map, Value, json};

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number is finite.
pub fn json(found: &Accuracy) -> Result<String, serde_json::Error> {
    let question = &found.question;
    let currency = &question.currency;
    let answer = json!({
        "as_of": question.as_of.to_string(),
        "currency": currency.code(),
        "level": question.level,
        "sales_not_tried": found.older,
        "leave_one_out": study(&found.leave_one_out),
        "back_test": study(&found.back_test),
        "rules": found.rules.iter().map(|rule| json!({
            "rule": rule.rule,
            "leave_one_out": rule_figures(rule.leave_one_out),
            "back_test": rule_figures(rule.back_test),
        })).collect::<Vec<_>>(),
        "eye": found.eye.as_ref().map(eye),
        "days": days(found),
        "drift": drift(found),
        "verdict": words::verdict(found),
        "worst": worst(found, currency),
        "sales": sales(found),
    });
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}

fn study(study: &Study) -> Value {
    let of = study.figures.as_ref();
    let figure = |pick: fn(&Figures) -> f64| of.map(pick);
    let prb = of.and_then(|f| f.ratios.prb.as_ref());
    json!({
        "sales": study.sales,
        "standard": "IAAO 2013",
        "median_ratio": figure(|f| f.ratios.median),
        "median_ratio_interval": of.and_then(|f| f.ratios.median_interval),
        "mdape": figure(|f| f.mdape),
        "within_10": figure(|f| f.within_10),
        "within_20": figure(|f| f.within_20),
        "cod": figure(|f| f.ratios.cod),
        "prd": figure(|f| f.ratios.prd),
        "prb": prb.map(|prb| prb.slope),
        "prb_standard_error": prb.map(|prb| prb.standard_error),
        "prb_interval": prb.map(|prb| prb.interval),
        "spearman": of.filter(|_| study.sales < RANKS_BELOW).and_then(|f| f.ratios.spearman),
        "coverage": figure(|f| f.coverage),
        "coverage_interval": of.map(|f| f.coverage_interval),
        "interval_score": figure(|f| f.interval_score),
    })
}

fn rule_figures(of: Option<RuleFigures>) -> Value {
    json!({
        "sales": of.map_or(0, |f| f.sales),
        "mdape": of.map(|f| f.mdape),
        "prices_mdape": of.map(|f| f.model_mdape),
        "prices_nearer": of.map(|f| f.nearer.0),
        "rule_nearer": of.map(|f| f.nearer.1),
    })
}

/// The user's own eye beside the price without it and with it.
fn eye(study: &EyeStudy) -> Value {
    json!({
        "sales": study.sales,
        "from": own_eye::from(study.from),
        "mdape": study.mdape,
        "priced_without": study.priced_without,
        "priced_with": study.priced_with,
    })
}

fn told(of: &Told) -> Value {
    json!({
        "bikes": of.bikes,
        "expected": of.expected,
        "observed": of.observed,
        "observed_interval": of.interval,
    })
}

/// The back-test, and beside it leave-one-out.
fn days(found: &Accuracy) -> Value {
    let mut answer = held_up(&found.days);
    answer["leave_one_out"] = held_up(&found.days_left_out);
    answer
}

fn held_up(days: &DaysHeldUp) -> Value {
    let horizons = WITHIN.iter().zip(&days.horizons);
    let mut answer: Map<String, Value> = horizons
        .map(|(days, of)| {
            (
                format!("within_{days:.0}"),
                of.as_ref().map_or(Value::Null, told),
            )
        })
        .collect();
    let steps = days.steps.iter().map(|step| {
        let mut of = told(step);
        of["within"] = json!(step.days);
        of
    });
    answer.insert("reliability".into(), steps.collect());
    answer.into()
}

fn drift(found: &Accuracy) -> Value {
    let drift = &found.drift;
    json!({
        "sales": drift.sales,
        "market_has_moved": drift.moved.is_some(),
        "moved": drift.moved.map(|moved| json!({
            "since": moved.since.to_string(),
            "clear_on": moved.clear_on.to_string(),
            "sales": moved.sales,
            "change": moved.ln_ratio.exp_m1(),
            "change_after": moved.ln_ratio_after.map(f64::exp_m1),
        })),
        "lean": drift.lean.map(|lean| json!({
            "clear": lean.is_clear(),
            "change": lean.ln_ratio.exp_m1(),
            "mean_score": lean.scores.mean,
            "mean_score_interval": lean.scores.interval,
        })),
        "steered": drift.steered.map(|steered| json!({
            "level": steered.level,
            "held": steered.held,
        })),
        "text": words::drift(found),
    })
}

/// Units to the currency's decimals.
fn money(units: f64, currency: &Currency) -> Option<f64> {
    currency.round(units).map(|money| currency.units(money))
}

fn worst(found: &Accuracy, currency: &Currency) -> Vec<Value> {
    let each = found.worst.iter().map(|miss| {
        let kind = if miss.back_test {
            TrialKind::BackTest
        } else {
            TrialKind::LeaveOneOut
        };
        json!({
            "bike": miss.bike,
            "sold_on": miss.sold_on.to_string(),
            "sold_price": money(miss.brought, currency),
            "priced_at": money(miss.priced_at, currency),
            "priced_by": words::trial_code(kind),
            "in_range": miss.in_range,
            "looks_like": words::looks_like(miss.looks_like, currency),
            "looks_like_code": words::looks_like_code(miss.looks_like),
        })
    });
    each.collect()
}

/// Every sale with what was told of it, for whoever wants figures of their own.
fn sales(found: &Accuracy) -> Vec<Value> {
    let currency = &found.question.currency;
    let trial = |of: &Option<crate::pricing::accuracy::trial::Trial>| {
        of.as_ref().map(|trial| {
            json!({
                "median": money(trial.median, currency),
                "low": money(trial.low, currency),
                "high": money(trial.high, currency),
                "own_sales": trial.rests_on.0,
                "comps": trial.rests_on.1,
            })
        })
    };
    let sold = found.bikes.iter().filter_map(|bike| {
        Some(json!({
            "bike": bike.sale.id,
            "listed_on": bike.sale.listed_on.map(|day| day.to_string()),
            "sold_on": bike.sale.sold?.on.to_string(),
            "sold_price": money(bike.brought?, currency),
            "leave_one_out": trial(&bike.left_out),
            "back_test": trial(&bike.before),
        }))
    });
    sold.collect()
}
