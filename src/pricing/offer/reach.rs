//! What a set of jobs makes of a bike: the rule.
//!
//! A grade is a threshold of several faults: one that is left keeps the bike down,
//! however well the others are mended. So:
//!
//! * A bike reaches a condition when every safety job, and every job with that
//!   `condition_after` or a lower one, is done; otherwise it stays below.
//! * Where no job has a `condition_after` and there is an inspection sheet, the
//!   sheet is graded again with what the jobs clear counted as passed.
//! * A tier is reached with any job that has it as its `tier_after`.
//! * While a mechanical fault that the sheet found is not cleared, it is a rider at
//!   best, whatever its jobs say.
//! * While a gate is open it stays as it was found, and that is a project at best.

use crate::pricing::inspection::assess;
use crate::pricing::inspection::judging::{is_fault, judged as judged_checks};
use crate::trade::inspection::{CheckResult, Finding, Item, Sheet};
use crate::trade::{Bike, Condition, Job, Tier};

/// Condition and tier that a bike has.
pub type Grades = (Option<Condition>, Option<Tier>);

/// The best condition with a mechanical fault, as the inspection grades it.
const WITH_A_FAULT: Condition = Condition::Rider;

/// A bike as found, and what could be done to it.
#[derive(Clone, Debug)]
pub struct Reach<'a> {
    jobs: &'a [Job],
    sheet: Option<&'a Sheet>,
    /// As found, under what open gates allow.
    pub found: Grades,
    /// The jobs that are not optional, a bit each.
    pub safety: u32,
    /// Gates of the sheet that are open.
    pub open: Vec<&'static Item>,
    /// Those of them that no job clears.
    pub left_open: Vec<&'static Item>,
    /// Those of `open` that have failed, not only been left unchecked.
    failed: Vec<&'static str>,
    /// Mechanical faults of the sheet that are no gates.
    faults: Vec<&'static Item>,
}

impl<'a> Reach<'a> {
    /// The bike as found; `jobs` are 32 at most.
    pub fn new(bike: &Bike, jobs: &'a [Job], sheet: Option<&'a Sheet>) -> Self {
        let judged = sheet.map(assess);
        let gates = judged.iter().flat_map(|found| &found.gates);
        let open: Vec<&'static Item> = gates.map(|gate| gate.item).collect();
        let failed = judged.iter().flat_map(|found| &found.gates);
        let failed = failed
            .filter(|gate| gate.state == CheckResult::Fail)
            .map(|gate| gate.item.name)
            .collect();
        let checks = sheet.map_or(Vec::new(), judged_checks);
        let faults = checks
            .iter()
            .filter(|one| is_fault(&one.check) && one.has_failed())
            .map(|one| one.item)
            .collect();
        let cleared = |item: &Item| jobs.iter().any(|job| clears(job, item));
        let left_open: Vec<&'static Item> =
            open.iter().copied().filter(|item| !cleared(item)).collect();
        let is_safety = |job: &Job| match (job.safety, sheet) {
            (Some(true), _) => true,
            // What the sheet says goes before what the list says.
            (_, Some(_)) => open.iter().any(|item| clears(job, item)),
            (Some(false), None) => false,
            (None, None) => job.clears_a_gate(),
        };
        let safety = (0..jobs.len())
            .filter(|i| is_safety(&jobs[*i]))
            .fold(0, |set, i| set | 1 << i);
        let by_sheet = judged.as_ref().and_then(|found| found.condition);
        let lid = judged
            .as_ref()
            .and_then(|found| Condition::from_grade(found.lid()?.most()));
        let lid = match (safety != 0 || !open.is_empty(), lid) {
            (true, lid) => Some(lid.map_or(Condition::Project, |l| l.min(Condition::Project))),
            (false, lid) => lid,
        };
        let given = bike.condition.or(by_sheet);
        let condition = match (given, lid) {
            (Some(given), Some(lid)) => Some(given.min(lid)),
            (None, Some(lid)) if lid <= Condition::Project => Some(lid),
            (given, _) => given,
        };
        let by_sheet = judged.as_ref().and_then(|found| found.tier);
        Self {
            jobs,
            sheet,
            found: (condition, bike.tier.or(by_sheet)),
            safety,
            open,
            left_open,
            failed,
            faults,
        }
    }

