//! The shed in words: what to do with a bike, and what to doubt.

use super::shed::Shed;
use crate::accounts::stock::caution::Doubt;
use crate::accounts::stock::line::StockLine;
use crate::accounts::{Clearance, NextStep, StockCaution};
use crate::pricing::quote::caution::QuoteCaution;
use crate::report::quote::caution_words;
use crate::report::text::amounts::{exact, plain};
use crate::report::text::counts::first;
use crate::report::text::dates::day_seen_from;
use crate::trade::{Currency, Day};

/// Bikes that one caution names, at most.
const NAMED: usize = 8;

/// What to do with a bike, and what its inspection wants of it in a word or two:
/// `inspect, list at 140`, `finish, not safe yet`.
pub fn to_do(line: &StockLine, as_of: Day, currency: &Currency) -> String {
    let step = step(&line.next, as_of, currency);
    match (wants(line), line.next) {
        (None, _) | (Some(_), NextStep::TakeApart) => step,
        (Some(wants), NextStep::Finish) => format!("finish, {wants}"),
        (Some(wants), NextStep::Wait) => wants.into(),
        (Some(wants), _) => format!("{wants}, {step}"),
    }
}

/// What its inspection wants of a bike.
fn wants(line: &StockLine) -> Option<&'static str> {
    match line.holding.inspection {
        Some((_, Clearance::Passed)) => None,
        Some((_, Clearance::NoRoadTest)) => Some("road test"),
        Some((_, Clearance::GatesOpen)) => Some("not safe yet"),
        Some((_, Clearance::OnlyParts)) => Some("only for parts"),
        Some((_, Clearance::NotToBeSold)) => Some("do not sell"),
        None => Some("inspect"),
    }
}

/// What to do, as one says it: `cut to 92 now`, `list at 140`, `leave it`.
fn step(step: &NextStep, as_of: Day, currency: &Currency) -> String {
    match step {
        NextStep::MarkDown { to, .. } if step.is_overdue(as_of) => {
            format!("cut to {} now", plain(*to, currency))
        }
        NextStep::MarkDown { on, to, .. } => {
            format!(
                "cut to {} on {}",
                plain(*to, currency),
                day_seen_from(*on, as_of)
            )
        }
        NextStep::List { at: Some(ask) } => format!("list at {}", plain(*ask, currency)),
        NextStep::List { at: None } => "list it".into(),
        NextStep::Finish => "finish the work".into(),
        NextStep::TakeApart => "take apart, only for parts".into(),
        NextStep::Wait => "leave it".into(),
    }
}

/// A caution in words.
pub struct Told {
    /// A short name for JSON.
    pub code: &'static str,
    /// A sentence or two.
    pub words: String,
    /// Whether it belongs to the short answer: it is about bikes, not about the records
    /// that the prices rest on.
    pub is_short: bool,
}

/// What to doubt. Of the doubts of the pricing only those that bear on what to do.
pub fn cautions(shed: &Shed, currency: &Currency) -> Vec<Told> {
    let of_the_shed = |(code, words): (&'static str, String)| Told {
        code,
        words,
        is_short: true,
    };
    let mut told: Vec<Told> = Vec::new();
    let mut safety = None;
    for caution in &shed.stock.cautions {
        match caution {
            StockCaution::NoSafetyCheck => safety = Some(of_stock(caution, currency)),
            _ => told.push(of_the_shed(of_stock(caution, currency))),
        }
    }
    told.extend(of_prices(shed, currency));
    told.extend(safety.map(of_the_shed));
    told
}

fn of_stock(caution: &StockCaution, currency: &Currency) -> (&'static str, String) {
    match caution {
        StockCaution::About { doubt, bikes } => {
            let (code, words) = about(*doubt);
            (code, format!("{}: {words}", first(bikes, NAMED)))
        }
        StockCaution::Replaced {
            bike,
            column,
            said,
            counted,
        } => (
            "column_replaced_by_costs",
            format!(
                "{bike}: the sales say {} {}, the list of costs {}, which counts. Correct the one that is wrong.",
                column.replace('_', " "),
                exact(*said, currency),
                exact(*counted, currency)
            ),
        ),
        StockCaution::NoSafetyCheck => (
            "no_safety_check",
            "A price is no safety check, and the condition is the one in your records: have each bike checked by \
             somebody competent before it is listed or ridden."
                .into(),
        ),
    }
}

