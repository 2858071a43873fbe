//! What an offer that was kept knows of a bike that is bought afterwards.

use crate::report::text::counts::listed;
use crate::trade::{Bike, Day, KeptOffer};

/// The bike as it was found when the last offer for it was made, and that day.
pub(crate) fn found(offers: &[KeptOffer], id: &str) -> Option<(Day, Bike)> {
    let of_it = offers.iter().filter(|offer| offer.bike == id);
    of_it
        .filter_map(|offer| Some((offer.on, offer.found?)))
        .next_back()
}

/// Fills in what is not known of a bike; tells what, nothing where there is nothing.
pub(crate) fn fill(id: &str, bike: &mut Bike, (on, found): (Day, Bike)) -> Option<String> {
    let mut names = Vec::new();
    take(&mut bike.made, found.made, "made", &mut names);
    take(
        &mut bike.condition,
        found.condition,
        "condition",
        &mut names,
    );
    take(&mut bike.tier, found.tier, "tier", &mut names);
    take(
        &mut bike.seat_tube,
        found.seat_tube,
        "seat_tube",
        &mut names,
    );
    take(
        &mut bike.new_price,
        found.new_price,
        "new_price",
        &mut names,
    );
    words(id, on, &names)
}

/// That columns were taken over from an offer.
pub(crate) fn words(id: &str, on: Day, names: &[&str]) -> Option<String> {
    let are = if names.len() == 1 { "is" } else { "are" };
    (!names.is_empty()).then(|| {
        let names = listed(names);
        format!("{id}: {names} {are} taken over from the offer of {on}")
    })
}

fn take<T>(to: &mut Option<T>, from: Option<T>, name: &'static str, names: &mut Vec<&'static str>) {
    if to.is_none() && from.is_some() {
        *to = from;
        names.push(name);
    }
}
