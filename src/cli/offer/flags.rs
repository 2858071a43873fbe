//! What can be typed after `offer`. The doc comments are the help.

use crate::cli::date_code::DateCode;
use crate::cli::wishes::WishFlags;
use clap::Args;
use std::path::PathBuf;

/// Say the most to pay for a bike as found, and which jobs pay
///
/// Give the bike's features as for 'price', and what the repairs come to: --repairs 45
/// --becomes tidy. Or give a list of jobs: job, cost, hours, from_box, safety, clears,
/// condition_after, tier_after. Every set of jobs is
/// tried, 12 jobs at most; safety jobs are in all of them. A condition is reached
/// when every safety job, and every job with that condition_after or a lower one,
/// is done; a tier with any job that has it as its tier_after. With --sheet and no
/// condition_after at all, the sheet is graded again with what the jobs clear. While
/// a safety check has not passed a bike counts as a project at best; while a mechanical fault of
/// the sheet is left that no done job clears, as a rider. With --bike the offer is
/// kept under the id that the bike has or will have; once it is bought and sold,
/// --kept shows the forecast beside what came of it, and later offers are lowered by
/// what the earlier ones fell short on average.
///
/// Example: wheelworth offer --style touring --made 2009 --condition project --tier 2
/// --repairs 45 --becomes tidy --margin 40 --asking 50
#[derive(Debug, Args)]
pub(crate) struct Offer {
    /// What it is built for: road hybrid mountain city cruiser touring folding kids other
    #[arg(long)]
    pub style: Option<String>,
    /// Model year, or the years it may be of: 2010..2013
    #[arg(long, alias = "year", value_name = "YEARS", allow_hyphen_values = true)]
    pub made: Option<String>,
    #[command(flatten)]
    pub date_code: DateCode,
    /// Condition as found, a number or a word
    ///
    /// 1 donor    good only for its parts
    /// 2 project  needs repair before it is ridden
    /// 3 rider    safe and serviced, visibly worn
    /// 4 tidy     fully serviced, light marks
    /// 5 mint     as new
    #[arg(long, verbatim_doc_comment)]
    pub condition: Option<String>,
    /// Component tier as found, how good its parts are: a number or a word
    ///
    /// 1 basic  steel frame, 5 to 7 gears at the back
    /// 2 sport  light steel or aluminium, 7 or 8 gears
    /// 3 club   light frame, 8 to 10 gears
    /// 4 race   light frame with a carbon fork, 10 or 11 gears
    /// 5 pro    the lightest frame and the best parts, 11 gears or more
    #[arg(long, verbatim_doc_comment)]
    pub tier: Option<String>,
    /// Seat-tube length, or size: 53, 53cm, 530mm, 20in, M
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    pub seat_tube: Option<String>,
    /// What the same or the nearest bike costs new today
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub new_price: Option<String>,
    /// What could be done to it
    #[arg(long, value_name = "JOBS.csv")]
    pub jobs: Option<PathBuf>,
    /// What all repairs together cost, where there is no list of jobs
    #[arg(
        long,
        value_name = "AMOUNT",
        requires = "becomes",
        conflicts_with = "jobs",
        allow_hyphen_values = true
    )]
    pub repairs: Option<String>,
    /// The condition that it has after those repairs
    #[arg(long, value_name = "CONDITION", requires = "repairs")]
    pub becomes: Option<String>,
    /// What you expect it to bring with all repairs done, guessed before you see a price
    ///
    /// What it moves is learnt as for 'price': from your earlier guesses, and what those
    /// bikes sold for. Without an amount it asks you for one.
    #[arg(
        long,
        value_name = "AMOUNT",
        num_args = 0..=1,
        default_missing_value = "",
        allow_negative_numbers = true
    )]
    pub guess: Option<String>,
    /// Everything: what each job adds, how it comes about, all that is in doubt
    #[arg(long)]
    pub why: bool,
    /// What it could be taken apart into: part, price, chance that it sells
    #[arg(long, value_name = "PARTS.csv")]
    pub parts: Option<PathBuf>,
    /// Its inspection sheet as found; style, condition, tier and seat tube are taken from it where
    /// no flag gives them
    #[arg(long, value_name = "SHEET.csv")]
    pub sheet: Option<PathBuf>,
    /// Keep the offer under the id that the bike will have in the book; of a bike that is in it
    /// already, features and inspection are taken from there where nothing else gives them
    #[arg(long, value_name = "ID")]
    pub bike: Option<String>,
    /// Show the kept offers, all or that of --bike, beside what came of them
    #[arg(long, conflicts_with_all = ["style", "made", "condition", "tier", "seat_tube", "new_price", "jobs", "repairs", "becomes", "guess", "why", "parts", "sheet", "margin", "asking", "quantile", "fee", "hourly", "column", "ignore", "chart", "level"])]
    pub kept: bool,
    /// What is to be left at least [default: 0]
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub margin: Option<String>,
    /// What the seller wants: then it says buy or leave, and why
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub asking: Option<String>,
    /// Share of sales that bring less than what counts as cautious, above 0 and at most 0.5
    #[arg(long, default_value_t = 0.2, allow_negative_numbers = true)]
    pub quantile: f64,
    /// What selling costs, in percent of the sale price
    #[arg(
        long,
        value_name = "PERCENT",
        default_value_t = 0.0,
        allow_negative_numbers = true
    )]
    pub fee: f64,
    /// What an hour of work is to bring [default: 0]
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    pub hourly: Option<String>,
    /// A column of the jobs, the parts or the table of codes under another name
    #[arg(long, value_name = "OURS=THEIRS")]
    pub column: Vec<String>,
    /// Leave a column of these files out
    #[arg(long, value_name = "COLUMN")]
    pub ignore: Vec<String>,
    /// Draw what each job adds, from as found to done, into an SVG file
    #[arg(long, value_name = "FILE.svg")]
    pub chart: Option<PathBuf>,
    /// Probability that a sale lands in the range, above 0 and below 1
    #[arg(long, default_value_t = 0.8, allow_negative_numbers = true)]
    pub level: f64,
    #[command(flatten)]
    pub wishes: WishFlags,
}
