//! What can be typed after `rule`.

use crate::cli::giving_flags::Give;
use clap::Args;

/// Show the rule of giving, or change it from a day on
///
/// A change holds from the first day of a quarter on; quarters before it stay as they
/// are. What is not given stays as it was. Another change from the same day takes its
/// place.
///
/// Example: wheelworth rule --from 2026-07-01 --give net --share 50
#[derive(Debug, Args)]
pub(crate) struct Rule {
    /// First day of the quarter from which on it holds; of a figure, its day [default: today]
    #[arg(long, value_name = "DATE")]
    pub from: Option<String>,
    /// What gifts are taken from: the sale prices, or what is left after costs
    #[arg(long, value_enum)]
    pub give: Option<Give>,
    /// Share of it that is given, in percent
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true)]
    pub share: Option<String>,
    /// Who receives the proceeds; NAME=WEIGHT to share among several
    #[arg(long, value_name = "NAME[=WEIGHT]")]
    pub beneficiary: Vec<String>,
    /// What money does by the beneficiary's own figure: "meal=2.40", "child/children=8"
    #[arg(long, value_name = "WHAT=AMOUNT", conflicts_with_all = ["give", "share", "beneficiary"])]
    pub means: Option<String>,
    /// Whose figure it is, where there are several beneficiaries
    #[arg(long = "for", value_name = "NAME", requires = "means")]
    pub whose: Option<String>,
}