    /// The order in which jobs are taken to be done when what they add is told:
    /// those of safety first, then towards one condition after another.
    pub fn rank(&self, job: usize) -> usize {
        let after = self.jobs[job].condition_after;
        match self.safety & (1 << job) {
            0 => after.map_or(1 + Condition::ALL.len(), |after| usize::from(after.grade())),
            _ => 0,
        }
    }

    /// Gates that have failed and that no job clears.
    pub fn failed_for_good(&self) -> Vec<&'static str> {
        let names = self.left_open.iter().map(|item| item.name);
        names.filter(|name| self.failed.contains(name)).collect()
    }

    /// What the jobs in `set`, a bit each, make of it.
    pub fn after(&self, set: u32) -> Grades {
        (self.condition(set), self.tier(set))
    }

    fn chosen(&self, set: u32) -> impl Iterator<Item = &'a Job> {
        let jobs = self.jobs;
        (0..jobs.len())
            .filter(move |i| set & (1 << i) != 0)
            .map(|i| &jobs[i])
    }

    fn tier(&self, set: u32) -> Option<Tier> {
        let fitted = self.chosen(set).filter_map(|job| job.tier_after).max();
        self.found.1.max(fitted)
    }

    fn condition(&self, set: u32) -> Option<Condition> {
        let found = self.found.0;
        if !self.left_open.is_empty() || set & self.safety != self.safety {
            return found;
        }
        if !self.has_conditions() {
            return self.regraded(set).max(found);
        }
        let levels = Condition::ALL.iter().copied();
        let mut reached = found;
        for level in levels.filter(|level| found.is_none_or(|found| *level > found)) {
            let mut of_level =
                (0..self.jobs.len()).filter(|i| self.jobs[*i].condition_after == Some(level));
            let mut any = false;
            if !of_level.all(|i| {
                any = true;
                set & (1 << i) != 0
            }) {
                break;
            }
            if any {
                reached = Some(level);
            }
        }
        let faulty = self.faults.iter().any(|item| !self.cleared_by(set, item));
        match reached {
            Some(level) if faulty => Some(level.min(WITH_A_FAULT)).max(found),
            reached => reached,
        }
    }

    fn cleared_by(&self, set: u32, item: &Item) -> bool {
        self.chosen(set).any(|job| clears(job, item))
    }

    /// Whether the jobs promise more than a bike with a mechanical fault can be.
    fn promises(&self) -> bool {
        let more = |job: &Job| job.condition_after > Some(WITH_A_FAULT);
        self.jobs.iter().any(more)
    }

    /// Whether a job clears a mechanical fault that keeps the bike from what the
    /// jobs promise.
    pub fn clears_a_fault(&self, job: &Job) -> bool {
        self.promises() && self.faults.iter().any(|item| clears(job, item))
    }

    /// Mechanical faults that no job clears, where the jobs promise more than a bike
    /// with such a fault can be.
    pub fn faults_left(&self) -> Vec<&'static str> {
        if !self.promises() {
            return Vec::new();
        }
        let left = self.faults.iter();
        let left = left.filter(|item| !self.jobs.iter().any(|job| clears(job, item)));
        left.map(|item| item.name).collect()
    }

    /// Whether the list says which conditions are reached.
    pub fn has_conditions(&self) -> bool {
        self.jobs.iter().any(|job| job.condition_after.is_some())
    }

    /// Whether conditions come from the sheet.
    pub fn regrades(&self) -> bool {
        self.sheet.is_some() && !self.has_conditions()
    }

    /// The sheet's condition with what is cleared counted as passed.
    fn regraded(&self, set: u32) -> Option<Condition> {
        let mut sheet = self.sheet?.clone();
        for item in self.chosen(set).flat_map(|job| &job.clears) {
            sheet.put(item, Finding::of(CheckResult::Pass));
        }
        assess(&sheet).condition
    }
}

fn clears(job: &Job, item: &Item) -> bool {
    job.clears.iter().any(|cleared| cleared.name == item.name)
}
