//! Laws of an offer, whatever the jobs are.

use crate::recovery::from_model::{Parameters, simulate};
use proptest::prelude::*;
use wheelworth::pricing::asking::{Detail, SellingWishes};
use wheelworth::pricing::design::base::standard_base;
use wheelworth::pricing::design::features::facts;
use wheelworth::pricing::offer::reach::Reach;
use wheelworth::pricing::offer::sets::best;
use wheelworth::pricing::offer::{Offer, OfferCorrection, OfferQuestion, Terms, offer};
use wheelworth::pricing::quote::{Selling, Source};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings, time_on_market};
use wheelworth::statistics::distribution::student_t::{Predictive, quantile};
use wheelworth::trade::inspection::item;
use wheelworth::trade::{Bike, Condition, Currency, Day, Job, Money, Part, Style, Tier};

const TODAY: Day = Day::constant(2026, 5, 2);

prop_compose! {
    fn job()(
        cost in 0_i64..6_000,
        hours in prop::option::of(0_i64..400),
        from_box in prop::bool::weighted(0.2),
        safety in prop::option::of(any::<bool>()),
        tyre in prop::bool::weighted(0.2),
        condition in prop::option::of(1_u8..=5),
        tier in prop::option::weighted(0.3, 1_u8..=5),
    ) -> Job {
        Job {
            name: String::new(),
            cost: Money::from_minor(cost),
            hours,
            from_box,
            safety,
            clears: tyre.then(|| item("front tyre").unwrap()).into_iter().collect(),
            condition_after: condition.and_then(Condition::from_grade),
            tier_after: tier.and_then(Tier::from_grade),
        }
    }
}

fn jobs(most: usize) -> impl Strategy<Value = Vec<Job>> {
    prop::collection::vec(job(), 0..=most).prop_map(|mut jobs| {
        for (number, job) in (1..).zip(&mut jobs) {
            job.name = format!("job {number}");
        }
        jobs
    })
}

fn bike(condition: Option<u8>, tier: Option<u8>) -> Bike {
    Bike {
        made: Some(2014.into()),
        condition: condition.and_then(Condition::from_grade),
        tier: tier.and_then(Tier::from_grade),
        new_price: Some(Money::from_minor(80_000)),
        ..Bike::of(Style::Touring)
    }
}

/// What a set makes of a bike, by the words of the rule, job by job.
fn by_hand(bike: &Bike, jobs: &[Job], set: u32) -> (Option<Condition>, Option<Tier>) {
    let is_safety = |job: &Job| {
        let gate = job.clears.iter().any(|item| item.is_gate());
        job.safety.unwrap_or(gate)
    };
    let done = |i: usize| set & (1 << i) != 0;
    let mut found = bike.condition;
    if jobs.iter().any(is_safety) {
        found = Some(found.map_or(Condition::Project, |c| c.min(Condition::Project)));
    }
    let all_safe = (0..jobs.len()).all(|i| done(i) || !is_safety(&jobs[i]));
    let enabled = |to: Condition| {
        let named = jobs.iter().any(|job| job.condition_after == Some(to));
        let below = |job: &Job| {
            job.condition_after
                .is_some_and(|c| c <= to && found.is_none_or(|f| c > f))
        };
        named && all_safe && (0..jobs.len()).all(|i| done(i) || !below(&jobs[i]))
    };
    let reached = Condition::ALL.iter().copied().filter(|c| enabled(*c));
    let condition = reached.max().max(found);
    let fitted = (0..jobs.len())
        .filter(|i| done(*i))
        .filter_map(|i| jobs[i].tier_after);
    (condition, fitted.max().max(bike.tier))
}

/// The best net by going through the jobs one by one, taken or left.
fn brute_force(i: usize, set: u32, jobs: &[Job], safety: u32, net: &dyn Fn(u32) -> f64) -> f64 {
    if i == jobs.len() {
        return if set & safety == safety {
            net(set)
        } else {
            f64::NEG_INFINITY
        };
    }
    let taken = brute_force(i + 1, set | 1 << i, jobs, safety, net);
    taken.max(brute_force(i + 1, set, jobs, safety, net))
}

fn question(bike: Bike, jobs: Vec<Job>, parts: Vec<Part>, hour: i64) -> OfferQuestion {
    OfferQuestion {
        bike,
        level: 0.8,
        jobs,
        parts,
        sheet: None,
        terms: Terms {
            margin: Money::from_minor(2_000),
            quantile: 0.2,
            fee: 0.03,
            hour: Money::from_minor(hour),
        },
        guess: None,
        asking: Some(Money::from_minor(4_000)),
        learnt: OfferCorrection::default(),
    }
}

fn ask(bike: Bike, jobs: Vec<Job>, parts: Vec<Part>, hour: i64) -> Offer {
    let currency = Currency::from_code("EUR").unwrap();
    let time = time_on_market::believed(Priors::shipped()).unwrap();
    let question = question(bike, jobs, parts, hour);
    let wishes = SellingWishes {
        weeks: 8,
        ..SellingWishes::default()
    };
    let selling = Selling {
        time: &time,
        wishes,
        detail: Detail::PlanAlone,
    };
    let source = Source::Nothing {
        as_of: TODAY,
        currency,
    };
    let base = standard_base(TODAY);
    offer(&source, Priors::shipped(), &question, &base, &selling)
}

