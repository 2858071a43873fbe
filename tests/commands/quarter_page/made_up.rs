//! Reports made up by hand, as the books would make them: the sums are right.

use wheelworth::accounts::quarter::figures::{
    Balance, Correction, Counted, CourseLine, GiftLine, SaleLine, What,
};
use wheelworth::accounts::{QuarterCaution, QuarterReport};
use wheelworth::trade::{
    Beneficiary, Bike, Condition, Cost, CostKind, Currency, Day, Gift, Give, Giving, Money,
    Quarter, SeatTube, Style, Years,
};

/// What somebody may type as an id: a formula, a script, quotes, and long.
pub const HOSTILE: &str =
    "=HYPERLINK(\"x\")<script>alert('1')</script> & an id that goes on and on and on";
/// A long name with quotes.
pub const LONG_NAME: &str =
    "The \"Upper Mill\" Tool Library & Repair Evening of the Five Parishes Beyond the River";

pub fn currency(code: &str) -> Currency {
    Currency::from_code(code).unwrap()
}

pub fn minor(amount: i64) -> Money {
    Money::from_minor(amount)
}

pub fn quarter(name: &str) -> Quarter {
    Quarter::read(name).unwrap()
}

pub fn sale(id: &str, on: Day, price: i64, cost: i64, hours: Option<i64>, due: i64) -> SaleLine {
    SaleLine {
        id: id.into(),
        bike: Bike {
            made: Some(Years::from(2016)),
            condition: Some(Condition::Tidy),
            seat_tube: SeatTube::from_tenths(5300),
            ..Bike::of(Style::Hybrid)
        },
        bought_on: None,
        listed_on: None,
        sold_on: on,
        sold_price: minor(price),
        direct_cost: minor(cost),
        margin: minor(price - cost),
        hours,
        due: minor(due),
    }
}

fn cost(bike: Option<&str>, on: Day, item: Option<&str>, amount: i64, from_box: bool) -> Cost {
    Cost {
        bike: bike.map(String::from),
        on,
        kind: if from_box {
            CostKind::Part
        } else {
            CostKind::Supply
        },
        item: item.map(String::from),
        amount: minor(amount),
        from_box,
    }
}

pub fn gift(on: Day, to: &str, amount: i64, reference: Option<&str>) -> GiftLine {
    GiftLine {
        gift: Gift {
            on,
            beneficiary: to.into(),
            amount: minor(amount.abs()),
            reference: reference.map(String::from),
        },
        amount: minor(amount),
        of_closed: None,
    }
}

pub fn balance(name: &str, opening: i64, due: i64, given: i64) -> Balance {
    Balance {
        name: name.into(),
        opening: minor(opening),
        due: minor(due),
        given: minor(given),
        closing: minor(opening + due - given),
    }
}

/// Quarters up to `last` with what was given in each; all else is 0.
pub fn course(last: &str, given: &[i64], closing: i64) -> Vec<CourseLine> {
    let mut names = vec![quarter(last)];
    while names.len() < given.len() {
        names.push(names[names.len() - 1].previous());
    }
    names.reverse();
    let so_far = given.iter().scan(0, |sum, given| {
        *sum += given;
        Some(*sum)
    });
    let lines = names.iter().zip(given).zip(so_far);
    lines
        .map(|((quarter, given), so_far)| CourseLine {
            quarter: *quarter,
            sold: 3,
            due: minor(*given),
            given: minor(*given),
            given_so_far: minor(so_far),
            closing: minor(closing),
        })
        .collect()
}

/// A quarter in which nothing happened, of a book that names somebody.
pub fn empty() -> QuarterReport {
    let zero = Money::ZERO;
    QuarterReport {
        quarter: quarter("2026-Q2"),
        from: Day::constant(2026, 4, 1),
        to: Day::constant(2026, 6, 30),
        as_of: Day::constant(2026, 7, 4),
        closed_on: None,
        giving: Giving {
            give: Give::Net,
            share: 10_000,
            year_starts: 1,
            beneficiaries: vec![Beneficiary {
                name: "Ferry Lane Reading Room".into(),
                weight: 1,
            }],
        },
        sales: vec![],
        returns: vec![],
        left: vec![],
        workshop: vec![],
        workshop_costs: zero,
        from_box: vec![],
        corrections: vec![],
        brought_forward: zero,
        ended: Money::ZERO,
        due: zero,
        carried_forward: zero,
        gifts: vec![],
        opening: zero,
        given: zero,
        closing: zero,
        beneficiaries: vec![balance("Ferry Lane Reading Room", 0, 0, 0)],
        meant: vec![],
        course: vec![],
        cautions: vec![QuarterCaution::NotAdvice],
    }
}

