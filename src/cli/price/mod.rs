//! `price`: what a bike is worth.

pub(super) mod chart;
pub(super) mod flags;
pub(super) mod question;

use super::chart_file::{self, FLAG as CHART};
use super::context::{Context, DONE, Format};
use super::failure::Failure;
use super::flag_values::check_level;
use super::learn::{Like, Sought};
use super::workbench::{Models, Workbench};
use super::{inspections, wishes};
use crate::book::Book;
use crate::pricing::Records;
use crate::pricing::asking::Detail;
use crate::pricing::design::base::{self, Base};
use crate::pricing::quote::caution::QuoteCaution;
use crate::pricing::quote::priced::Priced;
use crate::pricing::quote::{self, Quote, Selling};
use crate::pricing::records::nearest::nearest_sales;
use crate::pricing::value::fitted::FittedValue;
use crate::report::quote::json;
use crate::report::quote::short;
use crate::report::quote::text;
use crate::trade::{Currency, Day, Sale};
use flags::{BaseBike, Price};
use question::{Asked, questions};
use std::collections::HashSet;
use std::path::Path;

/// Prices what was asked for and prints it.
///
/// # Errors
/// A flag or file that cannot be read, a bike that is not there, a book or a fit that
/// fails.
pub(super) fn run(context: &mut Context<'_>, arguments: &Price) -> Result<u8, Failure> {
    check_level(arguments.level)?;
    if let Some(path) = &arguments.chart {
        chart_file::check_name(path)?;
    }
    let book = Book::open(&context.book)?;
    let bench = Workbench::of(&book, context.as_of)?;
    let mut asked = questions(context, arguments, &bench.records)?;
    let told = match &asked.own {
        Some(own) => Some(inspections::told_of(
            own,
            &book,
            &bench.records,
            context.as_of,
        )?),
        None => None,
    };
    if let (Some(told), Some(question)) = (&told, asked.questions.first_mut()) {
        question.bike.condition = told.counts;
    }
    if let Some(note) = &asked.note {
        writeln!(context.err, "{note}")?;
    }
    let wishes = wishes::wishes(&arguments.wishes, &bench, context.err)?;
    let single = match asked.questions.as_slice() {
        [only] if arguments.from.is_none() => Some(Sought {
            bike: &only.bike,
            drawn: arguments.chart.is_some(),
        }),
        _ => None,
    };
    let without = asked.own.as_ref().map(|sale| sale.id.as_str());
    let models = bench.models(without, single)?;
    let selling = Selling {
        time: &models.time,
        wishes,
        // A table of many bikes shows no more.
        detail: match context.format {
            Format::Text if arguments.from.is_some() => Detail::PlanAlone,
            _ => Detail::All,
        },
    };
    let base = base_bike(arguments.base, &bench)?;
    let source = bench.source(models.value.as_ref());
    let quotes = quote::quotes(&source, bench.priors, &asked.questions, &base, &selling);
    let mut priced: Vec<Priced> = quotes.into_iter().map(alone).collect();
    let drawn = beside_its_like(&bench, &asked, &models, &mut priced);
    if let Some(path) = &arguments.chart {
        draw(context, path, drawn.as_ref(), &priced)?;
    }
    if let (Some(told), Some(one)) = (told, priced.first_mut()) {
        one.verdict = told.verdict;
        one.quote.cautions.splice(0..0, told.doubts);
    }
    if arguments.from.is_some() {
        tell_own_sales(&mut priced, bench.records.sales(), context.as_of);
    }
    let model = models.value.as_ref();
    print(
        context,
        arguments,
        &priced,
        (model, &selling),
        &bench.currency,
    )
}

/// The bike from which the factors start.
fn base_bike(base: BaseBike, bench: &Workbench<'_>) -> Result<Base, Failure> {
    match base {
        BaseBike::Standard => Ok(base::standard_base(bench.as_of)),
        BaseBike::Typical => {
            base::typical_base(bench.records.sales(), bench.as_of).ok_or_else(|| {
                Failure::refused(
                    "--base typical: the book has no own sales yet",
                    "Use --base standard.",
                )
            })
        }
    }
}

