//! All that the book knows of one bike, or of one comp.

use super::list::state;
use crate::accounts::Clearance;
use crate::accounts::life::{Life, Stage};
use crate::report::text::amounts::{bike, exact};
use crate::report::text::wrap::{paragraph, wrap};
use crate::trade::sale::Sold;
use crate::trade::{AskChange, Comparable, Cost, Currency, Day, KeptOffer, Money, Quarter, Return};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// Columns of the screen.
const WIDTH: usize = 80;

/// A change of a record: the day and number of its import, the field, before and after.
#[derive(Clone, Debug)]
pub struct Changed {
    /// The import.
    pub import: i64,
    /// Its day.
    pub on: Day,
    /// What changed: `sold_price 150.00 -> 160.00`.
    pub what: String,
}

/// An own bike with everything about it.
pub struct BikeCard {
    /// Its record.
    pub life: Life,
    /// The quarter in which it was sold.
    pub quarter: Option<Quarter>,
    /// The day on which it was listed before it came back, and at what, where it has not
    /// been listed again.
    pub listed_before: Option<(Day, Option<Money>)>,
    /// Its inspections: day, what each came to.
    pub inspections: Vec<(Day, Clearance)>,
    /// Offers made for it.
    pub offers: Vec<KeptOffer>,
    /// Its costs.
    pub costs: Vec<Cost>,
    /// Changes of its ask.
    pub asks: Vec<AskChange>,
    /// What imports changed of it, those of its asks among them.
    pub changes: Vec<Changed>,
}

/// A comp with what imports changed of it.
pub struct CompCard {
    /// Its record.
    pub comp: Comparable,
    /// Changes.
    pub changes: Vec<Changed>,
}

