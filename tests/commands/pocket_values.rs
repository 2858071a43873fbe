//! What the page for the phone must work out: bikes with what `price` and `offer` say of
//! them, random ones with unknown facts, and cells as people type them. With
//! `WHEELWORTH_PAGES=FOLDER` all of them are written into `FOLDER/pocket`, each book's
//! beside its page, and `.ci/pocket-values` holds `value.js` against them; without, a
//! few are worked out and only their form is looked at.

use crate::support::workshop::{COMPS, TODAY, Workshop};
use rand::Rng as _;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;
use serde_json::{Value, json};
use wheelworth::intake;
use wheelworth::trade::{Currency, Style};

const FIELDS: [&str; 7] = [
    "style",
    "made",
    "condition",
    "tier",
    "seat_tube",
    "new_price",
    "guess",
];

/// A book, and the flags under which its page is made.
struct Case {
    name: &'static str,
    workshop: Workshop,
    flags: &'static [&'static str],
    /// Units of money about as much as a euro.
    unit: f64,
}

fn cases() -> Vec<Case> {
    let few: Vec<&str> = COMPS.lines().take(31).collect();
    let case = |name, workshop, flags, unit| Case {
        name,
        workshop,
        flags,
        unit,
    };
    let wishes = &[
        "--week-cost",
        "1",
        "--weeks",
        "12",
        "--quick-sale",
        "40",
        "--level",
        "0.5",
    ];
    vec![
        case("busy", Workshop::busy(), &[], 1.0),
        case("wishes", Workshop::busy(), wishes, 1.0),
        case(
            "few-comps",
            Workshop::new().comps(&few.join("\n")),
            &[],
            1.0,
        ),
        case("empty", Workshop::in_currency("JPY"), &[], 130.0),
        case("nothing", Workshop::in_currency("KWD"), &[], 0.35),
    ]
}

/// A bike as it is typed, in the order of [`FIELDS`].
type Typed = [Option<String>; 7];

fn random_bike(random: &mut ChaCha8Rng, unit: f64) -> Typed {
    let style = Style::ALL[random.random_range(0..Style::ALL.len())];
    let some = |random: &mut ChaCha8Rng, chance: f64| random.random_bool(chance);
    let made = match random.random_range(0..8) {
        0 | 1 => None,
        2 => Some(random.random_range(1817..=2027).to_string()),
        3 => Some(format!("~{}", random.random_range(1970..=2026))),
        4 => Some(format!("{}0s", random.random_range(196..=202))),
        5 => {
            let first = random.random_range(1980..=2010);
            Some(format!("{first}..{}", first + random.random_range(0..=16)))
        }
        _ => Some(random.random_range(1995..=2026).to_string()),
    };
    let grade = |random: &mut ChaCha8Rng| {
        some(random, 0.75).then(|| random.random_range(1..=5).to_string())
    };
    let (condition, tier) = (grade(random), grade(random));
    let tube = some(random, 0.7).then(|| match style {
        Style::Kids => format!("{}cm", random.random_range(15..=38)),
        _ if some(random, 0.3) => ["XS", "S", "M", "L", "XL"][random.random_range(0..5)].into(),
        _ => format!("{:.1}", random.random_range(38.0..64.0)),
    });
    let new_price = some(random, 0.4).then(|| {
        let price: f64 = random.random_range(3.5..8.5);
        format!("{:.0}", (price.exp() * unit).max(1.0))
    });
    let guess = some(random, 0.3).then(|| {
        let guess: f64 = random.random_range(2.5..6.5);
        format!("{:.0}", (guess.exp() * unit).max(1.0))
    });
    let style = Some(style.to_string());
    [style, made, condition, tier, tube, new_price, guess]
}

