//! Cranks, pedals, chain and gears.

use crate::trade::inspection::item::{Group, Item, Wear};
use crate::trade::inspection::limit::{Bound, Limit};

const PRACTICE: &str = "common practice";

pub(in crate::trade::inspection) const DRIVE: &[Item] = &[
    Item::gate(
        "cranks",
        Group::Drive,
        "No crack, above all at the pedal eye; rock each arm: tight on its axle; not bent.",
        "common practice; ISO 4210-2, 4.13",
    )
    .mended_by("tighten or change the cranks"),
    Item::gate(
        "pedals",
        Group::Drive,
        "Screwed home and straight in the thread, turn freely, axle not bent, tread whole.",
        "16 CFR 1512.7; ISO 4210-2, 4.13",
    )
    .mended_by("new pedals"),
    Item::fault(
        "bottom bracket",
        Group::Drive,
        "Chain off: rock the arms sideways and turn them: no play, no grinding.",
        PRACTICE,
    )
    .costs(Wear::Bearings, 4)
    .mended_by("service the bottom bracket"),
    Item::fault(
        "chain",
        Group::Drive,
        "Wear over 12 links in percent (1/16 inch over a foot is about 0.5 %), at its worst place; runs without \
         catching, no stiff link. From 11 sprockets on: below 0.5 %.",
        "common practice; 16 CFR 1512.8",
    )
    .costs(Wear::Drive, 6)
    .measured(Limit::percent(Bound::Below(75), Some(50), 300))
    .mended_by("new chain"),
    Item::fault(
        "chainrings",
        Group::Drive,
        "No hooked, bent or broken tooth; spin: rings run true.",
        PRACTICE,
    )
    .costs(Wear::Drive, 4)
    .mended_by("straighten or change the chainrings"),
    Item::fault(
        "sprockets",
        Group::Drive,
        "No hooked or missing tooth; push hard: the chain does not skip; freewheel runs and catches.",
        PRACTICE,
    )
    .costs(Wear::Drive, 5)
    .mended_by("new sprockets"),
    Item::fault(
        "shifting",
        Group::Drive,
        "Every gear, up and down, under load; nothing goes over the ends into the spokes.",
        "common practice; 16 CFR 1512.9(b)",
    )
    .costs(Wear::Drive, 5)
    .may_lack()
    .mended_by("set the gears"),
    Item::fault(
        "gear cables",
        Group::Drive,
        "Run freely, no broken strand or split housing, ends capped.",
        PRACTICE,
    )
    .costs(Wear::Controls, 2)
    .may_lack()
    .mended_by("new gear cables"),
    Item::told(
        "toe clearance",
        Group::Drive,
        "Crank forward, wheel turned: from the middle of the pedal to tyre or mudguard. not_fitted: it has \
         toe clips or clip-in pedals.",
        "16 CFR 1512.17(d)",
    )
    .may_lack()
    .measured(Limit::length(Bound::AtLeast(890), None)),
];
