//! Lists of jobs and of parts for an offer: which by the first byte, the currency
//! by the second, then the file.

use super::reading::{read, read_soundly};
use super::{TODAY, choice, currency};
use wheelworth::intake::{Jobs, Parts, Settings, with_guard};
use wheelworth::report::export::record_cells;
use wheelworth::trade::{Currency, Job, Part};

pub fn check(data: &[u8]) {
    let [which, how, file @ ..] = data else {
        return;
    };
    let settings = Settings::new(currency(*how), TODAY);
    match choice(*which, 2) {
        0 => jobs(file, &settings),
        _ => parts(file, &settings),
    }
}

fn jobs(file: &[u8], settings: &Settings) {
    let found = read_soundly::<Jobs>(file, settings);
    let jobs: Vec<&Job> = found.records().collect();
    for job in &jobs {
        assert!(!job.name.is_empty() && job.cost.minor() >= 0, "{job:?}");
        assert!(job.spent() <= job.cost && job.hours.is_none_or(|h| (0..=1_000_000).contains(&h)));
        let mut names: Vec<&str> = job.clears.iter().map(|item| item.name).collect();
        assert!(
            job.clears.iter().all(|item| item.as_check().is_some()),
            "{job:?}"
        );
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), job.clears.len(), "{job:?}");
    }
    let again = written(
        "job,cost,hours,from_box,safety,clears,condition_after,tier_after",
        jobs.iter().map(|job| job_cells(job, &settings.currency)),
    );
    let again = read::<Jobs>(&again, settings);
    assert_eq!(again.records().collect::<Vec<_>>(), jobs);
}

fn job_cells(job: &Job, currency: &Currency) -> Vec<String> {
    let yes_or_no = |yes: bool| if yes { "yes" } else { "no" }.to_string();
    let clears: Vec<&str> = job.clears.iter().map(|item| item.name).collect();
    vec![
        with_guard(&job.name).into_owned(),
        currency.plain(job.cost),
        job.hours.map(record_cells::hours).unwrap_or_default(),
        yes_or_no(job.from_box),
        job.safety.map(yes_or_no).unwrap_or_default(),
        clears.join("; "),
        job.condition_after
            .map(|c| c.word().to_string())
            .unwrap_or_default(),
        job.tier_after
            .map(|t| t.word().to_string())
            .unwrap_or_default(),
    ]
}

fn parts(file: &[u8], settings: &Settings) {
    let found = read_soundly::<Parts>(file, settings);
    let parts: Vec<&Part> = found.records().collect();
    for part in &parts {
        assert!(!part.name.is_empty() && part.price.minor() >= 0, "{part:?}");
        assert!((0.0..=1.0).contains(&part.chance), "{part:?}");
    }
    let again = written(
        "part,price,chance",
        parts.iter().map(|part| {
            let chance = format!("{:.8}", part.chance * 100.0);
            // Six decimals are read: of a percentage, that is a millionth of a hundredth.
            let chance = format!("{} %", &chance[..chance.len() - 2]);
            vec![
                with_guard(&part.name).into_owned(),
                settings.currency.plain(part.price),
                chance,
            ]
        }),
    );
    let again = read::<Parts>(&again, settings);
    assert_eq!(again.records().count(), parts.len());
    for (again, part) in again.records().zip(parts) {
        assert_eq!((&again.name, again.price), (&part.name, part.price));
        assert!(
            (again.chance - part.chance).abs() <= 1e-8,
            "{again:?} for {part:?}"
        );
    }
}

/// A file of rows.
fn written(header: &str, rows: impl Iterator<Item = Vec<String>>) -> Vec<u8> {
    let mut file = csv::Writer::from_writer(Vec::new());
    file.write_record(header.split(',')).unwrap();
    for row in rows {
        file.write_record(row).unwrap();
    }
    file.into_inner().unwrap()
}