/// Cells as people type them, of a style: the field and the text.
const CELLS: &[(&str, &str, &str)] = &[
    ("city", "made", "2012.0"),
    ("city", "made", "c. 2012"),
    ("city", "made", "circa 1999"),
    ("city", "made", "2010 – 2013"),
    ("city", "made", "2010/11"),
    ("city", "made", "2010/2011"),
    ("city", "made", "2010/12"),
    ("city", "made", "'90s"),
    ("city", "made", "late 60s"),
    ("city", "made", "mid-1990s"),
    ("city", "made", "80er"),
    ("city", "made", "'83"),
    ("city", "made", "'15"),
    ("city", "made", "ca 95"),
    ("city", "made", "1970s?"),
    ("city", "made", "30s"),
    ("city", "made", "2020s"),
    ("city", "made", "1995s"),
    ("city", "made", "2027"),
    ("city", "made", "2028"),
    ("city", "made", "~2026"),
    ("city", "made", "1816"),
    ("city", "made", "12"),
    ("city", "made", "2013-2010"),
    ("city", "made", "1970..2011"),
    ("city", "made", "2010.."),
    ("city", "made", "new"),
    ("city", "condition", "Tidy"),
    ("city", "condition", "4.0"),
    ("city", "condition", "4.5"),
    ("city", "condition", "good"),
    ("city", "condition", "0"),
    ("city", "tier", "CLUB"),
    ("city", "tier", "6"),
    ("city", "seat_tube", "530mm"),
    ("city", "seat_tube", "20in"),
    ("city", "seat_tube", "20\""),
    ("city", "seat_tube", "20 inches"),
    ("city", "seat_tube", "53,5 cm"),
    ("city", "seat_tube", "18"),
    ("city", "seat_tube", "530"),
    ("city", "seat_tube", "size M"),
    ("city", "seat_tube", "extra large"),
    ("city", "seat_tube", "X-Small"),
    ("city", "seat_tube", "100"),
    ("city", "seat_tube", "26"),
    ("city", "seat_tube", "700c"),
    ("city", "seat_tube", "27,5"),
    ("city", "seat_tube", "24cm"),
    ("city", "seat_tube", "53ft"),
    ("city", "seat_tube", "big"),
    ("road", "seat_tube", "55.9"),
    ("road", "seat_tube", "56"),
    ("mountain", "seat_tube", "17in"),
    ("mountain", "seat_tube", "16.9in"),
    ("kids", "seat_tube", "30cm"),
    ("kids", "seat_tube", "11in"),
    ("kids", "seat_tube", "20"),
    ("kids", "seat_tube", "M"),
    ("kids", "seat_tube", "45cm"),
    ("City", "new_price", "450"),
    ("city", "new_price", "1,234.50"),
    ("city", "new_price", "1.234,50 €"),
    ("city", "new_price", "EUR 450"),
    ("city", "new_price", "€450.00"),
    ("city", "new_price", "450,-"),
    ("city", "new_price", "1 450"),
    ("city", "new_price", "1.234"),
    ("city", "new_price", "450.125"),
    ("city", "new_price", "$450"),
    ("city", "new_price", "450 USD"),
    ("city", "new_price", "-5"),
    ("city", "new_price", "a lot"),
    ("cargo", "made", "2012"),
];

/// Whether the program reads all cells of a bike.
fn is_read(bike: &Typed) -> bool {
    let [style, made, condition, tier, tube, new_price, guess] = bike;
    let euro = Currency::from_code("EUR").unwrap();
    let Ok(style) = intake::parse_style(style.as_ref().unwrap()) else {
        return false;
    };
    fn read<T, E>(cell: &Option<String>, how: impl Fn(&str) -> Result<T, E>) -> bool {
        cell.as_ref().is_none_or(|text| how(text).is_ok())
    }
    read(made, |text| intake::parse_made(text, TODAY))
        && read(condition, intake::parse_condition)
        && read(tier, intake::parse_tier)
        && read(tube, |text| intake::parse_seat_tube_of(text, Some(style)))
        && [new_price, guess].into_iter().all(|cell| {
            read(cell, |text| {
                let money = intake::parse_money(text, &euro, None).map_err(drop)?;
                if money.minor() < 0 { Err(()) } else { Ok(()) }
            })
        })
}

fn facts(bike: &Typed) -> Value {
    let pairs = FIELDS.iter().zip(bike);
    pairs
        .map(|(field, cell)| ((*field).to_string(), json!(cell)))
        .collect()
}

/// What `price` and `offer` say of bikes.
fn flags(bike: &Typed) -> Vec<String> {
    let given = FIELDS.iter().zip(bike);
    let given = given.filter_map(|(field, cell)| Some((field, cell.clone()?)));
    given
        .flat_map(|(field, cell)| [format!("--{}", field.replace('_', "-")), cell])
        .collect()
}

/// What is kept of an answer of `price`.
fn said(one: &Value, bike: &Typed) -> Value {
    json!({
        "facts": facts(bike),
        "value": one["value"],
        "expected_sale": one["ask"]["expected_sale"],
        "present_value": one["ask"]["floor"],
    })
}

/// Bikes that an offer is made for, at most, but for the busy book.
const OFFERS: usize = 30;

impl Case {
    fn json(&self, words: &[String]) -> Value {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let all = [&words[..], self.flags, &["--format", "json"]].concat();
        self.workshop.run(&all).done().json()
    }

