//! `pocket`: one page for the phone.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::flag_values::{check_level, money};
use super::wishes::{self, WishFlags};
use super::workbench::{Models, Workbench};
use super::{how_written, past_offers, written_file};
use crate::accounts::usual_cost::usual_costs;
use crate::book::Book;
use crate::intake::DecimalSign;
use crate::pricing::asking::Detail;
use crate::pricing::design::base;
use crate::pricing::pocket::{PocketPlan, PocketValue};
use crate::pricing::quote::caution::QuoteCaution;
use crate::pricing::quote::{PriceQuestion, Selling, quote};
use crate::report::pocket::{MODEL_STARTS, Pocket, SITE_MARKS, page, site};
use crate::report::quote::caution_words::of_one_bike;
use crate::report::text::counts::many;
use crate::report::text::dates::long_day;
use clap::Args;
use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};

/// Write one page for the phone: what a bike is worth and what to pay at its seller's door
///
/// The page works without a network: every number is worked out on it from the fitted
/// models of this book, as of the day it was made. No sale, name, cost or note of yours is
/// in it. Not every phone runs a stored file; the same page comes as a folder for any
/// web space (--site), which a phone opens once and then keeps.
///
/// Example: wheelworth pocket pocket.html --margin 40
#[derive(Debug, Args)]
pub(super) struct Arguments {
    /// The page
    #[arg(value_name = "FILE.html", required_unless_present = "site")]
    pub page: Option<PathBuf>,
    /// The same page as a folder for a web space
    #[arg(long, value_name = "FOLDER")]
    pub site: Option<PathBuf>,
    /// What is to be left of a bike at least; can be changed on the page
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub margin: Option<String>,
    /// Probability that a sale lands in the range, above 0 and below 1
    #[arg(long, default_value_t = 0.8, allow_negative_numbers = true)]
    pub level: f64,
    #[command(flatten)]
    pub wishes: WishFlags,
}

/// Share of sales that bring less than what counts as cautious, as `offer` has it.
const QUANTILE: f64 = 0.2;

const PAGE: &str = "file";
const SITE: &str = "folder for --site";

/// Bytes of an earlier page that are read, to know it by its model.
const MOST_OF_A_PAGE: u64 = 1_000_000;

/// Writes the page, the folder, or both.
///
/// # Errors
/// A flag that cannot be read, a place where something would be lost, a book or a fit that
/// fails.
pub(super) fn run(context: &mut Context<'_>, arguments: &Arguments) -> Result<u8, Failure> {
    check_level(arguments.level)?;
    if let Some(path) = &arguments.page {
        check_page(path, MODEL_STARTS, PAGE)?;
    }
    if let Some(folder) = &arguments.site {
        check_site(folder)?;
    }
    let book = Book::open(&context.book)?;
    let bench = Workbench::of(&book, context.as_of)?;
    let settings = how_written::settings(&book, context.as_of)?;
    let margin = money("--margin", arguments.margin.as_ref(), 0, &settings)?;
    let wishes = wishes::wishes(&arguments.wishes, &bench, context.err)?;
    let models = bench.models(None, None)?;
    let source = bench.source(models.value.as_ref());
    let selling = Selling {
        time: &models.time,
        wishes,
        detail: Detail::PlanAlone,
    };
    let value = PocketValue::of(&source, bench.priors, arguments.level);
    let plan = PocketPlan::of(&source, bench.priors, &selling);
    let gathered = models.value.as_ref().map(|model| &model.gathered);
    let pocket = Pocket {
        value: &value,
        plan: plan.as_ref(),
        currency: bench.currency,
        decimal: settings.book_decimal.map(DecimalSign::word),
        own_sales: gathered.map_or(0, |seen| seen.sales),
        comps: gathered.map_or(0, |seen| seen.comps),
        margin,
        repairs: &usual_costs(bench.records.costs(), context.as_of, &bench.currency),
        doubts: &doubts(&bench, &models, &selling),
        quantile: match &models.value {
            Some(model) => model.levels.quantile(QUANTILE),
            None => QUANTILE,
        },
        applied: past_offers::learnt(&book, context.as_of)?.applied,
    };
    let written = Written {
        page: match &arguments.page {
            Some(path) => Some((path, write_page(path, &pocket)?)),
            None => None,
        },
        site: match &arguments.site {
            Some(folder) => Some((folder, write_site(folder, &pocket)?)),
            None => None,
        },
    };
    match context.format {
        Format::Text => written.tell(context, &pocket)?,
        Format::Json => written.tell_programs(context, &pocket)?,
    }
    Ok(DONE)
}

