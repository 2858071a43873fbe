//! What can be typed. The doc comments are the help.

use super::export::exportable::Export;
use super::how_written::{Dates, Decimal};
use super::inspect::flags::Inspect;
use super::offer::flags::Offer;
use super::price::date_code::DateCode;
use super::record::flags::Record;
use super::shell::{Completions, Manual};
use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Options of every command stand after its own.
const LAST: usize = 900;

/// The book's file where none is named.
pub(super) const DEFAULT_BOOK: &str = "wheelworth.sqlite";

/// Price a refurbished bicycle from your own sales and the asks you have seen
///
/// Keep a record book of your bikes, their costs and your gifts, and of
/// comparable listings, and ask it what a bike is worth, how sure that is, what
/// is left after costs, and what is due to the cause. Start with 'wheelworth demo'
/// to see it work on invented data.
#[derive(Debug, Parser)]
#[command(
    name = "wheelworth",
    version,
    max_term_width = 100,
    arg_required_else_help = true
)]
pub(super) struct Arguments {
    /// The record book
    #[arg(
        long,
        global = true,
        env = "WHEELWORTH_BOOK",
        default_value = DEFAULT_BOOK,
        value_name = "FILE",
        hide_env_values = true,
        display_order = LAST
    )]
    pub book: PathBuf,

    /// The day the answer is for; nothing later is used [default: today]
    #[arg(long, global = true, value_name = "DATE", display_order = LAST)]
    pub as_of: Option<String>,

    /// How results are written
    #[arg(long, global = true, value_enum, default_value_t = Format::Text, display_order = LAST)]
    pub format: Format,

    #[command(subcommand)]
    pub command: Command,
}

/// How results are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    Text,
    /// For programs
    Json,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    // The help of a command with arguments stands at its arguments; a comment
    // here would hide it.
    Start(Start),
    Import(Import),
    Record(Record),
    Price(Box<Price>),
    Market(Market),
    Accuracy(Accuracy),
    Inspect(Inspect),
    Offer(Box<Offer>),
    Stock(Stock),
    Quarter(Quarter),
    Export(Export),
    /// List what is believed before any record, and what your records make of it
    ///
    /// Without a book it shows the beliefs alone.
    ///
    /// Example: wheelworth priors --book shed.sqlite
    Priors,
    /// Say whether the book is sound
    ///
    /// Example: wheelworth check --book shed.sqlite
    Check,
    Demo(Demo),
    Completions(Completions),
    Manual(Manual),
}

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

/// Read CSV files into the book, all or nothing
///
/// Every bad row is reported in one go and nothing is imported, unless
/// --skip-bad says where bad rows are to be put. The same file again changes
/// nothing; a changed row with the same id updates. A column map is remembered
/// for the next file with the same header. Asks and costs come after the sales
/// of their bikes. A Parquet file is read as the CSV file of the same table; its
/// rows count from line 2, after the header. For one event without a file there
/// is 'wheelworth record'.
///
/// Example: wheelworth import sales ledger.csv --dates dmy --column bike=No --column style=What
#[derive(Debug, Args)]
pub(super) struct Import {
    /// What the files hold
    #[arg(value_enum, required_unless_present_any = ["history", "undo"])]
    pub kind: Option<KindOfFile>,
    /// The files
    #[arg(value_name = "FILE", required_unless_present_any = ["history", "undo"])]
    pub files: Vec<PathBuf>,
    /// A column of the file under another name
    #[arg(long, value_name = "OURS=THEIRS")]
    pub column: Vec<String>,
    /// Leave a column of the file out
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
    /// Order of day and month in dates such as 03/02/2024; the book keeps it
    #[arg(long, value_enum)]
    pub dates: Option<Dates>,
    /// Sign before the decimals of amounts such as 1.234; the book keeps it
    #[arg(long, value_enum)]
    pub decimal: Option<Decimal>,
    /// Let rows change bikes that look like others under the same id
    #[arg(long)]
    pub correct: bool,
    /// Put this before each id of a bike or listing in the files
    #[arg(long, value_name = "TEXT")]
    pub prefix: Option<String>,
    /// Check the files and say what would change; leave the book as it is
    #[arg(long)]
    pub dry_run: bool,
    /// Import the good rows and write the bad ones here, with the reasons
    #[arg(long, value_name = "REJECTS.csv")]
    pub skip_bad: Option<PathBuf>,
    /// List the imports so far
    #[arg(long, conflicts_with_all = ["undo", "files", "dry_run", "skip_bad"])]
    pub history: bool,
    /// Take an import back
    #[arg(long, value_name = "N", conflicts_with_all = ["kind", "files", "dry_run", "skip_bad"])]
    pub undo: Option<i64>,
}