    /// What `price` says of bikes, all of a file at once.
    fn values(&self, bikes: &[Typed]) -> Vec<Value> {
        let mut file = csv::Writer::from_writer(Vec::new());
        file.write_record(["bike"].iter().chain(&FIELDS)).unwrap();
        for (i, bike) in bikes.iter().enumerate() {
            let cells = bike.iter().map(|cell| cell.clone().unwrap_or_default());
            let row = std::iter::once(format!("x{i}")).chain(cells);
            file.write_record(row).unwrap();
        }
        let path = self.workshop.file("bikes.csv", file.into_inner().unwrap());
        let told = self.json(&["price", "--from", path.to_str().unwrap()].map(String::from));
        let told = told["bikes"].as_array().unwrap().iter();
        let told = told.zip(bikes).map(|(one, bike)| said(one, bike));
        told.collect()
    }

    /// What `price` says of one bike, by its flags.
    fn value(&self, bike: &Typed) -> Value {
        let told = self.json(&[vec!["price".to_string()], flags(bike)].concat());
        said(&told["bikes"][0], bike)
    }

    fn offer(&self, bike: &Typed, random: &mut ChaCha8Rng) -> Value {
        let becomes = random.random_range(2..=5).to_string();
        let mut amount = |most: f64| (random.random_range(0.0..most) * self.unit).round();
        let (repairs, margin) = (amount(80.0), amount(40.0));
        let (cost, kept) = (repairs.to_string(), margin.to_string());
        let of_offer = [
            "offer",
            "--repairs",
            &cost,
            "--becomes",
            &becomes,
            "--margin",
            &kept,
        ];
        // An offer takes no guess: it is made before the bike is the owner's.
        let [features @ .., _] = bike.clone();
        let [a, b, c, d, e, f] = features;
        let bike = &[a, b, c, d, e, f, None];
        let told = self.json(&[of_offer.map(String::from).to_vec(), flags(bike)].concat());
        let mut done = facts(bike);
        done["condition"] = json!(becomes);
        let most = &told["most_to_pay"];
        json!({
            "most_to_pay": {
                "as_found": facts(bike), "done": done, "repairs": repairs, "margin": margin,
            },
            "answer": {"mean": most["mean"], "cautious": most["cautious"]},
            "done": told["done"],
        })
    }

    fn golden(&self, bikes: usize, random: &mut ChaCha8Rng) -> (Value, String) {
        self.workshop
            .run(&[&["pocket", "@pocket.html"], self.flags].concat())
            .done();
        let page = self.workshop.text("pocket.html");
        let bikes: Vec<Typed> = (0..bikes).map(|_| random_bike(random, self.unit)).collect();
        let values = self.values(&bikes);
        let offered = match self.name {
            "busy" => &bikes[..],
            _ => &bikes[..bikes.len().min(OFFERS)],
        };
        let offers = offered.iter().map(|bike| self.offer(bike, random));
        let offers = offers.collect::<Vec<_>>();
        (json!({"values": values, "most_to_pay": offers}), page)
    }
}

/// The cells above: what the program says of those that it reads, and those that it
/// refuses.
fn cells(busy: &Case) -> (Vec<Value>, Vec<Value>) {
    let bikes = CELLS.iter().map(|(style, field, text)| {
        let mut bike: Typed = Default::default();
        bike[0] = Some((*style).to_string());
        let place = FIELDS.iter().position(|name| name == field).unwrap();
        bike[place] = Some((*text).to_string());
        bike
    });
    let (read, refused): (Vec<Typed>, Vec<Typed>) = bikes.partition(is_read);
    let read = read.iter().map(|bike| busy.value(bike)).collect();
    (read, refused.iter().map(facts).collect())
}

#[test]
fn values_for_the_page_to_work_out() {
    let folder = std::env::var_os("WHEELWORTH_PAGES");
    let bikes = if folder.is_some() { 100 } else { 2 };
    let mut random = ChaCha8Rng::seed_from_u64(21);
    let cases = cases();
    let (read, refused) = cells(&cases[0]);
    assert_eq!((read.len(), refused.len()), (43, 31), "{refused:#?}");
    assert!(
        read.iter()
            .all(|one| one["value"]["median"].as_f64() > Some(0.0))
    );
    for case in &cases {
        let (mut golden, page) = case.golden(bikes, &mut random);
        if case.name == "busy" {
            golden["values"]
                .as_array_mut()
                .unwrap()
                .extend(read.clone());
            golden["refused"] = json!(refused);
        }
        for one in golden["values"].as_array().unwrap() {
            let known = one["value"]["median"].as_f64().is_some();
            let told = case.name != "nothing" || !one["facts"]["new_price"].is_null();
            assert_eq!(known, told, "{one}");
        }
        if let Some(folder) = &folder {
            let folder = std::path::Path::new(folder).join("pocket");
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(folder.join(format!("{}.html", case.name)), page).unwrap();
            let path = folder.join(format!("{}.json", case.name));
            std::fs::write(path, golden.to_string()).unwrap();
        }
    }
}
