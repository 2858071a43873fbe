//! `offer`: what to pay for a bike as found, and which jobs pay.

use super::arguments::Format;
use super::book_records::BookRecords;
use super::failure::Failure;
use super::learn::{Learnt, learn};
use super::offer_files::Files;
use super::offer_flags::Offer as Arguments;
use super::offer_kept::{self, Kept, Own};
use super::price_question::{money, read};
use super::{Context, DONE, chart_file, date_code, inspect, price, price_chart, wishes};
use crate::book::Book;
use crate::intake;
use crate::pricing::asking::Detail;
use crate::pricing::design::base;
use crate::pricing::offer::{self, Question, Terms};
use crate::pricing::quote::{Selling, Source};
use crate::pricing::time_on_market;
use crate::pricing::{Priors, ValueModel, ValueSettings};
use crate::report::offer::{charts, json, text};
use crate::trade::inspection::Sheet;
use crate::trade::{Bike, Currency, Money, SeatTube};

/// What is named in the help of a message.
const CHART: &str = "file for --chart";

/// Makes the offer and prints it.
pub fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
    if arguments.kept {
        return offer_kept::show(context, arguments.bike.as_deref());
    }
    price::check_level(arguments.level)?;
    if let Some(path) = &arguments.chart {
        price_chart::check_name(path)?;
    }
    let mut book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let own = match &arguments.bike {
        Some(id) => Some(offer_kept::own(&book, id, context)?),
        None => None,
    };
    let (question, note) = question(context, arguments, own.as_ref(), &currency)?;
    if let Some(note) = note {
        writeln!(context.err, "{note}")?;
    }
    let question = Question {
        learnt: offer_kept::learnt(&book, context.as_of)?,
        ..question
    };
    let records = BookRecords::of(&book, context.as_of)?;
    let priors = Priors::shipped();
    let model = ValueModel {
        priors,
        settings: ValueSettings {
            as_of: context.as_of,
            currency,
            without: None,
        },
    };
    let wishes = wishes::wishes(&arguments.wishes, &book, context.err)?;
    let Learnt {
        fitted, listings, ..
    } = learn(&records, &model, None)?;
    let time = match &fitted {
        Some(model) => time_on_market::learn(priors, model, &records, listings, None),
        None => time_on_market::believed(priors),
    }?;
    let source = match &fitted {
        Some(model) => Source::Fitted(model),
        None => Source::Nothing {
            as_of: context.as_of,
            currency,
        },
    };
    let selling = Selling {
        time: &time,
        wishes,
        detail: Detail::PlanAlone,
    };
    let base = base::standard_base(context.as_of);
    let answer = offer::offer(&source, priors, &question, &base, &selling);
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
    drop(records);
    let keep = |own: &Own| offer_kept::keep(&mut book, own, &answer, context.as_of);
    let kept = own.as_ref().map(keep).transpose()?;
    let text = match context.format {
        Format::Text => {
            let kept = kept.map_or(String::new(), |kept| format!("\n{}\n", kept.ending()));
            text::text(&answer, context.as_of, &currency) + &kept
        }
        Format::Json => {
            let kept = kept.as_ref().and_then(Kept::for_json);
            json::json(&answer, kept, context.as_of, &currency)
                .map_err(|e| Failure::refused(format!("the answer cannot be written: {e}"), ""))?
        }
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

fn question(
    context: &Context<'_>,
    arguments: &Arguments,
    own: Option<&Own>,
    currency: &Currency,
) -> Result<(Question, Option<String>), Failure> {
    let sheet = match &arguments.sheet {
        Some(file) => Some(inspect::read(context, &[], &[], file)?),
        None => own.and_then(|own| own.sheet.clone()),
    };
    let there = own.and_then(|own| own.bike);
    let files = Files {
        currency: *currency,
        as_of: context.as_of,
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
    let (made, note) =
        date_code::made(&arguments.made, &arguments.date_code, &files.date_codes()?)?;
    let bike = Bike {
        made: made.or(there.and_then(|bike| bike.made)),
        ..bike(arguments, sheet.as_ref(), there, currency)?
    };
    let jobs = arguments.jobs.as_ref().map(|file| files.jobs(file));
    let parts = arguments.parts.as_ref().map(|file| files.parts(file));
    let question = Question {
        bike,
        level: arguments.level,
        jobs: jobs.transpose()?.unwrap_or_default(),
        parts: parts.transpose()?.unwrap_or_default(),
        sheet,
        terms: terms(arguments, currency)?,
        asking: money("--asking", &arguments.asking, 0, currency)?,
        learnt: offer::Learnt::default(),
    };
    Ok((question, note))
}

/// The bike by its flags, by the sheet where they say nothing, and by the book
/// (`there`) where that says nothing either, but for its year. Condition and tier of
/// the sheet are for the offer to judge.
fn bike(
    arguments: &Arguments,
    sheet: Option<&Sheet>,
    there: Option<Bike>,
    currency: &Currency,
) -> Result<Bike, Failure> {
    let style = read("--style", &arguments.style, intake::parse_style)?;
    let style = style.or(sheet.and_then(Sheet::style));
    let style = style.or(there.map(|bike| bike.style)).ok_or_else(|| {
        Failure::usage(
            "offer: which bike?",
            "Give --style, or note the style in the sheet that --sheet names; or name a bike of the book with --bike.",
        )
    })?;
    let measured = sheet
        .and_then(|sheet| sheet.length("seat tube"))
        .and_then(SeatTube::from_tenths);
    let condition = read("--condition", &arguments.condition, intake::parse_condition)?;
    let tier = read("--tier", &arguments.tier, intake::parse_tier)?;
    let seat_tube = read("--seat-tube", &arguments.seat_tube, intake::parse_seat_tube)?;
    let new_price = money("--new-price", &arguments.new_price, 1, currency)?;
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

fn terms(arguments: &Arguments, currency: &Currency) -> Result<Terms, Failure> {
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
    let amount = |flag, text| money(flag, text, 0, currency);
    Ok(Terms {
        margin: amount("--margin", &arguments.margin)?.unwrap_or(Money::ZERO),
        quantile,
        fee: fee / 100.0,
        hour: amount("--hourly", &arguments.hourly)?.unwrap_or(Money::ZERO),
    })
}
