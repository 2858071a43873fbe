//! A filled-in inspection sheet. It has no order: the same findings are the same
//! sheet.

use super::item::Item;
use super::measure::Measure;
use super::tyre::TyreSize;
use crate::trade::bike::words;
use crate::trade::{SizeClass, Style};
use std::collections::BTreeMap;
use std::fmt;

words! {
    /// What was found.
    CheckResult {
        Pass = "pass",
        Fail = "fail",
        /// Not looked at. Never counts as a pass.
        Unchecked = "unchecked",
        NotFitted = "not_fitted",
    }
}

/// What the sheet says of one item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// The result; a fact has none and is `Unchecked`.
    pub result: CheckResult,
    /// The measure or the fact.
    pub measure: Option<Measure>,
    /// The note.
    pub note: Option<String>,
}

impl Finding {
    /// A result without measure and note.
    pub fn of(result: CheckResult) -> Self {
        Self {
            result,
            measure: None,
            note: None,
        }
    }

    /// A result with a measure, or a fact.
    pub fn measured(result: CheckResult, measure: Measure) -> Self {
        Self {
            result,
            measure: Some(measure),
            note: None,
        }
    }
}

/// The findings of one bike. An item without one is unchecked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sheet {
    findings: BTreeMap<&'static str, Finding>,
}

impl Sheet {
    /// A sheet on which nothing is filled in.
    pub fn new() -> Self {
        Self::default()
    }

    /// Keeps a finding in the place of an earlier one, which is returned.
    pub fn put(&mut self, item: &'static Item, finding: Finding) -> Option<Finding> {
        self.findings.insert(item.name, finding)
    }

    /// Every finding that says something, by the name of its item. Sheets that say
    /// the same are judged alike.
    pub fn said(&self) -> impl Iterator<Item = (&'static str, &Finding)> {
        let says = |finding: &Finding| {
            finding.result != CheckResult::Unchecked
                || finding.measure.is_some()
                || finding.note.is_some()
        };
        let findings = self.findings.iter().map(|(name, finding)| (*name, finding));
        findings.filter(move |(_, finding)| says(finding))
    }

    /// The finding of an item.
    pub fn finding(&self, name: &str) -> Option<&Finding> {
        self.findings.get(name)
    }

    /// The result of an item: unchecked where nothing is filled in.
    pub fn result(&self, name: &str) -> CheckResult {
        self.finding(name)
            .map_or(CheckResult::Unchecked, |finding| finding.result)
    }

    /// The measure of an item.
    pub fn measure(&self, name: &str) -> Option<&Measure> {
        self.finding(name)
            .and_then(|finding| finding.measure.as_ref())
    }

    /// The style.
    pub fn style(&self) -> Option<Style> {
        match self.measure("style") {
            Some(Measure::Style(style)) => Some(*style),
            _ => None,
        }
    }

    /// The user's name for the bike.
    pub fn bike(&self) -> Option<&str> {
        match self.measure("bike") {
            Some(Measure::Name(name)) => Some(name),
            _ => None,
        }
    }

    /// A fact that is one of its item's words.
    pub fn word(&self, name: &str) -> Option<&'static str> {
        match self.measure(name) {
            Some(Measure::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// A length in tenths of a millimetre.
    pub fn length(&self, name: &str) -> Option<i64> {
        match self.measure(name) {
            Some(Measure::Length(tenths)) => Some(*tenths),
            _ => None,
        }
    }

    /// The size class that was noted in the place of the seat tube's length.
    pub fn size(&self) -> Option<SizeClass> {
        match self.measure("seat tube") {
            Some(Measure::Size(class)) => Some(*class),
            _ => None,
        }
    }

    /// A tyre size.
    pub fn tyre(&self, name: &str) -> Option<TyreSize> {
        match self.measure(name) {
            Some(Measure::Tyre(size)) => Some(*size),
            _ => None,
        }
    }
}
