//! The items of the inspection sheet that were probably meant.

use super::did_you_mean::nearest;
use crate::trade::inspection::{Item, item, items, plain};

/// Where an item may be, both ends having one.
const ENDS: [&str; 2] = ["front", "rear"];

/// The items that a name is most like, of those `wanted`: one, or the front and the
/// rear one where the name does not say which end.
pub(super) fn like_items(name: &str, wanted: impl Fn(&Item) -> bool) -> Vec<&'static str> {
    let those = || items().filter(|item| wanted(item)).map(|item| item.name);
    let is_an_end = |word| nearest(word, ENDS.into_iter()).is_some();
    let says_the_end = plain(name).split(' ').any(is_an_end);
    if says_the_end {
        return nearest(name, those()).into_iter().collect();
    }
    // Without the end both are alike: 'brake pads' is as near to the front pads.
    let bare = |name: &'static str| -> &'static str {
        let rest = ENDS.iter().find_map(|end| name.strip_prefix(end));
        rest.map_or(name, str::trim_start)
    };
    let Some(meant) = nearest(name, those().chain(those().map(bare))) else {
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
pub(super) fn or(names: &[&str]) -> Option<String> {
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
            ("dynamo", None),
        ] {
            assert_eq!(meant(name).as_deref(), said, "{name}");
        }
    }
}
