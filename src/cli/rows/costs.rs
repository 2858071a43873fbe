//! Costs held against the sales: a bike that is not there is refused, what is
//! odd is told.

use super::importable::{Importable, Meet, Refusal};
use crate::accounts::DirectCost;
use crate::accounts::direct_cost::Replaced;
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::cli::unknown_bike::UnknownBikes;
use crate::intake::{CellProblem, Costs, is_no_bike, word_flag};
use crate::report::text::amounts;
use crate::trade::calendar::days_between;
use crate::trade::{Cost, Currency, Day, Money, Sale};
use std::collections::BTreeMap;

/// Days after its sale on which a bike may still cost something without a word:
/// fees and bills come late. A choice without a source.
const LATE: i64 = 90;

/// What was spent, as the book and the file have it.
pub(crate) struct Spending {
    bikes: BTreeMap<String, Spent>,
    /// On the workshop as a whole.
    workshop: Vec<Cost>,
    unknown: UnknownBikes,
    /// Costs of this import by what identical ones share, each with its lines.
    alike: BTreeMap<Alike, Vec<(Cost, Same)>>,
    /// Line of the file and words.
    doubts: Vec<(u64, String)>,
}

/// Bike, day and amount of a cost.
type Alike = (Option<String>, Day, Money);

/// The lines of identical costs.
struct Same {
    lines: Vec<u64>,
    /// Whether one of them is new to the book.
    added: bool,
}

/// What was spent on one bike.
struct Spent {
    sale: Sale,
    before: Vec<Cost>,
    /// By this import, with the line.
    added: Vec<(u64, Cost)>,
}

impl Importable for Costs {
    type Beside = Spending;
    const ONE: &'static str = "cost";
    const ID: &'static str = "bike";

    fn beside(book: &Book) -> Result<Spending, BookProblem> {
        let spent = |sale: Sale| Spent {
            sale,
            before: Vec::new(),
            added: Vec::new(),
        };
        let sales = book.sales()?.into_iter();
        let mut spending = Spending {
            bikes: sales.map(|sale| (sale.id.clone(), spent(sale))).collect(),
            workshop: Vec::new(),
            unknown: UnknownBikes::of(book)?,
            alike: BTreeMap::new(),
            doubts: Vec::new(),
        };
        for cost in book.costs()? {
            match cost.bike.as_ref().and_then(|id| spending.bikes.get_mut(id)) {
                Some(bike) => bike.before.push(cost),
                None => spending.workshop.push(cost),
            }
        }
        Ok(spending)
    }

    fn put(
        import: &mut Import<'_>,
        record: &Cost,
        repeat: Repeat,
        _: Meet<'_, Cost>,
    ) -> Result<Put, BookProblem> {
        import.put_cost(record, repeat)
    }

    fn put_before_ids(record: &mut Cost, prefix: &str) {
        if let Some(bike) = &mut record.bike {
            bike.insert_str(0, prefix);
        }
    }

    fn name(record: &Cost) -> String {
        format!("{} on {}", record.kind, record.on)
    }

    fn may_repeat(_: &Cost) -> bool {
        true
    }

    fn is_there(spending: &Spending, record: &Cost) -> bool {
        let bike = record.bike.as_ref().and_then(|id| spending.bikes.get(id));
        bike.map_or(&spending.workshop, |bike| &bike.before)
            .contains(record)
    }

    fn refusal(spending: &mut Spending, record: &Cost) -> Option<Refusal> {
        let bikes = &spending.bikes;
        let id = record.bike.as_ref().filter(|id| !bikes.contains_key(*id))?;
        if is_no_bike(id) {
            let flag = word_flag("bike", id, "");
            let or = flag.map_or(String::new(), |flag| format!(", or import with {flag}"));
            let mend = format!("For a cost of no bike leave the cell empty{or}.");
            let expected = "a bike that is among the sales in the book";
            return Some(("bike", CellProblem::new(expected, mend).meaning("")));
        }
        let ids = bikes.keys().map(String::as_str);
        Some(("bike", spending.unknown.problem(ids, id)))
    }

    fn show(spending: &mut Spending, record: &Cost, line: u64, put: &Put, _: &Currency) {
        spending.take_alike(record, line, put);
        let bike = record.bike.as_ref();
        let bike = bike.and_then(|id| spending.bikes.get_mut(id));
        if let Some(bike) = bike.filter(|_| *put == Put::Added) {
            let doubt = bike.day_in_doubt(record);
            spending.doubts.extend(doubt.map(|words| (line, words)));
            bike.added.push((line, record.clone()));
        }
    }

