//! Splitting money by largest remainder: Hamilton's method of 1792, as in
//! M. L. Balinski and H. P. Young, Fair Representation (1982).
//!
//! The cases in money are those of the project's reference notes on the method;
//! each quota is worked out beside it. The two allocations of seats are textbook
//! examples quoted from memory (they stand in encyclopedias under 'largest
//! remainder method' and 'Alabama paradox'), with their quotas re-computed here.
//! Whole numbers: no tolerance.

use wheelworth::trade::money::split;

#[test]
fn a_hundred_over_three_alike_gives_the_first_the_odd_cent() {
    // Quotas 3333 1/3 each; 9999 are given, one is left, all remainders are equal.
    assert_eq!(split(10_000, &[1, 1, 1]), [3334, 3333, 3333]);
}

#[test]
fn two_halves_of_a_cent_go_to_whoever_stands_first() {
    // 12345 × 50/100 = 6172.5; × 30/100 = 3703.5; × 20/100 = 2469.
    assert_eq!(split(12_345, &[50, 30, 20]), [6173, 3703, 2469]);
    // In another order the first of the two halves is another.
    assert_eq!(split(12_345, &[20, 30, 50]), [2469, 3704, 6172]);
}

#[test]
fn a_single_cent_goes_to_the_first_of_equals() {
    assert_eq!(split(1, &[1, 1, 1]), [1, 0, 0]);
    assert_eq!(split(2, &[1, 1, 1]), [1, 1, 0]);
}

#[test]
fn the_largest_remainders_are_served_before_the_largest_weights() {
    // 99999 × 333/1000 = 33299.667 twice, × 334/1000 = 33399.666: rounded down
    // they are 99997, and the two left go to the two remainders of .667.
    assert_eq!(split(99_999, &[333, 333, 334]), [33_300, 33_300, 33_399]);
}

#[test]
fn below_zero_the_split_is_the_mirror_image() {
    assert_eq!(split(-10_000, &[1, 1, 1]), [-3334, -3333, -3333]);
    assert_eq!(split(-12_345, &[50, 30, 20]), [-6173, -3703, -2469]);
    assert_eq!(split(-1, &[1, 1, 1]), [-1, 0, 0]);
    assert_eq!(
        split(-99_999, &[333, 333, 334]),
        [-33_300, -33_300, -33_399]
    );
}

#[test]
fn without_any_weight_all_parts_are_nothing() {
    assert_eq!(split(500, &[0, 0]), [0, 0]);
    assert_eq!(split(0, &[3, 4]), [0, 0]);
    assert_eq!(split(500, &[]), Vec::<i64>::new());
    // A weight of 0 among others never gets an odd cent.
    assert_eq!(split(2, &[0, 1, 1, 1]), [0, 1, 1, 0]);
}

#[test]
fn ten_seats_for_a_hundred_thousand_votes() {
    // Quota 10,000 votes a seat: 4.7, 1.6, 1.59, 1.2, 0.6, 0.31. Seven seats at
    // once, the other three to .7, .6 and .6.
    let votes = [47_000, 16_000, 15_900, 12_000, 6_000, 3_100];
    assert_eq!(split(10, &votes), [5, 2, 1, 1, 1, 0]);
}

#[test]
fn a_seat_more_may_cost_a_seat() {
    // The Alabama paradox. 25 seats, quota 204: 7.35, 7.35, 4.41, 2.45, 2.45, 0.98.
    let votes = [1500, 1500, 900, 500, 500, 200];
    assert_eq!(split(25, &votes), [7, 7, 4, 3, 3, 1]);
    // 26 seats, quota 196.15: 7.65, 7.65, 4.59, 2.55, 2.55, 1.02.
    assert_eq!(split(26, &votes), [8, 8, 5, 2, 2, 1]);
}

#[test]
fn the_largest_amounts_are_split_without_overflow() {
    // 2^63 - 1 is odd, so the odd unit goes to the first.
    let half = i64::MAX / 2;
    assert_eq!(split(i64::MAX, &[u64::MAX, u64::MAX]), [half + 1, half]);
    assert_eq!(split(i64::MIN + 1, &[7, 7]), [-half - 1, -half]);
}
