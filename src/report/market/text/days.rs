//! Days on market, and from ask to sale price, as text.

use crate::pricing::market::Market;
use crate::pricing::market::days::{BOTH_BY, GONE_SOLD, GONE_SOLD_OTHERWISE, OnMarket, WITHIN};
use crate::pricing::market::haggling::Against;
use crate::pricing::market::spells::LONGEST_GAP;
use crate::report::market::takeaways;
use crate::report::market::takeaways::take;
use crate::report::market::words::days;
use crate::report::text::counts::many;
use crate::report::text::shares::{change, level_percent};
use crate::report::text::table::{Column, Table};
use std::fmt::Write as _;

/// How long bikes stand, and what of the records tells it.
pub(in crate::report) fn on_market(out: &mut String, market: &Market) {
    let found = &market.days;
    let _ = writeln!(
        out,
        "\nDays on market from the day of listing, with the {} range (Kaplan-Meier, log-log limits)",
        level_percent(found.level)
    );
    for (name, of) in [("own bikes", &found.own), ("comps", &found.comps)] {
        match of {
            Some(of) => one_curve(out, name, of),
            None => {
                let _ = writeln!(out, "  {name}: none that was followed for any time");
            }
        }
    }
    let unused = &found.unused;
    if unused.comps() > 0 {
        let _ = writeln!(
            out,
            "  Not used: {} without a day of listing (to have been seen is not enough), {} seen on one day only, {} that \
             had ended before they were seen.",
            many(unused.no_listing_day, "comp"),
            unused.seen_once,
            unused.ended_before_seen
        );
    }
    if unused.own_no_listing_day > 0 {
        let _ = writeln!(
            out,
            "  Not used: {} sold, with the day of listing unknown.",
            many(unused.own_no_listing_day, "own bike")
        );
    }
    if market.comps.comps > 0 {
        let _ = writeln!(
            out,
            "  Each comp is followed from the day on which you first saw it. Withdrawn and still listed: not sold by then. Gone: sold \
             with a share of {GONE_SOLD} (judgement), half-way to the next day you looked, at most {LONGEST_GAP} days on."
        );
    }
    take(out, &takeaways::of_days(market));
}

fn one_curve(out: &mut String, name: &str, of: &OnMarket) {
    let count = |count: f64| format!("{count:.0}");
    let ended = if of.gone > 0.0 {
        format!("{} sold, {} gone", count(of.sold), count(of.gone))
    } else {
        format!("{} sold", count(of.sold))
    };
    let half = match of.median {
        Some(median) => {
            let low = of.low.map_or("?".into(), days);
            let high = of.high.map_or("not reached".into(), days);
            format!("half sold within {} days ({low} to {high})", days(median))
        }
        None => format!(
            "half sold: not reached in the {} days they were followed",
            days(of.longest)
        ),
    };
    let _ = writeln!(
        out,
        "  {name}: {} followed, {ended}; {half}",
        count(of.followed)
    );
    if of.gone > 0.0 {
        let told: Vec<String> = GONE_SOLD_OTHERWISE
            .iter()
            .zip(of.otherwise)
            .map(|(share, median)| {
                let median = median.map_or("not reached".into(), |m| format!("{} days", days(m)));
                format!("{median} if {:.0} % of the gone were sold", 100.0 * share)
            })
            .collect();
        let _ = writeln!(out, "    {}", told.join(", "));
    }
    let within: Vec<String> = WITHIN
        .iter()
        .zip(of.within)
        .filter_map(|(day, share)| share.map(|s| format!("{:.0} % within {day:.0}", 100.0 * s)))
        .collect();
    if !within.is_empty() {
        let _ = writeln!(out, "    sold: {} days", within.join(", "));
    }
    if let Some([sold, back]) = of.both.filter(|[_, back]| *back > 0.0) {
        let _ = writeln!(
            out,
            "    within {BOTH_BY:.0} days {:.0} % were sold and {:.0} % taken back",
            100.0 * sold,
            100.0 * back
        );
    }
}

/// How far below the ask bikes are sold.
pub(in crate::report) fn gap(out: &mut String, market: &Market) {
    let _ = writeln!(out, "\nFrom ask to sale price, and of how many sales");
    let mut table = Table::new([
        Column::cut(20).after("  "),
        Column::right(4).fitted(),
        Column::broken(16).after(": "),
    ]);
    for (against, gap) in Against::ALL.iter().zip(&market.gaps) {
        let name = match against {
            Against::OwnFirst => "own, from the first ask",
            Against::OwnLast => "own, from the last ask",
            Against::CompFirst => "comps, from the first ask",
            Against::CompLast => "comps, from the last ask",
        };
        let cells = match (gap.low, gap.median, gap.high) {
            (Some(low), Some(median), Some(high)) => format!(
                "middle {}, half between {} and {}",
                change(median),
                change(low),
                change(high)
            ),
            _ => "-".into(),
        };
        table.row([name.to_string(), gap.sales.to_string(), cells]);
    }
    table.write(out);
    take(out, &takeaways::of_gap(market));
}
