//! Kept offers against what came of them, as text.

use super::words::{fate, learnt, remark};
use crate::accounts::forecast::{Fate, Forecast, Outcome};
use crate::pricing::offer::OfferCorrection;
use crate::report::offer::text::hours;
use crate::report::text::amounts::{exact, plain, signed};
use crate::report::text::counts::{capital, many};
use crate::report::text::table::{Column, Table};
use crate::trade::{Currency, Day, KeptOffer, Money};
use std::fmt::Write as _;

/// The whole answer.
pub fn text(
    forecasts: &[Forecast],
    taught: &OfferCorrection,
    as_of: Day,
    currency: &Currency,
) -> String {
    let mut out = String::new();
    if forecasts.is_empty() {
        let _ = writeln!(
            out,
            "No offer is kept. 'wheelworth offer … --bike ID' keeps one under the id that the bike will have; once it \
             is bought and sold, forecast and outcome stand here side by side."
        );
        return out;
    }
    let _ = writeln!(
        out,
        "{} as of {as_of}, money in {currency}",
        many(forecasts.len(), "kept offer")
    );
    let _ = writeln!(out, "\n  => {}", capital(&learnt(taught)));
    for forecast in forecasts {
        one(&mut out, forecast, currency);
    }
    if forecasts.iter().any(|one| one.outcome().is_some()) {
        let _ = writeln!(
            out,
            "\nLeft is the sale price less repair and selling, before the bike is paid for; hours and waiting cost no \
             money."
        );
    }
    out
}

fn one(out: &mut String, forecast: &Forecast, currency: &Currency) {
    let offer = &forecast.offer;
    let wanted = offer.asking.map_or(String::new(), |asking| {
        format!("; the seller wanted {}", plain(asking, currency))
    });
    let _ = writeln!(
        out,
        "\n{}, offer of {}: at most {} on average, {} if it sells badly, for a margin of {}{wanted}",
        offer.bike,
        offer.on,
        exact(offer.most_mean, currency),
        exact(offer.most_cautious, currency),
        plain(offer.margin, currency)
    );
    let jobs = match offer.jobs.as_slice() {
        [] => "no job".to_string(),
        jobs => jobs.join(", "),
    };
    let _ = writeln!(out, "  planned: {jobs}");
    match &forecast.fate {
        Fate::Sold(outcome) => sold(out, offer, outcome, currency),
        other => {
            let _ = writeln!(
                out,
                "  predicted: repair {}, {} h, sale {} after {} days, left {}\n  {}",
                exact(offer.cost, currency),
                hours(offer.hours),
                exact(offer.price, currency),
                whole_days(offer),
                exact(offer.left(), currency),
                fate(other)
            );
        }
    }
}

fn whole_days(offer: &KeptOffer) -> i64 {
    (offer.days + 5) / 10
}

fn sold(out: &mut String, offer: &KeptOffer, outcome: &Outcome, currency: &Currency) {
    let mut table = Table::new([
        Column::left(12).after("  "),
        Column::right(9).fitted(),
        Column::right(6).fitted(),
        Column::right(9).fitted(),
        Column::right(9).fitted(),
        Column::right(6).fitted(),
        Column::right(10).fitted(),
    ]);
    table.row(["", "repair", "hours", "selling", "sale", "days", "left"]);
    let money = |amount: Money| exact(amount, currency);
    table.row([
        "predicted".to_string(),
        money(offer.cost),
        hours(offer.hours),
        money(offer.fees),
        money(offer.price),
        whole_days(offer).to_string(),
        money(offer.left()),
    ]);
    let unknown = || "?".to_string();
    table.row([
        "actual".to_string(),
        money(outcome.cost),
        outcome.hours.map_or_else(unknown, hours),
        money(outcome.fees),
        money(outcome.price),
        outcome.days.map_or_else(unknown, |days| days.to_string()),
        money(outcome.left),
    ]);
    table.write(out);
    let bought = outcome.bought_for.zip(outcome.margin());
    let bought = bought.map_or(String::new(), |(paid, margin)| {
        format!(
            "; bought for {}, so the margin was {}",
            plain(paid, currency),
            exact(margin, currency)
        )
    });
    let mut remark = remark(outcome).to_string();
    if !remark.is_empty() {
        remark.insert_str(0, "; ");
    }
    let _ = writeln!(
        out,
        "  actual less predicted: {}{bought}{remark}",
        signed(outcome.more_than(offer), currency)
    );
}