#[allow(clippy::too_many_lines, reason = "a sentence for each doubt")]
fn about(doubt: Doubt) -> (&'static str, &'static str) {
    match doubt {
        Doubt::NoValue => (
            "no_value",
            "no value can be given, so the step rests on its record alone, and it is not in what the plans bring.",
        ),
        Doubt::NoPlan => (
            "no_plan",
            "no plan of asks can be made; its value counts for what it brings. See 'price --bike ID'.",
        ),
        Doubt::NoAsk => (
            "no_ask",
            "listed, and its ask is not known, so no price cut can be planned. Note the ask in the sales.",
        ),
        Doubt::NoListingDay => (
            "no_listing_day",
            "has an ask and no day of listing, and counts as not listed. Note listed_on in the sales if it is.",
        ),
        Doubt::Unfinished => (
            "unfinished",
            "condition 2, valued as it stands. When the work is done, note the new condition: then this says what to \
             list it at.",
        ),
        Doubt::Donor => (
            "donor",
            "condition 1, good only for its parts, which are not valued here. Take it apart if the work does not pay.",
        ),
        Doubt::ConditionUnknown => (
            "condition_unknown",
            "condition unknown, so it counts as not ready. Note its condition: then this says what to list it at.",
        ),
        Doubt::ListedUnready => (
            "listed_unready",
            "listed, and its condition is below 3 or unknown. Offer it as in need of work, not as ready to ride.",
        ),
        Doubt::NotToBeSold => (
            "not_to_be_sold",
            "its serial number was missing, scratched out or on a list of stolen bikes at the last \
             inspection. Take it off offer, and do \
             not sell it before the police or the keeper of the list has said whose it is.",
        ),
        Doubt::OnlyParts => (
            "only_parts",
            "the frame had failed at the last inspection: good only for its parts, so take it off offer, take it apart \
             and scrap the frame.",
        ),
        Doubt::GatesOpen => (
            "gates_open",
            "safety checks not passed at the last inspection: do not ride. 'inspect --bike ID' names them. Repair it and \
             inspect it again; until then take it off offer, or offer it as it is.",
        ),
        Doubt::NoRoadTest => (
            "no_road_test",
            "every safety check has passed, but there is no road test yet. Ride it yourself, note it and inspect it again.",
        ),
        Doubt::NotInspected => (
            "not_inspected",
            "not inspected yet. 'wheelworth inspect --blank SHEET.csv' makes a sheet; filled in, 'wheelworth \
             inspect SHEET.csv --bike ID' keeps it.",
        ),
        Doubt::NoPurchase => (
            "no_purchase",
            "purchase cost not known, counted as 0: more cash may be tied up.",
        ),
        Doubt::NoPurchaseDay => (
            "no_purchase_day",
            "day of purchase not known: days on hand count from the listing, where that is known.",
        ),
        Doubt::ListedFirst => (
            "listed_before_bought",
            "listed before it was bought, by its dates. Correct bought_on or listed_on.",
        ),
    }
}

/// Doubts about prices, one of a code: those about the book once, those about a
/// bike with the bikes' names.
fn of_prices(shed: &Shed, currency: &Currency) -> Vec<Told> {
    let mut told: Vec<Told> = Vec::new();
    for (_, caution) in &shed.doubts {
        let code = caution_words::code(caution);
        if told.iter().any(|other| other.code == code) {
            continue;
        }
        let alike = || {
            shed.doubts
                .iter()
                .filter(|(_, c)| caution_words::code(c) == code)
        };
        let bikes = || first(&alike().map(|(bike, _)| bike).collect::<Vec<_>>(), NAMED);
        let text = match caution {
            QuoteCaution::FewOwnSales { .. }
            | QuoteCaution::OldComps { .. }
            | QuoteCaution::PriorOnly
            | QuoteCaution::PaceBelieved
            | QuoteCaution::FewDurations { .. }
            | QuoteCaution::PaceDisagrees { .. }
            | QuoteCaution::PremiumHeld => Some(caution_words::words(caution, currency)),
            QuoteCaution::NothingToGoOn => Some(
                "There is nothing to go on: no sale and no comp with a price. Import your sales or comps, or note \
                 what the bikes cost new."
                    .into(),
            ),
            QuoteCaution::OutOfReach
            | QuoteCaution::NearNew { .. }
            | QuoteCaution::AsksTooLittle { .. }
            | QuoteCaution::CountsAs { .. }
            | QuoteCaution::ChangedSince { .. } => None,
            QuoteCaution::InspectionOld { .. } | QuoteCaution::Overdue { .. } => {
                let words = caution_words::of_many(caution, currency);
                Some(format!("{}: {words}", bikes()))
            }
            QuoteCaution::BeyondHabit { .. } => {
                let at_risk = alike()
                    .map(|(bike, _)| bike)
                    .filter(|bike| is_to_list(shed, bike));
                let bikes: Vec<&String> = at_risk.collect();
                if bikes.is_empty() {
                    continue;
                }
                let words = caution_words::of_many(caution, currency);
                Some(format!("{}: {words}", first(&bikes, NAMED)))
            }
            // What makes a value less sure is told by 'price'.
            _ => continue,
        };
        let is_short = caution_words::of_one_bike(caution);
        let said = |words: String| Told {
            code,
            words,
            is_short,
        };
        match text {
            Some(text) => told.push(said(text)),
            // What holds for most bikes of the shed is said once.
            None if caution_words::holds_for_most(alike().count(), shed.stock.lines.len()) => {
                let words = caution_words::of_many(caution, currency);
                told.push(said(format!("{}: {words}", bikes())));
            }
            None => told.extend(alike().map(|(bike, caution)| {
                let words = caution_words::words(caution, currency);
                said(format!("{bike}: {words}"))
            })),
        }
    }
    told
}

fn is_to_list(shed: &Shed, bike: &str) -> bool {
    let line = shed
        .stock
        .lines
        .iter()
        .find(|line| line.holding.sale.id == bike);
    line.is_some_and(|line| matches!(line.next, NextStep::List { .. }))
}
