//! Comps held against what the book knows of their listings: a later look adds to
//! the first.

use super::importable::{Changes, Importable, Meet, Refusal};
use super::like_bike::{self, Kept};
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::intake::Comps;
use crate::trade::{Comparable, Day, Money, Style};

impl Importable for Comps {
    type Beside = ();
    const ONE: &'static str = "comp";
    const ID: &'static str = "listing";
    const DESCRIBES_A_BIKE: bool = true;
    const LISTED_TWICE: bool = true;

    fn beside(_: &Book) -> Result<(), BookProblem> {
        Ok(())
    }

    fn put(
        import: &mut Import<'_>,
        record: &Comparable,
        _: Repeat,
        meet: Meet<'_, Comparable>,
    ) -> Result<Put, BookProblem> {
        import.put_comp_beside(record, meet)
    }

    fn met(
        there: &Comparable,
        new: &Comparable,
        repeat: Repeat,
        changes: &Changes,
    ) -> Result<Comparable, Refusal> {
        let new = over(there, new, changes);
        if !changes.correct {
            like_bike::check(&there.bike, &new.bike, &there.listing, repeat)?;
        }
        Ok(both_looks(there, &new, repeat))
    }

    fn put_before_ids(record: &mut Comparable, prefix: &str) {
        record.listing.insert_str(0, prefix);
    }

    fn name(record: &Comparable) -> String {
        if record.source.is_empty() {
            record.listing.clone()
        } else {
            format!("{} ({})", record.listing, record.source)
        }
    }

    fn priced(record: &Comparable) -> Option<(Style, Money)> {
        Some((record.bike.style, record.ask))
    }
}

/// What the row says, over what is there: fields without a column stay.
fn over(there: &Comparable, new: &Comparable, changes: &Changes) -> Comparable {
    let mut comp = new.clone();
    like_bike::keep_what_is_not_given(&mut comp.bike, &there.bike, changes);
    let fields: [Kept<Comparable>; 6] = [
        ("listed_on", |to, from| to.listed_on = from.listed_on),
        ("first_seen", |to, from| to.first_seen = from.first_seen),
        ("last_seen", |to, from| to.last_seen = from.last_seen),
        ("last_ask", |to, from| to.last_ask = from.last_ask),
        ("outcome", |to, from| to.outcome = from.outcome),
        ("sold_price", |to, from| to.sold_price = from.sold_price),
    ];
    // A look on a later day says by its own ask what is asked then.
    let is_later = days(there)
        .zip(days(new))
        .is_some_and(|(before, now)| now.0 > before.1);
    let fields = fields
        .iter()
        .filter(|(name, _)| !(is_later && ["last_seen", "last_ask"].contains(name)));
    let fields: Vec<Kept<Comparable>> = fields.copied().collect();
    like_bike::keep(&mut comp, there, &fields, changes);
    // An end goes with the outcome that the row tells.
    if !changes.gives("ended_on") && !changes.gives("outcome") {
        comp.ended_on = there.ended_on;
    }
    comp
}

/// First and last day on which a row saw its listing.
fn days(comp: &Comparable) -> Option<(Day, Day)> {
    let first = comp.first_seen.or(comp.last_seen)?;
    Some((first, comp.last_seen.unwrap_or(first).max(first)))
}

/// Two looks at one listing: the one that began first keeps its day and ask, the one
/// that ended last says what it asked then and how it stands. A row that covers both
/// stands by itself.
/// What is recorded without a file is a look by itself and covers none.
fn both_looks(there: &Comparable, new: &Comparable, repeat: Repeat) -> Comparable {
    let is_a_look = repeat == Repeat::OneMore;
    let (before, now) = match (days(there), days(new)) {
        (Some(before), Some(now)) => (before, now),
        (None, Some(now)) if is_a_look => (now, now),
        _ => return new.clone(),
    };
    let began = now.0 < before.0 || (now.0 == before.0 && !is_a_look);
    let ended = now.1 >= before.1;
    if began && ended {
        return new.clone();
    }
    let (first, last) = if began { (new, there) } else { (there, new) };
    let of_last = if began { before } else { now };
    if !began && !ended {
        // Within what is known: nothing but the bike can be news.
        return Comparable {
            bike: new.bike,
            ..there.clone()
        };
    }
    Comparable {
        listing: new.listing.clone(),
        source: new.source.clone(),
        bike: like_bike::with_gaps_filled(&new.bike, &there.bike),
        listed_on: first.listed_on.or(last.listed_on),
        first_seen: first.first_seen.or(first.last_seen),
        last_seen: Some(of_last.1),
        ask: first.ask,
        last_ask: Some(last.last_ask.unwrap_or(last.ask)),
        outcome: last.outcome,
        ended_on: last.ended_on,
        sold_price: last.sold_price,
    }
}
