//! What `price` is asked: the flags, a bike of the book, or a file.

use super::flags::Price;
use crate::cli::book_records::BookRecords;
use crate::cli::column_pairs::column_pairs;
use crate::cli::context::Context;
use crate::cli::date_code;
use crate::cli::failure::Failure;
use crate::cli::flag_values::{money, read};
use crate::cli::grade_flags::{self, what_to_give};
use crate::cli::how_written;
use crate::cli::own_bike::own_bike;
use crate::cli::own_guess;
use crate::cli::whole_file;
use crate::intake::{self, Bikes, Settings};
use crate::pricing::Records;
use crate::pricing::quote::PriceQuestion;
use crate::pricing::time_on_market::standing;
use crate::trade::{Bike, Day, Sale, Style};
use std::path::Path;

/// What `price` is asked.
pub(crate) struct Asked {
    pub questions: Vec<PriceQuestion>,
    /// The bike of the book that was asked for.
    pub own: Option<Sale>,
    /// What the user should be told beside the answer.
    pub note: Option<String>,
}

pub(crate) fn questions(
    context: &mut Context<'_>,
    arguments: &Price,
    records: &BookRecords<'_>,
) -> Result<Asked, Failure> {
    let level = arguments.level;
    let mut settings = how_written::settings(records.book(), context.as_of)?;
    settings.columns = column_pairs(&arguments.column)?;
    settings.ignore.clone_from(&arguments.ignore);
    if let Some(path) = &arguments.from {
        return of_a_file(path, &settings, arguments.level);
    }
    let reads_a_file = arguments.date_code.date_codes.is_some();
    if !(reads_a_file || arguments.column.is_empty() && arguments.ignore.is_empty()) {
        return Err(Failure::usage(
            "--column and --ignore say how a file is read, and there is none",
            "Give the file with --from BIKES.csv, or leave them out.",
        ));
    }
    let money = |flag: &str, text: Option<&String>, least: i64| money(flag, text, least, &settings);
    let cost = money("--cost", arguments.cost.as_ref(), 0)?;
    let named = arguments.bike.is_some() || arguments.style.is_some();
    let flag = arguments
        .guess
        .as_ref()
        .filter(|flag| named || !flag.is_empty());
    let guess = own_guess::guess(context.err, flag, "what will it bring", &settings)?;
    let hours = read("--hours", arguments.hours.as_ref(), intake::parse_hours)?;
    let said = PriceQuestion {
        id: None,
        bike: Bike::of(Style::Other),
        guess,
        cost,
        hours,
        level,
        before: None,
        stood: None,
    };
    if let Some(id) = &arguments.bike {
        return of_the_book(id, &said, records, context.as_of);
    }
    let style =
        read("--style", arguments.style.as_ref(), intake::parse_style)?.ok_or_else(|| {
            Failure::usage(
                "price: which bike?",
                "Give --style, or --bike ID, or --from BIKES.csv.",
            )
            .with_hint(what_to_give(
                "price --style city --made 2014 --condition 3 --tier 2",
            ))
        })?;
    let (made, note) = date_code::made(arguments.made.as_ref(), &arguments.date_code, &settings)?;
    let bike = Bike {
        style,
        made,
        condition: grade_flags::condition("--condition", arguments.condition.as_ref())?,
        tier: grade_flags::tier(arguments.tier.as_ref())?,
        seat_tube: read("--seat-tube", arguments.seat_tube.as_ref(), |text| {
            intake::parse_seat_tube_of(text, Some(style))
        })?,
        new_price: money("--new-price", arguments.new_price.as_ref(), 1)?,
    };
    Ok(Asked {
        questions: vec![PriceQuestion { bike, ..said }],
        own: None,
        note,
    })
}

/// A bike of the book; what was typed goes before what the book says.
fn of_the_book(
    id: &str,
    said: &PriceQuestion,
    records: &BookRecords<'_>,
    as_of: Day,
) -> Result<Asked, Failure> {
    let sale = own_bike(records, id, as_of)?;
    let currency = &records.book().settings().currency;
    let question = PriceQuestion {
        id: Some(id.to_string()),
        bike: sale.bike,
        guess: said.guess.or(sale.guess),
        cost: said
            .cost
            .or_else(|| records.direct_cost(&sale, as_of).known()),
        hours: said.hours.or(sale.hours),
        stood: standing(&sale, records.ask_changes(), as_of, currency),
        ..said.clone()
    };
    Ok(Asked {
        questions: vec![question],
        own: Some(sale),
        note: None,
    })
}

/// All bikes of a file.
fn of_a_file(path: &Path, settings: &Settings, level: f64) -> Result<Asked, Failure> {
    let rows = whole_file::rows::<Bikes>(path, settings, "nothing was priced")?.into_iter();
    let questions = rows.map(|(_, row)| PriceQuestion {
        id: Some(row.bike),
        bike: row.features,
        guess: row.guess,
        cost: row.cost,
        hours: row.hours,
        level,
        before: None,
        stood: None,
    });
    Ok(Asked {
        questions: questions.collect(),
        own: None,
        note: None,
    })
}