/// What a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum KindOfFile {
    /// Your own bikes, sold or on hand
    Sales,
    /// Comparable bikes seen elsewhere
    Comps,
    /// Price changes of your own listings
    Asks,
    /// Money spent on a bike or on the workshop
    Costs,
    /// Money handed to a beneficiary
    Gifts,
    /// Inspections of your own bikes, a row for each finding
    Inspections,
}

impl KindOfFile {
    /// The word that is typed.
    pub(super) fn word(self) -> &'static str {
        match self {
            KindOfFile::Sales => "sales",
            KindOfFile::Comps => "comps",
            KindOfFile::Asks => "asks",
            KindOfFile::Costs => "costs",
            KindOfFile::Gifts => "gifts",
            KindOfFile::Inspections => "inspections",
        }
    }
}

/// Price one bike, a bike of the book, or many from a file
///
/// Leave out what you do not know: the range widens for it. Of a model year that
/// you know about, give the years it may be of: they are averaged over.
///
/// Example: wheelworth price --style hybrid --made 2016 --condition tidy --tier 2 --cost 64.50
#[derive(Debug, Args)]
pub(super) struct Price {
    /// What it is built for: road hybrid mountain city cruiser touring folding kids other
    #[arg(long, conflicts_with_all = ["bike", "from"])]
    pub style: Option<String>,
    /// Model year, or the years it may be of: 2010..2013
    #[arg(long, value_name = "YEARS", allow_hyphen_values = true, conflicts_with_all = ["bike", "from"])]
    pub made: Option<String>,
    #[command(flatten)]
    pub date_code: DateCode,
    /// Condition: 1 donor, 2 project, 3 rider, 4 tidy, 5 mint
    #[arg(long, conflicts_with_all = ["bike", "from"])]
    pub condition: Option<String>,
    /// Component tier: 1 basic, 2 sport, 3 club, 4 race, 5 pro
    #[arg(long, conflicts_with_all = ["bike", "from"])]
    pub tier: Option<String>,
    /// Seat-tube length: 53, 53cm, 530mm, 20in
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, conflicts_with_all = ["bike", "from"])]
    pub seat_tube: Option<String>,
    /// What the same or the nearest bike costs new today
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true, conflicts_with_all = ["bike", "from"])]
    pub new_price: Option<String>,
    /// Direct cost so far
    #[arg(
        long,
        value_name = "AMOUNT",
        allow_hyphen_values = true,
        conflicts_with = "from"
    )]
    pub cost: Option<String>,
    /// Unpaid hours so far
    #[arg(long, allow_hyphen_values = true, conflicts_with = "from")]
    pub hours: Option<String>,
    /// A bike of the book, by its id
    #[arg(long, value_name = "ID", conflicts_with_all = ["from", "date_code", "date_codes"])]
    pub bike: Option<String>,
    /// Bikes to price, from a CSV file
    #[arg(long, value_name = "BIKES.csv", conflicts_with_all = ["date_code", "date_codes"])]
    pub from: Option<PathBuf>,
    /// A column of that file, or of the table of codes, under another name
    #[arg(long, value_name = "OURS=THEIRS")]
    pub column: Vec<String>,
    /// Leave a column of that file out
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
    /// Draw value against age, and the ask against days and gain, into an SVG file
    #[arg(long, value_name = "FILE.svg", conflicts_with = "from")]
    pub chart: Option<PathBuf>,
    /// Probability that a sale lands in the range, above 0 and below 1
    #[arg(long, default_value_t = 0.8, allow_negative_numbers = true)]
    pub level: f64,
    /// The bike from which the factors start
    #[arg(long, value_enum, default_value_t = BaseBike::Standard)]
    pub base: BaseBike,
    #[command(flatten)]
    pub wishes: Wishes,
}

