//! Dump for the choice of a calibration.
use super::market::{Config, Market, stream};
use rand::Rng as _;
use rand_distr::{Distribution, Normal};
use std::fmt::Write as _;
use wheelworth::pricing::features::facts;
use wheelworth::pricing::fitting::Unwatched;
use wheelworth::pricing::observation::InMemory;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::statistics::interval::quantile;
use wheelworth::trade::calendar::days_between;
use wheelworth::trade::{Currency, Day, Money};

const SCENARIOS: [&str; 6] = ["calm", "fall", "rise", "jump", "wild", "tame"];

fn level(scenario: &str, ago: f64) -> f64 {
    let years = ago / 365.25;
    match scenario {
        "fall" => -0.2 * (2.0 - years).max(0.0),
        "rise" => 0.2 * (2.0 - years).max(0.0),
        "jump" => {
            if years < 1.0 {
                -0.25
            } else {
                0.0
            }
        }
        _ => 0.0,
    }
}

#[test]
fn dump() {
    let Ok(path) = std::env::var("WHEELWORTH_DUMP") else {
        return;
    };
    let books: u64 = std::env::var("WHEELWORTH_BOOKS").unwrap().parse().unwrap();
    let sizes = [(30_usize, 80_usize), (70, 300)];
    let mut jobs = vec![];
    for s in SCENARIOS {
        for size in sizes {
            for seed in 0..books {
                jobs.push((s, size, seed));
            }
        }
    }
    let next = std::sync::atomic::AtomicUsize::new(0);
    let out = std::sync::Mutex::new(String::new());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let job = next.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
                    let Some((s, size, seed)) = jobs.get(job) else {
                        return;
                    };
                    let text = one(s, *size, *seed);
                    out.lock().unwrap().push_str(&text);
                }
            });
        }
    });
    std::fs::write(path, out.into_inner().unwrap()).unwrap();
}

fn one(scenario: &str, (own, comps): (usize, usize), seed: u64) -> String {
    let mut config = Config::new(own, comps);
    config.days = 1300;
    config.start = Day::constant(2022, 10, 10);
    let mut market = Market::of(3000 + seed, &config);
    let currency: Currency = config.currency;
    let end = market.as_of;
    let mut rng = stream(seed, 99);
    let normal = Normal::new(0.0, 1.0).unwrap();
    let times = |money: Money, day: Option<Day>, more: f64| {
        let ago = day.map_or(0.0, |d| days_between(d, end) as f64);
        currency
            .round(currency.units(money) * (level(scenario, ago) + more).exp())
            .unwrap()
    };
    for sale in &mut market.sales {
        let day = sale.priced_on();
        let ago = days_between(day.unwrap(), end) as f64 / 365.25;
        let noisy = match scenario {
            "wild" => ago < 1.2,
            "tame" => ago > 1.2,
            _ => false,
        };
        let noise = if noisy {
            0.25 * normal.sample(&mut rng)
        } else {
            let _ = rng.random::<f64>();
            0.0
        };
        sale.ask = sale.ask.map(|a| times(a, day, 0.0));
        if let Some(sold) = &mut sale.sold {
            sold.price = times(sold.price, day, noise);
        }
    }
    for comp in &mut market.comps {
        let day = comp.listed_on.or(comp.first_seen);
        comp.ask = times(comp.ask, day, 0.0);
        comp.last_ask = comp.last_ask.map(|a| times(a, comp.last_seen.or(day), 0.0));
        comp.sold_price = comp
            .sold_price
            .map(|a| times(a, comp.ended_on.or(day), 0.0));
    }
    let records = InMemory {
        sales: market.sales.clone(),
        comps: market.comps.iter().map(|c| (c.clone(), 1.0)).collect(),
        asks: Vec::new(),
    };
    let mut text = String::new();
    for (i, sale) in market.sales.iter().enumerate().skip(8) {
        let day = sale.priced_on().unwrap();
        let known = day.checked_sub(jiff::ToSpan::days(1)).unwrap();
        let model = ValueModel {
            priors: Priors::shipped(),
            settings: ValueSettings {
                as_of: known,
                currency,
                without: Some(sale.id.clone()),
            },
        };
        let Ok(fitted) = model.fit(&records, &mut Unwatched) else {
            continue;
        };
        let here = facts(&sale.bike, day, &currency);
        let forecast = fitted.one_sale_on(&here, day);
        let q = |p: f64| quantile(&forecast, p);
        let y = currency.units(sale.sold.unwrap().price).ln();
        let half = if y > q(0.5) {
            q(0.9) - q(0.5)
        } else {
            q(0.5) - q(0.1)
        };
        let z = (y - q(0.5)) / half * fitted.range_factor;
        let _ = write!(
            text,
            "{scenario},{own},{seed},{i},{day},{},{z:.4},{:.4},{:.4},",
            sale.sold.unwrap().on,
            fitted.range_factor,
            half / fitted.range_factor
        );
        for o in &fitted.own {
            let s = market.sales.iter().find(|s| s.id == o.id).unwrap();
            let age = days_between(s.priced_on().unwrap(), known);
            let z = (o.ln_price - o.left_out.location) / o.left_out.scale * fitted.range_factor;
            let _ = write!(text, "{age}:{z:.3}:{:.3};", o.weight);
        }
        text.push('\n');
    }
    text
}
