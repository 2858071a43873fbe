//! Whether a row that bears a known id is of the same bike, and what it leaves as it is.

use super::importable::{Changes, Refusal};
use crate::book::Repeat;
use crate::intake::{CellProblem, made_visible};
use crate::trade::{Bike, Years};

/// What to do about a row that looks like another bike than the one of its id.
pub(crate) fn mend(id: &str, repeat: Repeat) -> String {
    let how = match repeat {
        Repeat::OfAFile => " (--prefix 2025- puts 2025- before each id of the file)",
        Repeat::OneMore => "",
    };
    format!(
        "If it is another bike, give it an id of its own{how}; if {} was wrong in the book, add \
         --correct.",
        made_visible(id)
    )
}

/// Refuses a row of another style, or of another model year, than the bike of its id.
pub(crate) fn check(there: &Bike, new: &Bike, id: &str, repeat: Repeat) -> Result<(), Refusal> {
    let shown = made_visible(id);
    if new.style != there.style {
        let expected = format!("{}, the style that {shown} has in the book", there.style);
        return Err(("style", CellProblem::new(expected, mend(id, repeat))));
    }
    if let (Some(known), Some(now)) = (there.made, new.made)
        && !meet(known, now)
    {
        let expected = format!("{known}, the model year that {shown} has in the book");
        return Err(("made", CellProblem::new(expected, mend(id, repeat))));
    }
    Ok(())
}

/// Whether two bikes may be of one year.
fn meet(a: Years, b: Years) -> bool {
    a.first() <= b.last() && b.first() <= a.last()
}

/// A column, and what keeps its field as it was.
pub(crate) type Kept<T> = (&'static str, fn(&mut T, &T));

/// Fields without a column stay as they are.
pub(crate) fn keep<T>(to: &mut T, from: &T, fields: &[Kept<T>], changes: &Changes) {
    let absent = fields.iter().filter(|(column, _)| !changes.gives(column));
    absent.for_each(|(_, keep)| keep(to, from));
}

/// Features without a column stay as they are.
pub(crate) fn keep_what_is_not_given(bike: &mut Bike, there: &Bike, changes: &Changes) {
    let fields: [Kept<Bike>; 6] = [
        ("style", |to, from| to.style = from.style),
        ("made", |to, from| to.made = from.made),
        ("condition", |to, from| to.condition = from.condition),
        ("tier", |to, from| to.tier = from.tier),
        ("seat_tube", |to, from| to.seat_tube = from.seat_tube),
        ("new_price", |to, from| to.new_price = from.new_price),
    ];
    keep(bike, there, &fields, changes);
}

/// What a second look knows of a bike, and what only the first knew.
pub(crate) fn with_gaps_filled(bike: &Bike, there: &Bike) -> Bike {
    Bike {
        style: bike.style,
        made: bike.made.or(there.made),
        condition: bike.condition.or(there.condition),
        tier: bike.tier.or(there.tier),
        seat_tube: bike.seat_tube.or(there.seat_tube),
        new_price: bike.new_price.or(there.new_price),
    }
}
