//! `export value-model` and `export time-model`: the rows that the models were
//! fitted to. That other libraries find the same from them is checked by the
//! notebooks.

use crate::support::workshop::Workshop;
use serde_json::Value;

fn exported(workshop: &Workshop, model: &str, more: &[&str]) -> Value {
    let file = format!("{model}.json");
    let named = format!("@{file}");
    let line = [&["export", model, &named], more].concat();
    workshop.run(&line).done();
    serde_json::from_str(&workshop.text(&file)).unwrap()
}

/// The names of an object's members, in order.
fn keys(object: &Value) -> String {
    let keys = object.as_object().unwrap().keys();
    keys.map(String::as_str).collect::<Vec<_>>().join(" ")
}

fn numbers(list: &Value) -> Vec<f64> {
    let items = list.as_array().unwrap().iter();
    items.map(|item| item.as_f64().unwrap()).collect()
}

fn number(of: &Value) -> f64 {
    of.as_f64().unwrap_or_else(|| panic!("no number: {of}"))
}

#[test]
fn value_model_has_columns_rows_priors_and_parts() {
    let workshop = Workshop::busy();
    let output = workshop.run(&["export", "value-model", "@m.json"]).done();
    assert_eq!(
        (output.out.as_str(), output.err.as_str()),
        ("Wrote @m.json: 445 rows.\n", "")
    );
    let text = workshop.text("m.json");
    assert!(
        text.starts_with("{\n  \"export\": \"value-model\",\n"),
        "{text:.80}"
    );
    assert!(text.ends_with("}\n"));
    let model: Value = serde_json::from_str(&text).unwrap();
    insta::assert_snapshot!(keys(&model), @r"as_of coefficients columns currency depreciation export eye levels_held parts pilot prior_rows rows settings usual_new_price");
    insta::assert_snapshot!(keys(&model["settings"]), @"comps comps_weight left_out prior_weight range_factor residual_freedom residual_sd residual_sd_before residual_sd_before_is_worth sales variance_scale variance_shape");
    insta::assert_snapshot!(keys(&model["parts"][0]), @"chance coefficients freedom held log_evidence residual_sum scale share standard_errors variance");
    insta::assert_snapshot!(keys(&model["prior_rows"][0]), @"column highest lowest mean weights");
    insta::assert_snapshot!(keys(&model["rows"][0]), @"counts day id kind left_out ln_price price_of robust source times_expected unknown unknown_variance variance weight x");
    assert_eq!(
        (&model["as_of"], &model["currency"]),
        (&"2026-05-02".into(), &"EUR".into())
    );
    let columns = model["columns"].as_array().unwrap().len();
    assert_eq!(model["prior_rows"].as_array().unwrap().len(), columns);
    assert_eq!(numbers(&model["coefficients"]).len(), columns);
    let parts = model["parts"].as_array().unwrap();
    assert_eq!(parts.len(), 7);
    for part in parts {
        assert_eq!(numbers(&part["coefficients"]).len(), columns);
        assert!(numbers(&part["standard_errors"]).iter().all(|e| *e > 0.0));
    }
    for row in model["rows"].as_array().unwrap() {
        let used = number(&row["weight"]) > 0.0;
        assert_eq!(used, row["left_out"].is_null(), "{row}");
        if used {
            assert_eq!(numbers(&row["x"]).len(), columns);
        }
    }
}