/// A quote without what stands beside that of a single bike.
fn alone(quote: Quote) -> Priced {
    Priced {
        quote,
        comps: Vec::new(),
        sales: Vec::new(),
        verdict: None,
    }
}

/// What is drawn beside a single bike.
struct Drawn<'m> {
    like: &'m Like,
    model: &'m FittedValue,
    /// Own sales but for the bike's own.
    others: Vec<Sale>,
}

/// A single bike beside the comps and own sales most like it, and what is to be told of a
/// bike that was sold; `None` where there are no prices, or many bikes.
fn beside_its_like<'m>(
    bench: &Workbench<'_>,
    asked: &Asked,
    models: &'m Models,
    priced: &mut [Priced],
) -> Option<Drawn<'m>> {
    let (like, model) = (models.like.as_ref()?, models.value.as_ref()?);
    let one = priced.first_mut()?;
    let own = asked.own.as_ref();
    let others = bench.records.sales().iter();
    let others = others.filter(|sale| own.is_none_or(|own| own.id != sale.id));
    let others: Vec<Sale> = others.cloned().collect();
    let bike = one.quote.question.bike;
    one.comps.clone_from(&like.nearest.found);
    one.sales = nearest_sales(
        &others,
        &bike,
        bench.as_of,
        &bench.currency,
        &model.coefficients,
    );
    let sold = own.and_then(|own| Some((own.id.clone(), own.sold?)));
    if let Some((bike, sold)) = sold.filter(|(_, sold)| sold.on <= bench.as_of) {
        one.quote.cautions.push(QuoteCaution::OwnSaleLeftOut {
            bike,
            price: sold.price,
            on: sold.on,
        });
    }
    Some(Drawn {
        like,
        model,
        others,
    })
}

/// Draws the picture of `--chart`.
fn draw(
    context: &mut Context<'_>,
    path: &Path,
    drawn: Option<&Drawn<'_>>,
    priced: &[Priced],
) -> Result<(), Failure> {
    let (Some(drawn), Some(one)) = (drawn, priced.first()) else {
        return Err(Failure::refused(
            "--chart: there is nothing to draw, the book has no sales and no comps",
            "Import comps first.",
        ));
    };
    let comps = &drawn.like.of_style.found;
    let svg = chart::draw(drawn.model, &one.quote, comps, &drawn.others);
    let svg = svg.map_err(|error| chart_file::cannot(path, CHART, &error))?;
    chart_file::write(path, &svg, CHART)?;
    writeln!(context.err, "Chart: {}", path.display())?;
    Ok(())
}

fn print(
    context: &mut Context<'_>,
    arguments: &Price,
    priced: &[Priced],
    (model, selling): (Option<&FittedValue>, &Selling<'_>),
    currency: &Currency,
) -> Result<u8, Failure> {
    let as_of = context.as_of;
    let single = priced.first().filter(|_| arguments.from.is_none());
    let text = match (context.format, single) {
        (Format::Json, _) => {
            json::render(priced, model, selling, as_of, currency).map_err(Failure::unwritten)?
        }
        (Format::Text, Some(one)) if arguments.why => text::one(one, model, as_of, currency),
        (Format::Text, Some(one)) => short::short(one, selling, as_of, currency, context.columns),
        (Format::Text, None) => text::many(priced, arguments.why, as_of, currency),
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

/// A bike of the file that bears the name of a sold one of the book.
fn tell_own_sales(priced: &mut [Priced], sales: &[Sale], as_of: Day) {
    let sold = |s: &&Sale| s.sold_by(as_of).is_some();
    let names: HashSet<&str> = sales.iter().filter(sold).map(|s| s.id.as_str()).collect();
    for one in priced {
        if let Some(bike) = one
            .quote
            .question
            .id
            .clone()
            .filter(|id| names.contains(id.as_str()))
        {
            one.quote
                .cautions
                .push(QuoteCaution::OwnSaleAmongRecords { bike });
        }
    }
}
