//! `price` where a wrong answer would be easy to miss.

use crate::support::workshop::Workshop;

const BIKE: [&str; 11] = [
    "price",
    "--style",
    "hybrid",
    "--made",
    "2016",
    "--condition",
    "3",
    "--tier",
    "2",
    "--format",
    "json",
];

fn median(workshop: &Workshop, more: &[&str]) -> f64 {
    let words: Vec<&str> = BIKE.iter().chain(more).copied().collect();
    workshop.run(&words).done().json()["bikes"][0]["value"]["median"]
        .as_f64()
        .unwrap()
}

const COMPS: &str = "listing,source,style,made,condition,tier,seat_tube,first_seen,last_seen,ask,outcome\n\
    a1,board,hybrid,2015,3,2,52cm,2025-03-01,2025-03-08,180,gone\n\
    a2,board,hybrid,2017,4,2,53cm,2025-03-01,2025-03-08,420,gone\n\
    a3,board,hybrid,2012,3,2,50cm,2025-03-02,2025-03-09,150,gone\n";

#[test]
fn a_second_listing_seen_later_does_not_change_an_earlier_answer() {
    let before = Workshop::new().comps(COMPS);
    let early = ["--as-of", "2025-03-10"];
    let known_then = median(&before, &early);
    let later = format!("{COMPS}b9,board,hybrid,2017,4,2,53cm,2025-03-20,2025-03-25,420,gone\n");
    let after = Workshop::new().comps(&later);
    assert_eq!(median(&after, &early), known_then);
    // On a later day the two count as one bike.
    assert_ne!(median(&after, &[]), median(&before, &[]));
}

#[test]
fn a_slipped_decimal_among_the_sales_does_not_turn_against_the_comps() {
    let model = |workshop: &Workshop| workshop.run(&BIKE).done().json()["model"].clone();
    let clean = Workshop::busy();
    let slipped = Workshop::busy();
    slipped.file(
        "slip.csv",
        "bike,style,made,condition,tier,sold_on,sold_price\nslip,hybrid,2016,4,2,2026-04-20,2.00\n",
    );
    slipped.run(&["import", "sales", "@slip.csv"]).done();
    let (before, now) = (model(&clean), model(&slipped));
    assert_eq!(
        now["left_out"].as_u64().unwrap(),
        before["left_out"].as_u64().unwrap() + 1
    );
    assert_eq!(now["comps_weight"], before["comps_weight"]);
    assert_eq!(now["sales"], before["sales"]);
}

#[test]
fn factors_make_the_median_of_a_kids_bike_from_any_base() {
    let mut sales =
        String::from("bike,style,made,condition,tier,seat_tube,listed_on,sold_on,sold_price\n");
    for n in 0..9 {
        sales += &format!(
            "b{n},hybrid,2015,3,2,64cm,2026-03-0{},2026-03-20,{}\n",
            n + 1,
            140 + 5 * n
        );
    }
    sales += "k1,kids,2020,4,1,28cm,2026-03-01,2026-03-09,55\n";
    let workshop = Workshop::new().sales(&sales);
    let words = [
        "price", "--style", "kids", "--made", "2020", "--base", "typical", "--format", "json",
    ];
    let answer = workshop.run(&words).done().json();
    let bike = &answer["bikes"][0];
    let lines = bike["contributions"].as_array().unwrap();
    let factors: f64 = lines
        .iter()
        .map(|l| l["factor"].as_f64().unwrap())
        .product();
    let (base, value) = (
        bike["base"]["amount"].as_f64().unwrap(),
        bike["value"]["median"].as_f64().unwrap(),
    );
    // The base is rounded to the cent: 0.005 times the factors.
    assert!(
        (base * factors - value).abs() < 0.005 * factors + 0.006,
        "{base} {factors} {value}"
    );
    let amounts: f64 = lines.iter().map(|l| l["amount"].as_f64().unwrap()).sum();
    assert!((base + amounts - value).abs() < 1e-9);
}

#[test]
fn a_chart_overwrites_nothing_but_a_picture() {
    let workshop = Workshop::busy();
    let before = workshop.book_bytes();
    let chart = |name: &str| workshop.run(&["price", "--style", "hybrid", "--chart", name]);
    let refused = chart("@wheelworth.sqlite");
    assert_eq!(refused.code, 2, "{}", refused.err);
    workshop.file("notes.svg", "not a picture\n");
    let refused = chart("@notes.svg");
    assert_eq!(refused.code, 1, "{}", refused.err);
    assert!(refused.err.contains("is no picture"), "{}", refused.err);
    assert_eq!(workshop.text("notes.svg"), "not a picture\n");
    assert!(workshop.book_bytes() == before);
    chart("@value.svg").done();
    let first = workshop.text("value.svg");
    assert!(
        first.starts_with("<svg ") && first.contains("this bike") || first.contains("age in years")
    );
    // The same again replaces it, byte for byte.
    chart("@value.svg").done();
    assert_eq!(workshop.text("value.svg"), first);
}

#[test]
fn a_new_price_beyond_all_that_was_seen_is_doubted() {
    let sales = "bike,style,made,condition,tier,seat_tube,new_price,listed_on,sold_on,sold_price\n\
        b1,hybrid,2015,3,2,52cm,400,2026-03-01,2026-03-20,140\n\
        b2,hybrid,2016,4,2,52cm,500,2026-03-02,2026-03-21,180\n\
        b3,hybrid,2014,3,3,52cm,650,2026-03-03,2026-03-22,190\n";
    let workshop = Workshop::new().sales(sales);
    let text = workshop
        .run(&[
            "price",
            "--style",
            "hybrid",
            "--new-price",
            "99000000",
            "--why",
        ])
        .done()
        .out;
    assert!(
        text.contains("Outside your experience: new price 99000000.00 EUR"),
        "{text}"
    );
}

#[test]
fn an_unknown_tier_is_not_driven_beyond_the_highest_one() {
    // Forty bikes whose new price follows their tier closely, so that a straight
    // line through them would make of a huge new price a tier far beyond 5.
    let mut sales = String::from(
        "bike,style,made,condition,tier,seat_tube,new_price,listed_on,sold_on,sold_price\n",
    );
    for n in 0..40 {
        let tier = n % 4 + 1;
        let (new, sold) = (300 * tier + 5 * n, 80 + 60 * tier + n);
        sales += &format!("b{n},hybrid,2016,3,{tier},52cm,{new},2026-03-01,2026-03-20,{sold}\n");
    }
    let workshop = Workshop::new().sales(&sales);
    let factor = |tier: &[&str]| {
        let line = [
            "price",
            "--style",
            "hybrid",
            "--made",
            "2016",
            "--new-price",
            "99000000",
        ];
        let words: Vec<&str> = line
            .iter()
            .chain(tier)
            .chain(&["--format", "json"])
            .copied()
            .collect();
        let answer = workshop.run(&words).done().json();
        let lines = answer["bikes"][0]["contributions"]
            .as_array()
            .unwrap()
            .clone();
        let tier = lines
            .iter()
            .find(|l| l["feature"] == "tier")
            .unwrap()
            .clone();
        tier["factor"].as_f64().unwrap()
    };
    let (unknown, highest) = (factor(&[]), factor(&["--tier", "5"]));
    assert!(
        unknown <= highest * (1.0 + 1e-9),
        "{unknown} beyond {highest}"
    );
}
