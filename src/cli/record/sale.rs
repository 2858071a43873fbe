//! `record sale`: one bike, several for one price, or one with another taken in part
//! payment.

use super::typed::{How, Typed};
use crate::book::Book;
use crate::cli::failure::Failure;
use crate::cli::how_written;
use crate::cli::workbench::Workbench;
use crate::intake::{self, Sales, Settings};
use crate::pricing::design::base;
use crate::pricing::quote::{PriceQuestion, quote};
use crate::report::export::record_cells;
use crate::report::text::amounts::exact;
use crate::report::text::counts::listed;
use crate::trade::money::split;
use crate::trade::{AskChange, Currency, Day, Money, Sale};
use clap::Args;

/// What is typed.
#[derive(Debug, Args)]
pub(crate) struct SaleFlags {
    #[command(flatten)]
    pub typed: Typed<Sales>,
    /// Id of a bike that the buyer gave in part payment: it comes in as a new bike
    #[arg(long, value_name = "ID", requires_all = ["took_in_for", "took_in_style"])]
    pub took_in: Option<String>,
    /// What it was taken in for: part of --sold-price, and what it cost you
    #[arg(
        long,
        value_name = "AMOUNT",
        requires = "took_in",
        allow_hyphen_values = true
    )]
    pub took_in_for: Option<String>,
    /// Its style
    #[arg(long, value_name = "STYLE", requires = "took_in")]
    pub took_in_style: Option<String>,
}

/// Records of one event, and what is told of them.
pub(crate) type Event = (Vec<Typed<Sales>>, Vec<String>);

/// Probability of the ranges, which are not shown.
const LEVEL: f64 = 0.8;

/// How flags of a sale are read.
struct Reading {
    settings: Settings,
    currency: Currency,
}

impl Reading {
    fn money(&self, flag: &str, text: &str) -> Result<Money, Failure> {
        let sign = self.settings.decimal.or(self.settings.book_decimal);
        let money = intake::parse_money(text, &self.currency, sign);
        let money = money.map_err(|problem| Failure::flag(flag, text, &problem))?;
        if money.minor() < 0 {
            return Err(Failure::usage(
                format!("{flag} '{text}': expected an amount that is not negative"),
                "Take the minus sign away, or correct the amount.",
            ));
        }
        Ok(money)
    }

    fn day(&self, flag: &str, text: &str) -> Result<Day, Failure> {
        intake::parse_typed_day(text, self.settings.dates, self.settings.today)
            .map_err(|problem| Failure::flag(flag, text, &problem))
    }
}

/// What several bikes, or a bike in part payment, come to; `None` for a plain sale.
///
/// # Errors
/// What was typed cannot be so; the book cannot be read.
pub(crate) fn parts(book: &Book, flags: &SaleFlags, as_of: Day) -> Result<Option<Event>, Failure> {
    let typed = &flags.typed;
    let mut settings = how_written::settings(book, as_of)?;
    settings.decimal = typed.decimal.map(how_written::Decimal::sign);
    settings.dates = typed
        .dates
        .map_or(settings.dates, |dates| Some(dates.order()));
    let reading = Reading {
        settings,
        currency: book.settings().currency,
    };
    match (&flags.took_in, typed.others.is_empty()) {
        (None, true) => Ok(None),
        (None, false) => several(book, typed, &reading).map(Some),
        (Some(id), true) => part_payment(book, flags, id.trim(), &reading).map(Some),
        (Some(_), false) => Err(Failure::usage(
            "record sale: several bikes and one taken in part payment at once",
            "Record the sales one by one: give --took-in with one of them.",
        )),
    }
}

fn how(typed: &Typed<Sales>) -> How {
    How {
        dates: typed.dates,
        decimal: typed.decimal,
        dry_run: typed.dry_run,
    }
}

/// `--sold-price` and `--sold-on`, which have to be there.
fn price_and_day<'a>(typed: &'a Typed<Sales>, when: &str) -> Result<(&'a str, &'a str), Failure> {
    let given = |column| typed.get(column).filter(|text| !text.is_empty());
    given("sold_price")
        .zip(given("sold_on"))
        .ok_or_else(|| {
            Failure::usage(
                format!("record sale: {when} --sold-price and --sold-on are needed"),
                "For example: wheelworth record sale --bike B-7 --bike B-9 --sold-on 2026-04-11 --sold-price 300",
            )
        })
}