/// Three bikes, one of them at a loss; two beneficiaries and one whom the book
/// does not name; corrections, box parts, a shortfall, gifts given ahead. Half of
/// what is left is due:
///
///   280.00 - 132.50 - 53.96 - 25.69 - 5.13 = 62.72, half of it 31.36
///
/// over the margins 118.63 and 40.00: 23.45 and 7.91; over 70 : 30: 21.95, 9.41.
pub fn rich() -> QuarterReport {
    let on = |month, day| Day::constant(2026, month, day);
    let mut report = empty();
    report.giving.share = 5000;
    report.giving.beneficiaries = vec![
        Beneficiary {
            name: "Ferry Lane Reading Room".into(),
            weight: 70,
        },
        Beneficiary {
            name: LONG_NAME.into(),
            weight: 30,
        },
    ];
    report.sales = vec![
        sale("B-7", on(4, 11), 15000, 3137, Some(425), 2345),
        sale(HOSTILE, on(5, 2), 9000, 10113, None, 0),
        SaleLine {
            bike: Bike::of(Style::Kids),
            ..sale("B-9", on(6, 30), 4000, 0, Some(150), 791)
        },
    ];
    report.workshop = vec![
        cost(
            None,
            on(4, 18),
            Some("=grease & <b>cloths</b>"),
            1823,
            false,
        ),
        cost(None, on(6, 1), None, 746, false),
    ];
    report.workshop_costs = minor(2569);
    report.from_box = vec![cost(Some("B-7"), on(4, 2), Some("inner tube"), 666, true)];
    let counted = |price, cost| {
        Some(Counted {
            price: minor(price),
            cost: minor(cost),
        })
    };
    let correction = |bike: Option<&str>, before, after, amount| Correction {
        of: quarter("2026-Q1"),
        bike: bike.map(String::from),
        what: What::Sale,
        nth: 0,
        before,
        after,
        give: Give::Net,
        amount: minor(amount),
    };
    report.corrections = vec![
        correction(Some("B-3"), counted(10000, 2011), counted(9500, 2334), -823),
        correction(Some("B-4"), counted(6000, 1729), None, -4271),
        correction(None, counted(0, 1217), counted(0, 1519), -302),
    ];
    report.brought_forward = minor(513);
    report.due = minor(3136);
    report.gifts = vec![
        GiftLine {
            of_closed: Some(quarter("2026-Q1")),
            ..gift(on(3, 9), LONG_NAME, -2000, Some("T-107"))
        },
        gift(on(6, 20), "Ferry Lane Reading Room", 30000, Some("T-113")),
        gift(on(6, 21), "@Footpath Fund", 1000, None),
    ];
    report.opening = minor(800);
    report.given = minor(29000);
    report.closing = minor(-25064);
    report.beneficiaries = vec![
        balance("Ferry Lane Reading Room", 1200, 2195, 30000),
        balance(LONG_NAME, -400, 941, -2000),
        balance("@Footpath Fund", 0, 0, 1000),
    ];
    report.course = course("2026-Q2", &[12000, 0, 29000], -25064);
    report.cautions = vec![
        QuarterCaution::Replaced {
            bike: "B-7".into(),
            column: "parts",
            said: minor(919),
            counted: minor(1044),
        },
        QuarterCaution::NoPurchase {
            bikes: vec!["B-9".into()],
        },
        QuarterCaution::NoHours {
            bikes: vec![HOSTILE.into()],
        },
        QuarterCaution::Corrected {
            quarters: vec![quarter("2026-Q1")],
        },
        QuarterCaution::NotNamed {
            beneficiary: "@Footpath Fund".into(),
            like: None,
        },
        QuarterCaution::GivenAhead {
            beneficiary: Some("Ferry Lane Reading Room".into()),
            by: minor(26605),
        },
        QuarterCaution::LargeGift {
            gift: report.gifts[1].gift.clone(),
        },
        QuarterCaution::NotAdvice,
    ];
    report
}