/// Doubts about the book as a whole: those of a usual bike that are not about it.
fn doubts(bench: &Workbench<'_>, models: &Models, selling: &Selling<'_>) -> Vec<QuoteCaution> {
    let base = base::standard_base(bench.as_of);
    let mut bike = base.bike;
    if models.value.is_none() {
        // Without records a new price is all that tells of a value.
        bike.new_price = bench.currency.round(500.0);
    }
    let question = PriceQuestion {
        id: None,
        bike,
        guess: None,
        cost: None,
        hours: None,
        level: 0.8,
        before: None,
        stood: None,
    };
    let source = bench.source(models.value.as_ref());
    let told = quote(&source, bench.priors, &question, &base, Some(selling)).cautions;
    let of_the_book = told.into_iter().filter(|doubt| !of_one_bike(doubt));
    // What the records make of one effect or of one ask helps nobody at the door.
    of_the_book
        .filter(|doubt| {
            !matches!(
                doubt,
                QuoteCaution::Disagreement { .. } | QuoteCaution::BeyondHabit { .. }
            )
        })
        .collect()
}

/// Refuses a place where anything but an earlier page, which holds `mark`, would be lost.
fn check_page(path: &Path, mark: &str, flag: &str) -> Result<(), Failure> {
    let is_ours = |file: &mut fs::File| {
        let mut bytes = Vec::new();
        let read = file.take(MOST_OF_A_PAGE).read_to_end(&mut bytes);
        let holds = |part: &[u8]| part == mark.as_bytes();
        read.is_ok() && bytes.windows(mark.len()).any(holds)
    };
    written_file::check_nothing_lost(path, is_ours, "no page of this kind", flag)
}

fn check_site(folder: &Path) -> Result<(), Failure> {
    if folder.exists() && !folder.is_dir() {
        return Err(Failure::refused(
            format!("{}: is there already and is no folder", folder.display()),
            format!("Name another {SITE}."),
        ));
    }
    let mut marks = SITE_MARKS.iter();
    marks.try_for_each(|(name, mark)| check_page(&folder.join(name), mark, SITE))
}

/// Writes the page; its size in bytes.
fn write_page(path: &Path, pocket: &Pocket<'_>) -> Result<usize, Failure> {
    let page = page(pocket);
    written_file::write(path, page.as_bytes(), PAGE)?;
    Ok(page.len())
}

/// Writes the files of the folder; their size in bytes.
fn write_site(folder: &Path, pocket: &Pocket<'_>) -> Result<usize, Failure> {
    fs::create_dir_all(folder).map_err(|error| written_file::cannot(folder, SITE, &error))?;
    let mut bytes = 0;
    for (name, content) in site(pocket) {
        written_file::write(&folder.join(name), &content, SITE)?;
        bytes += content.len();
    }
    Ok(bytes)
}

/// What was written: where, and how many bytes.
struct Written<'a> {
    page: Option<(&'a PathBuf, usize)>,
    site: Option<(&'a PathBuf, usize)>,
}

impl Written<'_> {
    fn tell(&self, context: &mut Context<'_>, pocket: &Pocket<'_>) -> Result<(), Failure> {
        let kilobytes = |bytes: usize| bytes.div_ceil(1000);
        let day = long_day(pocket.value.as_of);
        let out = &mut context.out;
        if let Some((path, bytes)) = self.page {
            let (path, size) = (path.display(), kilobytes(bytes));
            writeln!(out, "Page: {path}, {size} kB, prices of {day}.")?;
            writeln!(
                out,
                "On a phone: send the file to yourself and open it in the browser. Where it shows the paper form \
                 alone, that browser runs no stored file: use --site FOLDER."
            )?;
        }
        if let Some((folder, bytes)) = self.site {
            let (folder, size) = (folder.display(), kilobytes(bytes));
            writeln!(out, "Site: {folder}, {size} kB, prices of {day}.")?;
            writeln!(
                out,
                "On a phone: put the folder on any web space with https and open it there once; from then on it works \
                 without a network."
            )?;
        }
        let comps = match pocket.comps {
            1 => "1 bike".to_string(),
            comps => many(comps, "bike"),
        };
        let rests_on = match (pocket.own_sales, pocket.comps) {
            (0, 0) => "It rests on no records yet: it is our general guess.".to_string(),
            (sales, _) => format!(
                "It rests on {} of your own and {comps} seen for sale elsewhere.",
                many(sales, "sale")
            ),
        };
        writeln!(
            out,
            "{rests_on} No sale, name, cost or note of yours is in it, only what the program has learnt from them."
        )?;
        if pocket.value.components.is_empty() {
            writeln!(
                out,
                "Without a record in {}, a bike can be given a value only if its new price is known.",
                pocket.currency
            )?;
        }
        writeln!(
            out,
            "Write it again when prices have moved; after 60 days it says that it is old."
        )?;
        Ok(())
    }

    fn tell_programs(&self, context: &mut Context<'_>, pocket: &Pocket<'_>) -> Result<(), Failure> {
        let place = |one: Option<(&PathBuf, usize)>| {
            one.map(|(path, bytes)| serde_json::json!({"path": path, "bytes": bytes}))
        };
        let told = serde_json::json!({
            "made_on": pocket.value.as_of,
            "page": place(self.page),
            "site": place(self.site),
            "rests_on": {"own_sales": pocket.own_sales, "comps": pocket.comps},
        });
        writeln!(context.out, "{told:#}")?;
        Ok(())
    }
}
