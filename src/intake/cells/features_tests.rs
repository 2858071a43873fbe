//! Features as people write them; lengths worked out by hand (1 in = 25.4 mm).

use super::features::{
    parse_condition, parse_hours, parse_made, parse_outcome, parse_seat_tube, parse_seat_tube_of,
    parse_style, parse_tier,
};
use crate::trade::bike::{SeatTube, SizeClass};
use crate::trade::{Condition, Day, Outcome, Style, Tier, Years};

#[test]
fn seat_tubes_are_read_in_three_units() {
    let cases = [
        ("53", 5300),
        ("53cm", 5300),
        ("53 cm", 5300),
        ("530mm", 5300),
        ("530", 5300),
        ("53,5", 5350),
        ("53.5", 5350),
        ("20in", 5080),
        ("20\"", 5080),
        ("20''", 5080),
        ("20″", 5080),
        ("20 Inches", 5080),
        ("20", 5080),
        ("29.9", 7595),
        ("30", 3000),
        ("80", 8000),
        ("251", 2510),
        ("12\"", 3048),
        ("25", 6350),
        ("21in", 5334),
        ("80cm", 8000),
        ("25cm", 2500),
        ("30in", 7620),
        ("800", 8000),
    ];
    for (text, tenths) in cases {
        assert_eq!(
            parse_seat_tube(text).map(crate::trade::bike::SeatTube::number),
            Ok(tenths),
            "{text}"
        );
    }
    let refused = [
        "5",
        "9",
        "0",
        "-53",
        "80.1",
        "81",
        "250",
        "801",
        "24.9cm",
        "80.01cm",
        "32in",
        "54ft",
        "cm",
        "53cm cm",
        "5 3",
        "53cmm",
        "1e2",
        "53..5",
        "20 1/2\"",
        "249mm",
        "9999999999cm",
    ];
    for text in refused {
        assert!(parse_seat_tube(text).is_err(), "{text}");
    }
}

#[test]
fn grades_are_numbers_or_words() {
    for text in ["3", "3.0", "3,0", "rider", "RIDER", " Rider "] {
        assert_eq!(parse_condition(text), Ok(Condition::Rider), "{text}");
    }
    for text in ["2", "sport", "Sport"] {
        assert_eq!(parse_tier(text), Ok(Tier::Sport), "{text}");
    }
    for text in ["0", "6", "3.5", "3 rider", "-1", "good", "", "300"] {
        assert!(parse_condition(text).is_err(), "{text}");
        assert!(parse_tier(text).is_err(), "{text}");
    }
    assert_eq!(
        parse_condition("tiddy").unwrap_err().mend,
        "Did you mean tidy?"
    );
}

#[test]
fn styles_and_outcomes_are_words() {
    assert_eq!(parse_style("Road"), Ok(Style::Road));
    assert_eq!(
        parse_style("hybird").unwrap_err().mend,
        "Did you mean hybrid?"
    );
    assert!(
        parse_style("unicycle")
            .unwrap_err()
            .expected
            .contains("road, hybrid, mountain")
    );
    assert_eq!(parse_outcome("GONE"), Ok(Outcome::Gone));
    assert_eq!(
        parse_outcome("withdrawed").unwrap_err().mend,
        "Did you mean withdrawn?"
    );
}

#[test]
fn model_years_have_four_digits_and_are_not_in_the_future() {
    let today = Day::constant(2024, 5, 1);
    for (text, year) in [
        ("2013", 2013),
        ("2013.0", 2013),
        ("2025", 2025),
        ("1817", 1817),
        ("1889", 1889),
    ] {
        assert_eq!(parse_made(text, today), Ok(Years::from(year)), "{text}");
    }
    for text in [
        "13", "02013", "2013.5", "20130", "MMXIII", "c. 13", "", "-2013", "1816",
    ] {
        assert!(parse_made(text, today).is_err(), "{text}");
    }
    assert!(
        parse_made("2026", today)
            .unwrap_err()
            .expected
            .contains("future")
    );
    assert!(
        parse_made("9999", today)
            .unwrap_err()
            .expected
            .contains("future")
    );
}

