//! Who was under watch when something happened.

use super::problem::DurationProblem;

/// One life with its end shared among two causes. Times are ages, counted
/// from the start of that life, not days of the calendar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Course {
    /// Age at first sight; 0 unless it was found late.
    pub entry: f64,
    /// Age at last sight.
    pub exit: f64,
    /// How much of the end belongs to each cause: 0 to 1, together at most 1.
    /// What is left of 1 is no event: the life was merely lost from sight.
    pub events: [f64; 2],
    /// How many such lives the row stands for.
    pub weight: f64,
}

/// What happened at one age.
#[derive(Clone, Copy, Debug)]
pub(in crate::statistics) struct Moment {
    pub time: f64,
    /// Weight of the lives under watch just before.
    pub at_risk: f64,
    /// Weight of the events of each cause.
    pub events: [f64; 2],
    /// Weight left after the events; exactly 0 when nobody is.
    pub left: f64,
}

/// The ages with events, earliest first, and the sums over all lives.
#[derive(Debug)]
pub(in crate::statistics) struct RiskSets {
    pub moments: Vec<Moment>,
    pub lives: f64,
    pub events: [f64; 2],
    pub last: f64,
}

/// A remainder of the weight below this share of the whole is rounding of sums
/// of up to some 100,000 weights.
const ROUNDING: f64 = 1e-12;

/// Under watch at age t are the lives with `entry < t <= exit`, so a life lost
/// from sight at t still counts at t. A life with `exit <= entry` was seen for
/// no time and is passed over.
pub(in crate::statistics) fn risk_sets(
    courses: impl Iterator<Item = Course>,
) -> Result<RiskSets, DurationProblem> {
    let mut seen = Vec::with_capacity(courses.size_hint().0);
    for (row, course) in courses.enumerate() {
        check(row, &course)?;
        if course.exit > course.entry && course.weight > 0.0 {
            seen.push(course);
        }
    }
    seen.sort_unstable_by(|a, b| a.exit.total_cmp(&b.exit));
    let last = seen.last().ok_or(DurationProblem::Nothing)?.exit;
    let mut entries: Vec<(f64, f64)> = seen.iter().map(|c| (c.entry, c.weight)).collect();
    entries.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let lives: f64 = seen.iter().map(|c| c.weight).sum();

    let mut moments = Vec::new();
    let mut total = [0.0; 2];
    let mut entries = entries.into_iter().peekable();
    let (mut entered, mut gone) = (0.0, 0.0);
    for tied in seen.chunk_by(|a, b| a.exit == b.exit) {
        let Some(time) = tied.first().map(|c| c.exit) else {
            continue;
        };
        while let Some((_, weight)) = entries.next_if(|(entry, _)| *entry < time) {
            entered += weight;
        }
        let mut events = [0.0; 2];
        let mut leaving = 0.0;
        for course in tied {
            events[0] += course.weight * course.events[0];
            events[1] += course.weight * course.events[1];
            leaving += course.weight;
        }
        let all = events[0] + events[1];
        if all > 0.0 {
            let at_risk = f64::max(entered - gone, leaving);
            let over = at_risk - all;
            moments.push(Moment {
                time,
                at_risk,
                events,
                left: if over > ROUNDING * lives { over } else { 0.0 },
            });
        }
        gone += leaving;
        total[0] += events[0];
        total[1] += events[1];
    }
    Ok(RiskSets {
        moments,
        lives,
        events: total,
        last,
    })
}

fn check(row: usize, course: &Course) -> Result<(), DurationProblem> {
    let bad = |what, value, rule| {
        Err(DurationProblem::Number {
            row,
            what,
            value,
            rule,
        })
    };
    for (what, value) in [
        ("entry", course.entry),
        ("exit", course.exit),
        ("weight", course.weight),
    ] {
        if !(value.is_finite() && value >= 0.0) {
            return bad(what, value, "it must be finite and not negative");
        }
    }
    for value in course.events {
        if !(0.0..=1.0).contains(&value) {
            return bad("event", value, "it must lie from 0 to 1");
        }
    }
    let all = course.events[0] + course.events[1];
    if all > 1.0 + ROUNDING {
        return bad("events", all, "together they must not exceed 1");
    }
    Ok(())
}
