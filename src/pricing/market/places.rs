//! Where a bike stands in each table: its style, condition, tier and class of age.

use crate::pricing::design::features::KNOTS;
use crate::trade::calendar::age_in_years;
use crate::trade::{Bike, Condition, Day, Style, Tier};

/// A table of the market: what its rows are told apart by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// One row for everything.
    All,
    /// A row a style.
    Style,
    /// A row a condition.
    Condition,
    /// A row a tier.
    Tier,
    /// A row a class of age.
    Age,
}

impl By {
    /// Every table.
    pub const EACH: [By; 5] = [By::All, By::Style, By::Condition, By::Tier, By::Age];

    /// Its name in tables and JSON.
    pub fn word(self) -> &'static str {
        match self {
            By::All => "all",
            By::Style => "style",
            By::Condition => "condition",
            By::Tier => "tier",
            By::Age => "age",
        }
    }

    /// The name of one of its rows.
    pub fn label(self, code: u32) -> String {
        let grade = u8::try_from(code).unwrap_or(0);
        let named = match self {
            By::All => Some("all".to_string()),
            By::Style => Style::ALL.get(code as usize).map(ToString::to_string),
            By::Condition => Condition::from_grade(grade).map(|c| format!("{grade} {c}")),
            By::Tier => Tier::from_grade(grade).map(|t| format!("{grade} {t}")),
            By::Age => age_label(code),
        };
        named.unwrap_or_else(|| "unknown".into())
    }
}

/// Code of what is not known; it sorts last.
const UNKNOWN: u32 = 99;

/// Classes of age between the knots of the value model, in whole years: the
/// first ends before 3 years, the last starts at 35.
fn age_label(class: u32) -> Option<String> {
    let class = class as usize;
    let from = match class.checked_sub(1) {
        None => 0.0,
        Some(before) => *KNOTS.get(before)?,
    };
    Some(match KNOTS.get(class) {
        Some(to) => format!("{from:.0}-{to:.0} years"),
        None => format!("over {from:.0} years"),
    })
}

/// The codes of a bike in each table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    codes: [u32; By::EACH.len()],
}

impl Place {
    /// Of a bike whose age counts on `day`. A range of model years that spans
    /// classes of age is of unknown age: a row of a table tells of bikes that
    /// are in it for certain.
    pub fn of(bike: &Bike, day: Day) -> Self {
        let grade = |grade: Option<u8>| grade.map_or(UNKNOWN, u32::from);
        let class = |year: i16| {
            let age = age_in_years(year, day);
            KNOTS.iter().filter(|knot| age >= **knot).count() as u32
        };
        let age = bike.made.map_or(UNKNOWN, |made| {
            let (oldest, youngest) = (class(made.first()), class(made.last()));
            if oldest == youngest { oldest } else { UNKNOWN }
        });
        Self {
            codes: [
                0,
                bike.style.index() as u32,
                grade(bike.condition.map(Condition::grade)),
                grade(bike.tier.map(Tier::grade)),
                age,
            ],
        }
    }

    /// Its code in a table.
    pub fn code(&self, by: By) -> u32 {
        let [all, style, condition, tier, age] = self.codes;
        match by {
            By::All => all,
            By::Style => style,
            By::Condition => condition,
            By::Tier => tier,
            By::Age => age,
        }
    }
}
