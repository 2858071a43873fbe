//! The inspection against published rules: limits and their clauses, bead-seat
//! diameters, the inch, a size that the trade would give.
//!
//! 16 CFR 1512 was read in its public text (sections 1512.5(b), .8, .9, .10, .11,
//! .12, .14, .15, .16, .17; federal law, free to quote). ISO 4210-2: clause 4.6.1 as
//! publicly quoted, and the table of contents.

use wheelworth::intake::{parse_seat_tube, parse_tyre_size};
use wheelworth::pricing::inspection::{State, assess, judged};
use wheelworth::report::inspection::blank::how_to_look;
use wheelworth::trade::inspection::tyre::BEADS;
use wheelworth::trade::inspection::{CheckResult, Finding, Item, Measure, Sheet, item, items};
use wheelworth::trade::{SizeClass, Style};

fn named(name: &str) -> &'static Item {
    item(name).unwrap_or_else(|| panic!("no item {name}"))
}

fn state(sheet: &Sheet, name: &str) -> State {
    let all = judged(sheet);
    all.iter().find(|one| one.item.name == name).unwrap().state
}

/// What an item comes to that was ticked pass with this measure.
fn passed_with(name: &str, measure: Measure) -> State {
    let mut sheet = Sheet::new();
    sheet.put(named(name), Finding::measured(CheckResult::Pass, measure));
    state(&sheet, name)
}

#[test]
fn limits_are_those_of_the_published_rules() {
    // 1512.11(b): "no less than 1.6 mm (1/16 in.) clearance exists between the tire
    // and fork or any frame member".
    for name in ["front tyre clearance", "rear tyre clearance"] {
        assert_eq!(passed_with(name, Measure::Length(16)), State::Pass);
        assert_eq!(passed_with(name, Measure::Length(15)), State::Fail);
        assert!(named(name).source.starts_with("16 CFR 1512.11(b)"));
    }
    // 1512.5(b)(3): the grip dimension "shall not exceed 89 mm (3 1/2 in)"; "for
    // sidewalk bicycles shall not exceed 76 mm (3 in)".
    for name in ["front lever reach", "rear lever reach"] {
        assert_eq!(passed_with(name, Measure::Length(890)), State::Pass);
        assert_eq!(passed_with(name, Measure::Length(891)), State::Fail);
        assert_eq!(named(name).source, "16 CFR 1512.5(b)(3)");
    }
    let mut kids = Sheet::new();
    let style = Finding::measured(CheckResult::Unchecked, Measure::Style(Style::Kids));
    kids.put(named("style"), style);
    for (tenths, expected) in [(760, State::Pass), (761, State::Fail)] {
        let reach = Finding::measured(CheckResult::Pass, Measure::Length(tenths));
        kids.put(named("front lever reach"), reach);
        assert_eq!(state(&kids, "front lever reach"), expected);
    }
    // 1512.17(d): "at least 89 mm (3 1/2 in) clearance between the pedal and the
    // front tire or fender".
    assert_eq!(
        passed_with("toe clearance", Measure::Length(890)),
        State::Pass
    );
    assert_eq!(
        passed_with("toe clearance", Measure::Length(889)),
        State::Fail
    );
}

#[test]
fn limits_of_common_practice_are_marked_as_such() {
    // Common practice, no source: pads 1 mm, chain 0.75 % (0.5 % from 11 sprockets
    // on, 1 % on a single one), rims swing 4 mm, hubs play 3 mm.
    for (name, good, bad) in [
        ("front pads", Measure::Length(10), Measure::Length(9)),
        ("chain", Measure::Percent(74), Measure::Percent(75)),
        ("rear wheel true", Measure::Length(40), Measure::Length(41)),
        ("rear hub", Measure::Length(30), Measure::Length(31)),
    ] {
        assert!(passed_with(name, good).is_clear(), "{name}");
        assert_eq!(passed_with(name, bad), State::Fail, "{name}");
        assert!(named(name).source.contains("common practice"), "{name}");
    }
    for (gears, least_worn_out) in [("9 speed", 75), ("11 speed", 50), ("single speed", 100)] {
        let mut sheet = Sheet::new();
        let fact = Finding::measured(CheckResult::Unchecked, Measure::Word(gears));
        sheet.put(named("gears"), fact);
        for (percent, failed) in [(least_worn_out - 1, false), (least_worn_out, true)] {
            let chain = Finding::measured(CheckResult::Pass, Measure::Percent(percent));
            sheet.put(named("chain"), chain);
            assert_eq!(
                state(&sheet, "chain") == State::Fail,
                failed,
                "{gears} {percent}"
            );
        }
    }
}