/// The same sales where the whole price is due.
pub fn by_price() -> QuarterReport {
    let mut report = rich();
    report.giving.give = Give::Price;
    report.giving.share = 10_000;
    // Shown in a currency in which the gifts are no large ones.
    let large = |caution: &QuarterCaution| matches!(caution, QuarterCaution::LargeGift { .. });
    report.cautions.retain(|caution| !large(caution));
    report.brought_forward = Money::ZERO;
    report.corrections.truncate(2);
    for correction in &mut report.corrections {
        correction.give = Give::Price;
    }
    report.corrections[0].amount = minor(-500);
    report.corrections[1].amount = minor(-6000);
    // 280.00 - 65.00 = 215.00, over 150 : 90 : 40 by largest remainder.
    report.due = minor(21500);
    for (line, due) in report.sales.iter_mut().zip([11518, 6911, 3071]) {
        line.due = minor(due);
    }
    report.beneficiaries = vec![
        balance("Ferry Lane Reading Room", 1200, 15050, 30000),
        balance(LONG_NAME, -400, 6450, -2000),
        balance("@Footpath Fund", 0, 0, 1000),
    ];
    report.closing = minor(800 + 21500 - 29000);
    report
}

/// A quarter with many bikes after ten years of quarters; every 25th bike was
/// sold at a loss.
pub fn many(bikes: i64) -> QuarterReport {
    let mut report = empty();
    report.giving.give = Give::Price;
    let first = report.from;
    for number in 0..bikes {
        let on = first.checked_add(jiff::Span::new().days(number * 91 / bikes));
        let price = 6000 + number * 37 % 25_000;
        let cost = if number % 25 == 0 {
            price + 1250
        } else {
            price * 2 / 5
        };
        let id = format!("B-{:04}", 1000 + number);
        let hours = Some(100 + number * 25 % 900);
        report
            .sales
            .push(sale(&id, on.unwrap(), price, cost, hours, price));
    }
    report.due = report.sales.iter().map(|line| line.sold_price).sum();
    let given: Vec<i64> = (0..40).map(|n| 40_000 + n * 7919 % 90_000).collect();
    let closing = report.due.minor() - given[39];
    report.gifts = vec![gift(
        Day::constant(2026, 6, 27),
        "Ferry Lane Reading Room",
        given[39],
        Some("T-240"),
    )];
    report.given = minor(given[39]);
    report.closing = minor(closing);
    report.beneficiaries = vec![balance(
        "Ferry Lane Reading Room",
        0,
        report.due.minor(),
        given[39],
    )];
    report.course = course("2026-Q2", &given, closing);
    report
}

/// One beneficiary, a handful of bikes: what most quarters look like.
pub fn usual() -> QuarterReport {
    let on = |month, day| Day::constant(2026, month, day);
    let mut report = empty();
    report.sales = vec![
        sale("B-43", on(4, 4), 21500, 13550, Some(650), 6963),
        sale("B-44", on(4, 18), 12000, 8000, Some(300), 3503),
        sale("B-45", on(5, 9), 15300, 10100, Some(425), 4554),
        sale("B-46", on(5, 30), 9500, 10150, Some(500), 0),
    ];
    report.sales[1].bike = Bike {
        made: None,
        ..Bike::of(Style::City)
    };
    report.workshop = vec![cost(
        None,
        on(4, 18),
        Some("chain oil, cloths"),
        1480,
        false,
    )];
    report.workshop_costs = minor(1480);
    report.from_box = vec![cost(
        Some("B-45"),
        on(5, 2),
        Some("bell and lights"),
        900,
        true,
    )];
    // 58,300 - 41,800 - 1,480 = 15,020 over the margins 7,950 : 4,000 : 5,200.
    report.due = minor(15020);
    report.gifts = vec![
        gift(on(4, 11), "Ferry Lane Reading Room", 17500, Some("T-113")),
        gift(on(6, 13), "Ferry Lane Reading Room", 6000, Some("T-114")),
    ];
    report.opening = minor(17820);
    report.given = minor(23500);
    report.closing = minor(9340);
    report.beneficiaries = vec![balance("Ferry Lane Reading Room", 17820, 15020, 23500)];
    report.course = course(
        "2026-Q2",
        &[
            12000, 21000, 78000, 53000, 13000, 76000, 48000, 75000, 31000, 23500,
        ],
        9340,
    );
    report
}
