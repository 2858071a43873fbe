//! The wheels, front and rear alike.

use crate::trade::inspection::item::{Fact, Group, Item, Wear};
use crate::trade::inspection::limit::{Bound, Limit};

const PRACTICE: &str = "common practice";

/// Less than 1.6 mm is refused by 16 CFR 1512.11(b).
const LEAST_CLEARANCE: i64 = 16;

macro_rules! wheel {
    ($end:literal, $group:expr) => {
        [
            Item::fact(
                concat!($end, " tyre size"),
                $group,
                "The two numbers on the side wall, as 40-622 (not inches).",
                "ISO 5775-1",
                Fact::Tyre,
            ),
            Item::gate(
                concat!($end, " tyre"),
                $group,
                "Pump it up. No cuts to the cords, no bulge, side walls not perished or cracked, bead \
                 seated all round.",
                "16 CFR 1512.10; common practice",
            )
            .costs(Wear::Wheels, 3)
            .mended_by("new tyres"),
            Item::looks(
                concat!($end, " tread"),
                $group,
                "Fail: squared off, smooth where it had a pattern, or cords near.",
                PRACTICE,
            )
            .costs(Wear::Wheels, 1)
            .mended_by("new tyres"),
            Item::gate(
                concat!($end, " rim"),
                $group,
                "No crack at spokes or joint, no dent, not worn to its mark. Rim brake: measure the wall \
                 at the track.",
                PRACTICE,
            )
            .costs(Wear::Wheels, 2)
            .measured(Limit::length(Bound::AtLeast(10), Some(12)))
            .mended_by("new rim or wheel"),
            Item::gate(
                concat!($end, " spokes"),
                $group,
                "None missing, none broken; squeeze them in pairs: evenly tight.",
                "16 CFR 1512.11(a)",
            )
            .costs(Wear::Wheels, 1)
            .mended_by("new spokes and true the wheel"),
            Item::gate(
                concat!($end, " wheel true"),
                $group,
                "Spin it past a fixed point: swing from side to side. Over 2 mm is worn.",
                PRACTICE,
            )
            .costs(Wear::Wheels, 2)
            .measured(Limit::length(Bound::AtMost(40), Some(20)))
            .mended_by("true the wheels"),
            Item::gate(
                concat!($end, " tyre clearance"),
                $group,
                "Turn the wheel: the gap between tyre and frame, fork or guard at its narrowest.",
                "16 CFR 1512.11(b); ISO 4210-2, 4.10.2",
            )
            .measured(Limit::length(Bound::AtLeast(LEAST_CLEARANCE), None))
            .mended_by("centre the wheel or fit a narrower tyre"),
            Item::gate(
                concat!($end, " hub"),
                $group,
                "Rock the rim sideways, turn the axle: no play, no grinding. Measure the play at the rim.",
                PRACTICE,
            )
            .costs(Wear::Bearings, 4)
            .measured(Limit::length(Bound::AtMost(30), Some(10)))
            .mended_by("service the hubs"),
            Item::gate(
                concat!($end, " axle"),
                $group,
                "Nuts tight, or the lever closed with force and marking the fork end; axle sits home on \
                 both sides, nothing cracked.",
                "16 CFR 1512.12; ISO 4210-2, 4.10.4, 4.10.5",
            )
            .mended_by("make the wheels fast"),
        ]
    };
}

pub(in crate::trade::inspection) const FRONT: [Item; 9] = wheel!("front", Group::FrontWheel);
pub(in crate::trade::inspection) const REAR: [Item; 9] = wheel!("rear", Group::RearWheel);
