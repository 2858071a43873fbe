//! Cautions about the market in words: what was seen, why it matters, what to do.

use crate::pricing::market::cautions::MarketCaution;
use crate::report::text::counts::many;

/// A short name of a caution for JSON.
pub fn code(caution: &MarketCaution) -> &'static str {
    match caution {
        MarketCaution::NoRecords { .. } => "no_records",
        MarketCaution::FewComps { .. } => "few_comps",
        MarketCaution::FewOwnSales { .. } => "few_own_sales",
        MarketCaution::OldComps { .. } => "comps_are_old",
        MarketCaution::Undated { .. } => "comps_without_dates",
        MarketCaution::NotYet { .. } => "comps_of_later_days",
        MarketCaution::DaysRestOnFew { .. } => "days_rest_on_few",
        MarketCaution::OneStyle { .. } => "one_style",
    }
}

/// A caution as a sentence or two.
pub fn words(caution: &MarketCaution) -> String {
    match caution {
        MarketCaution::NoRecords { not_yet: 0 } => {
            "The book has no comps and no own bikes: 'wheelworth import comps FILE' reads what you have seen, \
             'wheelworth import sales FILE' your own bikes."
                .into()
        }
        MarketCaution::NoRecords { not_yet } => format!(
            "Nothing was known on that day; {} of later days are not used. Take a later --as-of.",
            many(*not_yet, "record")
        ),
        MarketCaution::FewComps { comps: 0 } => "No comps: note what others ask and import it with \
             'wheelworth import comps FILE'."
            .into(),
        MarketCaution::FewComps { comps } => format!(
            "Only {}: medians of so few move with every new one. Import more.",
            many(*comps, "comp")
        ),
        MarketCaution::FewOwnSales { sales } => format!(
            "{} own sale{}: what buyers pay you is hardly known. Record your sales as they happen.",
            if *sales == 0 { "No".to_string() } else { format!("Only {sales}") },
            if *sales == 1 { "" } else { "s" }
        ),
        MarketCaution::OldComps { newest, days } => format!(
            "The newest comp is of {newest}, {days} days ago: the market may have moved. Look around and import what \
             you see."
        ),
        MarketCaution::Undated { comps } => format!(
            "{} without any date: counted in the tables, of no use for days and movement.",
            many(*comps, "comp")
        ),
        MarketCaution::NotYet { comps } => format!(
            "{} in the book of later days: not used.",
            many(*comps, "comp")
        ),
        MarketCaution::DaysRestOnFew { used, listings } => format!(
            "The comps' days rest on {used} of {} only. Note the day of listing, and look again at what you have \
             seen.",
            many(*listings, "listing")
        ),
        MarketCaution::OneStyle { style } => format!(
            "Tables, days and asks are of {style} bikes alone; movement and season are of all styles."
        ),
    }
}
