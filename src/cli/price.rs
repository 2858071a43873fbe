//! `price`: what a bike is worth.

use super::arguments::{BaseBike, Format, Price};
use super::book_records::BookRecords;
use super::failure::Failure;
use super::price_chart;
use super::{Context, DONE};
use crate::book::Book;
use crate::intake::{self, Bikes, CellProblem, Reader, Settings};
use crate::pricing::caution::Caution;
use crate::pricing::curve::CompsOfStyle;
use crate::pricing::fitting::{Unwatched, Watch};
use crate::pricing::nearest::{NearestComps, nearest_sales};
use crate::pricing::observation::Observation;
use crate::pricing::quote::{self, Question, Source};
use crate::pricing::value::NoFit;
use crate::pricing::{Priors, ValueModel, ValueSettings, features::Coding};
use crate::report::quote_json::{self, Priced};
use crate::report::{problem_text, quote_text};
use crate::trade::{Bike, Comparable, Currency, Day, Sale};

/// Prices what was asked for and prints it.
pub fn run(context: &mut Context<'_>, arguments: &Price) -> Result<u8, Failure> {
    if !(arguments.level > 0.0 && arguments.level < 1.0) {
        return Err(Failure::usage(
            format!(
                "--level '{}': expected a probability above 0 and below 1",
                arguments.level
            ),
            "Give a number such as 0.8.",
        ));
    }
    let book = Book::open(&context.book)?;
    let currency = book.settings().currency;
    let records = BookRecords::of(&book)?;
    let asked = questions(context, arguments, &records, &currency)?;
    let Asked { questions, own } = asked;
    let settings = ValueSettings {
        as_of: context.as_of,
        currency,
        without: own.as_ref().map(|sale| sale.id.clone()),
    };
    let model = ValueModel {
        priors: Priors::shipped(),
        settings,
    };
    let single = if questions.len() == 1 && arguments.from.is_none() {
        questions.first()
    } else {
        None
    };
    let mut watch = single.map(|q| Watching {
        nearest: NearestComps::new(&q.bike, context.as_of, &currency),
        style: CompsOfStyle::new(q.bike.style, context.as_of),
    });
    let fitted = match &mut watch {
        Some(watch) => model.fit(&records, watch),
        None => model.fit(&records, &mut Unwatched),
    };
    let fitted = match fitted {
        Ok(fitted) => Some(fitted),
        Err(NoFit::NoRecords) => None,
        Err(NoFit::Records(error)) => match error.downcast::<crate::book::BookProblem>() {
            Ok(problem) => return Err((*problem).into()),
            Err(error) => {
                return Err(Failure::refused(
                    error.to_string(),
                    "Run 'wheelworth check'.",
                ));
            }
        },
        Err(NoFit::Fit(problem)) => {
            return Err(Failure::refused(
                format!("the records could not be fitted: {problem}"),
                "Run 'wheelworth check', and look for wild prices with 'wheelworth import --history'.",
            ));
        }
    };
    let sales = crate::pricing::observation::Records::sales(&records);
    let base = match arguments.base {
        BaseBike::Standard => quote::standard_base(context.as_of),
        BaseBike::Typical => quote::typical_base(sales, context.as_of).ok_or_else(|| {
            Failure::refused(
                "--base typical: the book has no own sales yet",
                "Use --base standard.",
            )
        })?,
    };
    let source = match &fitted {
        Some(model) => Source::Fitted(model),
        None => Source::Nothing {
            as_of: context.as_of,
            currency,
        },
    };
    let mut priced: Vec<Priced> = questions
        .iter()
        .map(|question| Priced {
            quote: quote::quote(&source, Priors::shipped(), question, &base),
            comps: Vec::new(),
            sales: Vec::new(),
        })
        .collect();
    if let (Some(watch), Some(model), Some(one)) = (watch, &fitted, priced.first_mut()) {
        let others: Vec<Sale> = sales
            .iter()
            .filter(|s| own.as_ref().is_none_or(|o| o.id != s.id))
            .cloned()
            .collect();
        let bike = one.quote.question.bike;
        one.comps = watch.nearest.found;
        one.sales = nearest_sales(
            &others,
            &bike,
            context.as_of,
            &currency,
            &model.coefficients,
        );
        if let Some(sold) = own
            .as_ref()
            .and_then(|o| o.sold)
            .filter(|s| s.on <= context.as_of)
        {
            let (bike, price, on) = (
                own.as_ref().map_or(String::new(), |o| o.id.clone()),
                sold.price,
                sold.on,
            );
            one.quote
                .cautions
                .push(Caution::OwnSaleLeftOut { bike, price, on });
        }
        if let Some(path) = &arguments.chart {
            price_chart::write(
                path,
                model,
                &one.quote,
                &watch.style.found,
                &others,
                context.err,
            )?;
        }
    } else if arguments.chart.is_some() {
        return Err(Failure::refused(
            "--chart: there is nothing to draw, the book has no sales and no comps",
            "Import comps first.",
        ));
    }
    print(context, arguments, &priced, fitted.as_ref(), &currency)
}

