//! Laws of a model year that is known as a range, on simulated books.

use crate::recovery::from_model::{Parameters, Simulated, simulate};
use crate::support::tolerance::assert_near;
use wheelworth::pricing::design::fact;
use wheelworth::pricing::design::features::{
    COLLECTED, Facts, STYLE_AGE, STYLE_TIER, VINTAGE, column, facts,
};
use wheelworth::pricing::records::observation::InMemory;
use wheelworth::pricing::value::fitted::FittedValue;
use wheelworth::pricing::value::reduce::Unobserved;
use wheelworth::pricing::{Priors, ValueModel, ValueSettings};
use wheelworth::statistics::distribution::student_t::quantile;
use wheelworth::trade::{Bike, Currency, Years};

/// Sums of up to 41 terms of the size of ln price, in another order.
const SUMS: f64 = 1e-12;

fn euro() -> Currency {
    Currency::from_code("EUR").unwrap()
}

/// A fit of a simulated book, of which `blur` changes the model years.
fn fit(book: &Simulated, blur: impl Fn(Years) -> Years) -> FittedValue {
    let blurred = |bike: &Bike| Bike {
        made: bike.made.map(&blur),
        ..*bike
    };
    let mut records = InMemory {
        sales: book.sales.clone(),
        comps: book.comps.iter().map(|comp| (comp.clone(), 1.0)).collect(),
        asks: Vec::new(),
    };
    for sale in &mut records.sales {
        sale.bike = blurred(&sale.bike);
    }
    for (comp, _) in &mut records.comps {
        comp.bike = blurred(&comp.bike);
    }
    let model = ValueModel {
        priors: Priors::shipped(),
        settings: ValueSettings {
            as_of: book.as_of,
            currency: euro(),
            without: None,
        },
    };
    model.fit(&records, &mut Unobserved).unwrap()
}

fn books() -> Vec<Simulated> {
    [(0, 60), (3, 0), (15, 100), (40, 200)]
        .into_iter()
        .zip(300..)
        .map(|((own, comps), seed)| simulate(seed, &Parameters::default(), own, comps, 12))
        .collect()
}

fn of(book: &Simulated, bike: &Bike, made: Years) -> Facts {
    let bike = Bike {
        made: Some(made),
        // A second opinion from the new price is no straight line in the age.
        new_price: None,
        ..*bike
    };
    facts(&bike, book.as_of, &euro())
}

/// Ranges near and far, some with years to come, in which age is 0.
fn ranges(book: &Simulated) -> Vec<Years> {
    let now = book.as_of.year();
    [
        (1, 0),
        (3, 1),
        (12, 4),
        (40, 0),
        (17, 16),
        (0, -1),
        (60, 30),
    ]
    .into_iter()
    .map(|(oldest, newest)| Years::range(now - oldest, now - newest).unwrap())
    .collect()
}

#[test]
fn a_range_is_worth_the_mean_of_ln_of_what_its_years_are() {
    for book in books() {
        let model = fit(&book, |made| made);
        for (bike, _) in &book.fresh {
            for range in ranges(&book) {
                let years: Vec<f64> = range
                    .each()
                    .map(|year| model.ln_value(&of(&book, bike, year.into())))
                    .collect();
                let mean = years.iter().sum::<f64>() / years.len() as f64;
                let value = model.ln_value(&of(&book, bike, range));
                assert_near(&range.to_string(), value, mean, SUMS);
            }
        }
    }
}

#[test]
fn a_range_adds_the_variance_of_its_years() {
    for book in books() {
        let model = fit(&book, |made| made);
        let left = |facts: &Facts| model.coding.unknown_variance(facts, &model.coefficients);
        for (bike, _) in &book.fresh {
            for range in ranges(&book) {
                let year = |year: i16| of(&book, bike, year.into());
                let values: Vec<f64> = range.each().map(|y| model.ln_value(&year(y))).collect();
                let n = values.len() as f64;
                let mean = values.iter().sum::<f64>() / n;
                let squares: f64 = values.iter().map(|v| v * v).sum();
                // What the other facts leave unknown is the same in every year.
                let expected = left(&year(range.first())) + squares / n - mean * mean;
                let got = left(&of(&book, bike, range));
                // The difference of two squares of about 5² loses 2 digits.
                assert_near(&range.to_string(), got, expected, 100.0 * SUMS);
            }
        }
    }
}

