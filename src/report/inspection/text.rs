//! An inspection as text: what it is, whether it may be ridden, what to do.

use super::notes::{ITEMS, notes};
use super::words::{NAMED, lid_words, limit_words, size_words, state_word, why, words};
use crate::pricing::inspection::{Assessment, Job, Lid, State, Vote};
use crate::report::quote::caution_words::not_passed;
use crate::report::text::counts::{first, listed};
use crate::report::text::table::{Column, Table};
use crate::report::text::wrap::{UNBROKEN, numbered};
use crate::trade::Condition;
use crate::trade::inspection::measure::decimal;
use crate::trade::inspection::{CheckResult, Measure, Sheet, item};
use std::fmt::Write as _;

/// The whole answer. `name` is the bike's, or the file's where it has none.
pub fn text(found: &Assessment, sheet: &Sheet, name: &str) -> String {
    whole(found, sheet, name, &price(found, sheet))
}

/// The same of a bike of the book.
pub fn of_own(found: &Assessment, sheet: &Sheet, id: &str) -> String {
    let price = format!("wheelworth price --bike {id}");
    whole(found, sheet, id, &price)
}

/// `price`: the command that prices it.
fn whole(found: &Assessment, sheet: &Sheet, name: &str, price: &str) -> String {
    let mut out = String::new();
    head(&mut out, found, sheet, name);
    gates(&mut out, found, sheet);
    jobs(&mut out, found, sheet);
    notes(&mut out, found, sheet);
    condition(&mut out, found);
    tier(&mut out, found);
    size(&mut out, found);
    tyres(&mut out, sheet);
    next(&mut out, found, price);
    let _ = writeln!(out, "\nCautions");
    numbered(&mut out, UNBROKEN, found.cautions.iter().map(words));
    out
}

fn graded(condition: Condition) -> String {
    format!("{} {condition}", condition.grade())
}

fn head(out: &mut String, found: &Assessment, sheet: &Sheet, name: &str) {
    let style = sheet
        .style()
        .map_or("style not given".to_string(), |style| style.to_string());
    let condition = found.condition.map_or("condition not known".into(), |c| {
        format!("condition {}", graded(c))
    });
    let tier = found.tier.map_or("tier not known".into(), |t| {
        format!("tier {} {t}", t.grade())
    });
    let size = size_words(found.size.class, found.size.near);
    let _ = writeln!(out, "{name}: {style}, {condition}, {tier}, size {size}");
    if found.may_be_stolen() {
        let _ = writeln!(
            out,
            "DO NOT SELL IT: its serial number is missing, scratched out or on a list of stolen bikes."
        );
        if found.ready {
            return;
        }
    }
    let verdict = match (found.ready, found.condition, found.gates.len()) {
        (true, ..) => {
            let faults = if found.jobs.is_empty() {
                ""
            } else {
                " It has faults: see the jobs."
            };
            format!(
                "Ready to ride as far as this sheet goes: every safety check and the road test have passed.{faults}"
            )
        }
        (false, None, _) => "NOT INSPECTED: do not ride. Fill in the sheet.".into(),
        _ if found.grade.lids.contains(&Lid::Frame) => {
            "NOT READY: the frame has failed. Do not ride: it is good only for its parts.".into()
        }
        (false, _, 0) => {
            "NOT READY: every safety check has passed, but there is no road test yet.".into()
        }
        (false, _, open) => format!("NOT READY: {}: do not ride.", not_passed(open)),
    };
    let _ = writeln!(out, "{verdict}");
}

fn note(sheet: &Sheet, item: &str) -> String {
    let note = sheet
        .finding(item)
        .and_then(|finding| finding.note.as_ref());
    note.map_or(String::new(), |note| format!(" ({note})"))
}

fn gates(out: &mut String, found: &Assessment, sheet: &Sheet) {
    // Of a sheet that nobody has filled in there is nothing to say of each.
    let any = found
        .gates
        .iter()
        .any(|gate| gate.state != CheckResult::Unchecked);
    if found.gates.is_empty() || (found.condition.is_none() && !any) {
        return;
    }
    let _ = writeln!(
        out,
        "\nSafety checks not passed, and what asks for each (16 CFR 1512: the bicycle rule of the United States; ISO \
         4210: the international standard)"
    );
    let mut table = Table::new(ITEMS);
    for gate in &found.gates {
        let name = gate.item.name;
        let why = format!("{}{}", why(gate), note(sheet, name));
        table.row([name.to_string(), gate.state.to_string(), why]);
    }
    table.write(out);
}

fn jobs(out: &mut String, found: &Assessment, sheet: &Sheet) {
    if found.jobs.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nJobs");
    let mut table = Table::new([
        Column::broken(16).after("  "),
        Column::broken(20).after("  "),
    ]);
    for job in &found.jobs {
        let items: Vec<String> = job
            .items
            .iter()
            .map(|name| {
                let safety = found.gates.iter().any(|gate| gate.item.name == *name);
                // The notes of gates stand above.
                let note = if safety {
                    String::new()
                } else {
                    note(sheet, name)
                };
                format!("{name}{note}")
            })
            .collect();
        let safety = if job.safety {
            "; safety, not optional"
        } else {
            ""
        };
        let what = format!("for {}{safety}", items.join(", "));
        table.row([job.job.to_string(), what]);
    }
    table.write(out);
}

