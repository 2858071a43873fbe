//! `demo`: a book filled with invented data, and the main job run on it.

use super::context::{Context, DEFAULT_BOOK, DONE, Surroundings};
use super::failure::Failure;
use super::typed::quoted;
use crate::trade::Day;
use clap::Args;
use std::ffi::OsString;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Fill a book with invented data and run the main job on it
///
/// Example: wheelworth demo
#[derive(Debug, Args)]
pub(super) struct Demo {
    /// The folder to make [default: wheelworth-demo, or the next free name]
    #[arg(value_name = "FOLDER")]
    pub folder: Option<PathBuf>,
}

/// The shipped files: name and content.
const FILES: [(&str, &str); 11] = [
    ("sales.csv", include_str!("../../datasets/sales.csv")),
    ("asks.csv", include_str!("../../datasets/asks.csv")),
    ("costs.csv", include_str!("../../datasets/costs.csv")),
    ("gifts.csv", include_str!("../../datasets/gifts.csv")),
    ("comps.csv", include_str!("../../datasets/comps.csv")),
    ("bikes.csv", include_str!("../../datasets/bikes.csv")),
    ("found.csv", include_str!("../../datasets/cellar/found.csv")),
    ("jobs.csv", include_str!("../../datasets/cellar/jobs.csv")),
    ("parts.csv", include_str!("../../datasets/cellar/parts.csv")),
    ("spent.csv", include_str!("../../datasets/cellar/spent.csv")),
    (
        "repaired.csv",
        include_str!("../../datasets/cellar/repaired.csv"),
    ),
];

/// The main job, as typed. A word that begins with @ is a file.
const MAIN_JOB: [&str; 14] = [
    "start --currency EUR --beneficiary Ferry\u{a0}Lane\u{a0}Reading\u{a0}Room --give net",
    "import sales @sales.csv",
    "import comps @comps.csv",
    "import asks @asks.csv",
    "import costs @costs.csv",
    "import gifts @gifts.csv",
    "price --style hybrid --made 2016 --condition tidy --tier sport --seat-tube 53cm --cost 64.50 \
     --hours 6 --chart @hybrid.svg",
    "price --from @bikes.csv",
    "price --bike B-49",
    "market --charts @pictures",
    "accuracy --charts @pictures",
    "stock",
    "quarter 2026-Q1 --html @report.html",
    "pocket @pocket.html --margin 40",
];

/// One bike from found to sold: day and line. A word that begins with @ is a file.
const FOUND_TO_SOLD: [(Day, &str); 10] = [
    (DAY, "inspect @found.csv"),
    (
        DAY,
        "offer --sheet @found.csv --made 2009 --jobs @jobs.csv --parts @parts.csv --margin 20 --asking 25 --bike B-50 \
         --chart @offer.svg",
    ),
    (
        DAY,
        "record sale --bike B-50 --style touring --made 2009 --condition 2 --tier 2 --seat-tube 21in --bought-on \
         2026-05-02 --purchase 25",
    ),
    (MENDED, "import costs @spent.csv"),
    (MENDED, "inspect @repaired.csv --bike B-50"),
    (MENDED, "record sale --bike B-50 --condition 4 --hours 5.5"),
    (MENDED, "price --bike B-50"),
    (
        MENDED,
        "record sale --bike B-50 --listed-on 2026-05-10 --ask 240",
    ),
    (
        SOLD,
        "record sale --bike B-50 --sold-on 2026-06-13 --sold-price 205",
    ),
    (SOLD, "offer --kept"),
];

/// The day on which the invented records end.
const DAY: Day = Day::constant(2026, 5, 2);
/// The day on which the bike from the cellar is ready.
const MENDED: Day = Day::constant(2026, 5, 10);
/// The day on which it is sold.
const SOLD: Day = Day::constant(2026, 6, 13);

/// Runs a command line: its words, where results and everything else go, the day.
pub(super) type RunLine<'a> =
    dyn FnMut(Vec<OsString>, &mut dyn Write, &mut dyn Write, &Surroundings) -> u8 + 'a;