#[test]
fn its_numbers_are_those_of_price() {
    let workshop = Workshop::busy();
    let model = exported(&workshop, "value-model", &[]);
    let priced = workshop
        .run(&["price", "--style", "hybrid", "--format", "json"])
        .done()
        .json();
    let (settings, said) = (&model["settings"], &priced["model"]);
    for name in [
        "residual_sd",
        "prior_weight",
        "comps_weight",
        "sales",
        "comps",
        "left_out",
    ] {
        assert_eq!(settings[name], said[name], "{name}");
    }
    let rows = model["rows"].as_array().unwrap();
    let used = |kind: &str| {
        let of = rows
            .iter()
            .filter(|row| row["kind"] == kind && row["left_out"].is_null());
        of.count() as u64
    };
    assert_eq!(Some(used("sale")), said["sales"].as_u64());
    assert_eq!(Some(used("comp")), said["comps"].as_u64());
    let left_out = rows.iter().filter(|row| !row["left_out"].is_null()).count() as u64;
    assert_eq!(Some(left_out), said["left_out"].as_u64());
    // The mean over the parts is what a price is made of.
    let parts = model["parts"].as_array().unwrap();
    for (j, mean) in numbers(&model["coefficients"]).iter().enumerate() {
        let of = |part: &Value| number(&part["share"]) * number(&part["coefficients"][j]);
        let sum: f64 = parts.iter().map(of).sum();
        // Seven products of double precision.
        assert!(
            (sum - mean).abs() <= 1e-12 * mean.abs().max(1.0),
            "{sum} {mean}"
        );
    }
    // The base bike is a hybrid of today, and everything else of it is 0.
    let columns = model["columns"].as_array().unwrap();
    let style = columns
        .iter()
        .position(|name| name == "style hybrid")
        .unwrap();
    let coefficients = numbers(&model["coefficients"]);
    let made = (coefficients[0] + coefficients[style]).exp();
    let base = number(&priced["bikes"][0]["base"]["amount"]);
    // Rounded to a cent.
    assert!((made - base).abs() <= 0.005 + 1e-9, "{made} {base}");
}

#[test]
fn left_out_rows_stay_with_their_reason() {
    let workshop = Workshop::busy().comps(
        "listing,source,style,made,condition,tier,ask,first_seen,outcome\n\
         X-1,a,hybrid,2016,4,2,9000000,2026-03-01,listed\n\
         X-2,a,hybrid,2016,4,2,200,,listed\n",
    );
    let model = exported(&workshop, "value-model", &[]);
    let row = |id: &str| {
        let mut rows = model["rows"].as_array().unwrap().iter();
        rows.find(|row| row["id"] == id).unwrap().clone()
    };
    let nonsense = row("X-1");
    assert_eq!(nonsense["left_out"], "far from its value");
    assert!(number(&nonsense["times_expected"]) > 1000.0);
    assert_eq!(number(&nonsense["weight"]), 0.0);
    assert!(nonsense["x"].is_array());
    let undated = row("X-2");
    assert_eq!(undated["left_out"], "no date");
    assert!(undated["x"].is_null());
    assert_eq!(undated["source"], "a");
}

#[test]
fn time_model_has_episodes_priors_and_the_fit() {
    let workshop = Workshop::busy();
    let model = exported(&workshop, "time-model", &[]);
    insta::assert_snapshot!(keys(&model), @"as_of bounded coefficients columns covariance currency episodes events export listings ln_scale log_likelihood log_posterior priors records standard_errors");
    insta::assert_snapshot!(keys(&model["priors"][0]), @"column highest lowest mean sd");
    insta::assert_snapshot!(keys(&model["episodes"][0]), @"entry event exit weight x");
    let columns = model["columns"].as_array().unwrap().len();
    assert_eq!(model["priors"].as_array().unwrap().len(), columns + 1);
    let covariance = model["covariance"].as_array().unwrap();
    assert_eq!(covariance.len(), columns + 1);
    let errors = numbers(&model["standard_errors"]);
    for (i, line) in covariance.iter().enumerate() {
        let line = numbers(line);
        assert_eq!(line.len(), columns + 1);
        assert!((line[i].sqrt() - errors[i]).abs() <= 1e-15 + 1e-12 * errors[i]);
    }
    let episodes = model["episodes"].as_array().unwrap();
    let mut events = 0.0;
    for episode in episodes {
        assert!(
            number(&episode["entry"]) < number(&episode["exit"]),
            "{episode}"
        );
        assert_eq!(numbers(&episode["x"]).len(), columns);
        events += number(&episode["weight"]) * number(&episode["event"]);
    }
    assert!((events - number(&model["events"])).abs() < 1e-9);
    let priced = workshop
        .run(&["price", "--style", "hybrid", "--format", "json"])
        .done()
        .json();
    let selling = &priced["model"]["selling"];
    let shape = (-number(&model["ln_scale"])).exp();
    let elasticity = number(&model["coefficients"][1]) * shape;
    assert_eq!(number(&selling["shape"]), shape);
    assert_eq!(number(&selling["elasticity"]), elasticity);
}

