//! The arithmetic of the books in the plainest way, for the second opinion: no
//! code of the program but its plain records.

use wheelworth::trade::{Cost, CostKind, Day, LeftAs, Sale};

/// Quarters since the year 0, in years that start in a month: the months since
/// the first one of the year 0, three by three.
pub fn quarter_of(day: Day, starts: u8) -> i64 {
    (i64::from(day.year()) * 12 + i64::from(day.month()) - i64::from(starts)).div_euclid(3)
}

/// Its last day: the day before the first of the month after it.
pub fn end_of(quarter: i64, starts: u8) -> Day {
    let months = (quarter + 1) * 3 + i64::from(starts) - 1;
    let first = Day::new((months / 12) as i16, (months % 12) as i8 + 1, 1).unwrap();
    first.yesterday().unwrap()
}

/// `2026-Q2`.
pub fn name_of(quarter: i64) -> String {
    format!("{}-Q{}", quarter / 4, quarter % 4 + 1)
}

/// Hundredths of a percent of an amount; half a minor unit goes up, and below 0
/// down.
pub fn share_of(amount: i128, share: u16) -> i128 {
    if amount < 0 {
        return -share_of(-amount, share);
    }
    let exact = amount * i128::from(share);
    let (whole, rest) = (exact / 10_000, exact % 10_000);
    if rest >= 5_000 { whole + 1 } else { whole }
}

/// Largest remainder: quotas rounded down, then one unit after the other to the
/// largest remainder that has none yet, the first of equal ones.
pub fn parts_of(total: i128, weights: &[i128]) -> Vec<i128> {
    let whole: i128 = weights.iter().sum();
    if whole == 0 {
        return vec![0; weights.len()];
    }
    if total < 0 {
        let mirrored = parts_of(-total, weights);
        return mirrored.into_iter().map(|part| -part).collect();
    }
    let mut parts: Vec<i128> = weights.iter().map(|w| total * w / whole).collect();
    let mut rests: Vec<i128> = weights.iter().map(|w| total * w % whole).collect();
    for _ in 0..total - parts.iter().sum::<i128>() {
        let mut best = 0;
        for place in 0..rests.len() {
            if rests[place] > rests[best] {
                best = place;
            }
        }
        parts[best] += 1;
        rests[best] = -1;
    }
    parts
}

/// What one bike cost.
#[derive(Clone, Debug, PartialEq)]
pub struct BikeCost {
    pub total: i128,
    pub purchase_known: bool,
    /// Column, what it says, and what the rows add up to instead.
    pub replaced: Vec<(&'static str, i128, i128)>,
}

/// With the rows of the bike that are dated up to a day.
pub fn cost_by(day: Day, sale: &Sale, costs: &[Cost]) -> BikeCost {
    let of_it = |row: &&Cost| row.bike.as_ref() == Some(&sale.id) && row.on <= day;
    let rows: Vec<&Cost> = costs.iter().filter(of_it).collect();
    bike_cost(sale, &rows)
}

/// The four columns, each replaced by the sum of the rows of its kinds where
/// there is one; rows from the box are no rows.
pub fn bike_cost(sale: &Sale, rows: &[&Cost]) -> BikeCost {
    use CostKind::{Fee, Other, Part, Purchase, Supply, Travel};
    let mut cost = BikeCost {
        total: 0,
        purchase_known: false,
        replaced: vec![],
    };
    for (column, said, kinds) in [
        ("purchase", sale.purchase, [Purchase, Purchase]),
        ("parts", sale.parts, [Part, Supply]),
        ("fees", sale.fees, [Fee, Fee]),
        ("other_cost", sale.other_cost, [Travel, Other]),
    ] {
        let said = said.map(|money| i128::from(money.minor()));
        let mut listed = None;
        for row in rows {
            if !row.from_box && kinds.contains(&row.kind) {
                listed = Some(listed.unwrap_or(0) + i128::from(row.amount.minor()));
            }
        }
        if let (Some(said), Some(listed)) = (said, listed)
            && said != listed
        {
            cost.replaced.push((column, said, listed));
        }
        let counts = listed.or(said);
        cost.total += counts.unwrap_or(0);
        cost.purchase_known |= column == "purchase" && counts.is_some();
    }
    cost
}

/// What can happen to a bike, in the order in which the books tell it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Sale,
    Back,
    Refund,
    Leave,
}

/// Something that the books count of a bike.
#[derive(Clone, Debug)]
pub struct Happened {
    pub on: Day,
    pub kind: Kind,
    pub price: i128,
    /// How often the cost of the bike counts: once, not, or taken away.
    times: i128,
    /// Costs up to that day, if not all.
    until: Option<Day>,
    /// The day of the sale that it is of.
    pub of: Option<Day>,
}

impl Happened {
    /// Price and cost, the rows of the bike given.
    pub fn worth(&self, sale: &Sale, rows: &[&Cost]) -> (i128, i128) {
        (self.price, self.times * self.cost(sale, rows).total)
    }

    pub fn cost(&self, sale: &Sale, rows: &[&Cost]) -> BikeCost {
        let counts = |row: &&&Cost| self.until.is_none_or(|until| row.on <= until);
        let rows: Vec<&Cost> = rows.iter().filter(counts).copied().collect();
        bike_cost(sale, &rows)
    }
}

/// The rows of a bike that are dated up to a day.
pub fn rows_by<'a>(day: Day, sale: &Sale, costs: &'a [Cost]) -> Vec<&'a Cost> {
    let of_it = |row: &&Cost| row.bike.as_ref() == Some(&sale.id) && row.on <= day;
    costs.iter().filter(of_it).collect()
}

/// All that happened to a bike, by day. A sale that came back had cost what was spent
/// up to that day, which is taken away again then; the sale that holds costs all.
pub fn happened(sale: &Sale) -> Vec<Happened> {
    let minor = |money: wheelworth::trade::Money| i128::from(money.minor());
    let mut all = Vec::new();
    let mut sold = Vec::new();
    for one in &sale.returns {
        if let Some(back) = one.back {
            sold.push((back.on, one.on));
            all.push(Happened {
                on: back.on,
                kind: Kind::Sale,
                price: minor(back.price),
                times: 1,
                until: Some(one.on),
                of: None,
            });
        }
    }
    if let Some(last) = sale.sold {
        sold.push((last.on, Day::MAX));
        all.push(Happened {
            on: last.on,
            kind: Kind::Sale,
            price: minor(last.price),
            times: 1,
            until: None,
            of: None,
        });
    }
    for one in &sale.returns {
        let at_that_time = |(from, to): &&(Day, Day)| *from <= one.on && one.on < *to;
        let of = sold.iter().find(at_that_time).map(|(from, _)| *from);
        all.push(Happened {
            on: one.on,
            kind: if one.back.is_some() {
                Kind::Back
            } else {
                Kind::Refund
            },
            price: -minor(one.refund),
            times: if one.back.is_some() { -1 } else { 0 },
            until: Some(one.on),
            of: one.back.map(|back| back.on).or(of),
        });
    }
    if let Some(left) = &sale.left {
        all.push(Happened {
            on: left.on,
            kind: Kind::Leave,
            price: 0,
            times: i128::from(left.how != LeftAs::Kept),
            until: None,
            of: None,
        });
    }
    all.sort_by_key(|one| one.on);
    all
}
