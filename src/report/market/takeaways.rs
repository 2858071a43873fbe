//! What a seller should take from each part of the market, in a line.

use super::words::{MONTHS, change, days, many};
use crate::pricing::market::days::OnMarket;
use crate::pricing::market::haggling::Gap;
use crate::pricing::market::places::By;
use crate::pricing::market::{GroupRow, Market};
use crate::report::text::amounts::round;
use crate::trade::Currency;

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
            "No comp has ended yet ({listed} still listed): look again in a week or two and import what became of them."
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
    let gathered = market.gathered.iter();
    let mut set_aside = gathered.flat_map(|g| &g.left_out_named);
    if market.far.count == 0 && set_aside.any(|row| row.ratio.is_some()) {
        "No ask is far from what is likely, but the value model set prices aside: look at those records.".into()
    } else if market.far.count == 0 {
        "No price is far from what is likely: the medians can be taken as they are.".into()
    } else {
        "Look at these pages before you lean on them; a slip of yours is put right by importing the row again.".into()
    }
}