#[test]
fn a_model_is_that_of_the_day_of_as_of() {
    let workshop = Workshop::busy();
    let day = ["--as-of", "2025-06-01"];
    for model in ["value-model", "time-model"] {
        let now = exported(&workshop, model, &[]);
        let then = exported(&workshop, model, &day);
        assert_eq!(then["as_of"], "2025-06-01");
        assert_ne!(now["coefficients"], then["coefficients"], "{model}");
    }
    let then = exported(&workshop, "value-model", &day);
    // ISO dates are in the order of their letters.
    let mut dated = 0;
    for row in then["rows"].as_array().unwrap() {
        if let Some(day) = row["day"].as_str() {
            assert!(day <= "2025-06-01", "{row}");
            dated += 1;
        }
    }
    assert!(dated > 100, "{dated}");
}

#[test]
fn a_model_needs_a_price() {
    let workshop = Workshop::new();
    for model in ["value-model", "time-model"] {
        let said = [
            "no price is known on 2026-05-02, so there is no model",
            "help: Import sales or comps first, or give a later --as-of.",
        ];
        workshop.refuses(&["export", model, "@m.json"], &said);
    }
    let workshop = Workshop::busy();
    let line = ["export", "value-model", "@m.json", "--as-of", "1990-01-01"];
    workshop.refuses(&line, &["no price is known on 1990-01-01"]);
}

#[test]
fn without_any_duration_the_time_model_is_the_belief() {
    let workshop =
        Workshop::new().sales("bike,style,sold_on,sold_price\nB-1,road,2026-03-01,200\n");
    let model = exported(&workshop, "time-model", &[]);
    assert_eq!(model["episodes"].as_array().unwrap().len(), 0);
    assert_eq!(number(&model["events"]), 0.0);
    for (prior, found) in model["priors"]
        .as_array()
        .unwrap()
        .iter()
        .zip(numbers(&model["coefficients"]))
    {
        assert!(
            (number(&prior["mean"]) - found).abs() < 1e-12,
            "{prior} {found}"
        );
    }
}

#[test]
fn only_an_earlier_export_of_the_model_is_replaced() {
    let workshop = Workshop::busy();
    workshop.run(&["export", "time-model", "@m.json"]).done();
    let before = workshop.text("m.json");
    let said = ["@m.json: is there already and is no earlier export of the value-model"];
    workshop.refuses(&["export", "value-model", "@m.json"], &said);
    workshop.run(&["export", "time-model", "@m.json"]).done();
    assert_eq!(workshop.text("m.json"), before);
    workshop.file("mine.json", "{\"export\": \"mine\"}\n");
    let said = ["@mine.json: is there already", "help: Name another file"];
    workshop.refuses(&["export", "time-model", "@mine.json"], &said);
    assert_eq!(workshop.text("mine.json"), "{\"export\": \"mine\"}\n");
}

#[test]
fn the_name_of_a_model_ends_in_json() {
    let workshop = Workshop::busy();
    for name in ["@m.csv", "@m", "@m.json.gz"] {
        let output = workshop.run(&["export", "value-model", name]);
        output.says(
            2,
            &[
                "expected a name that ends in .json",
                "help: A model is written as JSON",
            ],
        );
    }
    let output = workshop.run(&["export", "sales", "@m.json"]);
    output.says(2, &["expected a name that ends in .csv or .parquet"]);
    let output = workshop.run(&["export", "models", "@m.json"]);
    output.says(
        2,
        &["[possible values: sales, comps, asks, costs, gifts, returns, offers, inspections, value-model, time-model]"],
    );
}

#[test]
fn json_says_what_was_written() {
    let workshop = Workshop::busy();
    let line = ["export", "time-model", "@m.json", "--format", "json"];
    let answer = workshop.run(&line).done().json();
    assert_eq!(answer["table"], "time-model");
    assert_eq!(answer["file"], "@m.json");
    let model: Value = serde_json::from_str(&workshop.text("m.json")).unwrap();
    assert_eq!(answer["rows"], model["episodes"].as_array().unwrap().len());
}