#[test]
fn every_item_says_where_its_rule_comes_from() {
    for item in items() {
        let known = [
            "16 CFR 1512",
            "ISO 4210-2",
            "ISO 5775",
            "common practice",
            "CPSC guidance",
        ];
        assert!(
            known.iter().any(|source| item.source.contains(source)),
            "{}",
            item.name
        );
        let look = how_to_look(item);
        assert!(look.contains(item.source), "{look}");
        assert_eq!(look.starts_with("SAFETY CHECK. "), item.is_gate(), "{look}");
    }
}

#[test]
fn what_the_rules_ask_of_every_bicycle_is_a_gate() {
    for (name, clause) in [
        ("front brake", "1512.5"), // and ISO 4210-2, 4.6.1: at least two brakes,
        ("rear brake", "4.6.1"),   // one for each wheel, independent
        ("front spokes", "1512.11(a)"), // "There shall be no missing spokes."
        ("rear spokes", "1512.11(a)"),
        ("front axle", "1512.12"), // "secured ... with a positive lock device"
        ("rear axle", "1512.12"),
        ("front tyre", "1512.10"), // "shall remain intact on the rim"
        ("rear tyre", "1512.10"),
        ("seat post", "1512.15(b)"), // mark no less than two diameters from the end
        ("saddle", "1512.15(c)"),    // clamps hold in any position
        ("frame", "1512.14"),
        ("fork", "1512.13"),
        ("stem", "1512.6(a)"),
    ] {
        let item = named(name);
        assert!(
            item.is_gate() && item.source.contains(clause),
            "{name}: {}",
            item.source
        );
    }
    // The road test of 1512.17(a) is over 6.4 km (4.0 mi).
    assert!(named("road test").look.contains("6.4 km"));
}

#[test]
fn a_21_inch_seat_tube_with_a_16_inch_reach_is_a_medium_bordering_on_large() {
    // Common practice, no source. With the style left open, and for styles without
    // a table of their own.
    for style in [
        None,
        Some(Style::Hybrid),
        Some(Style::Touring),
        Some(Style::City),
    ] {
        let mut sheet = Sheet::new();
        if let Some(style) = style {
            let fact = Finding::measured(CheckResult::Unchecked, Measure::Style(style));
            sheet.put(named("style"), fact);
        }
        for (name, inches) in [("seat tube", "21in"), ("reach", "16in")] {
            let tenths = parse_seat_tube(inches).unwrap().tenths().unwrap();
            let fact = Finding::measured(CheckResult::Unchecked, Measure::Length(tenths));
            sheet.put(named(name), fact);
        }
        let size = assess(&sheet).size;
        assert_eq!(
            (size.class, size.near),
            (Some(SizeClass::M), Some(SizeClass::L))
        );
        assert_eq!((size.methods.len(), size.measure_again), (2, false));
        assert_eq!(size.style_assumed, style.is_none());
    }
}

#[test]
fn an_inch_is_25_4_mm() {
    // The international inch, exactly (agreement of 1959).
    assert_eq!(parse_seat_tube("20in").unwrap().tenths(), Some(20 * 254));
    assert_eq!(parse_seat_tube("21\"").unwrap().tenths(), Some(5334));
}

#[test]
fn bead_seat_diameters_are_those_of_iso_5775() {
    // Published summaries of ISO 5775 (622, 559, 507, 406, 355, 305), a tyre maker's
    // published chart (571, 590, 203), from memory (630, 597, 584, 451, 349).
    for (written, bead, called) in [
        ("28-622", 622, "700C"),
        ("47-559", 559, "26 inch with a decimal"),
        ("44-507", 507, "24 inch with a decimal"),
        ("44-406", 406, "20 inch with a decimal"),
        ("47-355", 355, "18 inch"),
        ("47-305", 305, "16 inch"),
        ("35-590", 590, "26 x 1 3/8"),
        ("23-571", 571, "650C"),
        ("47-203", 203, "12 1/2"),
        ("32-630", 630, "27 x 1 1/4"),
        ("32-597", 597, "26 x 1 1/4"),
        ("54-584", 584, "650B"),
        ("37-451", 451, "20 x 1 3/8"),
        ("37-349", 349, "16 x 1 3/8"),
    ] {
        let size = parse_tyre_size(written).unwrap();
        assert_eq!(size.bead, bead);
        assert!(
            size.called().is_some_and(|name| name.contains(called)),
            "{written}"
        );
        assert_eq!(size.to_string(), written);
    }
    // At least six sizes are called 26 inch or sit by its name (four here), and no
    // bead stands twice.
    let of_26 = BEADS.iter().filter(|(_, called)| called.starts_with("26"));
    assert_eq!(of_26.count(), 4);
    assert!(BEADS.is_sorted_by(|a, b| a.0 > b.0));
}
