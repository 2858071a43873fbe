//! `start`: make a book.

use super::context::{Context, DEFAULT_BOOK, DONE, Format};
use super::failure::Failure;
use super::how_written::{self, Dates, Decimal};
use super::typed::quoted;
use crate::book::{self, Book};
use crate::trade::{self, Beneficiary, Currency};
use clap::{Args, ValueEnum};

/// Make a new book
///
/// Example: wheelworth start --currency EUR --beneficiary "Reading room"
#[derive(Debug, Args)]
pub(super) struct Start {
    /// Currency of all money in the book (ISO 4217, for example EUR)
    #[arg(long, value_name = "CODE")]
    pub currency: String,
    /// Who receives the proceeds; NAME=WEIGHT to share among several
    #[arg(long, value_name = "NAME[=WEIGHT]")]
    pub beneficiary: Vec<String>,
    /// What gifts are taken from: the sale prices, or what is left after costs
    #[arg(long, value_enum, default_value_t = Give::Price)]
    pub give: Give,
    /// Share of it that is given, in percent
    #[arg(
        long,
        value_name = "PERCENT",
        default_value = "100",
        allow_negative_numbers = true
    )]
    pub share: String,
    /// Month in which your year starts, 1 to 12
    #[arg(long, value_name = "MONTH", default_value_t = 1, value_parser = clap::value_parser!(u8).range(1..=12))]
    pub year_starts: u8,
    /// Order of day and month in dates such as 03/02/2024
    #[arg(long, value_enum)]
    pub dates: Option<Dates>,
    /// Sign before the decimals of amounts such as 1.234
    #[arg(long, value_enum)]
    pub decimal: Option<Decimal>,
}

/// What gifts are taken from.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Give {
    /// The sale prices
    Price,
    /// The sale prices less the costs
    Net,
}

/// Makes the book and says what is in it.
pub(super) fn run(context: &mut Context<'_>, arguments: &Start) -> Result<u8, Failure> {
    let Some(currency) = Currency::from_code(&arguments.currency) else {
        return Err(Failure::usage(
            format!(
                "--currency '{}': expected an ISO 4217 code",
                arguments.currency
            ),
            "Give three letters such as EUR, GBP or USD.",
        ));
    };
    let mut settings = book::Settings::new(currency);
    settings.giving.give = match arguments.give {
        Give::Price => trade::Give::Price,
        Give::Net => trade::Give::Net,
    };
    settings.giving.share = share(&arguments.share)?;
    settings.giving.year_starts = arguments.year_starts;
    for text in &arguments.beneficiary {
        let beneficiary = beneficiary(text)?;
        if settings
            .giving
            .beneficiaries
            .iter()
            .any(|b| b.name == beneficiary.name)
        {
            return Err(Failure::usage(
                format!("--beneficiary '{}' is given twice", beneficiary.name),
                "Name each beneficiary once, with its weight: --beneficiary \"NAME=70\".",
            ));
        }
        settings.giving.beneficiaries.push(beneficiary);
    }
    let book = Book::start(&context.book, &settings)?;
    how_written::keep(&book, arguments.dates, arguments.decimal)?;
    if context.format == Format::Json {
        let text = serde_json::json!({
            "book": context.book.display().to_string(), "currency": currency.code(),
            "beneficiaries": settings.giving.beneficiaries.iter().map(|b| {
                serde_json::json!({"name": b.name, "weight": b.weight})
            }).collect::<Vec<_>>(),
        });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    writeln!(context.out, "Made {} ({currency}).", context.book.display())?;
    if settings.giving.beneficiaries.is_empty() {
        writeln!(context.out, "No beneficiary is named yet.")?;
    }
    let book = if context.book.as_os_str() == DEFAULT_BOOK {
        String::new()
    } else {
        format!(" --book {}", quoted(&context.book.display().to_string()))
    };
    writeln!(
        context.out,
        "Next: wheelworth{book} import sales YOUR.csv, wheelworth{book} import comps SEEN.csv, then \
         wheelworth{book} price."
    )?;
    Ok(DONE)
}

/// A percentage above 0, at most 100, with at most two decimals, in hundredths.
fn share(text: &str) -> Result<u16, Failure> {
    let bare = text.trim().trim_end_matches('%').trim();
    let (whole, decimals) = bare.split_once('.').unwrap_or((bare, ""));
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    let value = (digits(whole) && !whole.is_empty() && digits(decimals) && decimals.len() <= 2)
        .then(|| format!("{whole}{decimals:0<2}").parse::<u16>().ok())
        .flatten()
        .filter(|share| (1..=10_000).contains(share));
    value.ok_or_else(|| {
        Failure::usage(
            format!("--share '{text}': expected a percentage above 0, at most 100, with at most two decimals"),
            "Give a number such as 100, 50 or 33.33.",
        )
    })
}

/// `NAME` or `NAME=WEIGHT`.
fn beneficiary(text: &str) -> Result<Beneficiary, Failure> {
    let wrong = |expected: &str| {
        Failure::usage(
            format!("--beneficiary '{text}': expected {expected}"),
            "Give a name, or name and weight: --beneficiary \"Reading room=70\".",
        )
    };
    let (name, weight) = match text.rsplit_once('=') {
        None => (text, 1),
        Some((name, weight)) => {
            let weight = weight.trim().parse::<u32>().ok().filter(|w| *w > 0);
            (
                name,
                weight.ok_or_else(|| wrong("a whole number above 0 after the ="))?,
            )
        }
    };
    let name = name.trim();
    if name.is_empty() || name.chars().any(char::is_control) {
        return Err(wrong("a name"));
    }
    Ok(Beneficiary {
        name: name.to_string(),
        weight,
    })
}
