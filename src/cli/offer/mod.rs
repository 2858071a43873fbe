//! `offer`: what to pay for a bike as found, and which jobs pay.

pub(super) mod files;
pub(super) mod flags;
pub(super) mod kept;

use super::chart_file::{self, FLAG as CHART};
use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::flag_values::{check_level, money, read};
use super::own_guess;
use super::workbench::Workbench;
use super::{date_code, grade_flags, how_written, inspection_sheet, past_offers, wishes};
use crate::book::Book;
use crate::intake::{self, Settings};
use crate::pricing::asking::Detail;
use crate::pricing::design::base;
use crate::pricing::inspection::{State, judged};
use crate::pricing::offer::{self, OfferQuestion, Terms};
use crate::pricing::quote::Selling;
use crate::report::offer::{charts, json, text};
use crate::trade::inspection::Sheet;
use crate::trade::{Bike, Job, Money, SeatTube};
use files::Files;
use flags::Offer as Arguments;
use kept::{Kept, Own};

/// Makes the offer and prints it.
pub(super) fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
    if arguments.kept {
        return kept::show(context, arguments.bike.as_deref());
    }
    check_level(arguments.level)?;
    if let Some(path) = &arguments.chart {
        chart_file::check_name(path)?;
    }
    let mut book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let own = match &arguments.bike {
        Some(id) => Some(kept::own(&book, id, context)?),
        None => None,
    };
    let settings = how_written::settings(&book, context.as_of)?;
    let (question, note) = question(context, arguments, own.as_ref(), &settings)?;
    if let Some(note) = note {
        writeln!(context.err, "{note}")?;
    }
    let question = OfferQuestion {
        learnt: past_offers::learnt(&book, context.as_of)?,
        ..question
    };
    let bench = Workbench::of(&book, context.as_of)?;
    let wishes = wishes::wishes(&arguments.wishes, &bench, context.err)?;
    let models = bench.models(None, None)?;
    let source = bench.source(models.value.as_ref());
    let selling = Selling {
        time: &models.time,
        wishes,
        detail: Detail::PlanAlone,
    };
    let base = base::standard_base(context.as_of);
    let answer = offer::offer(&source, bench.priors, &question, &base, &selling);
    if let Some(path) = &arguments.chart {
        if answer.as_found.value.is_some() {
            let svg = charts::draw(&answer, &currency)
                .map_err(|e| chart_file::cannot(path, CHART, &e))?;
            chart_file::write(path, &svg, CHART)?;
            writeln!(context.err, "Chart: {}", path.display())?;
        } else {
            writeln!(context.err, "No chart: there is no value to draw.")?;
        }
    }
    drop(bench);
    let keep = |own: &Own| kept::keep(&mut book, own, &question, &answer, context.as_of);
    let kept = own.as_ref().map(keep).transpose()?;
    let text = match context.format {
        Format::Text => {
            let kept = kept.map_or(String::new(), |kept| format!("\n{}\n", kept.ending()));
            text::text(&answer, arguments.why, context.as_of, &currency) + &kept
        }
        Format::Json => {
            let kept = kept.as_ref().and_then(Kept::for_json);
            json::json(&answer, kept, context.as_of, &currency).map_err(Failure::unwritten)?
        }
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

fn question(
    context: &mut Context<'_>,
    arguments: &Arguments,
    own: Option<&Own>,
    settings: &Settings,
) -> Result<(OfferQuestion, Option<String>), Failure> {
    let sheet = match &arguments.sheet {
        Some(file) => Some(inspection_sheet::read(context.as_of, &[], &[], file)?),
        None => own.and_then(|own| own.sheet.clone()),
    };
    let there = own.and_then(|own| own.bike);
    let files = Files {
        settings: settings.clone(),
        column: &arguments.column,
        ignore: &arguments.ignore,
        given: [
            arguments.jobs.is_some(),
            arguments.parts.is_some(),
            arguments.date_code.date_codes.is_some(),
        ],
    };
    if files.given == [false; 3] && !(files.column.is_empty() && files.ignore.is_empty()) {
        return Err(Failure::usage(
            "--column and --ignore say how the jobs and parts are read, and there are none",
            "Give them with --jobs JOBS.csv or --parts PARTS.csv, or leave the two out.",
        ));
    }
    let (made, note) = date_code::made(
        arguments.made.as_ref(),
        &arguments.date_code,
        &files.date_codes()?,
    )?;
    let bike = Bike {
        made: made.or(there.and_then(|bike| bike.made)),
        ..bike(arguments, sheet.as_ref(), there, settings)?
    };
    let jobs = match &arguments.jobs {
        Some(file) => files.jobs(file)?,
        None => repairs(arguments, sheet.as_ref(), settings)?,
    };
    let parts = arguments.parts.as_ref().map(|file| files.parts(file));
    let asks = "what will it bring with all repairs done";
    let guess = own_guess::guess(context.err, arguments.guess.as_ref(), asks, settings)?;
    let question = OfferQuestion {
        bike,
        level: arguments.level,
        jobs,
        parts: parts.transpose()?.unwrap_or_default(),
        sheet,
        terms: terms(arguments, settings)?,
        guess: guess.or(own.and_then(|own| own.guess)),
        asking: money("--asking", arguments.asking.as_ref(), 0, settings)?,
        learnt: offer::OfferCorrection::default(),
    };
    Ok((question, note))
}

/// All repairs as one job, where their cost and what the bike becomes are given. By the
/// sheet it clears whatever has failed there and can be repaired.
fn repairs(
    arguments: &Arguments,
    sheet: Option<&Sheet>,
    settings: &Settings,
) -> Result<Vec<Job>, Failure> {
    let cost = money("--repairs", arguments.repairs.as_ref(), 0, settings)?;
    let becomes = grade_flags::condition("--becomes", arguments.becomes.as_ref())?;
    let checks = sheet.map_or(Vec::new(), judged);
    let failed = checks.iter().filter(|one| one.state == State::Fail);
    let failed = failed.filter(|one| !offer::NO_REPAIR.contains(&one.item.name));
    let job = cost.map(|cost| Job {
        name: "repairs".to_string(),
        cost,
        hours: None,
        from_box: false,
        safety: None,
        clears: failed.map(|one| one.item).collect(),
        condition_after: becomes,
        tier_after: None,
    });
    Ok(job.into_iter().collect())
}

/// The bike by its flags, by the sheet where they say nothing, and by the book
/// (`there`) where that says nothing either, but for its year. Condition and tier of
/// the sheet are for the offer to judge.
fn bike(
    arguments: &Arguments,
    sheet: Option<&Sheet>,
    there: Option<Bike>,
    settings: &Settings,
) -> Result<Bike, Failure> {
    let style = read("--style", arguments.style.as_ref(), intake::parse_style)?;
    let style = style.or(sheet.and_then(Sheet::style));
    let style = style.or(there.map(|bike| bike.style)).ok_or_else(|| {
        Failure::usage(
            "offer: which bike?",
            "Give --style, or note the style in the sheet that --sheet names; or name a bike of the book with --bike.",
        )
        .with_hint(grade_flags::what_to_give(
            "offer --style city --made 2014 --condition 2 --repairs 30 --becomes 3",
        ))
    })?;
    let measured = sheet
        .and_then(|sheet| sheet.length("seat tube"))
        .and_then(SeatTube::from_tenths)
        .or(sheet.and_then(Sheet::size).map(SeatTube::Class));
    let condition = grade_flags::condition("--condition", arguments.condition.as_ref())?;
    let tier = grade_flags::tier(arguments.tier.as_ref())?;
    let seat_tube = read("--seat-tube", arguments.seat_tube.as_ref(), |text| {
        intake::parse_seat_tube_of(text, Some(style))
    })?;
    let new_price = money("--new-price", arguments.new_price.as_ref(), 1, settings)?;
    // What a sheet says counts before what the book says.
    let graded = there.filter(|_| sheet.is_none());
    Ok(Bike {
        style,
        made: None,
        condition: condition.or(graded.and_then(|bike| bike.condition)),
        tier: tier.or(graded.and_then(|bike| bike.tier)),
        seat_tube: seat_tube
            .or(measured)
            .or(there.and_then(|bike| bike.seat_tube)),
        new_price: new_price.or(there.and_then(|bike| bike.new_price)),
    })
}

fn terms(arguments: &Arguments, settings: &Settings) -> Result<Terms, Failure> {
    let quantile = arguments.quantile;
    if !(quantile > 0.0 && quantile <= 0.5) {
        return Err(Failure::usage(
            format!("--quantile '{quantile}': expected a share above 0 and at most 0.5"),
            "Give a number such as 0.2.",
        ));
    }
    let fee = arguments.fee;
    if !(0.0..=90.0).contains(&fee) {
        return Err(Failure::usage(
            format!("--fee '{fee}': expected a percentage from 0 to 90"),
            "Give a number such as 5.",
        ));
    }
    let amount = |flag, text| money(flag, text, 0, settings);
    Ok(Terms {
        margin: amount("--margin", arguments.margin.as_ref())?.unwrap_or(Money::ZERO),
        quantile,
        fee: fee / 100.0,
        hour: amount("--hourly", arguments.hourly.as_ref())?.unwrap_or(Money::ZERO),
    })
}
