//! The picture of `price --chart`.

use crate::pricing::quote::Quote;
use crate::pricing::records::curve;
use crate::pricing::records::curve::SeenComp;
use crate::pricing::value::fitted::FittedValue;
use crate::report::quote::charts;
use crate::report::quote::charts::plan::PlanChart;
use crate::report::quote::charts::value::ValueChart;
use crate::trade::Sale;

/// Draws it.
///
/// # Errors
/// What the drawing says.
pub(crate) fn draw(
    model: &FittedValue,
    quote: &Quote,
    comps: &[SeenComp],
    sales: &[Sale],
) -> Result<String, String> {
    let (bike, level, as_of) = (
        &quote.question.bike,
        quote.question.level,
        model.coding.as_of,
    );
    let sales = curve::sales_as(model, bike, sales);
    let comps = curve::comps_as(model, bike, comps);
    let age = bike.age(as_of);
    let oldest = comps
        .iter()
        .map(|c| c.0)
        .chain(sales.iter().map(|s| s.0))
        .chain(age)
        .fold(10.0, f64::max);
    let oldest = (oldest / 5.0).ceil() * 5.0;
    let known = |name: &str, grade: Option<u8>| {
        grade.map_or(format!("{name} unknown"), |g| format!("{name} {g}"))
    };
    let title = [
        bike.style.to_string(),
        known(
            "condition",
            bike.condition.map(crate::trade::bike::Condition::grade),
        ),
        known("tier", bike.tier.map(crate::trade::bike::Tier::grade)),
        bike.size()
            .map_or("size unknown".into(), |s| format!("size {s}")),
    ];
    let chart = ValueChart {
        title: format!("{}: worth by age on {as_of}", title.join(", ")),
        currency: model.currency.code().to_string(),
        curve: curve::value_by_age(model, bike, oldest, level),
        sales,
        comps,
        // What is said in words, the owner's guess in it.
        here: quote.value.map(|value| {
            let [low, median, high] =
                [value.low, value.median, value.high].map(|end| model.currency.units(end));
            (age, low, median, high)
        }),
        level,
    };
    let mut svg = charts::value::draw(&chart)?;
    if let Some(plan) = &quote.plan {
        let units = |m| model.currency.units(m);
        let panels = PlanChart {
            currency: model.currency.code().to_string(),
            curve: plan
                .curve
                .iter()
                .map(|p| {
                    (
                        units(p.ask),
                        p.outlook.expected_days,
                        p.outlook.present_value,
                    )
                })
                .collect(),
            suggested: plan.steps.first().map_or(0.0, |s| units(s.1)),
            plan: (plan.outlook.expected_days, plan.outlook.present_value),
        };
        let below = charts::plan::draw(&panels)?;
        svg = charts::plan::stacked(&svg, &below, charts::value::HEIGHT);
    }
    Ok(svg)
}