/// A title and what stands behind it.
type Line = (&'static str, String);

/// A bike as text.
pub fn of_bike(card: &BikeCard, currency: &Currency) -> String {
    let mut out = String::new();
    let sale = &card.life.sale;
    say(&mut out, &sale.id, &bike(&sale.bike));
    let lines = lived(card, currency).into_iter();
    for (title, text) in lines.chain(cost_and_left(card, currency)) {
        say(&mut out, title, &text);
    }
    history(&mut out, &card.changes);
    out
}

fn say(out: &mut String, title: &str, text: &str) {
    paragraph(out, WIDTH, &format!("{title:<11} "), text);
}

/// What happened to it, from purchase to sale.
fn lived(card: &BikeCard, currency: &Currency) -> Vec<Line> {
    let (life, sale) = (&card.life, &card.life.sale);
    let money = |money| format!("{} {currency}", exact(money, currency));
    let mut lines = Vec::new();
    lines.extend(sale.bike.new_price.map(|new| ("New price", money(new))));
    lines.extend(sale.guess.map(|guess| ("Guess", money(guess))));
    lines.push(("State", state(life)));
    lines.extend(sale.bought_on.map(|day| {
        let paid = life.cost.purchase;
        let paid = paid.map_or(String::new(), |paid| format!(" for {}", money(paid)));
        ("Bought", format!("{day}{paid}"))
    }));
    lines.extend(card.offers.iter().map(|offer| {
        let most = money(offer.most_mean);
        ("Offer", format!("{}: at most {most} on average", offer.on))
    }));
    let inspections = card.inspections.iter();
    lines.extend(
        inspections.map(|(on, result)| ("Inspected", format!("{on}: {}", came_to(*result)))),
    );
    let listed = |(day, ask): (Day, Option<Money>), before: &str| {
        let asked = ask.map_or(String::new(), |ask| format!(" at {}", money(ask)));
        ("Listed", format!("{day}{asked}{before}"))
    };
    let now = sale.listed_on.map(|day| (day, sale.ask));
    lines.extend(now.map(|now| listed(now, "")));
    let before = card.listed_before;
    lines.extend(before.map(|then| listed(then, ", before it came back")));
    let asks = card.asks.iter();
    lines.extend(asks.map(|change| {
        let before = match sale.since_it_came_back(change.on) {
            true => "",
            false => ", before it came back",
        };
        let line = format!("{} from {} on{before}", money(change.ask), change.on);
        ("New ask", line)
    }));
    lines.extend(sold_and_back(life, currency));
    lines.extend(sale.left.iter().map(|left| {
        let parts = match (left.box_value, left.box_item.as_deref()) {
            (None, None) => String::new(),
            (worth, item) => {
                let worth = worth.map_or(String::new(), |w| format!(" worth {}", money(w)));
                let item = item.unwrap_or("parts");
                format!("; {item}{worth} into the parts box, in no sum")
            }
        };
        ("Left", format!("{} {}{parts}", left.on, left.how))
    }));
    lines
}

/// Every sale of it, and what was handed back, by day.
fn sold_and_back(life: &Life, currency: &Currency) -> Vec<Line> {
    let money = |money| format!("{} {currency}", exact(money, currency));
    let back = life.returns.iter().filter_map(|one| one.back);
    let refunds: Money = life
        .sale
        .sold
        .iter()
        .flat_map(|sold| {
            let of_it = |one: &&Return| one.back.is_none() && one.on >= sold.on;
            life.returns.iter().filter(of_it)
        })
        .map(|one| one.refund)
        .sum();
    // The record has the price less what was handed back of it.
    let stands = life.sale.sold.map(|sold| Sold {
        price: Money::from_minor(sold.price.minor() + refunds.minor()),
        ..sold
    });
    let mut lines: Vec<(Day, Line)> = back
        .chain(stands)
        .map(|sold| {
            let text = format!("{} for {}", sold.on, money(sold.price));
            (sold.on, ("Sold", text))
        })
        .collect();
    lines.extend(life.returns.iter().map(|one| {
        let (title, what) = match one.back {
            Some(_) => ("Came back", "handed back; stock again"),
            None => ("Refund", "handed back; the buyer keeps it"),
        };
        let text = format!("{}: {} {what}", one.on, money(one.refund));
        (one.on, (title, text))
    }));
    lines.sort_by_key(|(on, _)| *on);
    lines.into_iter().map(|(_, line)| line).collect()
}

/// What it cost, what it left, and the note.
fn cost_and_left(card: &BikeCard, currency: &Currency) -> Vec<Line> {
    let (life, sale) = (&card.life, &card.life.sale);
    let money = |money| format!("{} {currency}", exact(money, currency));
    let mut lines = Vec::new();
    lines.extend(card.costs.iter().map(|cost| {
        let item = cost
            .item
            .as_ref()
            .map_or(String::new(), |item| format!(", {item}"));
        let boxed = if cost.from_box {
            " from the parts box, not counted"
        } else {
            ""
        };
        let amount = money(cost.amount);
        (
            "Cost",
            format!("{}: {amount} {}{item}{boxed}", cost.on, cost.kind),
        )
    }));
    let parts = [
        ("purchase", life.cost.purchase),
        ("parts", life.cost.parts),
        ("fees", life.cost.fees),
        ("other", life.cost.other_cost),
    ];
    let parts: Vec<String> = parts
        .into_iter()
        .filter_map(|(name, part)| Some(format!("{name} {}", exact(part?, currency))))
        .collect();
    lines.push(match life.cost.known() {
        Some(all) => (
            "Cost in all",
            format!("{} ({})", money(all), parts.join(", ")),
        ),
        None => ("Cost in all", "not known".into()),
    });
    let hours = sale
        .hours
        .map(|hours| format!("{}.{:02}", hours / 100, hours % 100));
    lines.extend(hours.map(|hours| ("Hours", hours)));
    if let (Some(margin), Some(quarter)) = (life.margin(), card.quarter) {
        // What was handed back may count in another quarter.
        let when = match life.returns.is_empty() {
            true => format!(", in {quarter}"),
            false => ", after what was handed back".to_string(),
        };
        lines.push(("Left over", money(margin) + &when));
    } else if life.stage == Stage::Sold {
        lines.push(("Left over", "not known, as no cost is".into()));
    }
    lines.extend(sale.note.clone().map(|note| ("Note", note)));
    lines
}

/// A comp as text.
pub fn of_comp(card: &CompCard, currency: &Currency) -> String {
    let mut out = String::new();
    let comp = &card.comp;
    let money = |money| format!("{} {currency}", exact(money, currency));
    let mut say =
        |title: &str, text: &str| paragraph(&mut out, WIDTH, &format!("{title:<11} "), text);
    say(
        "Comp",
        &match comp.source.as_str() {
            "" => comp.listing.clone(),
            source => format!("{} ({source})", comp.listing),
        },
    );
    say("", &bike(&comp.bike));
    let days = [
        ("Listed", comp.listed_on),
        ("First seen", comp.first_seen),
        ("Last seen", comp.last_seen),
        ("Ended", comp.ended_on),
    ];
    for (title, day) in days {
        if let Some(day) = day {
            say(title, &day.to_string());
        }
    }
    say("Asked", &money(comp.ask));
    if let Some(last) = comp.last_ask {
        say("Last ask", &money(last));
    }
    say("Outcome", comp.outcome.word());
    if let Some(price) = comp.sold_price {
        say("Sold for", &money(price));
    }
    history(&mut out, &card.changes);
    out
}

fn history(out: &mut String, changes: &[Changed]) {
    if changes.is_empty() {
        return;
    }
    out.push_str("\nChanged since it first came in\n");
    for change in changes {
        let text = format!("{}: {} (import {})", change.on, change.what, change.import);
        for line in wrap(&text, WIDTH, "  ", "    ") {
            let _ = writeln!(out, "{line}");
        }
    }
}

fn came_to(result: Clearance) -> &'static str {
    match result {
        Clearance::Passed => "every safety check and the road test passed",
        Clearance::NoRoadTest => "every safety check passed, no road test yet",
        Clearance::GatesOpen => "safety checks not passed: do not ride",
        Clearance::OnlyParts => "the frame failed: good only for its parts",
        Clearance::NotToBeSold => "it may be stolen: it must not be sold",
    }
}