/// Several bikes for one price, which is split by what each is worth on the day of the
/// sale, to the last minor unit by largest remainder; by what each asked where one of
/// them has no value, in equal parts where one of them asked nothing.
fn several(book: &Book, typed: &Typed<Sales>, reading: &Reading) -> Result<Event, Failure> {
    let (price, day) = price_and_day(typed, "with several bikes")?;
    let total = reading.money("--sold-price", price)?;
    let on = reading.day("--sold-on", day)?;
    let first = typed.get("bike").unwrap_or_default().to_string();
    let mut ids = vec![first];
    ids.extend(typed.others.iter().map(|id| id.trim().to_string()));
    let mut sales = Vec::new();
    for (place, id) in ids.iter().enumerate() {
        if ids.iter().take(place).any(|other| other == id) {
            return Err(Failure::usage(
                format!("--bike '{id}': stands twice"),
                "Name each bike once.",
            ));
        }
        let sale = super::leave::known(book, id)?;
        if let Some(sold) = sale.sold {
            return Err(Failure::refused(
                format!("--bike '{id}': it was sold on {} already", sold.on),
                "Leave it out, or take that sale back first.",
            ));
        }
        if let Some(left) = &sale.left {
            return Err(Failure::refused(
                format!("--bike '{id}': it left on {} ({})", left.on, left.how),
                "Leave it out, or take its leaving back first.",
            ));
        }
        sales.push(sale);
    }
    let (weights, why) = weights(book, &sales, on.min(reading.settings.today))?;
    let parts = split(total.minor(), &weights);
    let parts: Vec<Money> = parts.into_iter().map(Money::from_minor).collect();
    let currency = &reading.currency;
    let each: Vec<String> = parts
        .iter()
        .zip(&ids)
        .map(|(part, id)| format!("{} for {id}", exact(*part, currency)))
        .collect();
    let all = match ids.len() {
        2 => "both".to_string(),
        count => format!("all {count}"),
    };
    let told = format!(
        "{} {currency} for {all}: {}, {why}",
        exact(total, currency),
        listed(&each)
    );
    let events = ids.iter().zip(&parts).map(|(id, part)| {
        let sale = Sale {
            sold: Some(crate::trade::sale::Sold { on, price: *part }),
            ..Sale::of("", crate::trade::Bike::of(crate::trade::Style::Other))
        };
        let cells = record_cells::sale(&sale, currency);
        let place = |column: &str| {
            use crate::intake::Kind as _;
            Sales::FIELDS.iter().position(|field| field.name == column)
        };
        let cell = |column: &str| place(column).and_then(|place| cells.get(place).cloned());
        let cells = [
            ("bike", Some(id.clone())),
            ("sold_on", cell("sold_on")),
            ("sold_price", cell("sold_price")),
            ("note", typed.get("note").map(String::from)),
        ];
        Typed::of(&cells, &[], how(typed))
    });
    Ok((events.collect(), vec![told]))
}

/// By what a price is split, and why so.
fn weights(book: &Book, sales: &[Sale], on: Day) -> Result<(Vec<u64>, &'static str), Failure> {
    let above_0 = |money: Money| u64::try_from(money.minor()).ok().filter(|minor| *minor > 0);
    let bench = Workbench::of(book, on)?;
    let value = bench.value(None, None)?;
    let source = bench.source(value.fitted.as_ref());
    let base = base::standard_base(on);
    let worth = |sale: &Sale| {
        let question = PriceQuestion {
            id: Some(sale.id.clone()),
            bike: sale.bike,
            cost: None,
            guess: sale.guess,
            hours: None,
            level: LEVEL,
            before: None,
            stood: None,
        };
        let quote = quote(&source, bench.priors, &question, &base, None);
        above_0(quote.value?.median)
    };
    let values: Option<Vec<u64>> = sales.iter().map(worth).collect();
    if let Some(values) = values {
        return Ok((values, "by what each is worth"));
    }
    let asks = book.asks()?;
    let asked = |sale: &Sale| {
        let of_it = |change: &&AskChange| {
            change.bike == sale.id && change.on <= on && sale.since_it_came_back(change.on)
        };
        let last = asks.iter().filter(of_it).max_by_key(|change| change.on);
        above_0(last.map(|change| change.ask).or(sale.ask)?)
    };
    let asks: Option<Vec<u64>> = sales.iter().map(asked).collect();
    Ok(match asks {
        Some(asks) => (asks, "by what each asked, as not all have a value"),
        None => (
            vec![1; sales.len()],
            "in equal parts, as neither value nor ask is known of all",
        ),
    })
}

/// A sale of which another bike is a part of the price: the sale counts with all that
/// was agreed, and the bike that came in costs what it was taken in for.
fn part_payment(
    book: &Book,
    flags: &SaleFlags,
    id: &str,
    reading: &Reading,
) -> Result<Event, Failure> {
    let typed = &flags.typed;
    let (price, day) = price_and_day(typed, "with --took-in")?;
    let total = reading.money("--sold-price", price)?;
    let on = reading.day("--sold-on", day)?;
    let allowed = flags.took_in_for.as_deref().unwrap_or_default();
    let allowance = reading.money("--took-in-for", allowed)?;
    let currency = &reading.currency;
    if allowance > total {
        return Err(Failure::refused(
            format!(
                "--took-in-for '{allowed}': more than --sold-price, which is all that was agreed"
            ),
            "Give the whole price as --sold-price, money and the bike together.",
        ));
    }
    if book.sale(id)?.is_some() || typed.get("bike") == Some(id) {
        return Err(Failure::refused(
            format!("--took-in '{id}': the book has a bike of this id"),
            "Give the bike that came in an id of its own.",
        ));
    }
    let sold = typed.get("bike").unwrap_or_default();
    let money = Money::from_minor(total.minor() - allowance.minor());
    let told = format!(
        "{} {currency} for {sold}: {} in money and {id} for {}, which is what {id} cost",
        exact(total, currency),
        exact(money, currency),
        exact(allowance, currency)
    );
    let cells = [
        ("bike", Some(id.to_string())),
        ("style", flags.took_in_style.clone()),
        ("bought_on", Some(on.to_string())),
        ("purchase", Some(allowed.to_string())),
        ("note", Some(format!("taken in part payment for {sold}"))),
    ];
    let names = &[
        ("bike", "--took-in"),
        ("style", "--took-in-style"),
        ("purchase", "--took-in-for"),
    ];
    let came_in = Typed::of(&cells, names, how(typed));
    Ok((vec![typed.clone(), came_in], vec![told]))
}