/// Makes the folder, runs each step and shows what it ran.
///
/// # Errors
/// The folder cannot be made or written, or a step fails.
pub(super) fn run(
    context: &mut Context<'_>,
    arguments: &Demo,
    run_line: &mut RunLine<'_>,
) -> Result<u8, Failure> {
    let was_there = arguments.folder.as_deref().is_some_and(Path::exists);
    let folder = make_folder(arguments.folder.as_deref())?;
    if let Err(failure) = write_files(&folder) {
        // Nothing half written stays; it was empty before.
        for (name, _) in FILES {
            let _ = fs::remove_file(folder.join(name));
        }
        if !was_there {
            let _ = fs::remove_dir(&folder);
        }
        return Err(failure);
    }
    writeln!(
        context.out,
        "An invented workshop, in {}: its own bikes and their costs, what it has given, and the comps it has seen. Nobody \
         and nothing in it is real.",
        folder.display()
    )?;
    let at = |name: &str| folder.join(name).display().to_string();
    let book = at("shed.sqlite");
    let word = |word: &str| match word.strip_prefix('@') {
        Some(name) => at(name),
        None => word.into(),
    };
    let mut step = |context: &mut Context<'_>, day: Day, line: &str| {
        // A name of several words is written with blanks that do not part it.
        let words = line
            .split(' ')
            .map(|part| word(part).replace('\u{a0}', " "));
        let words = words.collect();
        run_step(context, run_line, &book, day, words)
    };
    for line in MAIN_JOB {
        step(context, DAY, line)?;
    }
    writeln!(
        context.out,
        "\nOne bike from found to sold: a touring bike in a damp cellar, for which its owner wants 25."
    )?;
    for (day, line) in FOUND_TO_SOLD {
        step(context, day, line)?;
    }
    writeln!(
        context.out,
        "\nThe files are in {}: open report.html, pocket.html, hybrid.svg, offer.svg and those in pictures in a browser, and repeat any step above \
         with other values.\n\
         Your own book: wheelworth start --currency CODE",
        folder.display()
    )?;
    Ok(DONE)
}

fn write_files(folder: &Path) -> Result<(), Failure> {
    for (name, content) in FILES {
        let path = folder.join(name);
        fs::write(&path, content).map_err(|e| cannot(&path, &e))?;
    }
    Ok(())
}

/// Shows a step as one would type it, and runs it.
fn run_step(
    context: &mut Context<'_>,
    run_line: &mut RunLine<'_>,
    book: &str,
    day: Day,
    step: Vec<String>,
) -> Result<(), Failure> {
    let mut line: Vec<String> = vec!["wheelworth".into(), "--book".into(), book.into()];
    line.extend(["--as-of".to_string(), day.to_string()]);
    line.extend(step);
    writeln!(
        context.out,
        "\n$ {}",
        line.iter().map(|w| quoted(w)).collect::<Vec<_>>().join(" ")
    )?;
    let surroundings = Surroundings {
        today: day,
        progress: context.progress,
        columns: context.columns,
        usual_book: DEFAULT_BOOK.into(),
    };
    let line: Vec<OsString> = line.iter().map(OsString::from).collect();
    let code = run_line(line, context.out, context.err, &surroundings);
    if code != DONE {
        return Err(Failure::refused(
            format!("the demo stopped at a step that ended with status {code}"),
            "The message above says why.",
        ));
    }
    Ok(())
}

/// The named folder, which must not hold anything yet, or the next free one.
fn make_folder(named: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(folder) = named {
        let empty = fs::read_dir(folder).map_or(true, |mut entries| entries.next().is_none());
        if !empty {
            return Err(Failure::refused(
                format!("{}: is not empty", folder.display()),
                "Name a new folder, so that nothing of yours is overwritten.",
            ));
        }
        fs::create_dir_all(folder).map_err(|e| cannot(folder, &e))?;
        return Ok(folder.to_path_buf());
    }
    for number in 1..1000 {
        let name = if number == 1 {
            "wheelworth-demo".to_string()
        } else {
            format!("wheelworth-demo-{number}")
        };
        match fs::create_dir(&name) {
            Ok(()) => return Ok(PathBuf::from(name)),
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(cannot(Path::new(&name), &e)),
        }
    }
    Err(Failure::refused(
        "there are 999 demo folders here",
        "Name a folder: wheelworth demo FOLDER.",
    ))
}

fn cannot(path: &Path, error: &std::io::Error) -> Failure {
    Failure::refused(
        format!("{}: cannot be written: {error}", path.display()),
        "Run the demo in a folder of your own.",
    )
}