fn print(
    context: &mut Context<'_>,
    arguments: &Price,
    priced: &[Priced],
    model: Option<&crate::pricing::value::FittedValue>,
    currency: &Currency,
) -> Result<u8, Failure> {
    let text = match context.format {
        Format::Json => quote_json::render(priced, model, context.as_of, currency)
            .map_err(|e| Failure::refused(format!("the answer cannot be written: {e}"), ""))?,
        Format::Text => match priced.first() {
            Some(one) if arguments.from.is_none() => {
                quote_text::one(one, model, context.as_of, currency)
            }
            _ => quote_text::many(priced, context.as_of, currency),
        },
    };
    context.out.write_all(text.as_bytes())?;
    Ok(DONE)
}

struct Watching {
    nearest: NearestComps,
    style: CompsOfStyle,
}

impl Watch for Watching {
    fn comp(&mut self, comp: &Comparable, seen: &Observation, coding: &mut Coding, b: &[f64]) {
        self.nearest.comp(comp, seen, coding, b);
        self.style.comp(comp, seen, coding, b);
    }
}

struct Asked {
    questions: Vec<Question>,
    /// The bike of the book that was asked for.
    own: Option<Sale>,
}

fn questions(
    context: &Context<'_>,
    arguments: &Price,
    records: &BookRecords<'_>,
    currency: &Currency,
) -> Result<Asked, Failure> {
    let level = arguments.level;
    if let Some(path) = &arguments.from {
        let questions = from_file(path, context.as_of, currency, level)?;
        return Ok(Asked {
            questions,
            own: None,
        });
    }
    let money =
        |flag: &str, text: &Option<String>| read(flag, text, |t| intake::parse_money(t, currency));
    let cost = money("--cost", &arguments.cost)?;
    let hours = read("--hours", &arguments.hours, intake::parse_hours)?;
    if let Some(id) = &arguments.bike {
        let sale = own_bike(records, id, context.as_of)?;
        let question = Question {
            id: Some(id.clone()),
            bike: sale.bike,
            cost: cost.or(sale.direct_cost()),
            hours: hours.or(sale.hours),
            level,
        };
        return Ok(Asked {
            questions: vec![question],
            own: Some(sale),
        });
    }
    let style = read("--style", &arguments.style, intake::parse_style)?.ok_or_else(|| {
        Failure::usage(
            "price: which bike?",
            "Give --style, or --bike ID, or --from BIKES.csv.",
        )
    })?;
    let bike = Bike {
        style,
        made: read("--made", &arguments.made, |t| {
            intake::parse_made(t, context.as_of)
        })?,
        condition: read("--condition", &arguments.condition, intake::parse_condition)?,
        tier: read("--tier", &arguments.tier, intake::parse_tier)?,
        seat_tube: read("--seat-tube", &arguments.seat_tube, intake::parse_seat_tube)?,
        new_price: money("--new-price", &arguments.new_price)?,
    };
    Ok(Asked {
        questions: vec![Question {
            id: None,
            bike,
            cost,
            hours,
            level,
        }],
        own: None,
    })
}

fn read<T>(
    flag: &str,
    text: &Option<String>,
    parse: impl Fn(&str) -> Result<T, CellProblem>,
) -> Result<Option<T>, Failure> {
    text.as_deref()
        .map(|t| parse(t).map_err(|problem| Failure::flag(flag, t, &problem)))
        .transpose()
}

fn own_bike(records: &BookRecords<'_>, id: &str, as_of: Day) -> Result<Sale, Failure> {
    let all = crate::pricing::observation::Records::sales(records);
    if let Some(sale) = all.iter().find(|s| s.id == id) {
        return sale.as_known_on(as_of).ok_or_else(|| {
            Failure::refused(
                format!("--bike '{id}': was not there yet on {as_of}"),
                "Choose a later --as-of, or leave it out.",
            )
        });
    }
    let near = all
        .iter()
        .map(|s| {
            (
                strsim::jaro_winkler(&s.id.to_lowercase(), &id.to_lowercase()),
                &s.id,
            )
        })
        .filter(|(alike, _)| *alike > 0.75)
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let hint = near.map_or("Ids are those of sales.csv.".to_string(), |(_, name)| {
        format!("Did you mean {name}?")
    });
    Err(Failure::refused(
        format!("--bike '{id}': the book has no such bike"),
        hint,
    ))
}

fn from_file(
    path: &std::path::Path,
    as_of: Day,
    currency: &Currency,
    level: f64,
) -> Result<Vec<Question>, Failure> {
    let mut reader = Reader::<Bikes>::open(path, &Settings::new(*currency, as_of))?;
    let (mut questions, mut problems) = (Vec::new(), Vec::new());
    while let Some(row) = reader.next_row()? {
        match row {
            Ok(row) => questions.push(Question {
                id: Some(row.record.bike),
                bike: row.record.features,
                cost: row.record.cost,
                hours: row.record.hours,
                level,
            }),
            Err(bad) => problems.extend(bad.problems),
        }
    }
    if problems.is_empty() {
        return Ok(questions);
    }
    let shown = &problems[..problems.len().min(1000)];
    Err(Failure::refused(
        format!(
            "{} problems in {}; nothing was priced\n\n{}",
            problems.len(),
            path.display(),
            problem_text::render(path, shown)
        ),
        "Mend the rows and try again.",
    ))
}
