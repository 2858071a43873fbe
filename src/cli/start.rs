//! `start`: make a book.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::giving_flags::{Give, beneficiaries, share};
use super::how_written::{self, Dates, Decimal};
use crate::book::{self, Book};
use crate::trade::Currency;
use clap::Args;

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
    settings.giving.give = arguments.give.of_trade();
    settings.giving.share = share(&arguments.share)?;
    settings.giving.year_starts = arguments.year_starts;
    settings.giving.beneficiaries = beneficiaries(&arguments.beneficiary)?;
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
    context.out.write_all(NEXT.as_bytes())?;
    Ok(DONE)
}

/// What to do with an empty book.
const NEXT: &str = "\
What next? A file of your own bikes, and one of bikes that you saw for sale:
  wheelworth import sales YOUR.csv
  wheelworth import comps SEEN.csv
No file yet? Note a bike, and ask for a price:
  wheelworth record sale --bike B-1 --style city --condition rider --purchase 20
  wheelworth price --bike B-1
";
