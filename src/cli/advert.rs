//! `advert`: the text to post for a bike.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::flag_values::{money, read};
use super::own_bike::own_bike;
use super::workbench::Workbench;
use super::written_file;
use super::{how_written, inspections};
use crate::accounts::on_hand;
use crate::book::Book;
use crate::intake;
use crate::pricing::Records as _;
use crate::pricing::inspection::verdict::latest;
use crate::pricing::inspection::{InspectionVerdict, State, judged};
use crate::report::advert::{Advert, Ready, html, text};
use crate::trade::inspection::Inspection;
use crate::trade::{Bike, CostKind, Day, Sale};
use clap::Args;
use std::path::{Path, PathBuf};

/// Write the text to post for a bike
///
/// From the records alone: what it is, for whom it fits, what was renewed (costs of
/// kind part), whether it was checked, what is not perfect (failed checks of the
/// inspection), and what you ask now. It gives away neither the lowest offer that you
/// would take nor when you will ask less. Read it before you post it.
///
/// Example: wheelworth advert --bike B-104 > advert.txt
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// A bike of the book, by its id
    #[arg(long, value_name = "ID", required_unless_present = "style")]
    pub bike: Option<String>,
    /// What it is built for: road hybrid mountain city cruiser touring folding kids other
    #[arg(long, conflicts_with = "bike")]
    pub style: Option<String>,
    /// Model year, or the years it may be of: 2010..2013
    #[arg(long, value_name = "YEARS", conflicts_with = "bike")]
    pub made: Option<String>,
    /// Condition: 1 donor, 2 project, 3 rider, 4 tidy, 5 mint
    #[arg(long, conflicts_with = "bike")]
    pub condition: Option<String>,
    /// Component tier: 1 basic, 2 sport, 3 club, 4 race, 5 pro
    #[arg(long, conflicts_with = "bike")]
    pub tier: Option<String>,
    /// Seat-tube length: 53, 53cm, 530mm, 20in
    #[arg(long, value_name = "LENGTH", conflicts_with = "bike")]
    pub seat_tube: Option<String>,
    /// What you ask, where the book does not say it
    #[arg(long, value_name = "AMOUNT")]
    pub ask: Option<String>,
    /// Write a sheet to print and hang on the bike, too
    #[arg(long, value_name = "FILE.html")]
    pub html: Option<PathBuf>,
}

/// Prints it.
///
/// # Errors
/// No such bike, a bike that must not be sold, or a file that cannot be written.
pub(super) fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    let bench = Workbench::of(&book, context.as_of)?;
    let settings = how_written::settings(&book, context.as_of)?;
    let ask = money("--ask", arguments.ask.as_ref(), 1, &settings)?;
    let mut advert = match &arguments.bike {
        Some(id) => of_own(&book, &bench, id)?,
        None => Advert {
            bike: by_flags(arguments, context.as_of)?,
            ready: Ready::NotChecked,
            renewed: Vec::new(),
            faults: Vec::new(),
            ask: None,
            currency: bench.currency,
        },
    };
    advert.ask = ask.or(advert.ask);
    if let Some(path) = &arguments.html {
        write_sheet(path, &advert)?;
        writeln!(context.err, "Sheet: {}", path.display())?;
    }
    if advert.ask.is_none() {
        let of_it = arguments.bike.as_ref().map(|id| format!(" --bike {id}"));
        writeln!(
            context.err,
            "No ask is recorded: give --ask, or see 'wheelworth price{}' for what to ask.",
            of_it.unwrap_or_default()
        )?;
    }
    match context.format {
        Format::Text => context.out.write_all(text(&advert).as_bytes())?,
        Format::Json => writeln!(
            context.out,
            "{:#}",
            serde_json::json!({"text": text(&advert)})
        )?,
    }
    Ok(DONE)
}

fn write_sheet(path: &Path, advert: &Advert) -> Result<(), Failure> {
    let is_ours = |file: &mut std::fs::File| written_file::begins_with(file, &[b"<!DOCTYPE html>"]);
    let flag = "file for --html";
    written_file::replace_file(path, html(advert).as_bytes(), is_ours, "no page", flag)
}