fn condition(out: &mut String, found: &Assessment) {
    let Some(condition) = found.condition else {
        return;
    };
    let grade = &found.grade;
    let lids: Vec<&str> = grade
        .lids
        .iter()
        .filter(|lid| lid.most() < grade.by_points.grade())
        .map(|lid| lid_words(*lid))
        .collect();
    let lids = if lids.is_empty() {
        String::new()
    } else {
        format!(", but {}", lids.join(", "))
    };
    let _ = writeln!(out, "\nCondition {}", graded(condition));
    let _ = writeln!(
        out,
        "  {} of 100 points lost: by those alone it would be {}{lids}",
        grade.points,
        graded(grade.by_points)
    );
    let mut table = Table::new([
        Column::left(17).after("  "),
        Column::right(3),
        Column::broken(20).after("  "),
    ]);
    for lost in &grade.lost {
        let by = lost.by.iter().map(|(item, state, cost)| {
            let state = match state {
                State::Fail => String::new(),
                other => format!(" {}", state_word(*other)),
            };
            format!("{item}{state} {cost}")
        });
        let by: Vec<String> = by.collect();
        let sum: u32 = lost.by.iter().map(|(_, _, cost)| cost).sum();
        let most = if sum > lost.points {
            " (no more in this class)"
        } else {
            ""
        };
        let by = format!("{}{most}", by.join(", "));
        table.row([lost.class.to_string(), lost.points.to_string(), by]);
    }
    table.write(out);
    if let Some(repaired) = found.when_mended {
        let _ = writeln!(
            out,
            "  With the jobs done and checked: {}, if nothing else is found.",
            graded(repaired)
        );
    }
}

fn tier(out: &mut String, found: &Assessment) {
    if found.votes.is_empty() {
        return;
    }
    let tier = found.tier.map_or("not known".into(), |tier| {
        format!("{} {tier}", tier.grade())
    });
    let says = |vote: &Vote| match vote.tier {
        Some(tier) => format!("{} {} {tier}", vote.item, vote.word),
        None => format!("{} {} says nothing", vote.item, vote.word),
    };
    let votes: Vec<String> = found.votes.iter().map(says).collect();
    let _ = writeln!(out, "\nTier {tier}\n  {}", votes.join(", "));
}

fn size(out: &mut String, found: &Assessment) {
    if found.size.methods.is_empty() {
        return;
    }
    let size = &found.size;
    let _ = writeln!(out, "\nSize {}", size_words(size.class, size.near));
    let mut table = Table::new([Column::left(9).after("  by "), Column::broken(20)]);
    for method in &size.methods {
        let length = Measure::Length(method.tenths);
        let class = size_words(Some(method.class), method.near);
        table.row([method.by.to_string(), format!("{length}: {class}")]);
    }
    table.write(out);
}

fn tyres(out: &mut String, sheet: &Sheet) {
    for (end, name) in [("Front", "front tyre size"), ("Rear", "rear tyre size")] {
        if let Some(tyre) = sheet.tyre(name) {
            let called = tyre
                .called()
                .map_or(String::new(), |called| format!(": {called}"));
            let gap = if end == "Front" { "\n" } else { "" };
            let _ = writeln!(
                out,
                "{gap}{end} tyre {tyre}, {} mm wide on a bead of {} mm{called}",
                tyre.width, tyre.bead
            );
        }
    }
}

fn next(out: &mut String, found: &Assessment, price: &str) {
    let _ = writeln!(out, "\nWhat to do next");
    numbered(out, UNBROKEN, steps(found, price));
}

/// What to do, in order.
fn steps(found: &Assessment, price: &str) -> Vec<String> {
    if found.may_be_stolen() {
        return vec![
            "Ask the police or the keeper of the list whose it is, before you spend anything on it.".into(),
        ];
    }
    if found.grade.lids.contains(&Lid::Frame) {
        return vec![
            "Take it apart: do not spend on it. Mark the frame so that nobody builds it up.".into(),
        ];
    }
    let mut steps = Vec::new();
    let unchecked = found.gates.iter().filter(|g| g.state.word() == "unchecked");
    let unchecked: Vec<&str> = unchecked.map(|gate| gate.item.name).collect();
    if !unchecked.is_empty() {
        let how = match item(unchecked[0]).and_then(|item| item.as_check()?.limit) {
            Some(limit) if unchecked.len() == 1 => format!(" (limit {})", limit_words(&limit)),
            _ => String::new(),
        };
        let items = first(&unchecked, NAMED);
        steps.push(format!("Look at {items}{how}: the sheet says how."));
    }
    let (safety, others): (Vec<&Job>, Vec<&Job>) = found.jobs.iter().partition(|job| job.safety);
    let names = |jobs: &[&Job]| listed(&jobs.iter().map(|job| job.job).collect::<Vec<_>>());
    if !safety.is_empty() {
        steps.push(format!("Do the safety jobs: {}.", names(&safety)));
    }
    if !others.is_empty() {
        let names = names(&others);
        steps.push(format!("Weigh the others against their cost: {names}."));
    }
    if !found.gates.is_empty() {
        steps.push("Inspect it again and fill in a new sheet: a repaired check counts as passed only after a \
                        new look.".into());
    }
    if found.road_test != State::Pass {
        steps.push("With every safety check passed, ride the road test and note it.".into());
    }
    if found.ready {
        steps.push(format!("Price it: {price}"));
    }
    steps
}

/// The command that prices the bike, with what the sheet knows.
fn price(found: &Assessment, sheet: &Sheet) -> String {
    let style = sheet.style().map_or("STYLE", |style| style.word());
    let mut words = format!("wheelworth price --style {style}");
    if let Some(condition) = found.condition {
        let _ = write!(words, " --condition {}", condition.grade());
    }
    if let Some(tier) = found.tier {
        let _ = write!(words, " --tier {}", tier.grade());
    }
    if let Some(tenths) = sheet.length("seat tube") {
        let _ = write!(words, " --seat-tube {}mm", decimal(tenths, 10));
    } else if let Some(class) = sheet.size() {
        let _ = write!(words, " --seat-tube {class}");
    }
    words
}
