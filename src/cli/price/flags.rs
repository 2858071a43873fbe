//! What can be typed after `price`. The doc comments are the help.

use crate::cli::date_code::DateCode;
use crate::cli::wishes::WishFlags;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// Price one bike, a bike of the book, or many from a file
///
/// Leave out what you do not know: the range widens for it. Where you know the model
/// year only roughly, give the years it may be: the price is the average over them.
///
/// Example: wheelworth price --style hybrid --made 2016 --condition tidy --tier 2 --cost 64.50
#[derive(Debug, Args)]
pub(crate) struct Price {
    /// What it is built for: road hybrid mountain city cruiser touring folding kids other
    #[arg(long, conflicts_with_all = ["bike", "from"])]
    pub style: Option<String>,
    /// Model year, or the years it may be of: 2010..2013
    #[arg(long, alias = "year", value_name = "YEARS", allow_hyphen_values = true, conflicts_with_all = ["bike", "from"])]
    pub made: Option<String>,
    #[command(flatten)]
    pub date_code: DateCode,
    /// Condition, a number or a word
    ///
    /// 1 donor    good only for its parts
    /// 2 project  needs repair before it is ridden
    /// 3 rider    safe and serviced, visibly worn
    /// 4 tidy     fully serviced, light marks
    /// 5 mint     as new
    #[arg(long, verbatim_doc_comment, conflicts_with_all = ["bike", "from"])]
    pub condition: Option<String>,
    /// Component tier, how good its parts are: a number or a word
    ///
    /// 1 basic  steel frame, 5 to 7 gears at the back
    /// 2 sport  light steel or aluminium, 7 or 8 gears
    /// 3 club   light frame, 8 to 10 gears
    /// 4 race   light frame with a carbon fork, 10 or 11 gears
    /// 5 pro    the lightest frame and the best parts, 11 gears or more
    #[arg(long, verbatim_doc_comment, conflicts_with_all = ["bike", "from"])]
    pub tier: Option<String>,
    /// Seat-tube length, or size: 53, 53cm, 530mm, 20in, M
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true, conflicts_with_all = ["bike", "from"])]
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
    /// What you expect it to bring, guessed before you see a price
    ///
    /// You have the bike in front of you, and see what no column holds. How much your
    /// guess counts is learnt from your earlier guesses (column guess of sales.csv) and
    /// what those bikes sold for. A guess made after you saw the figure here teaches
    /// nothing. Without an amount it asks you for one.
    #[arg(
        long,
        value_name = "AMOUNT",
        num_args = 0..=1,
        default_missing_value = "",
        allow_negative_numbers = true,
        conflicts_with = "from"
    )]
    pub guess: Option<String>,
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
    /// Everything: how the value comes about, what is like it, all that is in doubt
    #[arg(long)]
    pub why: bool,
    #[command(flatten)]
    pub wishes: WishFlags,
}

/// The bike from which the factors start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum BaseBike {
    /// A hybrid of 8 years, condition 3, tier 2, size M
    Standard,
    /// The typical bike among your own sales
    Typical,
}
