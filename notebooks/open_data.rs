//! Fits a CSV file with the statistics of this project and prints JSON, so that
//! `open_data.ipynb` and `time_on_market.ipynb` can hold it against reference
//! libraries. `cargo test` builds it:
//!
//! ```text
//! open_data least-squares FILE.csv TARGET COLUMN…
//! open_data weibull       FILE.csv COLUMN[=MEAN:SD]… [ln-scale=MEAN:SD]
//!                                  with columns entry, exit, event, weight beside them
//! open_data kaplan-meier  FILE.csv LEVEL          with the same four columns
//! ```
//!
//! Every cell that is read must be a number. There is no intercept but a column of
//! ones. `MEAN:SD` is a normal prior; without it a coefficient has none.

use serde_json::{Value, json};
use std::process::ExitCode;
use wheelworth::statistics::survival::kaplan_meier::{Life, SurvivalCurve};
use wheelworth::statistics::survival::weibull::{Episode, NormalPrior, WeibullModel};
use wheelworth::statistics::{Design, Fit};

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let answer = match words.as_slice() {
        ["least-squares", file, target, columns @ ..] => least_squares(file, target, columns),
        ["weibull", file, columns @ ..] => weibull(file, columns),
        ["kaplan-meier", file, level] => kaplan_meier(file, level),
        _ => Err("expected least-squares, weibull or kaplan-meier with a file".into()),
    };
    match answer {
        Ok(answer) => {
            println!("{answer}");
            ExitCode::SUCCESS
        }
        Err(problem) => {
            eprintln!("open_data: {problem}");
            ExitCode::FAILURE
        }
    }
}

fn words(problem: impl std::fmt::Display) -> String {
    problem.to_string()
}

/// The cells of the named columns, row by row.
fn rows(file: &str, columns: &[&str]) -> Result<Vec<Vec<f64>>, String> {
    let mut reader = csv::Reader::from_path(file).map_err(words)?;
    let header = reader.headers().map_err(words)?.clone();
    let place = |column: &&str| {
        let found = header.iter().position(|name| name == *column);
        found.ok_or_else(|| format!("{file}: no column '{column}'"))
    };
    let places: Vec<usize> = columns.iter().map(place).collect::<Result<_, _>>()?;
    let mut rows = Vec::new();
    for (line, record) in (2..).zip(reader.records()) {
        let record = record.map_err(words)?;
        let number = |&place: &usize| {
            let cell = record.get(place).unwrap_or_default();
            cell.parse::<f64>()
                .map_err(|_| format!("{file}, row {line}: '{cell}' is no number"))
        };
        rows.push(places.iter().map(number).collect::<Result<_, _>>()?);
    }
    Ok(rows)
}

fn least_squares(file: &str, target: &str, columns: &[&str]) -> Result<Value, String> {
    let mut design = Design::new(columns.iter().copied());
    for row in rows(file, &[&[target], columns].concat())? {
        design.push(&row[1..], row[0], 1.0).map_err(words)?;
    }
    let r_factor = design.r_factor().map_err(words)?;
    let fit = Fit::of(&r_factor, design.names()).map_err(words)?;
    let sd = fit.residual_sd().ok_or("as many columns as rows")?;
    let leverages: Vec<f64> = design.iter().map(|(x, ..)| fit.leverage(x)).collect();
    Ok(json!({
        "coefficients": fit.coefficients,
        "standard_errors": fit.standard_errors(sd),
        "residual_sd": sd,
        "leverages": leverages,
    }))
}

/// Entry, exit, event and weight come first in the rows that are read.
const EPISODE: [&str; 4] = ["entry", "exit", "event", "weight"];

/// A column and what is believed of its coefficient.
fn believed(word: &str) -> Result<(&str, NormalPrior), String> {
    let Some((name, belief)) = word.rsplit_once('=') else {
        return Ok((word, NormalPrior::FLAT));
    };
    let number = |text: &str| text.parse::<f64>().ok();
    let prior = belief.split_once(':').and_then(|(mean, sd)| {
        let (mean, sd) = (number(mean)?, number(sd)?);
        Some(NormalPrior::new(mean, sd))
    });
    let prior = prior.ok_or_else(|| format!("'{word}': expected COLUMN=MEAN:SD"))?;
    Ok((name, prior))
}

fn weibull(file: &str, columns: &[&str]) -> Result<Value, String> {
    let mut priors = Vec::new();
    let mut ln_scale = NormalPrior::FLAT;
    for word in columns {
        match believed(word)? {
            ("ln-scale", prior) => ln_scale = prior,
            column => priors.push(column),
        }
    }
    let (names, priors): (Vec<&str>, Vec<NormalPrior>) = priors.into_iter().unzip();
    let rows = rows(file, &[&EPISODE, names.as_slice()].concat())?;
    let episode = |row: Vec<f64>| Episode {
        x: row[4..].to_vec(),
        entry: row[0],
        exit: row[1],
        event: row[2],
        weight: row[3],
    };
    let episodes: Vec<Episode> = rows.into_iter().map(episode).collect();
    let names = names.into_iter().map(String::from).collect();
    let model = WeibullModel::new(names, priors, ln_scale);
    let fit = model.fit(&episodes).map_err(words)?;
    Ok(json!({
        "coefficients": fit.coefficients,
        "ln_scale": fit.ln_scale,
        "standard_errors": fit.standard_errors(),
        "log_likelihood": fit.log_likelihood,
        "log_posterior": fit.log_posterior,
        "events": fit.events,
    }))
}

fn kaplan_meier(file: &str, level: &str) -> Result<Value, String> {
    let level: f64 = level.parse().map_err(|_| format!("level '{level}'"))?;
    let life = |row: Vec<f64>| Life {
        entry: row[0],
        exit: row[1],
        event: row[2],
        weight: row[3],
    };
    let lives: Vec<Life> = rows(file, &EPISODE)?.into_iter().map(life).collect();
    let curve = SurvivalCurve::of(&lives, level).map_err(words)?;
    let steps = curve.steps.iter().map(|step| {
        json!({
            "time": step.time, "survival": step.survival,
            "standard_error": step.standard_error, "low": step.low, "high": step.high,
        })
    });
    Ok(json!({
        "steps": steps.collect::<Vec<_>>(),
        "median": curve.median(),
        "restricted_mean": curve.restricted_mean(curve.last),
    }))
}
