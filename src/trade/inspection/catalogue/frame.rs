//! Steering, frame and fork, saddle.

use crate::trade::inspection::item::{Fact, Group, Item, Wear};

const PRACTICE: &str = "common practice";

pub(in crate::trade::inspection) const STEERING: &[Item] = &[
    Item::gate(
        "headset",
        Group::Steering,
        "Front brake on, rock the bike: no knock. Lift and turn: at least 60 degrees to each side, no notch, \
         no tight spot.",
        "ISO 4210-2, 4.7.5",
    )
    .costs(Wear::Bearings, 3)
    .mended_by("service the headset"),
    Item::gate(
        "handlebar",
        Group::Steering,
        "No crack, kink or deep scratch, above all at the clamp; does not turn in the stem when you press on it.",
        "16 CFR 1512.6; ISO 4210-2, 4.7.6",
    )
    .mended_by("new handlebar"),
    Item::gate(
        "stem",
        Group::Steering,
        "Mark hidden (at least 2 1/2 stem diameters in), no crack, wheel and bar do not twist apart between \
         your knees.",
        "16 CFR 1512.6(a); ISO 4210-2, 4.7.3, 4.7.4",
    )
    .mended_by("set or change the stem"),
    Item::fault(
        "bar ends",
        Group::Steering,
        "Both ends plugged or covered, grips do not slide, tape whole.",
        "16 CFR 1512.6; ISO 4210-2, 4.7.2",
    )
    .costs(Wear::Controls, 2)
    .mended_by("new grips, tape or plugs"),
];

pub(in crate::trade::inspection) const FRAME: &[Item] = &[
    Item::gate(
        "frame",
        Group::Frame,
        "Clean it, good light: no crack, bulge or rippled paint at head tube, down tube, bottom bracket, \
         seat cluster, dropouts.",
        "16 CFR 1512.14; ISO 4210-2, 4.4, 4.8",
    ),
    Item::gate(
        "fork",
        Group::Frame,
        "Legs straight and alike, crown and ends without cracks, wheel in line with the frame; hands off it \
         does not pull to a side.",
        "16 CFR 1512.13; ISO 4210-2, 4.9",
    )
    .mended_by("new fork"),
    Item::gate(
        "carbon parts",
        Group::Frame,
        "Any carbon at all, fork and bar too: no chip to the fibres, no soft or dull spot when tapped, no \
         crushed clamp. In doubt: fail, and have it scanned. not_fitted: no carbon on it.",
        PRACTICE,
    )
    .may_lack()
    .mended_by("have the carbon parts examined or change them"),
    Item::fault(
        "suspension",
        Group::Frame,
        "Press it down: moves, comes back, no oil, no play at the pivots.",
        "ISO 4210-2, 4.8.1, 4.9.3",
    )
    .costs(Wear::Bearings, 3)
    .may_lack()
    .mended_by("service the suspension"),
    Item::fact(
        "seat tube",
        Group::Frame,
        "From the middle of the bottom bracket to the top of the tube, as 53cm or 21in.",
        PRACTICE,
        Fact::FrameLength,
    ),
    Item::fact(
        "top tube",
        Group::Frame,
        "Level line from the middle of the head tube to the seat post, as 56cm or 22in.",
        PRACTICE,
        Fact::FrameLength,
    ),
    Item::fact(
        "reach",
        Group::Frame,
        "Level distance from a plumb line through the bottom bracket to the top of the head tube, as 390mm \
         or 16in.",
        PRACTICE,
        Fact::FrameLength,
    ),
];

pub(in crate::trade::inspection) const SADDLE: &[Item] = &[
    Item::gate(
        "seat post",
        Group::Saddle,
        "Mark hidden in the frame (it stands at least two post diameters above the lower end), no crack, no \
         bend.",
        "16 CFR 1512.15(b); ISO 4210-2, 4.16.2",
    )
    .mended_by("new seat post"),
    Item::fault(
        "seat post moves",
        Group::Saddle,
        "Undo the clamp: the post slides and turns. Seized, it fits one rider only.",
        PRACTICE,
    )
    .costs(Wear::Controls, 3)
    .mended_by("free the seat post"),
    Item::gate(
        "saddle",
        Group::Saddle,
        "Push nose and tail down, twist: the clamps hold; rails not bent or cracked.",
        "16 CFR 1512.15(c); ISO 4210-2, 4.16",
    )
    .mended_by("tighten or change the saddle"),
    Item::looks(
        "saddle cover",
        Group::Saddle,
        "Fail: torn, split or sagging.",
        PRACTICE,
    )
    .costs(Wear::Cosmetics, 3)
    .mended_by("new saddle"),
];
