//! The market as JSON: money as numbers in the book's currency, fractions 0 to 1,
//! days in days; null where there is no figure.

use super::caution_words;
use super::double_listings::DoubleListings;
use super::takeaways;
use super::words;
use crate::pricing::market::days::{BOTH_BY, GONE_SOLD, GONE_SOLD_OTHERWISE, OnMarket, WITHIN};
use crate::pricing::market::haggling::Against;
use crate::pricing::market::movement::Factor;
use crate::pricing::market::tables::Quartiles;
use crate::pricing::market::{GroupRow, Market};
use crate::report::text::dates::MONTHS;
use crate::trade::Condition;
use crate::trade::SizeClass;
use crate::trade::Style;
use crate::trade::Tier;
use crate::trade::{Bike, Currency, Day, Money, Outcome};
use serde::Serialize;
use serde_json::{Map, Value, json};

/// The answer as pretty-printed JSON with a line end.
///
/// # Errors
/// None in practice: every number is finite.
pub fn json(
    market: &Market,
    doubles: &DoubleListings,
    currency: &Currency,
) -> Result<String, serde_json::Error> {
    let question = &market.question;
    let tables: Map<String, Value> = market
        .by
        .iter()
        .map(|(by, rows)| {
            let rows: Vec<Value> = rows.iter().map(|row| group(row, currency)).collect();
            (by.word().to_string(), Value::Array(rows))
        })
        .collect();
    let cautions = market
        .cautions
        .iter()
        .map(|caution| json!({"code": caution_words::code(caution), "text": caution_words::words(caution)}));
    let answer = Answer {
        as_of: question.as_of.to_string(),
        currency: currency.code(),
        style: question.style.map(Style::word),
        level: question.level,
        comps: comps(market),
        sales: sales(market),
        by: tables,
        days_on_market: days(market),
        ask_to_sale: gaps(market),
        movement: movement(market),
        season: season(market),
        season_summary: season_summary(market),
        unusual: unusual(market, currency),
        unusual_count: market.far.count,
        set_aside: set_aside(market),
        double_listings: double_listings(doubles, currency),
        double_listings_count: doubles.count,
        takeaways: taken(market, currency),
        cautions: cautions.collect(),
    };
    serde_json::to_string_pretty(&answer).map(|text| text + "\n")
}

/// The whole, in the order in which one reads it.
#[derive(Serialize)]
struct Answer<'a> {
    as_of: String,
    currency: &'a str,
    style: Option<&'static str>,
    level: f64,
    comps: Value,
    sales: Value,
    by: Map<String, Value>,
    days_on_market: Value,
    ask_to_sale: Value,
    movement: Vec<Value>,
    season: Vec<Value>,
    season_summary: Value,
    unusual: Vec<Value>,
    unusual_count: usize,
    set_aside: Value,
    double_listings: Vec<Value>,
    double_listings_count: usize,
    takeaways: Value,
    cautions: Vec<Value>,
}

fn day(day: Option<Day>) -> Option<String> {
    day.map(|day| day.to_string())
}

fn by_outcome(counts: [usize; 4]) -> Value {
    let each = Outcome::ALL.iter().zip(counts);
    each.map(|(outcome, count)| (outcome.word().to_string(), json!(count)))
        .collect::<Map<_, _>>()
        .into()
}

fn comps(market: &Market) -> Value {
    let comps = &market.comps;
    json!({
        "count": comps.comps,
        "listings": comps.listings,
        "from": day(comps.dates.map(|dates| dates.0)),
        "to": day(comps.dates.map(|dates| dates.1)),
        "outcomes": by_outcome(comps.outcomes),
        "undated": comps.undated,
        "not_yet_known": comps.not_yet,
    })
}

fn sales(market: &Market) -> Value {
    let sales = &market.sales;
    json!({
        "count": sales.bikes,
        "sold": sales.sold,
        "listed": sales.listed,
        "not_listed": sales.not_listed,
        "not_yet_known": sales.not_yet,
        "from": day(sales.dates.map(|dates| dates.0)),
        "to": day(sales.dates.map(|dates| dates.1)),
    })
}

fn quartiles(of: Option<Quartiles>, currency: &Currency) -> Value {
    let units = |money: Money| currency.units(money);
    of.map_or(
        Value::Null,
        |q| json!({"low": units(q.low), "median": units(q.median), "high": units(q.high)}),
    )
}

fn group(group: &GroupRow, currency: &Currency) -> Value {
    let row = &group.row;
    let shares: Map<String, Value> = Outcome::ALL
        .iter()
        .map(|outcome| (outcome.word().to_string(), json!(row.share(*outcome))))
        .collect();
    json!({
        "group": row.group,
        "comps": row.comps,
        "asks": quartiles(row.asks, currency),
        "sales": row.sales,
        "sale_prices": quartiles(row.sale_prices, currency),
        "outcomes": by_outcome(row.outcomes),
        "shares": shares,
        "days_on_market": {
            "comps": on_market(group.days.comps.as_ref(), false),
            "own": on_market(group.days.own.as_ref(), false),
        },
    })
}

