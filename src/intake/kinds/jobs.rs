//! `jobs.csv`: what could be done to a bike, and what it would cost.

use super::costs::parse_yes_or_no;
use super::like_items::{like_items, or};
use crate::intake::cells::features::{parse_condition, parse_tier};
use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::problem::CellProblem;
use crate::trade::Job;
use crate::trade::inspection::{Item, item as item_called};

/// The kind of `jobs.csv`. Whether a job stands twice is for somebody who knows
/// more than one row.
#[derive(Clone, Copy, Debug)]
pub struct Jobs;

const JOB: usize = place(Jobs::FIELDS, "job");
const COST: usize = place(Jobs::FIELDS, "cost");
const HOURS: usize = place(Jobs::FIELDS, "hours");
const FROM_BOX: usize = place(Jobs::FIELDS, "from_box");
const SAFETY: usize = place(Jobs::FIELDS, "safety");
const CLEARS: usize = place(Jobs::FIELDS, "clears");
const CONDITION_AFTER: usize = place(Jobs::FIELDS, "condition_after");
const TIER_AFTER: usize = place(Jobs::FIELDS, "tier_after");

const NEGATIVE: &str = "Write 0 for a job that costs nothing but time.";

impl Kind for Jobs {
    type Record = Job;
    const NAME: &'static str = "jobs";
    const COMMAND: &'static str = "wheelworth offer … --jobs";
    const FIELDS: &'static [Field] = &[
        Field::required("job", "the job in your own words"),
        Field::required(
            "cost",
            "what its parts cost, or what they are worth if they are in the box; 0 for none",
        )
        .of_money(),
        Field::optional("hours", "unpaid hours that it takes"),
        Field::optional("from_box", "yes if its parts are in the parts box"),
        Field::optional(
            "safety",
            "yes if nobody may ride the bike before it is done",
        ),
        Field::optional(
            "clears",
            "checks of the inspection sheet that it clears, with semicolons between them",
        ),
        Field::optional("condition_after", "the condition that it opens the way to"),
        Field::optional("tier_after", "the tier that it brings the bike to"),
        Field::optional("note", "anything else; left out"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Job> {
        let name = row.id(JOB);
        row.require(COST);
        let cost = row.money_or(COST, Zero::Allowed, NEGATIVE);
        let hours = row.hours(HOURS);
        let from_box = row.read(FROM_BOX, parse_yes_or_no).unwrap_or(false);
        let safety = row.read(SAFETY, parse_yes_or_no);
        let clears = row.read(CLEARS, parse_clears).unwrap_or_default();
        let condition_after = row.read(CONDITION_AFTER, parse_condition);
        let tier_after = row.read(TIER_AFTER, parse_tier);
        Some(Job {
            name: name?,
            cost: cost?,
            hours,
            from_box,
            safety,
            clears,
            condition_after,
            tier_after,
        })
    }
}

/// Reads the names of checks, with semicolons or commas between them.
fn parse_clears(text: &str) -> Result<Vec<&'static Item>, CellProblem> {
    let names = text.split([';', ',']).map(str::trim);
    let mut found: Vec<&'static Item> = Vec::new();
    for name in names.filter(|name| !name.is_empty()) {
        let item = item_called(name).filter(|item| item.as_check().is_some());
        let item = item.ok_or_else(|| not_a_check(name))?;
        if !found.contains(&item) {
            found.push(item);
        }
    }
    Ok(found)
}

fn not_a_check(name: &str) -> CellProblem {
    let meant = like_items(name, |item| item.as_check().is_some());
    let mend = match or(&meant) {
        Some(meant) => format!("Did you mean {meant}?"),
        None => "Write checks as in the sheet of 'wheelworth inspect --blank SHEET.csv', with semicolons \
                 between them, or leave the cell empty."
            .to_string(),
    };
    let shown: String = name.chars().take(40).collect();
    CellProblem::new(
        format!("checks of the inspection sheet, which '{shown}' is not"),
        mend,
    )
}
