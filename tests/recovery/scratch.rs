use super::market::{Config, Market};
#[test]
fn scratch_dump() {
    let own: usize = std::env::var("D_OWN").unwrap().parse().unwrap();
    let comps: usize = std::env::var("D_COMPS").unwrap().parse().unwrap();
    let n: u64 = std::env::var("D_N").unwrap().parse().unwrap();
    let f: u64 = std::env::var("D_F").unwrap().parse().unwrap();
    let c = Config::new(own, comps);
    for seed in f..f + n {
        let m = Market::of(seed, &c);
        let mut s = String::new();
        let o = |v: Option<f64>| v.unwrap_or(f64::NAN);
        let mut line = |k: &str, b: &wheelworth::trade::Bike, day: wheelworth::trade::Day, p: f64, q: f64| {
            let d = wheelworth::trade::calendar::days_between(c.start, day) as f64 / 365.2425;
            s += &format!("{k},{},{},{},{},{},{},{d},{p},{q}\n", b.style.index(), o(b.age(day)), o(b.condition.map(|c| f64::from(c.grade()))), o(b.tier.map(|c| f64::from(c.grade()))), o(b.size().map(|s| s.index() as f64)), o(b.new_price.map(|p| c.currency.units(p).ln())));
        };
        for x in &m.sales { line("own", &x.bike, x.priced_on().unwrap(), c.currency.units(x.sold.unwrap().price), 0.0); }
        for x in &m.comps { if let Some(d) = x.priced_on() { line(x.outcome.word(), &x.bike, d, c.currency.units(x.standing_ask()), 0.0); } }
        for x in &m.fresh { line("fresh", &x.bike, m.as_of, c.currency.units(x.sale_price), x.oracle); }
        std::fs::write(format!("/tmp/mk2/{seed}.csv"), s).unwrap();
    }
}