    fn doubts(spending: Spending, currency: &Currency) -> Vec<(u64, String)> {
        let mut doubts = spending.doubts;
        for bike in spending.bikes.values().filter(|b| !b.added.is_empty()) {
            let told = bike.counted_instead();
            doubts.extend(told.into_iter().map(|(line, replaced)| {
                (line, counted_instead(&bike.sale.id, &replaced, currency))
            }));
        }
        doubts.sort_by_key(|(line, _)| *line);
        doubts.extend(same_lines(spending.alike.into_values().flatten()));
        doubts
    }
}

impl Spending {
    /// Keeps the line of a cost beside those of identical ones.
    fn take_alike(&mut self, cost: &Cost, line: u64, put: &Put) {
        let key = (cost.bike.clone(), cost.on, cost.amount);
        let (alike, added) = (self.alike.entry(key).or_default(), *put == Put::Added);
        if let Some((_, same)) = alike.iter_mut().find(|(other, _)| other == cost) {
            same.lines.push(line);
            same.added |= added;
        } else {
            let lines = vec![line];
            alike.push((cost.clone(), Same { lines, added }));
        }
    }
}

/// Most lines of identical costs that are named.
const MOST_LINES: usize = 10;

/// That identical rows of one file all count, in the order of the lines.
fn same_lines(alike: impl Iterator<Item = (Cost, Same)>) -> Vec<(u64, String)> {
    let news = alike.filter(|(_, same)| same.added && same.lines.len() > 1);
    let mut news: Vec<Vec<u64>> = news.map(|(_, same)| same.lines).collect();
    news.sort();
    let told = news.iter().map(|lines| {
        let count = if lines.len() == 2 { "both" } else { "all" };
        let more = match lines.len().saturating_sub(MOST_LINES) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let named: Vec<String> = lines.iter().take(MOST_LINES).map(u64::to_string).collect();
        let named = match (named.split_last(), more.as_str()) {
            (Some((last, rest)), "") => format!("{} and {last}", rest.join(", ")),
            _ => named.join(", "),
        };
        let words = format!(
            "lines {named}{more} are the same; {count} count. If it is one cost, take this import \
             back, and keep one of the rows"
        );
        (0, words)
    });
    told.collect()
}

impl Spent {
    /// A cost from before the bike came, or long after it went.
    fn day_in_doubt(&self, cost: &Cost) -> Option<String> {
        let (id, on) = (&self.sale.id, cost.on);
        if let Some(bought) = self.sale.bought_on.filter(|bought| on < *bought) {
            return Some(format!(
                "{id} was bought on {bought}, but this cost is of {on}; correct the day that is wrong"
            ));
        }
        let sold = self.sale.sold?.on;
        let days = days_between(sold, on);
        (days > LATE).then(|| {
            format!(
                "{id} was sold on {sold}, {days} days before this cost of {on}; check the bike and \
                 the day"
            )
        })
    }

    /// Columns of the sales that say something else than the costs since these
    /// were added, each with the line of the first cost that counts there.
    fn counted_instead(&self) -> Vec<(u64, Replaced)> {
        let known = DirectCost::of(&self.sale, &self.before).replaced;
        let added = self.added.iter().map(|(_, cost)| cost);
        let now = DirectCost::of(&self.sale, self.before.iter().chain(added)).replaced;
        let news = now.into_iter().filter(|replaced| !known.contains(replaced));
        let first = |column| {
            let mut lines = self.added.iter();
            lines.find_map(|(line, cost)| (self.column_of(cost) == Some(column)).then_some(*line))
        };
        news.filter_map(|replaced| Some((first(replaced.column)?, replaced)))
            .collect()
    }

    /// The column of the sales in whose place a cost counts; `None` for one from
    /// the box.
    fn column_of(&self, cost: &Cost) -> Option<&'static str> {
        // Every column says what no cost adds up to, so the one that is replaced
        // is told.
        let never = Some(Money::from_minor(-1));
        let sale = Sale {
            purchase: never,
            parts: never,
            fees: never,
            other_cost: never,
            ..self.sale.clone()
        };
        let replaced = DirectCost::of(&sale, [cost]).replaced;
        replaced.first().map(|replaced| replaced.column)
    }
}

/// That the costs of a bike count in place of a column of the sales, which says
/// something else.
pub(crate) fn counted_instead(bike: &str, replaced: &Replaced, currency: &Currency) -> String {
    let next = if replaced.counted < replaced.said {
        "record any cost that is missing"
    } else {
        "nothing to do if that is all of it; else record the others too"
    };
    format!(
        "{bike}: {} {currency} counts for {} now, by your list of costs, and no more the {} in your list of \
         bikes; {next}",
        amounts::exact(replaced.counted, currency),
        replaced.column.replace('_', " "),
        amounts::exact(replaced.said, currency)
    )
}
