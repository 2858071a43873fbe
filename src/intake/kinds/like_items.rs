//! The items of the inspection sheet that were probably meant.

use crate::intake::cells::did_you_mean::nearest;
use crate::trade::inspection::{Item, item, items, plain};

/// Where an item may be, both ends having one.
const ENDS: [&str; 2] = ["front", "rear"];

/// The items that a name is most like, of those `wanted`: one, or the front and the
/// rear one where the name does not say which end.
pub(in crate::intake) fn like_items(
    name: &str,
    wanted: impl Fn(&Item) -> bool,
) -> Vec<&'static str> {
    let those = || items().filter(|item| wanted(item)).map(|item| item.name);
    let written = plain(name);
    // Without the end both are alike.
    let bare = |name: &'static str| -> &'static str {
        let rest = ENDS.iter().find_map(|end| name.strip_prefix(end));
        rest.map_or(name, str::trim_start)
    };
    // What stands last says what it is: 'brake pads' are pads, not brakes.
    let is_last = |name: &&str| written.ends_with(&format!(" {name}"));
    let last = those()
        .map(bare)
        .filter(is_last)
        .max_by_key(|name| name.len());
    let mut words = written.split(' ');
    if let Some(end) = words.find_map(|word| nearest(word, ENDS.into_iter())) {
        let there = last.and_then(|last| item(&format!("{end} {last}")));
        let there = there.filter(|item| wanted(item)).map(|item| item.name);
        let one = there.or_else(|| nearest(name, those()));
        return one.into_iter().collect();
    }
    let like = || nearest(name, those().chain(those().map(bare)));
    let Some(meant) = last.or_else(like) else {
        return Vec::new();
    };
    let at_ends = ENDS
        .iter()
        .filter_map(|end| item(&format!("{end} {}", bare(meant))));
    let both: Vec<&'static str> = at_ends
        .filter(|item| wanted(item))
        .map(|item| item.name)
        .collect();
    if both.is_empty() { vec![meant] } else { both }
}

/// `a`, `a or b`; `None` without any.
pub(in crate::intake) fn or(names: &[&str]) -> Option<String> {
    (!names.is_empty()).then(|| names.join(" or "))
}

#[cfg(test)]
mod tests {
    use super::{like_items, or};

    #[test]
    fn both_ends_are_named_where_the_name_does_not_say_which() {
        let meant = |name| or(&like_items(name, |item| item.as_check().is_some()));
        for (name, said) in [
            ("brake pads", Some("front pads or rear pads")),
            ("pads", Some("front pads or rear pads")),
            (
                "brake cables",
                Some("front brake cable or rear brake cable"),
            ),
            ("tyres", Some("front tyre or rear tyre")),
            ("front pad", Some("front pads")),
            ("frnt tyre", Some("front tyre")),
            ("rear_brake pads", Some("rear pads")),
            ("headsett", Some("headset")),
            ("bike frame", Some("frame")),
            ("dynamo", None),
        ] {
            assert_eq!(meant(name).as_deref(), said, "{name}");
        }
        // Also where a fact has a name that is as near.
        let of_all = or(&like_items("brake pads", |_| true));
        assert_eq!(of_all.as_deref(), Some("front pads or rear pads"));
    }
}