fn parts() -> Vec<Part> {
    let part = |name: &str, price, chance| Part {
        name: name.into(),
        price: Money::from_minor(price),
        chance,
    };
    vec![
        part("wheels", 4_000, 0.6),
        part("saddle", 1_000, 0.5),
        part("rack", 1_500, 0.4),
    ]
}

/// `Var(a - b) = Var a + Var b - 2 Cov(a, b)` from the fit's own leverages, instead
/// of the leverage of the difference; and without any variance of a sale.
#[test]
fn an_uplift_is_as_sure_as_the_difference_of_two_values_of_one_bike() {
    /// Of a step of condition repairs bring nine tenths.
    const REPAIRED: f64 = 0.9;
    let currency = Currency::from_code("EUR").unwrap();
    for (seed, (own, comps)) in (300..).zip([(0, 60), (6, 0), (15, 100), (40, 200)]) {
        let book = simulate(seed, &Parameters::default(), own, comps, 1);
        let records = InMemory {
            sales: book.sales.clone(),
            comps: book.comps.iter().map(|comp| (comp.clone(), 1.0)).collect(),
            asks: Vec::new(),
        };
        let model = ValueModel {
            priors: Priors::shipped(),
            settings: ValueSettings {
                as_of: book.as_of,
                currency,
                without: None,
            },
        };
        let model = model.fit(&records, &mut Unobserved).unwrap();
        let found = Bike {
            seat_tube: wheelworth::trade::SeatTube::from_tenths(5300),
            // With it a second opinion counts, too.
            new_price: None,
            ..bike(Some(2), Some(2))
        };
        let done = Bike {
            condition: Some(Condition::Tidy),
            ..found
        };
        let (x, y) = (
            model.row(&facts(&found, book.as_of, &currency)),
            model.row(&facts(&done, book.as_of, &currency)),
        );
        let mixture: Vec<(f64, Predictive)> = model
            .components
            .iter()
            .map(|one| {
                let (a, b) = (one.fit.whitened(&x), one.fit.whitened(&y));
                let cov: f64 = a.iter().zip(&b).map(|(a, b)| a * b).sum();
                let variance = one.fit.leverage(&x) + one.fit.leverage(&y) - 2.0 * cov;
                let t = Predictive {
                    freedom: model.own_freedom,
                    location: REPAIRED * (one.fit.predict(&y) - one.fit.predict(&x)),
                    scale: REPAIRED * model.range_factor * variance.sqrt(),
                };
                (one.weight, t)
            })
            .collect();
        let mut job = Job {
            name: "all of it".into(),
            cost: Money::from_minor(3_000),
            hours: None,
            from_box: false,
            safety: None,
            clears: Vec::new(),
            condition_after: Some(Condition::Tidy),
            tier_after: None,
        };
        let mut question = question(found, vec![job.clone()], Vec::new(), 0);
        let time = time_on_market::believed(Priors::shipped()).unwrap();
        let selling = Selling {
            time: &time,
            wishes: SellingWishes::default(),
            detail: Detail::PlanAlone,
        };
        let (source, base) = (Source::Fitted(&model), standard_base(book.as_of));
        let answer = offer(&source, Priors::shipped(), &question, &base, &selling);
        let start = currency.units(answer.as_found.value.unwrap().median);
        let uplift = answer.jobs[0].uplift;
        for (p, end) in [(0.1, uplift.low), (0.9, uplift.high)] {
            let expected = start * quantile(&mixture, p).max(0.0).exp_m1();
            let off = (currency.units(end) - expected).abs();
            // A cent of rounding in each of three amounts, in proportion.
            assert!(off < 0.02 * (1.0 + expected / start), "{end:?} {expected}");
        }
        let price = answer.done.value.unwrap();
        assert!(uplift.high.minor() - uplift.low.minor() < price.high.minor() - price.low.minor());
        // Made safe instead, the same job adds the same.
        job.safety = Some(true);
        question.jobs = vec![job];
        let answer = offer(&source, Priors::shipped(), &question, &base, &selling);
        assert_eq!(answer.jobs[0].uplift, uplift);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, rng_seed: proptest::test_runner::RngSeed::Fixed(29), ..ProptestConfig::default() })]

    #[test]
    fn a_set_makes_of_a_bike_what_the_rule_says(
        jobs in jobs(7), condition in prop::option::of(1_u8..=5), tier in prop::option::of(1_u8..=5)
    ) {
        let bike = bike(condition, tier);
        let reach = Reach::new(&bike, &jobs, None);
        for set in 0..1_u32 << jobs.len() {
            prop_assert_eq!(reach.after(set), by_hand(&bike, &jobs, set), "set {:b}", set);
        }
    }

    #[test]
    fn a_job_more_never_makes_it_worse(jobs in jobs(7), condition in prop::option::of(1_u8..=5)) {
        let bike = bike(condition, Some(2));
        let reach = Reach::new(&bike, &jobs, None);
        for set in 0..1_u32 << jobs.len() {
            for i in 0..jobs.len() {
                let (less, more) = (reach.after(set & !(1 << i)), reach.after(set | 1 << i));
                prop_assert!(more.0 >= less.0 && more.1 >= less.1);
            }
        }
    }

    /// Worths of grades are random; every set is tried in another way.
    #[test]
    fn the_best_set_is_what_brute_force_finds(
        jobs in jobs(12), steps in prop::collection::vec(0_i64..8_000, 5), hour in 0_i64..3_000
    ) {
        let bike = bike(Some(2), Some(1));
        let reach = Reach::new(&bike, &jobs, None);
        let net = |set: u32| {
            let (condition, tier) = reach.after(set);
            let up = |grade: u8| steps.iter().take(usize::from(grade)).sum::<i64>();
            let worth = up(condition.map_or(0, wheelworth::trade::Condition::grade)) + up(tier.map_or(0, wheelworth::trade::Tier::grade)) / 2;
            let taken = (0..jobs.len()).filter(|i| set & (1 << i) != 0).map(|i| &jobs[i]);
            let paid = taken.map(|job| job.spent().minor() + job.hours.unwrap_or(0) * hour / 100);
            (worth - paid.sum::<i64>()) as f64
        };
        let (set, found) = best(jobs.len(), reach.safety, |set| Some(net(set))).unwrap();
        prop_assert_eq!(found, net(set));
        prop_assert_eq!(found, brute_force(0, 0, &jobs, reach.safety, &net));
        prop_assert_eq!(set & reach.safety, reach.safety);
    }
}

