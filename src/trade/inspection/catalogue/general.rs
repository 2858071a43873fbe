//! What the bike is, what belongs to it, how it looks, how it rides.

use crate::trade::inspection::item::{Fact, FactWord, Group, Item, Wear};
use crate::trade::inspection::limit::{Bound, Limit};

const PRACTICE: &str = "common practice";

const fn says(word: &'static str, tier: u8) -> FactWord {
    FactWord {
        word,
        tier: Some(tier),
    }
}

const fn silent(word: &'static str) -> FactWord {
    FactWord { word, tier: None }
}

const FRAMES: &[FactWord] = &[
    says("plain steel", 1),
    says("aluminium", 2),
    says("chrome moly", 3),
    says("butted aluminium", 3),
    says("carbon", 4),
    says("titanium", 5),
];
const BRAKES: &[FactWord] = &[
    says("back pedal", 1),
    says("side pull", 1),
    says("drum", 2),
    says("cantilever", 2),
    says("linear pull", 2),
    says("dual pivot", 3),
    says("cable disc", 3),
    says("hydraulic rim", 3),
    says("hydraulic disc", 4),
];
const WHEELS: &[FactWord] = &[
    says("steel rims", 1),
    says("single wall", 2),
    says("double wall", 3),
    says("light alloy", 4),
    says("carbon rims", 5),
];
const GEARS: &[FactWord] = &[
    silent("single speed"),
    silent("hub gear"),
    says("3 speed", 1),
    says("4 speed", 1),
    says("5 speed", 1),
    says("6 speed", 1),
    says("7 speed", 1),
    says("8 speed", 2),
    says("9 speed", 3),
    says("10 speed", 3),
    says("11 speed", 4),
    says("12 speed", 4),
    says("13 speed", 4),
    says("electronic", 5),
];
const CRANKS: &[FactWord] = &[
    says("one piece", 1),
    says("cottered", 1),
    says("riveted", 1),
    says("square taper", 2),
    says("splined", 3),
    says("two piece", 4),
    says("carbon cranks", 5),
];

pub(in crate::trade::inspection) const THE_BIKE: &[Item] = &[
    Item::fact(
        "bike",
        Group::Bike,
        "Your own name or number for it.",
        PRACTICE,
        Fact::Name,
    ),
    Item::fact(
        "style",
        Group::Bike,
        "What it is built for.",
        PRACTICE,
        Fact::Style,
    ),
    Item::fact(
        "frame material",
        Group::Bike,
        "Try a magnet, read the tubing sticker, weigh it in the hand.",
        PRACTICE,
        Fact::Words(FRAMES),
    ),
    Item::fact(
        "brakes",
        Group::Bike,
        "The kind of the front brake.",
        PRACTICE,
        Fact::Words(BRAKES),
    ),
    Item::fact(
        "wheels",
        Group::Bike,
        "Rims: magnet for steel; look through the valve hole for one wall or two. Light alloy: machined, few \
         spokes.",
        PRACTICE,
        Fact::Words(WHEELS),
    ),
    Item::fact(
        "gears",
        Group::Bike,
        "Count the sprockets at the back (not times the chainrings).",
        PRACTICE,
        Fact::Words(GEARS),
    ),
    Item::fact(
        "crank",
        Group::Bike,
        "Riveted: the chainrings cannot be taken off. Two piece: the axle is fixed to one arm.",
        PRACTICE,
        Fact::Words(CRANKS),
    ),
    Item::gate(
        "recall check",
        Group::Bike,
        "Look the model up in the list of recalls of your authority; note the day and where.",
        "CPSC guidance for resellers",
    )
    .mended_by("settle the recall with the maker or the authority"),
    Item::told(
        "serial number",
        Group::Bike,
        "There, readable, not filed off; not in a register of stolen bikes.",
        PRACTICE,
    ),
];

pub(in crate::trade::inspection) const FITTINGS: &[Item] = &[
    Item::looks(
        "reflectors",
        Group::Fittings,
        "Front, rear, pedals and wheels; clean, straight, not broken.",
        "16 CFR 1512.16; ISO 4210-2, 4.20",
    )
    .costs(Wear::Completeness, 3)
    .mended_by("fit reflectors"),
    Item::looks(
        "lights",
        Group::Fittings,
        "Switch them on, front and rear. Many places ask for them on the road.",
        "ISO 4210-2, 4.20; local rules",
    )
    .costs(Wear::Completeness, 2)
    .may_lack()
    .mended_by("repair the lights"),
    Item::looks(
        "bell",
        Group::Fittings,
        "Ring it.",
        "ISO 4210-2, 4.21; local rules",
    )
    .costs(Wear::Completeness, 1)
    .mended_by("fit a bell"),
    Item::looks(
        "guards",
        Group::Fittings,
        "Chain guard (asked for with one chainring and one sprocket), spoke guard behind the sprockets.",
        "16 CFR 1512.9(a), (b); ISO 4210-2, 4.15",
    )
    .costs(Wear::Completeness, 2)
    .may_lack()
    .mended_by("fit the guard"),
    Item::looks(
        "mudguards and rack",
        Group::Fittings,
        "Firm, nothing rubs or rattles, stays end clear of the wheel; stand folds up.",
        "ISO 4210-2, 4.12, 4.18",
    )
    .costs(Wear::Completeness, 2)
    .may_lack()
    .mended_by("fasten the fittings"),
];

pub(in crate::trade::inspection) const FINISH: &[Item] = &[
    // More than the best grade may lose: as new is without a mark.
    Item::looks(
        "marks",
        Group::Finish,
        "Fail: any mark of use that shows at arm's length. Only a bike that looks as new passes.",
        PRACTICE,
    )
    .costs(Wear::Cosmetics, 11),
    Item::looks(
        "paint",
        Group::Finish,
        "Fail: deep scratches, dents in the finish or missing paint in several places.",
        PRACTICE,
    )
    .costs(Wear::Cosmetics, 5),
    Item::looks(
        "rust",
        Group::Finish,
        "Wipe it first. Guess the share of steel and chrome that is rusty.",
        PRACTICE,
    )
    .costs(Wear::Cosmetics, 5)
    .measured(Limit::percent(Bound::AtMost(1000), Some(200), 10_000))
    .mended_by("clean off the rust"),
    Item::looks(
        "decals",
        Group::Finish,
        "Fail: torn, faded or half gone.",
        PRACTICE,
    )
    .costs(Wear::Cosmetics, 2)
    .may_lack(),
];

pub(in crate::trade::inspection) const ROAD: &[Item] = &[Item::road(
    "road test",
    "With every safety check passed, ride it yourself away from traffic, brakes first: steers straight, stops, \
     shifts, nothing loosens. A new bike is tested over 6.4 km.",
    "16 CFR 1512.17(a); ISO 4210-2, 4.19",
)
.mended_by("find what failed on the road")];
