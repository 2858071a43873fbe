//! Cautions in words: what was seen, why it matters, what to do.

use crate::pricing::inspection::Lid;
use crate::pricing::inspection::verdict::OLD_INSPECTION;
use crate::pricing::quote::caution::QuoteCaution;
use crate::report::text::amounts;
use crate::report::text::counts::{first, many};
use crate::trade::{Condition, Currency, Day};

/// Safety checks not passed that are named, at most.
const GATES: usize = 3;

/// A short name for JSON, so that a script need not read the words.
pub fn code(caution: &QuoteCaution) -> &'static str {
    match caution {
        QuoteCaution::NothingToGoOn => "nothing_to_go_on",
        QuoteCaution::OutOfReach => "out_of_reach",
        QuoteCaution::OwnSaleAmongRecords { .. } => "own_sale_among_records",
        QuoteCaution::PriorOnly => "trade_prior_only",
        QuoteCaution::FewOwnSales { .. } => "few_own_sales",
        QuoteCaution::OutsideExperience { .. } => "outside_experience",
        QuoteCaution::Unknown { .. } => "unknown_features",
        QuoteCaution::Disagreement { .. } => "records_disagree_with_prior",
        QuoteCaution::NearNew { .. } => "near_new_price",
        QuoteCaution::OldComps { .. } => "comps_are_old",
        QuoteCaution::OwnSaleLeftOut { .. } => "own_sale_left_out",
        QuoteCaution::PaceBelieved => "pace_from_prior_only",
        QuoteCaution::FewDurations { .. } => "few_durations",
        QuoteCaution::PaceDisagrees { .. } => "pace_disagrees_with_records",
        QuoteCaution::PremiumHeld => "premium_effect_held",
        QuoteCaution::Overdue { .. } => "listed_longer_than_it_may",
        QuoteCaution::AsksTooLittle { .. } => "asks_too_little",
        QuoteCaution::BeyondHabit { .. } => "ask_beyond_own_habit",
        QuoteCaution::NotInspected => "not_inspected",
        QuoteCaution::MayBeStolen { .. } => "may_be_stolen",
        QuoteCaution::GatesOpen { .. } => "gates_open",
        QuoteCaution::OnlyParts { .. } => "only_parts",
        QuoteCaution::CountsAs { .. } => "condition_counts_as",
        QuoteCaution::InspectionOld { .. } => "inspection_old",
        QuoteCaution::ChangedSince { .. } => "changed_since_inspection",
        QuoteCaution::NoRoadTest { .. } => "no_road_test",
        QuoteCaution::ConditionDiffers { .. } => "condition_differs",
    }
}

/// Whether a caution is about one bike, and not about the book or the market.
pub fn of_one_bike(caution: &QuoteCaution) -> bool {
    !matches!(
        caution,
        QuoteCaution::PriorOnly
            | QuoteCaution::FewOwnSales { .. }
            | QuoteCaution::OldComps { .. }
            | QuoteCaution::PaceBelieved
            | QuoteCaution::FewDurations { .. }
            | QuoteCaution::PaceDisagrees { .. }
            | QuoteCaution::PremiumHeld
            | QuoteCaution::BeyondHabit { .. }
            | QuoteCaution::Disagreement { .. }
    )
}

/// Whether somebody may be hurt or wronged, or the price is of another bike.
pub fn is_grave(caution: &QuoteCaution) -> bool {
    matches!(
        caution,
        QuoteCaution::MayBeStolen { .. }
            | QuoteCaution::OnlyParts { .. }
            | QuoteCaution::GatesOpen { .. }
            | QuoteCaution::CountsAs { .. }
            | QuoteCaution::ConditionDiffers { .. }
    )
}

/// Why the bike is not to be sold as one, where that is so: then nothing is to be asked.
pub fn not_for_sale(cautions: &[QuoteCaution]) -> Option<&QuoteCaution> {
    let bars = |one: &&QuoteCaution| {
        matches!(
            one,
            QuoteCaution::MayBeStolen { .. } | QuoteCaution::OnlyParts { .. }
        )
    };
    cautions.iter().find(bars)
}

/// Bikes from which on one speaks of most of them.
const SEVERAL: usize = 3;

/// Whether what holds for `count` bikes of `all` is said once of all of them.
pub fn holds_for_most(count: usize, all: usize) -> bool {
    all >= SEVERAL && 2 * count > all
}

