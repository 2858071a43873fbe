//! `priors`: what is believed before any record, and what the records make of it.

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::workbench::Workbench;
use crate::book::Book;
use crate::pricing::Priors;
use crate::pricing::design::coding::Coding;
use crate::pricing::design::features::{
    COLUMNS, HALF_YEAR, NEW_PRICE, SEASON, STYLE_AGE, STYLE_TIER,
};
use crate::pricing::prior::effect::Effect;
use crate::pricing::value::recipe::NoFit;
use crate::pricing::value::reduce::Unobserved;
use crate::report::priors;

/// Prints the table. Without a book it shows the beliefs alone.
pub(super) fn run(context: &mut Context<'_>) -> Result<u8, Failure> {
    let priors = Priors::shipped();
    let mut beliefs = priors.beliefs();
    let fitted = if context.book.exists() {
        let book = Book::open(&context.book)?;
        let bench = Workbench::of(&book, context.as_of)?;
        beliefs = priors.beliefs_in(&bench.currency);
        match bench.recipe(None).fit(&bench.records, &mut Unobserved) {
            Ok(fitted) => Some(fitted).filter(|model| !model.gathered.is_empty()),
            Err(NoFit::NoRecords) => None,
            Err(other) => return Err(other.into()),
        }
    } else {
        None
    };
    let names = Coding::new(context.as_of, context.as_of, priors, 0.0, &[]).names();
    let effects: Vec<Effect> = beliefs
        .iter()
        .zip(names)
        .take(COLUMNS)
        .enumerate()
        .skip(1) // the level is learnt from the records alone
        .map(|(column, (belief, name))| {
            // A log point of new price means little to anybody; a doubling does.
            let doubled = column == NEW_PRICE;
            let unit = if doubled { std::f64::consts::LN_2 } else { 1.0 };
            let factor = |effect: f64| (unit * effect).exp();
            Effect {
                effect: if doubled {
                    "twice the new price".into()
                } else {
                    name
                },
                believed: factor(belief.mean),
                low: factor(belief.mean - belief.sd),
                high: factor(belief.mean + belief.sd),
                nuisance: [SEASON, STYLE_AGE, STYLE_TIER, HALF_YEAR]
                    .iter()
                    .any(|columns| columns.contains(&column)),
                equivalent_sales: priors.equivalent_sales(*belief),
                fitted: fitted
                    .as_ref()
                    .and_then(|f| f.coefficients.get(column))
                    .map(|b| factor(*b)),
            }
        })
        .collect();
    let text = match context.format {
        Format::Json => priors::json(priors.version, &effects).map_err(Failure::unwritten)?,
        Format::Text => {
            let records = fitted
                .as_ref()
                .map(|f| (f.gathered.sales, f.gathered.comps));
            priors::text(priors.version, &effects, records)
        }
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}