/// Ages from 8 to 15 and from 15 to 35 years lie on one stretch of the curve each,
/// so that more years around the same middle differ more, unless the stretch is
/// flat. (Where the curve turns that need not be so: a year that is worth the mean
/// lowers the variance.)
#[test]
fn a_wider_range_of_years_gives_a_wider_range_of_prices() {
    /// A slope of less than this is none: ln price a year.
    const FLAT: f64 = 1e-9;
    let mut wider = 0;
    for book in books() {
        let model = fit(&book, |made| made);
        for (bike, _) in &book.fresh {
            for (age, most) in [(11, 2), (25, 8)] {
                let middle = book.as_of.year() - age;
                let at = |made: Years| {
                    let here = of(&book, bike, made);
                    let sale = model.one_sale(&here);
                    let width = quantile(&sale, 0.9) - quantile(&sale, 0.1);
                    let left = model.coding.unknown_variance(&here, &model.coefficients);
                    (width, left)
                };
                let value = |year: i16| model.ln_value(&of(&book, bike, year.into()));
                let slope = (value(middle - most) - value(middle + most)).abs();
                let mut before = at(middle.into());
                for more in 1..=most {
                    let range = Years::range(middle - more, middle + more).unwrap();
                    let now = at(range);
                    if slope > FLAT {
                        assert!(
                            now.0 > before.0 && now.1 > before.1,
                            "{range} {now:?} {before:?}"
                        );
                        wider += 1;
                    } else {
                        assert_near("flat", now.1, before.1, FLAT);
                    }
                    before = now;
                }
            }
        }
    }
    // Most bikes of most books: only the stretch beyond 15 may be flat.
    assert!(wider >= 4 * 12 * 2, "{wider}");
}

#[test]
fn a_range_of_one_year_is_the_year_bit_for_bit() {
    for book in books() {
        let (exact, ranges) = (
            fit(&book, |made| made),
            fit(&book, |made| {
                Years::range(made.first(), made.last()).unwrap()
            }),
        );
        assert_eq!(exact.coefficients, ranges.coefficients);
        for (bike, _) in &book.fresh {
            let Some(made) = bike.made else { continue };
            let one = of(&book, bike, made);
            let other = of(
                &book,
                bike,
                Years::range(made.first(), made.first()).unwrap(),
            );
            assert_eq!(one, other);
            assert_eq!(exact.one_sale(&one), ranges.one_sale(&other));
            assert_eq!(bike.age(book.as_of), Some(made.mean_age(book.as_of)));
        }
    }
}

/// Records of which only the era is known tell less of what age costs. (With the
/// seeds here: a fit that chose other weights could make up for it by chance.)
#[test]
fn records_of_an_era_say_less_of_age() {
    for book in books().into_iter().skip(2) {
        let doubt = |blur: i16| {
            let model = fit(&book, |made| {
                Years::range(made.first() - blur, made.first() + blur).unwrap()
            });
            let bike = Bike::of(wheelworth::trade::Style::Hybrid);
            let row = |age: i16| model.row(&of(&book, &bike, (book.as_of.year() - age).into()));
            let years: Vec<f64> = row(5).iter().zip(row(14)).map(|(a, b)| a - b).collect();
            let components = model.components.iter();
            components
                .map(|one| one.weight * one.fit.leverage(&years))
                .sum::<f64>()
        };
        let (exact, era) = (doubt(0), doubt(8));
        assert!(era > exact, "{era} {exact}");
    }
}

/// What acts on a bike through a column of its style acts as the column of the fact
/// itself would: the variance that an unknown fact leaves is the same when the slope is
/// moved from the one to the other.
#[test]
fn a_slope_of_the_style_counts_for_what_is_unknown_as_the_facts_own() {
    for book in books() {
        let model = fit(&book, |made| made);
        for style in COLLECTED {
            let bike = facts(&Bike::of(style), book.as_of, &euro());
            let mut apart = model.coefficients.clone();
            // Slopes that are no smaller than those of the facts themselves.
            let (age, tier) = (
                STYLE_AGE.start + style.index(),
                STYLE_TIER.start + style.index(),
            );
            (apart[age], apart[tier], apart[VINTAGE]) = (-0.03, 0.12, 0.4);
            let mut folded = apart.clone();
            for fact in fact::AGE_TO_15 {
                folded[column(fact)] += apart[age];
            }
            for fact in fact::TIER {
                folded[column(fact)] += apart[tier];
            }
            // From 15 to 35 years, over which a whole one of it comes.
            folded[column(fact::AGE_15_TO_35)] += apart[VINTAGE] / 20.0;
            (folded[age], folded[tier], folded[VINTAGE]) = (0.0, 0.0, 0.0);
            let left = |b: &[f64]| model.coding.unknown_variance(&bike, b);
            assert_near(&format!("{style}"), left(&apart), left(&folded), SUMS);
            // Each of them is felt.
            for slope in [age, tier, VINTAGE] {
                let mut without = apart.clone();
                without[slope] = 0.0;
                let change = (left(&without) / left(&apart) - 1.0).abs();
                assert!(change > 1e-3, "{style} {slope}: {change}");
            }
        }
    }
}
