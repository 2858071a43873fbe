//! The jobs that the failed checks ask for.

use super::judging::{Judged, Overruled};

/// A job and the checks that ask for it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// The job: 'new tyres'.
    pub job: &'static str,
    /// The items that failed, in the order of the walk.
    pub items: Vec<&'static str>,
    /// Whether a gate is among them.
    pub safety: bool,
}

/// Of a brake that is not there.
const FIT_A_BRAKE: &str = "fit the missing brake";

/// What mends it: a brake that is not there cannot be adjusted.
fn job_for(one: &Judged) -> Option<&'static str> {
    match (one.overruled, one.item.name) {
        (Some(Overruled::Missing), "front brake" | "rear brake") => Some(FIT_A_BRAKE),
        _ => one.check.job,
    }
}

/// The jobs, each once, in the order of the walk.
pub fn jobs(judged: &[Judged]) -> Vec<Job> {
    let mut jobs: Vec<Job> = Vec::new();
    for one in judged.iter().filter(|one| one.has_failed()) {
        let Some(name) = job_for(one) else {
            continue;
        };
        let gate = super::grade::is_open(one);
        match jobs.iter_mut().find(|job| job.job == name) {
            Some(job) => {
                job.items.push(one.item.name);
                job.safety |= gate;
            }
            None => jobs.push(Job {
                job: name,
                items: vec![one.item.name],
                safety: gate,
            }),
        }
    }
    jobs
}
