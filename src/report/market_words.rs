//! The market in words: what a seller should take from each part, and what to doubt.

use super::amounts::round;
use crate::pricing::gathered::LeftOut;
use crate::pricing::market::cautions::MarketCaution;
use crate::pricing::market::days::OnMarket;
use crate::pricing::market::far_asks::MayBe;
use crate::pricing::market::haggling::Gap;
use crate::pricing::market::movement::Factor;
use crate::pricing::market::places::By;
use crate::pricing::market::{GroupRow, Market};
use crate::trade::{Bike, Currency, Money, Outcome};

/// One bike listed more than once, probably.
#[derive(Clone, Debug, PartialEq)]
pub struct DoubleListing {
    /// Each listing with its source (empty where not recorded).
    pub listings: Vec<(String, String)>,
    /// The bike.
    pub bike: Bike,
    /// The ask that stood last.
    pub ask: Money,
}

/// The double listings that are named, and how many there are.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DoubleListings {
    /// The first of them.
    pub named: Vec<DoubleListing>,
    /// All.
    pub count: usize,
}

/// Months of the year.
pub const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// A listing with its source.
pub fn listing(id: &str, source: &str) -> String {
    if source.is_empty() {
        id.to_string()
    } else {
        format!("{id} ({source})")
    }
}