#[test]
fn hours_are_kept_in_hundredths() {
    for (text, hundredths) in [
        ("6", 600),
        ("6,5", 650),
        ("6.5h", 650),
        ("0.25", 25),
        ("6.333", 633),
        ("0", 0),
    ] {
        assert_eq!(parse_hours(text), Ok(hundredths), "{text}");
    }
    assert!(
        parse_hours("-2")
            .unwrap_err()
            .expected
            .contains("hours that are not negative")
    );
    assert!(
        parse_hours("10000.5")
            .unwrap_err()
            .expected
            .contains("at most 10000")
    );
    for text in ["six", "6:30", "", "h", "1 2"] {
        assert!(parse_hours(text).is_err(), "{text}");
    }
}

#[test]
fn a_year_may_be_known_roughly() {
    let today = Day::constant(2026, 5, 2);
    let read = |text: &str| parse_made(text, today).map(|years| years.to_string());
    for (text, years) in [
        ("~2012", "2010..2014"),
        ("c. 2012", "2010..2014"),
        ("ca 2012", "2010..2014"),
        ("circa 2026", "2024..2027"),
        ("~1817", "1817..1819"),
        ("90s", "1990..1999"),
        ("1990s", "1990..1999"),
        ("'90s", "1990..1999"),
        ("00s", "2000..2009"),
        ("20s", "2020..2027"),
        ("30s", "1930..1939"),
        ("2010/11", "2010..2011"),
        ("2009/10", "2009..2010"),
        ("1999/00", "1999..2000"),
        ("2010/2011", "2010..2011"),
    ] {
        assert_eq!(read(text).as_deref(), Ok(years), "{text}");
    }
    for text in [
        "2015s", "95s", "s", "~", "~12", "2010/13", "2010/09", "2028s", "c.", "2010/",
    ] {
        assert!(read(text).is_err(), "{text}");
    }
}

#[test]
fn a_seat_tube_is_no_wheel_and_that_of_kids_is_short() {
    let of = |text: &str, style| parse_seat_tube_of(text, style).map(SeatTube::number);
    for (text, style, tenths) in [
        ("27", Some(Style::Road), 6858),
        ("24", Some(Style::Road), 6096),
        ("12cm", Some(Style::Kids), 1200),
        ("40cm", Some(Style::Kids), 4000),
        ("13", Some(Style::Kids), 3302),
        ("26in", Some(Style::Road), 6604),
        ("53", None, 5300),
    ] {
        assert_eq!(of(text, style), Ok(tenths), "{text} {style:?}");
    }
    for (text, style) in [
        ("700", None),
        ("700C", Some(Style::Road)),
        ("29er", Some(Style::Mountain)),
        ("27,5", Some(Style::Mountain)),
        ("26", Some(Style::Mountain)),
        ("28", None),
        ("20", Some(Style::Kids)),
        ("16", Some(Style::Kids)),
    ] {
        let problem = of(text, style).unwrap_err();
        assert!(
            problem.expected.contains("not the size of a wheel"),
            "{text}: {problem}"
        );
    }
    for (text, class) in [
        ("XS", SizeClass::XS),
        ("x-small", SizeClass::XS),
        ("Small", SizeClass::S),
        (" m ", SizeClass::M),
        ("size medium", SizeClass::M),
        ("Large", SizeClass::L),
        ("extra large", SizeClass::XL),
    ] {
        for style in [None, Some(Style::Road), Some(Style::Folding)] {
            let read = parse_seat_tube_of(text, style).unwrap();
            assert_eq!(read, SeatTube::Class(class), "{text} {style:?}");
            assert_eq!(read.class(style.unwrap_or(Style::City)), Some(class));
        }
        let problem = of(text, Some(Style::Kids)).unwrap_err();
        assert!(problem.expected.contains("no size classes"), "{problem}");
    }
    for text in ["XXL", "M/L", "53 M", "size", "lar", "smallish"] {
        assert!(of(text, None).is_err(), "{text}");
    }
    assert!(of("24cm", Some(Style::Road)).is_err());
    assert!(of("41cm", Some(Style::Kids)).is_err());
    assert!(of("11.9cm", Some(Style::Kids)).is_err());
}

/// Words that are none of ours, as people say them, are told which of ours is meant.
#[test]
fn a_word_that_people_use_is_told_ours() {
    let style = parse_style("MTB").unwrap_err();
    assert_eq!(style.mend, "Did you mean mountain?");
    let condition = parse_condition("good").unwrap_err();
    assert!(condition.mend.starts_with("Did you mean "), "{condition:?}");
    let nothing = parse_style("bananas").unwrap_err();
    assert_eq!(nothing.mend, "Write one of these words.");
}
