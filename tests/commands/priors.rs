//! `priors`: beliefs beside what the records make of them.

use crate::support::workshop::Workshop;

/// Factor believed, sales it is worth and factor with the records, of an effect.
fn effect(json: &str, name: &str) -> (f64, f64, Option<f64>) {
    let answer: serde_json::Value = serde_json::from_str(json).unwrap();
    let all = answer["effects"].as_array().unwrap();
    let one = all.iter().find(|e| e["effect"] == name).unwrap();
    (
        one["believed"].as_f64().unwrap(),
        one["equivalent_sales"].as_f64().unwrap(),
        one["fitted"].as_f64(),
    )
}

#[test]
fn beliefs_stand_alone_where_there_is_no_book() {
    let output = Workshop::empty()
        .run(&["priors", "--format", "json"])
        .done();
    let (believed, sales, fitted) = effect(&output.out, "tier 2 to 3");
    // A tier is believed to add 0.28 log points, give or take 0.12; one sale
    // strays by 0.20: (0.20 / 0.12)^2 = 2.78 sales.
    assert!((believed - 0.28_f64.exp()).abs() < 1e-12);
    assert!((sales - 2.777_777_777_777_778).abs() < 1e-9);
    assert_eq!(fitted, None);
}

#[test]
fn records_move_a_belief_their_way() {
    // Tier 3 sells at twice tier 2, again and again; the belief is 1.32 times.
    let mut sales =
        String::from("bike,style,made,condition,tier,seat_tube,listed_on,sold_on,sold_price\n");
    for n in 0..20 {
        let (tier, price) = if n % 2 == 0 {
            (2, 150 + n)
        } else {
            (3, 300 + n)
        };
        sales += &format!("b{n},hybrid,2016,3,{tier},51cm,2026-03-01,2026-03-10,{price}\n");
    }
    let workshop = Workshop::new();
    workshop.file("sales.csv", sales);
    workshop.run(&["import", "sales", "@sales.csv"]).done();
    let output = workshop.run(&["priors", "--format", "json"]).done();
    let (believed, _, fitted) = effect(&output.out, "tier 2 to 3");
    let fitted = fitted.unwrap();
    assert!(fitted > believed + 0.2 && fitted < 2.1, "{fitted}");
    let text = workshop.run(&["priors"]).done().out;
    assert!(
        text.contains("With records: 20 own sales and 0 comps."),
        "{text}"
    );
    assert!(text.contains("twice the new price"), "{text}");
    let json = output.json();
    let listed = |name: &str| {
        let effects = json["effects"].as_array().unwrap();
        effects.iter().any(|e| e["effect"] == name)
    };
    for name in ["season, sine", "half year, sine", "age, road", "tier, road"] {
        assert!(listed(name) && !text.contains(name), "{name} in\n{text}");
    }
}