/// A bike for programs.
pub fn bike_json(card: &BikeCard, currency: &Currency) -> Value {
    let (life, sale) = (&card.life, &card.life.sale);
    let units = |money| currency.units(money);
    let day = |day: Option<Day>| day.map(|day| day.to_string());
    json!({
        "bike": sale.id, "style": sale.bike.style.word(), "made": sale.bike.made,
        "condition": sale.bike.condition.map(crate::trade::Condition::grade),
        "tier": sale.bike.tier.map(crate::trade::Tier::grade),
        "size": sale.bike.size().map(crate::trade::SizeClass::word),
        "new_price": sale.bike.new_price.map(units),
        "state": life.stage.word(), "since": day(life.since),
        "bought_on": day(sale.bought_on), "listed_on": day(sale.listed_on),
        "ask": life.ask.map(units),
        "sold_on": day(sale.sold.map(|sold| sold.on)),
        "sold_price": sale.sold.map(|sold| units(sold.price)),
        "guess": sale.guess.map(units),
        "left_on": day(sale.left.as_ref().map(|left| left.on)),
        "left_as": sale.left.as_ref().map(|left| left.how.word()),
        "box_value": sale.left.as_ref().and_then(|left| left.box_value).map(units),
        "box_item": sale.left.as_ref().and_then(|left| left.box_item.clone()),
        "returns": card.life.returns.iter().map(|one| json!({
            "on": one.on.to_string(), "refund": units(one.refund),
            "came_back": one.back.is_some(),
            "sold_on": day(one.back.map(|sold| sold.on)),
            "sold_price": one.back.map(|sold| units(sold.price)),
        })).collect::<Vec<_>>(),
        "direct_cost": life.cost.known().map(units), "margin": life.margin().map(units),
        "quarter": card.quarter.map(|quarter| quarter.to_string()),
        "hours": sale.hours.map(|hours| hours as f64 / 100.0), "note": sale.note,
        "costs": card.costs.iter().map(|cost| json!({
            "on": cost.on.to_string(), "kind": cost.kind.word(), "item": cost.item,
            "amount": units(cost.amount), "from_box": cost.from_box,
        })).collect::<Vec<_>>(),
        "asks": card.asks.iter().map(|change| json!({
            "on": change.on.to_string(), "ask": units(change.ask),
        })).collect::<Vec<_>>(),
        "inspections": card.inspections.iter().map(|(on, result)| json!({
            "on": on.to_string(), "ready": *result == Clearance::Passed,
            "came_to": came_to(*result),
        })).collect::<Vec<_>>(),
        "offers": card.offers.iter().map(|offer| json!({
            "on": offer.on.to_string(), "most_mean": units(offer.most_mean),
            "most_cautious": units(offer.most_cautious),
        })).collect::<Vec<_>>(),
        "changes": changes_json(&card.changes),
    })
}

/// A comp for programs.
pub fn comp_json(card: &CompCard, currency: &Currency) -> Value {
    let comp = &card.comp;
    let units = |money| currency.units(money);
    let day = |day: Option<Day>| day.map(|day| day.to_string());
    json!({
        "listing": comp.listing, "source": comp.source, "style": comp.bike.style.word(),
        "made": comp.bike.made, "size": comp.bike.size().map(crate::trade::SizeClass::word),
        "listed_on": day(comp.listed_on),
        "first_seen": day(comp.first_seen), "last_seen": day(comp.last_seen),
        "ask": units(comp.ask), "last_ask": comp.last_ask.map(units),
        "outcome": comp.outcome.word(), "ended_on": day(comp.ended_on),
        "sold_price": comp.sold_price.map(units), "changes": changes_json(&card.changes),
    })
}

fn changes_json(changes: &[Changed]) -> Vec<Value> {
    let one = |change: &Changed| json!({"import": change.import, "on": change.on.to_string(), "what": change.what});
    changes.iter().map(one).collect()
}
