//! A quarter's report in every form.

use crate::accounts::QuarterReport;
use crate::cli::failure::Failure;
use crate::report::quarter::audience::Audience;
use crate::report::quarter::page::html;
use crate::report::quarter::{json, lines_csv, text};
use crate::trade::Currency;

/// How a report is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    Text,
    Json,
    Csv,
    Html,
}

const FORMS: [Form; 4] = [Form::Text, Form::Json, Form::Csv, Form::Html];
const AUDIENCES: [Audience; 3] = [Audience::Whole, Audience::Beneficiary, Audience::Workshop];

impl Form {
    /// What it is called on standard error.
    pub(crate) fn noun(self) -> &'static str {
        match self {
            Form::Text | Form::Json => "Report",
            Form::Csv => "Lines",
            Form::Html => "Page",
        }
    }

    /// How an earlier report of this form begins.
    pub(crate) fn beginnings(self) -> &'static [&'static [u8]] {
        match self {
            Form::Html => &[b"<!DOCTYPE html>", b"<!doctype html>"],
            Form::Csv => &[b"line,on,bike,beneficiary,"],
            Form::Text | Form::Json => &[],
        }
    }

    /// What a file is that begins otherwise.
    pub(crate) fn not_it(self) -> &'static str {
        match self {
            Form::Html => "no page",
            Form::Csv => "no report of a quarter",
            Form::Text | Form::Json => "no report",
        }
    }
}

/// The name under which a closed quarter's page is kept.
pub(crate) fn name(form: Form, audience: Audience) -> String {
    let form = match form {
        Form::Text => "text",
        Form::Json => "json",
        Form::Csv => "csv",
        Form::Html => "html",
    };
    let audience = match audience {
        Audience::Whole => "whole",
        Audience::Beneficiary => "beneficiary",
        Audience::Workshop => "workshop",
    };
    format!("{form} {audience}")
}

/// One form for one audience.
pub(crate) fn render(
    form: Form,
    report: &QuarterReport,
    audience: Audience,
    currency: &Currency,
) -> Result<String, Failure> {
    let failed =
        |error: String| Failure::refused(format!("the report cannot be written: {error}"), "");
    match form {
        Form::Text => Ok(text::render(report, audience, currency)),
        Form::Csv => Ok(lines_csv::render(report, audience, currency)),
        Form::Json => json::render(report, audience, currency).map_err(|e| failed(e.to_string())),
        Form::Html => html::render(report, audience, currency).map_err(failed),
    }
}

/// Every form for every audience, with its name.
pub(crate) fn all(
    report: &QuarterReport,
    currency: &Currency,
) -> Result<Vec<(String, String)>, Failure> {
    let mut pages = Vec::new();
    for form in FORMS {
        for audience in AUDIENCES {
            let page = render(form, report, audience, currency)?;
            pages.push((name(form, audience), page));
        }
    }
    Ok(pages)
}
