//! The brakes, front and rear alike.

use crate::trade::inspection::item::{Group, Item, Wear};
use crate::trade::inspection::limit::{Bound, Limit};

/// 1512.5(b)(3): 89 mm (76 mm on a sidewalk bicycle).
const LEVER_REACH: i64 = 890;

macro_rules! brake {
    ($end:literal, $group:expr) => {
        [
            Item::gate(
                concat!($end, " brake"),
                $group,
                "Squeeze hard and push: the wheel holds, the lever stays off the bar, pads meet the rim or \
                 disc and never the tyre, all comes back. A back-pedal brake counts as the rear one.",
                "16 CFR 1512.5; ISO 4210-2, 4.6.1",
            )
            .costs(Wear::Brakes, 2)
            .mended_by("adjust the brakes"),
            Item::gate(
                concat!($end, " pads"),
                $group,
                "Thickness left at the thinnest place; not past the mark, hardened or crooked. not_fitted \
                 for a drum brake, or a back-pedal one at the rear, once brakes above says the kind.",
                "common practice; ISO 4210-2, 4.6.1",
            )
            .costs(Wear::Brakes, 4)
            .may_lack()
            .measured(Limit::length(Bound::AtLeast(10), Some(20)))
            .mended_by("new brake pads"),
            Item::gate(
                concat!($end, " brake cable"),
                $group,
                "No strand broken or cut at the clamp, end capped, runs freely; a hose does not leak. \
                 not_fitted for a back-pedal brake at the rear alone.",
                "16 CFR 1512.5(b)(4); ISO 4210-2, 4.6.3",
            )
            .costs(Wear::Controls, 2)
            .may_lack()
            .mended_by("new brake cables"),
            Item::fault(
                concat!($end, " lever reach"),
                $group,
                "From the outside of the grip to the outside of the lever, between pivot and middle. \
                 Children's bikes: at most 76 mm.",
                "16 CFR 1512.5(b)(3)",
            )
            .costs(Wear::Brakes, 1)
            .may_lack()
            .measured(Limit::length(Bound::AtMost(LEVER_REACH), None))
            .mended_by("set or change the brake levers"),
        ]
    };
}

pub(in crate::trade::inspection) const FRONT: [Item; 4] = brake!("front", Group::FrontBrake);
pub(in crate::trade::inspection) const REAR: [Item; 4] = brake!("rear", Group::RearBrake);