/// `1 comp`, `2 comps`.
pub fn many(count: usize, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

/// A change as a signed percentage: `+4.2 %`, `-12 %`.
pub fn change(fraction: f64) -> String {
    let percent = 100.0 * fraction;
    let words = if percent.abs() < 9.95 {
        format!("{percent:+.1} %")
    } else {
        format!("{percent:+.0} %")
    };
    if words == "-0.0 %" || words == "+0.0 %" {
        "0.0 %".into()
    } else {
        words
    }
}

/// Days in words: `13`, `13.5`.
pub fn days(days: f64) -> String {
    if days.fract() == 0.0 {
        format!("{days:.0}")
    } else {
        format!("{days:.1}")
    }
}

/// The range of a factor as changes: `-3.0 % to +1.2 %`.
pub fn range(factor: &Factor) -> String {
    format!(
        "{} to {}",
        change(factor.low - 1.0),
        change(factor.high - 1.0)
    )
}

/// From the records.
pub fn of_records(market: &Market) -> String {
    let (comps, sales) = (market.comps.comps, market.sales.sold);
    match (comps, sales) {
        (0, 0) => "There is nothing to compare with yet.".into(),
        (0, _) => "Without comps you know your own prices only: note what others ask, and import it.".into(),
        (..20, _) => "So few comps give a first impression: trust no row of the tables alone.".into(),
        (_, ..5) => "The comps show what others hope for; record your own sales, which show what buyers pay.".into(),
        _ => "Enough for the larger rows of the tables; a row of under ten bikes is an anecdote.".into(),
    }
}

/// From asks and sale prices.
pub fn of_prices(market: &Market, currency: &Currency) -> String {
    let asked = |row: &&GroupRow| row.row.comps >= 5;
    let median = |row: &GroupRow| row.row.asks.map(|asks| asks.median);
    let rows = || market.table(By::Style).iter().filter(asked);
    let dearest = rows().max_by_key(|row| median(row));
    let cheapest = rows().min_by_key(|row| median(row));
    let name = |row: &GroupRow| {
        let amount = median(row).map_or("-".into(), |money| round(money, currency));
        format!("{} ({amount})", row.row.group)
    };
    let hopes =
        "Asks are hopes, and the medians mix old and new: 'wheelworth price' judges one bike.";
    match (dearest, cheapest) {
        (Some(high), Some(low)) if high.row.code != low.row.code => format!(
            "Most is asked for {}, least for {}. {hopes}",
            name(high),
            name(low)
        ),
        _ => hopes.into(),
    }
}

/// From the outcomes.
pub fn of_outcomes(market: &Market) -> String {
    let [listed, sold, withdrawn, gone] = market.comps.outcomes;
    let ended = sold + withdrawn + gone;
    if ended == 0 {
        return format!(
            "No comp has ended yet ({} still listed): look again in a week or two and import what became of them.",
            listed
        );
    }
    let share = |count: usize| format!("{:.0} %", 100.0 * count as f64 / ended as f64);
    format!(
        "Of the {} that ended, {} were seen to sell, {} were taken back and {} are gone for an unknown reason.",
        many(ended, "comp"),
        share(sold),
        share(withdrawn),
        share(gone)
    )
}

/// From the days on market.
pub fn of_days(market: &Market) -> String {
    let half = |of: &Option<OnMarket>| {
        let enough = of.as_ref().filter(|of| of.is_enough());
        enough.and_then(|of| of.median)
    };
    match (half(&market.days.own), half(&market.days.comps)) {
        (Some(own), Some(comps)) if own < 0.8 * comps => format!(
            "Half of your bikes sell within {} days, half of the comps within {}: you sell fast, so you may ask a \
             little more.",
            days(own),
            days(comps)
        ),
        (Some(own), Some(comps)) if own > 1.25 * comps => format!(
            "Half of your bikes sell within {} days, half of the comps within {}: if time matters, ask a little less \
             or cut sooner.",
            days(own),
            days(comps)
        ),
        (Some(own), Some(comps)) => format!(
            "Half of your bikes sell within {} days, half of the comps within {}: much alike.",
            days(own),
            days(comps)
        ),
        (Some(own), None) => format!(
            "Half of your bikes sell within {} days; allow twice that before you worry.",
            days(own)
        ),
        (None, Some(comps)) => format!(
            "Half of the comps sell within {} days; record when you list and sell, to see whether yours do.",
            days(comps)
        ),
        (None, None) => {
            "Nothing reliable yet: note the day of listing, and look at least twice at each comp."
                .into()
        }
    }
}

/// From ask and sale price.
pub fn of_gap(market: &Market) -> String {
    /// Pairs below which there is no habit to speak of (judgement).
    const FEW: usize = 5;
    let [own, _, _, comps] = market.gaps;
    let median = |gap: Gap| gap.median.filter(|_| gap.sales >= FEW);
    match (median(own), median(comps)) {
        (Some(own), _) if own < -0.005 => format!(
            "Half of your sales end {} or more below the first ask: leave that much room when you ask.",
            change(own).trim_start_matches('-')
        ),
        (Some(_), _) => "Your buyers pay what you first ask: try a little more.".into(),
        (None, Some(comps)) => format!(
            "Others sell at {} against their last ask; note your own first asks to see your room.",
            change(comps)
        ),
        (None, None) => {
            "Note the first ask of your bikes, and sale prices of comps where you see them.".into()
        }
    }
}

/// From the movement.
pub fn of_movement(market: &Market) -> String {
    let Some(then) = market.a_year_ago() else {
        return "The records do not reach a year back: nothing is known of how prices move.".into();
    };
    if then.rests_on_prior() {
        return "Too few prices of a year ago to say how the market moved; old prices are used as they are.".into();
    }
    let level = &then.level;
    let was = format!(
        "A year ago prices stood at {} of today's",
        percent_of(level.factor)
    );
    let range = format!("({} to {})", percent_of(level.low), percent_of(level.high));
    if level.may_be_none() {
        format!("{was} {range}: no clear movement, so asks of last year still tell.")
    } else if level.factor < 1.0 {
        format!("{was} {range}: the market rose, so ask more than last year's sales suggest.")
    } else {
        format!("{was} {range}: the market fell, so ask less than last year's sales suggest.")
    }
}

fn percent_of(factor: f64) -> String {
    format!("{:.0} %", 100.0 * factor)
}

/// From the season.
pub fn of_season(market: &Market) -> String {
    let Some(season) = market.season.as_ref() else {
        return "No prices, no season.".into();
    };
    if !season.is_clear {
        return "No clear season: list a bike when it is ready.".into();
    }
    /// What a haggle is worth anyway (judgement).
    const LITTLE: f64 = 0.01;
    if season
        .months
        .iter()
        .all(|month| (month.factor - 1.0).abs() < LITTLE)
    {
        return "The season moves prices by under 1 %: list a bike when it is ready.".into();
    }
    let (best, weakest) = season.best_and_weakest();
    let month = |of: usize| {
        let name = MONTHS.get(of).copied().unwrap_or("?");
        let factor = season.months.get(of).map_or(1.0, |month| month.factor);
        format!("{name} ({})", change(factor - 1.0))
    };
    let unseen = if season.months_seen < 12 {
        format!(
            " Only {} of twelve months have prices: the rest is the form of the wave.",
            season.months_seen
        )
    } else {
        String::new()
    };
    format!(
        "Best in {}, weakest in {}, against the mean of the year: a bike that can wait should wait for the better \
         months.{unseen}",
        month(best),
        month(weakest)
    )
}

/// From what is unusual.
pub fn of_unusual(market: &Market) -> String {
    if market.far.count == 0 {
        "No price is far from what is likely: the medians can be taken as they are.".into()
    } else {
        "Look at these pages before you lean on them; a slip of yours is put right by importing the row again.".into()
    }
}

/// What a price far from its value may be.
pub fn may_be(may_be: MayBe) -> &'static str {
    match may_be {
        MayBe::WrongDecimal => "a wrong decimal",
        MayBe::PartsOnly => "for parts, a fault not recorded, or a lure",
        MayBe::Bundle => "several bikes or much with it, or a wrong grade",
        MayBe::Extraordinary => "an extraordinary bike, or a wrong grade or year",
    }
}

/// A short name for JSON.
pub fn may_be_code(may_be: MayBe) -> &'static str {
    match may_be {
        MayBe::WrongDecimal => "wrong_decimal",
        MayBe::PartsOnly => "parts_only",
        MayBe::Bundle => "bundle",
        MayBe::Extraordinary => "extraordinary",
    }
}

/// How a listing stands, in a table's few letters.
pub fn standing(outcome: Outcome, paid: bool) -> &'static str {
    match outcome {
        _ if paid => "sold for",
        Outcome::Listed => "asks",
        _ => "asked",
    }
}

/// A record that was set aside.
pub fn set_aside(row: &LeftOut) -> String {
    match row.ratio {
        Some(ratio) if ratio >= 1.0 => format!("{} at {ratio:.1} times what is likely", row.name),
        Some(ratio) => format!("{} at 1/{:.1} of what is likely", row.name, 1.0 / ratio),
        None => format!("{} without a date or price", row.name),
    }
}

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
