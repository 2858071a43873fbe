//! What a seller should take from each part of the market, in a line.

use super::words::days;
use crate::pricing::market::movement::Factor;
use crate::pricing::market::takeaways;
use crate::pricing::market::takeaways::{Carries, Course, Pace, Room, StandOut, When};
use crate::pricing::market::{GroupRow, Market};
use crate::report::text::amounts::round;
use crate::report::text::counts::many;
use crate::report::text::dates::MONTHS;
use crate::report::text::shares::change;
use crate::trade::Currency;

/// Writes what to take from a part below it.
pub(in crate::report) fn take(out: &mut String, line: &str) {
    out.push_str("  => ");
    out.push_str(line);
    out.push('\n');
}

/// From the records.
pub fn of_records(market: &Market) -> &'static str {
    match takeaways::of_records(market) {
        Carries::Nothing => "There is nothing to compare with yet.",
        Carries::NoComps => {
            "Without comps you know your own prices only: note what others ask, and import it."
        }
        Carries::FewComps => {
            "So few comps give a first impression: trust no row of the tables alone."
        }
        Carries::FewSales => {
            "The comps show what others hope for; record your own sales, which show what buyers pay."
        }
        Carries::Enough => {
            "Enough for the larger rows of the tables; a row of under ten bikes says little."
        }
    }
}

/// From asks and sale prices.
pub fn of_prices(market: &Market, currency: &Currency) -> String {
    let name = |row: &GroupRow| {
        let median = row.row.asks.map(|asks| asks.median);
        let amount = median.map_or("-".into(), |money| round(money, currency));
        format!("{} ({amount})", row.row.group)
    };
    let hopes = "Asks are hopes, and the middle prices mix old and new bikes: 'wheelworth price' judges one bike.";
    match takeaways::of_prices(market) {
        Some([high, low]) => format!(
            "Most is asked for {}, least for {}. {hopes}",
            name(high),
            name(low)
        ),
        None => hopes.into(),
    }
}

/// From the outcomes.
pub fn of_outcomes(market: &Market) -> String {
    let Some(ended) = takeaways::of_outcomes(market) else {
        let [listed, ..] = market.comps.outcomes;
        return format!(
            "No comp has ended yet ({listed} still listed): look again in a week or two and import what became of them."
        );
    };
    format!(
        "Of the {} that ended, {:.0} % were seen to sell, {:.0} % were taken back and {:.0} % are gone for an unknown \
         reason.",
        many(ended.comps, "comp"),
        ended.sold,
        ended.withdrawn,
        ended.gone
    )
}

/// From the days on market.
pub fn of_days(market: &Market) -> String {
    let both = |own, comps| {
        format!(
            "Half of your bikes sell within {} days, half of the comps within {}",
            days(own),
            days(comps)
        )
    };
    match takeaways::of_days(market) {
        Pace::Faster(own, comps) => {
            format!(
                "{}: you sell fast, so you may ask a little more.",
                both(own, comps)
            )
        }
        Pace::Slower(own, comps) => format!(
            "{}: if time matters, ask a little less or cut sooner.",
            both(own, comps)
        ),
        Pace::Alike(own, comps) => format!("{}: much alike.", both(own, comps)),
        Pace::OwnAlone(own) => format!(
            "Half of your bikes sell within {} days; allow twice that before you worry.",
            days(own)
        ),
        Pace::CompsAlone(comps) => format!(
            "Half of the comps sell within {} days; record when you list and sell, to see whether yours do.",
            days(comps)
        ),
        Pace::Unknown => {
            "Nothing reliable yet: note the day of listing, and look at least twice at each comp."
                .into()
        }
    }
}

/// From ask and sale price.
pub fn of_gap(market: &Market) -> String {
    match takeaways::of_gap(market) {
        Room::Own(own) => format!(
            "Half of your sales end {} or more below the first ask: leave that much room when you ask.",
            change(own).trim_start_matches('-')
        ),
        Room::NoNeed => "Your buyers pay what you first ask: try a little more.".into(),
        Room::Comps(comps) => format!(
            "Others sell at {} against their last ask; note your own first asks to see your room.",
            change(comps)
        ),
        Room::Unknown => {
            "Note the first ask of your bikes, and sale prices of comps where you see them.".into()
        }
    }
}

/// From the movement.
pub fn of_movement(market: &Market) -> String {
    let was = |level: Factor| {
        format!(
            "A year ago prices stood at {} of today's ({} to {})",
            percent(level.factor),
            percent(level.low),
            percent(level.high)
        )
    };
    match takeaways::of_movement(market) {
        Course::NotReached => {
            "The records do not reach a year back: nothing is known of how prices move.".into()
        }
        Course::TooFew => {
            "Too few prices of a year ago to say how the market moved; old prices are used as they are.".into()
        }
        Course::Unclear(level) => {
            format!("{}: no clear movement, so asks of last year still count.", was(level))
        }
        Course::Rose(level) => format!(
            "{}: the market rose, so ask more than last year's sales suggest.",
            was(level)
        ),
        Course::Fell(level) => format!(
            "{}: the market fell, so ask less than last year's sales suggest.",
            was(level)
        ),
    }
}

fn percent(fraction: f64) -> String {
    format!("{:.0} %", 100.0 * fraction)
}

/// From the season.
pub fn of_season(market: &Market) -> String {
    let month = |(of, factor): (usize, f64)| {
        let name = MONTHS.get(of).copied().unwrap_or("?");
        format!("{name} ({})", change(factor - 1.0))
    };
    match takeaways::of_season(market) {
        When::Unknown => "No prices, no season.".into(),
        When::Unclear => "No clear season: list a bike when it is ready.".into(),
        When::Little => {
            "The season moves prices by under 1 %: list a bike when it is ready.".into()
        }
        When::Months {
            best,
            weakest,
            seen,
        } => {
            let unseen = if seen < 12 {
                format!(" Only {seen} of twelve months have prices: the rest is our assumption.")
            } else {
                String::new()
            };
            format!(
                "Best in {}, weakest in {}, against the mean of the year: a bike that can wait should wait for the \
                 better months.{unseen}",
                month(best),
                month(weakest)
            )
        }
    }
}

/// From what is unusual.
pub fn of_unusual(market: &Market) -> &'static str {
    match takeaways::of_unusual(market) {
        StandOut::SetAside => {
            "No ask is far from what is likely, but some prices were set aside as not to be believed: look at those records."
        }
        StandOut::None => {
            "No price is far from what is likely: the tables can be taken as they are."
        }
        StandOut::FarAsks => {
            "Look at these adverts again before you use their prices; a mistake of yours is corrected by \
             importing the row again."
        }
    }
}
