//! Laws of money, days and ages.

use jiff::ToSpan as _;
use proptest::prelude::*;
use wheelworth::trade::calendar::{
    DAYS_PER_YEAR, age_in_years, days_between, quarter_number, year_fraction,
};
use wheelworth::trade::money::{round_to_sum, split};
use wheelworth::trade::{Currency, Day, Money, SeatTube, Style};

#[test]
fn splits_by_largest_remainder() {
    // By hand: the quotas are 3333⅓ each, and the cent left over goes to the first.
    assert_eq!(split(10_000, &[1, 1, 1]), [3334, 3333, 3333]);
    // 6172.5, 3703.5, 2469: the one left over goes to the first of two halves.
    assert_eq!(split(12_345, &[50, 30, 20]), [6173, 3703, 2469]);
    assert_eq!(split(1, &[1, 1, 1]), [1, 0, 0]);
    // 33299.667, 33299.667, 33399.666: rounded down 33299 + 33299 + 33399 = 99997,
    // and the two left over go to the largest remainders, the first two.
    assert_eq!(split(99_999, &[333, 333, 334]), [33_300, 33_300, 33_399]);
    assert_eq!(split(-10_000, &[1, 1, 1]), [-3334, -3333, -3333]);
    assert_eq!(split(7, &[0, 0]), [0, 0]);
    assert_eq!(split(7, &[0, 5, 0]), [0, 7, 0]);
    assert!(split(7, &[]).is_empty());
}

#[test]
fn the_largest_amount_that_is_read_can_be_rounded() {
    for code in ["JPY", "EUR", "KWD"] {
        let currency = Currency::from_code(code).unwrap();
        let most = Money::from_minor(9_000_000_000_000_000);
        assert_eq!(currency.round(currency.units(most)), Some(most));
    }
}

fn day() -> impl Strategy<Value = Day> {
    (0..60_000_i64).prop_map(|days| Day::constant(1900, 1, 1).saturating_add(days.days()))
}

proptest! {
    #[test]
    fn parts_of_a_split_add_up_and_are_near_their_quota(
        total in -9_000_000_000_000_000_i64..9_000_000_000_000_000,
        weights in prop::collection::vec(0_u64..1_000_000, 1..9),
    ) {
        let parts = split(total, &weights);
        let whole: u64 = weights.iter().sum();
        prop_assume!(whole > 0);
        prop_assert_eq!(parts.iter().sum::<i64>(), total);
        for (part, weight) in parts.iter().zip(&weights) {
            // Less than one unit from the quota, in whole numbers.
            let off = i128::from(*part) * i128::from(whole) - i128::from(total) * i128::from(*weight);
            prop_assert!(off.abs() < i128::from(whole), "{} of {}", part, total);
        }
        let mirrored: Vec<i64> = parts.iter().map(|part| -part).collect();
        prop_assert_eq!(split(-total, &weights), mirrored);
        for (i, a) in weights.iter().enumerate() {
            for (j, b) in weights.iter().enumerate() {
                prop_assert!(a <= b || parts[i].abs() >= parts[j].abs(), "more weight, more money");
            }
        }
    }

    #[test]
    fn rounded_amounts_add_up_and_stay_within_a_unit(
        amounts in prop::collection::vec(-1e6..1e6_f64, 1..9),
    ) {
        let total = amounts.iter().sum::<f64>().round() as i64;
        let parts = round_to_sum(&amounts, total);
        prop_assert_eq!(parts.iter().sum::<i64>(), total);
        for (part, amount) in parts.iter().zip(&amounts) {
            prop_assert!((*part as f64 - amount).abs() <= 1.0, "{} for {}", part, amount);
        }
    }

    #[test]
    fn money_survives_its_text(minor in -2_250_000_000_000_000_i64..=2_250_000_000_000_000, which in 0..3_usize) {
        let currency = Currency::from_code(["JPY", "EUR", "KWD"][which]).unwrap();
        let text = currency.plain(Money::from_minor(minor));
        let decimals = text.split_once('.').map_or(0, |(_, d)| d.len());
        prop_assert_eq!(decimals, usize::from(currency.decimals()));
        let digits: i64 = text.replace('.', "").parse().unwrap();
        prop_assert_eq!(digits, minor);
        // A division and a multiplication in double precision, each within half a
        // unit of the last place, are off by less than half a unit up to 2^51.
        let back = currency.round(currency.units(Money::from_minor(minor)));
        prop_assert_eq!(back, Some(Money::from_minor(minor)));
    }

    #[test]
    fn days_add_up(a in day(), b in day(), c in day()) {
        prop_assert_eq!(days_between(a, b) + days_between(b, c), days_between(a, c));
        prop_assert_eq!(a < b, days_between(a, b) > 0);
    }

    #[test]
    fn age_grows_by_a_day_a_day_and_is_never_negative(made in 1890_i16..2030, on in day()) {
        let (age, tomorrow) = (age_in_years(made, on), age_in_years(made, on.tomorrow().unwrap()));
        prop_assert!(age >= 0.0);
        if age > 0.0 {
            // Ages up to 200 years in double precision.
            prop_assert!((tomorrow - age - 1.0 / DAYS_PER_YEAR).abs() < 1e-12);
            prop_assert!(age_in_years(made + 1, on) < age);
        } else {
            prop_assert!(on <= Day::new(made, 7, 1).unwrap());
        }
    }

    #[test]
    fn quarters_and_fractions_follow_the_calendar(on in day()) {
        let later = on.saturating_add(3.months());
        prop_assert_eq!(quarter_number(later), quarter_number(on) + 1);
        prop_assert!((0.0..1.0).contains(&year_fraction(on)));
        let tomorrow = on.tomorrow().unwrap();
        let newer = year_fraction(tomorrow) > year_fraction(on);
        prop_assert_eq!(newer, tomorrow.year() == on.year());
    }

    #[test]
    fn a_longer_tube_is_never_a_smaller_size(a in 2500_i64..=8000, b in 2500_i64..=8000, style in 0..9_usize) {
        let style = Style::ALL[style];
        let size = |tenths: i64| SeatTube::from_tenths(tenths).unwrap().class(style);
        prop_assert_eq!(size(a).is_none(), style == Style::Kids);
        prop_assert!(a > b || size(a) <= size(b));
    }
}