/// A curve, with its falls where they are wanted.
fn on_market(of: Option<&OnMarket>, with_curve: bool) -> Value {
    let Some(of) = of else {
        return Value::Null;
    };
    let mut answer = json!({
        "followed": of.followed,
        "sold": of.sold,
        "gone": of.gone,
        "longest": of.longest,
        "median": of.median,
        "low": of.low,
        "high": of.high,
    });
    if let Some(answer) = answer.as_object_mut() {
        for (share, median) in GONE_SOLD_OTHERWISE.iter().zip(of.otherwise) {
            let name = format!("median_if_{:.0}_percent_of_gone_sold", 100.0 * share);
            answer.insert(name, json!(median));
        }
        for (day, share) in WITHIN.iter().zip(of.within) {
            answer.insert(format!("within_{day:.0}"), json!(share));
        }
        let [sold, back] = of.both.map_or([None; 2], |shares| shares.map(Some));
        let both = json!({"day": BOTH_BY, "sold": sold, "withdrawn": back});
        answer.insert("sold_and_withdrawn".into(), both);
        if with_curve {
            let curve = of.steps.iter().map(|step| {
                json!({"day": step.time, "unsold": step.survival, "low": step.low, "high": step.high})
            });
            answer.insert("curve".into(), curve.collect());
        }
    }
    answer
}

fn days(market: &Market) -> Value {
    let unused = &market.days.unused;
    json!({
        "method": "Kaplan-Meier, log-log limits",
        "level": market.days.level,
        "gone_counted_as_sold": GONE_SOLD,
        "own": on_market(market.days.own.as_ref(), true),
        "comps": on_market(market.days.comps.as_ref(), true),
        "not_used": {
            "without_listing_day": unused.no_listing_day,
            "seen_once": unused.seen_once,
            "ended_before_seen": unused.ended_before_seen,
            "own_without_listing_day": unused.own_no_listing_day,
        },
    })
}

fn gaps(market: &Market) -> Value {
    let each = Against::ALL.iter().zip(&market.gaps);
    each.map(|(against, gap)| {
        let figures = json!({
            "sales": gap.sales, "low": gap.low, "median": gap.median, "high": gap.high,
        });
        (against.word().to_string(), figures)
    })
    .collect::<Map<_, _>>()
    .into()
}

fn with_range(level: &Factor, mut more: Map<String, Value>) -> Value {
    more.insert("factor".into(), json!(level.factor));
    more.insert("low".into(), json!(level.low));
    more.insert("high".into(), json!(level.high));
    more.into()
}

fn movement(market: &Market) -> Vec<Value> {
    let periods = market.movement.iter().map(|period| {
        let mut more = Map::new();
        more.insert("period".into(), json!(period.label()));
        more.insert("prices".into(), json!(period.rows));
        more.insert("rests_on_prior".into(), json!(period.rests_on_prior()));
        with_range(&period.level, more)
    });
    periods.collect()
}

fn season(market: &Market) -> Vec<Value> {
    let months = market.season.iter().flat_map(|season| &season.months);
    MONTHS
        .iter()
        .zip(months)
        .map(|(name, month)| {
            let mut more = Map::new();
            more.insert("month".into(), json!(name));
            with_range(month, more)
        })
        .collect()
}

fn season_summary(market: &Market) -> Value {
    let Some(season) = &market.season else {
        return Value::Null;
    };
    let (best, weakest) = season.best_and_weakest();
    let name = |month: usize| MONTHS.get(month).filter(|_| season.is_clear);
    json!({
        "clear": season.is_clear,
        "best": name(best),
        "weakest": name(weakest),
        "months_seen": season.months_seen,
    })
}

fn features(bike: &Bike) -> Value {
    json!({
        "style": bike.style.word(),
        "made": bike.made,
        "condition": bike.condition.map(Condition::grade),
        "tier": bike.tier.map(Tier::grade),
        "size": bike.size().map(SizeClass::word),
    })
}

fn unusual(market: &Market, currency: &Currency) -> Vec<Value> {
    let found = market.far.found.iter().map(|far| {
        json!({
            "listing": far.listing,
            "source": Some(&far.source).filter(|source| !source.is_empty()),
            "bike": features(&far.bike),
            "outcome": far.outcome.word(),
            "price": currency.units(far.price),
            "paid": far.paid,
            "expected": currency.units(far.expected),
            "ratio": far.ratio,
            "may_be": words::may_be_code(far.may_be),
            "text": words::may_be(far.may_be),
        })
    });
    found.collect()
}

fn set_aside(market: &Market) -> Value {
    let gathered = market.gathered.as_ref();
    let named = gathered.iter().flat_map(|g| &g.left_out_named);
    json!({
        "count": gathered.map_or(0, |g| g.left_out),
        "named": named.map(|row| json!({"name": row.name, "ratio": row.ratio})).collect::<Vec<_>>(),
    })
}

fn double_listings(doubles: &DoubleListings, currency: &Currency) -> Vec<Value> {
    let named = doubles.named.iter().map(|double| {
        let listings = double.listings.iter().map(|(id, source)| {
            json!({"listing": id, "source": Some(source).filter(|source| !source.is_empty())})
        });
        json!({
            "listings": listings.collect::<Vec<_>>(),
            "bike": features(&double.bike),
            "ask": currency.units(double.ask),
        })
    });
    named.collect()
}

fn taken(market: &Market, currency: &Currency) -> Value {
    if market.is_empty() {
        return json!({});
    }
    json!({
        "records": takeaways::of_records(market),
        "prices": takeaways::of_prices(market, currency),
        "outcomes": takeaways::of_outcomes(market),
        "days": takeaways::of_days(market),
        "ask_to_sale": takeaways::of_gap(market),
        "movement": takeaways::of_movement(market),
        "season": takeaways::of_season(market),
        "unusual": takeaways::of_unusual(market),
    })
}