proptest! {
    // Each case prices up to a dozen bikes with their plans.
    #![proptest_config(ProptestConfig { cases: 24, rng_seed: proptest::test_runner::RngSeed::Fixed(31), ..ProptestConfig::default() })]

    #[test]
    fn the_order_of_the_rows_changes_nothing(
        (jobs, mixed) in jobs(6).prop_flat_map(|jobs| (Just(jobs.clone()), Just(jobs).prop_shuffle())),
        hour in 0_i64..2_000
    ) {
        let bike = bike(Some(2), Some(2));
        let mut turned = parts();
        turned.reverse();
        let one = ask(bike, jobs, parts(), hour);
        let other = ask(bike, mixed, turned, hour);
        prop_assert_eq!(format!("{one:?}"), format!("{other:?}"));
    }

    #[test]
    fn an_offer_adds_up_and_leaves_no_safety_job_out(jobs in jobs(6), hour in 0_i64..2_000) {
        let found = ask(bike(Some(2), Some(2)), jobs.clone(), parts(), hour);
        let best = found.best.as_ref().unwrap();
        // Uplifts add up from as found to done, to the last minor unit.
        let sum: i64 = found.jobs.iter().map(|one| one.uplift.median.minor()).sum();
        let (start, end) = (found.as_found.value.unwrap(), found.done.value.unwrap());
        prop_assert_eq!(sum, end.median.minor() - start.median.minor());
        prop_assert_eq!(found.jobs.len(), jobs.len());
        for one in &found.jobs {
            prop_assert!(one.uplift.low <= one.uplift.median && one.uplift.median <= one.uplift.high);
            prop_assert!(one.uplift.low.minor() >= -1, "{:?}", one);
            prop_assert_eq!(one.in_best, best.jobs.contains(&one.job.name));
            prop_assert!(one.in_best || !one.safety, "{} was left out", one.job.name);
            prop_assert_eq!(one.net_gain.is_none(), one.safety);
            // Leaving out what is in, or adding what is out, gains nothing.
            if let Some(gain) = one.net_gain {
                let gain = gain.minor() * if one.in_best { 1 } else { -1 };
                prop_assert!(gain >= 0, "{:?}", one);
            }
        }
        // The most to pay, from the parts that are told; each was rounded once.
        let most = found.most_to_pay.unwrap();
        let fee = 0.03 * best.expected_sale.minor() as f64;
        let work = hour as f64 * best.hours as f64 / 100.0;
        let left = best.expected_sale.minor() as f64
            - fee - best.waiting.minor() as f64 - best.cost.minor() as f64 - work;
        prop_assert!((left - best.net.minor() as f64).abs() < 3.0);
        prop_assert!((most.mean.minor() as f64 - (left - 2_000.0).max(0.0)).abs() < 3.0);
        prop_assert!(most.cautious <= most.mean && most.cautious.minor() >= 0);
        let (paid, risk) = found.risk.unwrap();
        prop_assert_eq!(paid.minor(), 4_000);
        prop_assert!((0.0..=1.0).contains(&risk.chance_of_loss) && risk.shortfall >= 0.0);
        let apart = found.take_apart.unwrap();
        // 40 x 0.6 + 10 x 0.5 + 15 x 0.4 = 35, less 3 %.
        prop_assert_eq!(apart.expected.minor(), 3_395);
        prop_assert_eq!(apart.better, apart.expected > best.net);
    }
}