/// The caution of several bikes at once, without what differs between them.
#[allow(clippy::too_many_lines, reason = "a sentence for each caution")]
pub fn of_many(caution: &QuoteCaution, currency: &Currency) -> String {
    match caution {
        QuoteCaution::Unknown { .. } => {
            "year, condition, tier or size is not known. The range is wider for it.".into()
        }
        QuoteCaution::OutsideExperience { .. } => {
            "your records hold hardly any bikes like these: treat their prices as guesses.".into()
        }
        QuoteCaution::OutOfReach => {
            "the price lies outside what can be computed with. Check the year and the new price.".into()
        }
        QuoteCaution::NearNew { .. } => {
            "the value is near the new price or above it. Check the new price and the features; few buyers pay so much \
             for a used bike."
                .into()
        }
        QuoteCaution::OwnSaleAmongRecords { .. } => {
            "a sold bike of yours has the same name, and its sale is among the records here; 'price --bike ID' leaves \
             it out."
                .into()
        }
        QuoteCaution::OwnSaleLeftOut { .. } => {
            "sold already; the sale was left out, so this is what the other records say.".into()
        }
        QuoteCaution::BeyondHabit { usual, .. } => format!(
            "the ask is further above the value than your own first asks, which stood about {:.0} % above it: your \
             records do not show how buyers take that. If you would rather sell soon, give a higher --week-cost or \
             fewer --weeks.",
            100.0 * usual
        ),
        QuoteCaution::AsksTooLittle { .. } => {
            "asked for less than a fresh listing would start at: list it again at that, unless there is a \
             reason that your records do not show."
                .into()
        }
        QuoteCaution::Overdue { weeks, .. } => format!(
            "listed for longer than the {weeks} weeks that a bike may be: think of a quick sale, of giving it away or of \
             its parts."
        ),
        QuoteCaution::NotInspected => {
            "not inspected yet: wheelworth inspect --blank SHEET.csv makes a sheet.".into()
        }
        QuoteCaution::MayBeStolen { .. } => {
            "the serial number is missing, scratched out or on a list of stolen bikes. Do not sell it before \
             the police or the keeper of the list \
             have said whose it is."
                .into()
        }
        QuoteCaution::GatesOpen { .. } => {
            "safety checks not passed: do not ride. The price is for the bike as it is.".into()
        }
        QuoteCaution::OnlyParts { .. } => "the frame has failed: good only for its parts.".into(),
        QuoteCaution::CountsAs { .. } => {
            "the price is for a lower condition than the recorded one: something failed at the last inspection. Fix it \
             and inspect it again, then the recorded condition counts."
                .into()
        }
        QuoteCaution::InspectionOld { .. } => format!(
            "the last inspection is more than {OLD_INSPECTION} days old. Inspect it again before it is sold."
        ),
        QuoteCaution::ChangedSince { .. } => {
            "a part was paid for after the last inspection. Inspect it again when it is fitted.".into()
        }
        QuoteCaution::NoRoadTest { .. } => {
            "every safety check passed, but there is no road test yet: ride it yourself and inspect it again.".into()
        }
        QuoteCaution::ConditionDiffers { .. } => {
            "the recorded condition and that of the last inspection differ. Correct the one that is wrong.".into()
        }
        QuoteCaution::NothingToGoOn
        | QuoteCaution::PriorOnly
        | QuoteCaution::FewOwnSales { .. }
        | QuoteCaution::Disagreement { .. }
        | QuoteCaution::OldComps { .. }
        | QuoteCaution::PaceBelieved
        | QuoteCaution::FewDurations { .. }
        | QuoteCaution::PaceDisagrees { .. }
        | QuoteCaution::PremiumHeld => words(caution, currency),
    }
}

/// `4 safety checks not passed`.
pub(in crate::report) fn not_passed(count: usize) -> String {
    format!("{} not passed", many(count, "safety check"))
}