fn by_flags(arguments: &Arguments, as_of: Day) -> Result<Bike, Failure> {
    let style = read("--style", arguments.style.as_ref(), intake::parse_style)?;
    let Some(style) = style else {
        return Err(Failure::usage(
            "advert: which bike?",
            "Give --bike ID, or --style.",
        ));
    };
    Ok(Bike {
        made: read("--made", arguments.made.as_ref(), |text| {
            intake::parse_made(text, as_of)
        })?,
        condition: read(
            "--condition",
            arguments.condition.as_ref(),
            intake::parse_condition,
        )?,
        tier: read("--tier", arguments.tier.as_ref(), intake::parse_tier)?,
        seat_tube: read("--seat-tube", arguments.seat_tube.as_ref(), |text| {
            intake::parse_seat_tube_of(text, Some(style))
        })?,
        ..Bike::of(style)
    })
}

/// Of a bike of the book.
fn of_own(book: &Book, bench: &Workbench<'_>, id: &str) -> Result<Advert, Failure> {
    let as_of = bench.as_of;
    let records = &bench.records;
    let sale = own_bike(records, id, as_of)?;
    if let Some(sold) = sale.sold {
        return Err(Failure::refused(
            format!("{id} was sold on {}", sold.on),
            "An advert is for a bike on hand.",
        ));
    }
    let (costs, asks) = (records.costs(), records.ask_changes());
    let standing = on_hand(std::slice::from_ref(&sale), costs, asks, &[], as_of);
    let kept = book.inspections(as_of)?;
    let inspection = latest(&kept, id);
    let verdict = inspection.map(InspectionVerdict::of);
    refuse_what_must_not_be_sold(id, verdict.as_ref())?;
    let mut bike = sale.bike;
    bike.condition = inspections::counts(verdict.as_ref(), bike.condition);
    Ok(Advert {
        bike,
        ready: match &verdict {
            Some(verdict) if !verdict.open_gates.is_empty() => {
                Ready::ForRepair(verdict.open_gates.clone())
            }
            Some(verdict) if verdict.ready => Ready::Checked(verdict.on),
            _ => Ready::NotChecked,
        },
        renewed: renewed(bench, &sale),
        faults: inspection.map_or(Vec::new(), faults),
        ask: standing.first().and_then(|holding| holding.ask),
        currency: bench.currency,
    })
}

fn refuse_what_must_not_be_sold(
    id: &str,
    verdict: Option<&InspectionVerdict>,
) -> Result<(), Failure> {
    let Some(verdict) = verdict else {
        return Ok(());
    };
    if verdict.may_be_stolen {
        return Err(Failure::refused(
            format!(
                "{id}: its serial number was missing, scratched out or on a list of stolen bikes on {}",
                verdict.on
            ),
            "Do not sell it before the police or the keeper of the list has said whose it is.",
        ));
    }
    if verdict.is_only_parts() {
        return Err(Failure::refused(
            format!("{id}: its frame had failed on {}", verdict.on),
            "It is good only for its parts: take it apart and scrap the frame.",
        ));
    }
    Ok(())
}

/// Parts that were put on, in the words of the costs, each once.
fn renewed(bench: &Workbench<'_>, sale: &Sale) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    let costs = bench.records.costs().iter().filter(|cost| {
        cost.kind == CostKind::Part
            && cost.on <= bench.as_of
            && cost.bike.as_deref() == Some(&sale.id)
    });
    for item in costs.filter_map(|cost| cost.item.clone()) {
        if !said.contains(&item) {
            said.push(item);
        }
    }
    said
}

/// Failed checks that keep nobody from riding, with what was noted of them.
fn faults(inspection: &Inspection) -> Vec<String> {
    let failed = judged(&inspection.sheet).into_iter();
    let failed = failed.filter(|one| one.state == State::Fail && !one.item.is_gate());
    let said = failed.map(|one| {
        let finding = inspection.sheet.finding(one.item.name);
        match finding.and_then(|finding| finding.note.as_deref()) {
            Some(note) if !note.trim().is_empty() => format!("{} ({})", one.item.name, note.trim()),
            _ => one.item.name.to_string(),
        }
    });
    said.collect()
}
