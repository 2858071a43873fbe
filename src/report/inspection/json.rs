//! An inspection as JSON: lengths in millimetres, null where something is not
//! known.

use super::notes::noted;
use super::words::{lid_code, state_word, why, words};
use crate::pricing::inspection::grade::RULE;
use crate::pricing::inspection::{Assessment, Job, Lost, Method, OpenGate, Vote};
use crate::trade::Condition;
use crate::trade::Day;
use crate::trade::SizeClass;
use crate::trade::Style;
use crate::trade::Tier;
use crate::trade::inspection::{CheckResult, Item, Measure, Sheet, TyreSize};
use serde::Serialize;

#[derive(Serialize)]
struct Answer<'a> {
    bike: Option<&'a str>,
    style: Option<&'static str>,
    condition: Option<u8>,
    rule: u32,
    points: Option<u32>,
    lost: Vec<LostPoints>,
    lids: Vec<&'static str>,
    condition_when_mended: Option<u8>,
    tier: Option<u8>,
    tier_points: Vec<Fact>,
    size: Size,
    tyres: Tyres,
    ready: bool,
    gates: Vec<Gate<'a>>,
    road_test: &'static str,
    jobs: Vec<&'static str>,
    job_items: Vec<Work>,
    unchecked: &'a [&'static str],
    notes: Vec<NotedItem<'a>>,
    cautions: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    kept: Option<KeptJson>,
}

#[derive(Serialize)]
struct KeptJson {
    on: Option<String>,
    count: usize,
    import: Option<i64>,
}

/// What the book keeps of an own bike.
pub struct Kept {
    /// Day of the inspection told; `None` where there is none.
    pub on: Option<Day>,
    /// Inspections of the bike that are kept.
    pub count: usize,
    /// The import that kept this one just now.
    pub import: Option<i64>,
}

#[derive(Serialize)]
struct LostPoints {
    class: &'static str,
    points: u32,
    by: Vec<Check>,
}

#[derive(Serialize)]
struct Check {
    item: &'static str,
    state: &'static str,
    points: u32,
}

#[derive(Serialize)]
struct Fact {
    item: &'static str,
    word: &'static str,
    tier: Option<u8>,
}

#[derive(Serialize)]
struct Size {
    class: Option<&'static str>,
    near: Option<&'static str>,
    methods: Vec<Way>,
    measure_again: bool,
}

#[derive(Serialize)]
struct Way {
    by: &'static str,
    mm: f64,
    class: &'static str,
    near: Option<&'static str>,
}

#[derive(Serialize)]
struct Tyres {
    front: Option<Tyre>,
    rear: Option<Tyre>,
}

#[derive(Serialize)]
struct Tyre {
    size: String,
    width: u16,
    bead: u16,
    called: Option<&'static str>,
}

#[derive(Serialize)]
struct Gate<'a> {
    item: &'static str,
    state: &'static str,
    why: String,
    measure: Option<String>,
    note: Option<&'a str>,
}

/// A note, whatever became of its item.
#[derive(Serialize)]
struct NotedItem<'a> {
    item: &'static str,
    result: Option<&'static str>,
    note: &'a str,
}

#[derive(Serialize)]
struct Work {
    job: &'static str,
    items: Vec<&'static str>,
    safety: bool,
}

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number is finite.
pub fn json(found: &Assessment, sheet: &Sheet) -> Result<String, serde_json::Error> {
    written(&answer(found, sheet))
}

/// The same of a bike of the book.
///
/// # Errors
/// As above.
pub fn of_own(
    found: &Assessment,
    sheet: &Sheet,
    id: &str,
    kept: &Kept,
) -> Result<String, serde_json::Error> {
    written(&Answer {
        bike: Some(id),
        kept: Some(KeptJson::of(kept)),
        ..answer(found, sheet)
    })
}

/// What is told of a bike of the book that has no inspection.
///
/// # Errors
/// As above.
pub fn none(id: &str, kept: &Kept) -> Result<String, serde_json::Error> {
    written(&serde_json::json!({ "bike": id, "kept": KeptJson::of(kept) }))
}

fn written(answer: &impl Serialize) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(answer).map(|text| text + "\n")
}

impl KeptJson {
    fn of(kept: &Kept) -> Self {
        Self {
            on: kept.on.map(|day| day.to_string()),
            count: kept.count,
            import: kept.import,
        }
    }
}

fn answer<'a>(found: &'a Assessment, sheet: &'a Sheet) -> Answer<'a> {
    let grade = &found.grade;
    Answer {
        bike: sheet.bike(),
        style: sheet.style().map(Style::word),
        condition: found.condition.map(Condition::grade),
        rule: RULE,
        points: found.condition.map(|_| grade.points),
        lost: found
            .condition
            .map_or(Vec::new(), |_| grade.lost.iter().map(class).collect()),
        lids: grade.lids.iter().map(|lid| lid_code(*lid)).collect(),
        condition_when_mended: found.when_mended.map(Condition::grade),
        tier: found.tier.map(Tier::grade),
        tier_points: found.votes.iter().map(fact).collect(),
        size: Size {
            class: found.size.class.map(SizeClass::word),
            near: found.size.near.map(SizeClass::word),
            methods: found.size.methods.iter().map(way).collect(),
            measure_again: found.size.measure_again,
        },
        tyres: Tyres {
            front: sheet.tyre("front tyre size").map(tyre),
            rear: sheet.tyre("rear tyre size").map(tyre),
        },
        ready: found.ready,
        gates: found.gates.iter().map(|open| gate(open, sheet)).collect(),
        road_test: state_word(found.road_test),
        jobs: found.jobs.iter().map(|job| job.job).collect(),
        job_items: found.jobs.iter().map(work).collect(),
        unchecked: &found.unchecked,
        notes: noted(sheet).into_iter().map(note).collect(),
        cautions: found.cautions.iter().map(words).collect(),
        kept: None,
    }
}

fn class(lost: &Lost) -> LostPoints {
    let check = |(item, state, points): &(&'static str, _, u32)| Check {
        item,
        state: state_word(*state),
        points: *points,
    };
    LostPoints {
        class: lost.class.word(),
        points: lost.points,
        by: lost.by.iter().map(check).collect(),
    }
}

fn fact(vote: &Vote) -> Fact {
    Fact {
        item: vote.item,
        word: vote.word,
        tier: vote.tier,
    }
}

fn way(method: &Method) -> Way {
    Way {
        by: method.by,
        mm: method.tenths as f64 / 10.0,
        class: method.class.word(),
        near: method.near.map(SizeClass::word),
    }
}

fn tyre(size: TyreSize) -> Tyre {
    Tyre {
        size: size.to_string(),
        width: size.width,
        bead: size.bead,
        called: size.called(),
    }
}

fn gate<'a>(open: &OpenGate, sheet: &'a Sheet) -> Gate<'a> {
    let finding = sheet.finding(open.item.name);
    Gate {
        item: open.item.name,
        state: open.state.word(),
        why: why(open),
        measure: open.measure.as_ref().map(Measure::to_string),
        note: finding.and_then(|finding| finding.note.as_deref()),
    }
}

fn note<'a>((item, result, note): (&'static Item, Option<CheckResult>, &'a str)) -> NotedItem<'a> {
    NotedItem {
        item: item.name,
        result: result.map(CheckResult::word),
        note,
    }
}

fn work(job: &Job) -> Work {
    Work {
        job: job.job,
        items: job.items.clone(),
        safety: job.safety,
    }
}