/// The caution in a line or two, for the short answer.
pub fn short(caution: &QuoteCaution, currency: &Currency) -> String {
    match caution {
        QuoteCaution::Unknown { features } => {
            format!(
                "Not known: {}. The range is wider for it.",
                features.join(", ")
            )
        }
        QuoteCaution::OutsideExperience { feature, here, .. } => {
            format!("Your records hold hardly any of this {feature} ({here}): treat it as a guess.")
        }
        QuoteCaution::GatesOpen { on, gates, .. } => format!(
            "{} ({on}: {}): do not ride.",
            not_passed(gates.len()),
            first(gates, GATES)
        ),
        QuoteCaution::NotInspected => {
            "Not inspected yet: wheelworth inspect --blank SHEET.csv".into()
        }
        other => words(other, currency),
    }
}

/// The caution as a sentence or two.
#[allow(clippy::too_many_lines, reason = "a sentence for each caution")]
pub fn words(caution: &QuoteCaution, currency: &Currency) -> String {
    match caution {
        QuoteCaution::NothingToGoOn => {
            "There is nothing to go on: no sale and no comp with a price, and no new price. Import your sales \
             or comps, or give --new-price."
                .into()
        }
        QuoteCaution::OutOfReach => "The price lies outside what can be computed with. Check the year, the new price \
             and the day of the answer."
            .into(),
        QuoteCaution::OwnSaleAmongRecords { bike } => format!(
            "A bike {bike} of yours is sold, and that sale is among the records here; 'price --bike {bike}' leaves \
             it out."
        ),
        QuoteCaution::PriorOnly => {
            "Our guess, not your market: the book has no sales and no comps. Note what sellers of such bikes ask \
             ('record comp', or 'import comps') before you rely on it."
                .into()
        }
        QuoteCaution::FewOwnSales { sales: 0 } => {
            "The book has no own sales: how far one sale is from its value is \
             taken from our starting assumption and from the comps. Record your sales as they happen."
                .into()
        }
        QuoteCaution::FewOwnSales { sales } => format!(
            "Only {sales} own sale{}: how far one sale is from its value is taken mostly from our starting \
             assumption and the comps. Record your sales as they happen.",
            if *sales == 1 { "" } else { "s" }
        ),
        QuoteCaution::OutsideExperience {
            feature: "style",
            here,
            seen,
        } => format!(
            "Outside your experience: the records hold {seen} ({here}). Look at asks of such bikes yourself \
             before you decide."
        ),
        QuoteCaution::OutsideExperience {
            feature,
            here,
            seen,
        } => format!(
            "Outside your experience: {feature} {here}, where the records show {seen}. Treat the price as a guess."
        ),
        QuoteCaution::Unknown { features } => format!(
            "Unknown: {}. The range is wider for it; find out what you can before you list it.",
            features.join(", ")
        ),
        QuoteCaution::Disagreement { effect, distance } => format!(
            "Your records disagree with our starting assumption for '{effect}' (they say {}). The records win; if you doubt \
             them, look for wrong grades or years.",
            if *distance > 0.0 { "more" } else { "less" }
        ),
        QuoteCaution::NearNew { value, new_price } => format!(
            "The value, {}, is {} the {} that one costs new. Check the new price and the features; few buyers pay \
             so much for a used one.",
            amounts::round(*value, currency),
            if value > new_price { "above" } else { "near" },
            amounts::round(*new_price, currency)
        ),
        QuoteCaution::OldComps { newest, days } => format!(
            "The newest comp is of {newest}, {days} days ago: the market may have moved. Look around and import \
             what you see."
        ),
        QuoteCaution::OwnSaleLeftOut { bike, price, on } => format!(
            "{bike} was sold on {on} for {}; that sale was left out, so this is what the other records say.",
            amounts::exact(*price, currency)
        ),
        QuoteCaution::PaceBelieved => {
            "No listing in the book tells how long it stood (listed_on with sold_on, or comps with listed_on and \
             what became of them): the days and chances are our starting assumption. Note the days."
                .into()
        }
        QuoteCaution::FewDurations { sales } => format!(
            "Only {sales} sale{} of known length: the days and chances rest on our starting assumption for a good part.",
            if *sales == 1 { "" } else { "s" }
        ),
        QuoteCaution::PaceDisagrees {
            from,
            to,
            observed,
            expected,
        } => format!(
            "The pace assumed here and your records disagree: {} it expects {expected:.0} sales where there were \
             {observed:.0}. Do not rely on the days, and look at 'market' for the days as they were.",
            match to {
                Some(to) => format!("from day {from:.0} to {to:.0}"),
                None => format!("after day {from:.0}"),
            }
        ),
        QuoteCaution::PremiumHeld => {
            "In the records asks above the value hardly slow a sale, so that no ask would be too high; their \
             effect was held at the least that can be believed. Asks of bikes that are better than their \
             record says \
             can look so: check the conditions that you noted."
                .into()
        }
        QuoteCaution::Overdue { days, weeks } => format!(
            "It has been listed for {days} days, longer than the {weeks} weeks that it may: think of a quick \
             sale, of giving \
             it away or of its parts. The plan is for a few weeks more."
        ),
        QuoteCaution::AsksTooLittle { now, fresh } => format!(
            "You ask {} where a fresh listing would start at {}. Take it down and list it again at that, \
             unless there is a reason that your records do not show.",
            amounts::round(*now, currency),
            amounts::round(*fresh, currency)
        ),
        QuoteCaution::BeyondHabit { premium, usual } => format!(
            "The ask is {:.0} % above the value, where your own first asks stood about {:.0} % above it: your \
             records do not show how buyers take that. It is best if waiting costs you as little as was said; if \
             you would rather sell soon, give a higher --week-cost or fewer --weeks.",
            100.0 * premium,
            100.0 * usual
        ),
        QuoteCaution::NotInspected => {
            "Not inspected yet: wheelworth inspect --blank SHEET.csv. The price is for the bike as it is.".into()
        }
        QuoteCaution::MayBeStolen { on } => format!(
            "Inspected on {on}: its serial number is missing, scratched out or on a list of stolen bikes. Do \
             not sell it before the police or the keeper of the list has said whose it is."
        ),
        QuoteCaution::GatesOpen { on, gates, listed } => format!(
            "Inspected on {on}, {}: {}. Do not ride it. The price is for the bike as it is; only a new inspection \
             changes that.{}",
            not_passed(gates.len()),
            first(gates, GATES),
            if *listed {
                " It is on offer: take it off until it is repaired and inspected again, or offer it as in need of work."
            } else {
                ""
            }
        ),
        QuoteCaution::OnlyParts { on, listed } => format!(
            "Inspected on {on}: the frame has failed. It is good only for its parts: {}take it apart and scrap the frame.",
            if *listed { "take it off offer, " } else { "" }
        ),
        QuoteCaution::CountsAs {
            recorded,
            counts,
            inspected,
            lid,
            on,
        } => counts_as(*recorded, *counts, *inspected, *lid, *on),
        QuoteCaution::InspectionOld { on, days } => format!(
            "Inspected on {on}, {days} days ago: what has happened to it since is not known. Inspect it again before it \
             is sold."
        ),
        QuoteCaution::ChangedSince { on, part } => format!(
            "A part was paid for on {part}, after the inspection of {on}: something may have been changed since. \
             Inspect it again when it is fitted."
        ),
        QuoteCaution::NoRoadTest { on } => format!(
            "Inspected on {on}: every safety check passed, but there is no road test yet. The price is for the bike as it is; \
             ride it yourself and inspect it again."
        ),
        QuoteCaution::ConditionDiffers {
            recorded,
            inspected,
            on,
        } => format!(
            "The price is for condition {} {recorded}, as recorded; the inspection of {on} says {} \
             {inspected}. Correct the one that is wrong: the record with 'record sale', the inspection by a \
             new one.",
            recorded.grade(),
            inspected.grade()
        ),
    }
}

/// For which condition the price is, and why.
fn counts_as(
    recorded: Option<Condition>,
    counts: Condition,
    inspected: Condition,
    lid: Lid,
    on: Day,
) -> String {
    let graded = |condition: Condition| format!("{} {condition}", condition.grade());
    let instead = match recorded {
        Some(recorded) => format!("not {} as recorded", graded(recorded)),
        None => "none is recorded".into(),
    };
    let why = match lid {
        Lid::Frame => "its frame has failed",
        Lid::Gate => "it has not passed every safety check",
        Lid::Fault => "something mechanical has failed",
        Lid::NoRoadTest => "it has passed no road test",
    };
    let grade = if inspected == counts {
        String::new()
    } else {
        format!(" All in all it says {}.", graded(inspected))
    };
    let mend = match lid {
        Lid::Frame => "",
        _ => " Fix it and inspect it again, then the recorded condition counts.",
    };
    format!(
        "The price is for condition {}, {instead}: by the inspection of {on} {why}.{grade}{mend}",
        graded(counts)
    )
}