/// How you decide what to ask.
#[derive(Clone, Debug, Args)]
pub(super) struct Wishes {
    /// What a week of waiting costs, in percent of the sale price [default: 1]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub week_cost: Option<String>,
    /// How many weeks the bike may stay listed [default: 26]
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    pub weeks: Option<String>,
    /// What it brings unsold after them, in percent of its value [default: 60]
    #[arg(long, value_name = "PERCENT", allow_hyphen_values = true)]
    pub quick_sale: Option<String>,
    /// Keep the three above in the book for the next time
    #[arg(long)]
    pub keep: bool,
}

/// The bike from which the factors start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum BaseBike {
    /// A hybrid of 8 years, condition 3, tier 2, size M
    Standard,
    /// The typical bike among your own sales
    Typical,
}

/// Say what the comps and your own sales show of the market
///
/// Counts, asks and sale prices by style, condition, tier and age; how long
/// bikes stand; from ask to sale price; how prices moved; the season; and what
/// is unusual. Under each part stands what a seller should take from it.
///
/// Example: wheelworth market --style hybrid --charts pictures
#[derive(Debug, Args)]
pub(super) struct Market {
    /// Only bikes of this style: road hybrid mountain city cruiser touring folding kids other
    #[arg(long)]
    pub style: Option<String>,
    /// Unusual prices and double listings that are named, at most
    #[arg(long, value_name = "NUMBER", default_value_t = 10, value_parser = clap::value_parser!(u16).range(0..=1000))]
    pub top: u16,
    /// Draw asks.svg, days.svg, movement.svg and season.svg into a folder
    #[arg(long, value_name = "FOLDER")]
    pub charts: Option<PathBuf>,
}

/// Say how well the prices have held up on your own sales
///
/// Each own sale is priced without itself: by all other records, and by what was
/// known on the day before it was listed. Beside it stand three rules of thumb,
/// how often sales fell into their ranges, days on market, whether the market has
/// moved away, and the sales that were missed most.
///
/// Example: wheelworth accuracy --charts pictures
#[derive(Debug, Args)]
pub(super) struct Accuracy {
    /// Probability that a sale lands in the range, above 0 and below 1
    #[arg(long, default_value_t = 0.8, allow_negative_numbers = true)]
    pub level: f64,
    /// Draw prices.svg, errors.svg and days-told.svg into a folder
    #[arg(long, value_name = "FOLDER")]
    pub charts: Option<PathBuf>,
}

/// Report what was raised in a quarter, what is due, what was handed over
///
/// Every cost is counted once, and opening + due - given = closing to the last
/// minor unit. Bikes count in the quarter in which they were sold. Closing a
/// quarter keeps its report as it stands.
///
/// Example: wheelworth quarter 2026-Q2 --html report.html
#[derive(Debug, Args)]
pub(super) struct Quarter {
    /// The year (by the calendar year in which it starts) and the quarter: 2026-Q2
    #[arg(value_name = "YYYY-Qn")]
    pub quarter: String,
    /// Write the report as a page for reading and printing
    #[arg(long, value_name = "FILE.html")]
    pub html: Option<PathBuf>,
    /// Write the lines of the report for a spreadsheet
    #[arg(long, value_name = "FILE.csv")]
    pub csv: Option<PathBuf>,
    /// Only one of its two parts; the beneficiary's holds nothing private
    #[arg(long = "for", value_enum, value_name = "WHOM")]
    pub audience: Option<Audience>,
    /// Close the quarter, and open ones before it, for good
    #[arg(long)]
    pub close: bool,
}

/// Who reads the report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Audience {
    /// Sales, what was due and given, running totals
    Beneficiary,
    /// Costs, hours, margins, what earned most
    Workshop,
}

/// Say what each bike on hand needs next, and how much money sits in the shed
///
/// For every bike that is not sold: days in the workshop and days listed, the
/// cash tied up in it, what it asks and is worth, and what to do: cut the ask,
/// list it, finish the work or leave it. What needs doing most stands first.
/// Asks and mark-downs are those of 'price --bike ID', from today on.
///
/// Example: wheelworth stock --as-of 2026-05-02
#[derive(Debug, Args)]
pub(super) struct Stock {
    #[command(flatten)]
    pub wishes: Wishes,
}

/// Fill a book with invented data and run the main job on it
///
/// Example: wheelworth demo
#[derive(Debug, Args)]
pub(super) struct Demo {
    /// The folder to make [default: wheelworth-demo, or the next free name]
    #[arg(value_name = "FOLDER")]
    pub folder: Option<PathBuf>,
}
