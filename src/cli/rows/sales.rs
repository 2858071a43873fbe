//! Sales held against the asks and the costs of their bikes.

use super::asks;
use super::asks::Listings;
use super::costs::counted_instead;
use super::importable::{Changes, Importable, Meet, Refusal};
use super::like_bike::{self, Kept};
use super::offered;
use crate::accounts::{Clearance, DirectCost};
use crate::book::{Book, BookProblem, Import, Put, Repeat};
use crate::cli::inspections;
use crate::cli::like_id;
use crate::cli::renamed::names_now;
use crate::intake::{CellProblem, Sales, made_visible};
use crate::pricing::records::reversed::{Graded, Reversed, reversed};
use crate::trade::calendar::days_between;
use crate::trade::{
    Condition, Cost, Currency, Day, KeptOffer, Left, LeftAs, Money, Sale, Style, Tier,
};
use std::collections::HashMap;

/// A sale at this many times its first ask, or at this small a part of it, is
/// told. A slipped digit makes ten times or a tenth, and what is sold for half its
/// first ask looks like 5 times then. A choice without a source.
const TIMES: f64 = 5.0;

/// What the book has of the user's own bikes.
pub(crate) struct OwnBikes {
    listings: Listings,
    costs: HashMap<String, Vec<Cost>>,
    /// The ids by what is left of them once what is hardly seen is taken away.
    ids: HashMap<String, String>,
    /// Ids that bikes had before they were renamed, and what they are called now.
    renamed: HashMap<String, String>,
    /// Offers that were kept.
    offers: Vec<KeptOffer>,
    /// Bikes that are not to be ridden or not to be sold, by their latest inspections.
    failed: HashMap<String, Clearance>,
    /// Line of the file and words.
    doubts: Vec<(u64, String)>,
}

impl OwnBikes {
    /// Where a column was filled in, but the list of costs counts in its place.
    fn counted_instead(&mut self, sale: &Sale, line: u64, put: &Put, currency: &Currency) {
        let (Put::Updated { changed }, Some(costs)) = (put, self.costs.get(&sale.id)) else {
            return;
        };
        let replaced = DirectCost::of(sale, costs).replaced;
        let now = |column: &str| changed.iter().any(|change| change.field == column);
        for column in replaced.iter().filter(|replaced| now(replaced.column)) {
            let words = counted_instead(&sale.id, column, currency);
            self.doubts.push((line, words));
        }
    }
}

impl OwnBikes {
    /// A new bike whose id can hardly be told from that of another.
    fn looks_like_another(&mut self, sale: &Sale, put: &Put) -> Option<String> {
        if *put != Put::Added {
            return None;
        }
        let seen = like_id::seen(&sale.id);
        let Some(other) = self.ids.get(&seen) else {
            self.ids.insert(seen, sale.id.clone());
            return None;
        };
        Some(format!(
            "the ids {} and {} look nearly the same, and count as two bikes; correct one if they \
             are one bike",
            made_visible(other),
            made_visible(&sale.id)
        ))
    }
}

impl OwnBikes {
    /// A bike that goes on offer or is sold although its latest inspection found that it
    /// is not to be.
    fn not_fit(&self, sale: &Sale, put: &Put) -> Option<String> {
        let Put::Updated { changed } = put else {
            return None;
        };
        let set = |field: &str| {
            let mut changed = changed.iter();
            changed.any(|change| change.field == field && !change.after.is_empty())
        };
        let (listed, sold) = (set("listed_on"), set("sold_on"));
        let id = made_visible(&sale.id);
        let found = self.failed.get(&sale.id).filter(|_| listed || sold)?;
        let next = match (found, sold) {
            (Clearance::NotToBeSold, _) => {
                "do not sell it before the police or the keeper of the list has said whose it is"
            }
            (_, true) => "if it was sold to be ridden, tell the buyer today not to ride it",
            (Clearance::OnlyParts, false) => "take it off offer; sell its good parts alone",
            (_, false) => "offer it only as in need of repair, not to be ridden",
        };
        let what = match found {
            Clearance::NotToBeSold => {
                "serial number is missing, scratched out or on a list of stolen bikes"
            }
            Clearance::OnlyParts => "frame failed",
            _ => "safety checks did not all pass",
        };
        Some(format!("{id}: its {what} at the latest inspection; {next}"))
    }
}

/// A bike that is bought again on another day for another price.
fn another_purchase(sale: &Sale, put: &Put) -> Option<String> {
    let Put::Updated { changed } = put else {
        return None;
    };
    let moved = |field: &str| {
        let mut changed = changed.iter();
        changed.any(|change| {
            change.field == field && !(change.before.is_empty() || change.after.is_empty())
        })
    };
    let id = made_visible(&sale.id);
    (moved("bought_on") && moved("purchase")).then(|| {
        format!(
            "{id} was in the book already, and now has another day and price of purchase; if this is another bike, \
             take this import back and give it an id of its own"
        )
    })
}

/// A sale of one bike that moves by more days than this is taken for that of another. A
/// slip of a month is corrected without a word. A choice without a source.
const MOVED: i64 = 60;

/// What the row says, over what is there: fields without a column stay.
fn over(there: &Sale, new: &Sale, changes: &Changes) -> Sale {
    let mut sale = new.clone();
    like_bike::keep_what_is_not_given(&mut sale.bike, &there.bike, changes);
    let fields: [Kept<Sale>; 10] = [
        ("bought_on", |to, from| to.bought_on = from.bought_on),
        ("listed_on", |to, from| to.listed_on = from.listed_on),
        ("ask", |to, from| to.ask = from.ask),
        ("purchase", |to, from| to.purchase = from.purchase),
        ("parts", |to, from| to.parts = from.parts),
        ("fees", |to, from| to.fees = from.fees),
        ("other_cost", |to, from| to.other_cost = from.other_cost),
        ("hours", |to, from| to.hours = from.hours),
        ("note", |to, from| to.note.clone_from(&from.note)),
        ("guess", |to, from| to.guess = from.guess),
    ];
    like_bike::keep(&mut sale, there, &fields, changes);
    if !(changes.gives("sold_on") && changes.gives("sold_price")) {
        sale.sold = there.sold;
    }
    sale.left = left_over(there, &sale, changes);
    sale.returns.clone_from(&there.returns);
    sale
}

/// How it left: as the row says where it has both columns.
fn left_over(there: &Sale, new: &Sale, changes: &Changes) -> Option<Left> {
    if !(changes.gives("left_on") && changes.gives("left_as")) {
        return there.left.clone();
    }
    let mut left = new.left.clone()?;
    let before = there.left.as_ref();
    let before = before.filter(|_| left.how == LeftAs::Scrapped);
    if !changes.gives("box_value") {
        left.box_value = before.and_then(|before| before.box_value);
    }
    if !changes.gives("box_item") {
        left.box_item = before.and_then(|before| before.box_item.clone());
    }
    Some(left)
}

/// Refuses a row that tells of the life of another bike under the same id.
fn another_life(there: &Sale, new: &Sale, repeat: Repeat) -> Result<(), Refusal> {
    let Some(sold) = there.sold else {
        return Ok(());
    };
    let id = made_visible(&there.id);
    let mend = like_bike::mend(&there.id, repeat);
    if let Some(again) = new.sold.filter(|again| again.on != sold.on) {
        let moved = days_between(sold.on, again.on).abs();
        if repeat == Repeat::OneMore || moved > MOVED {
            let expected = format!("{}, the day on which {id} was sold by the book", sold.on);
            return Err(("sold_on", CellProblem::new(expected, mend)));
        }
    }
    if new.bought_on.is_some_and(|bought| bought > sold.on) {
        let expected = format!(
            "a day up to {}, on which {id} was sold by the book",
            sold.on
        );
        return Err(("bought_on", CellProblem::new(expected, mend)));
    }
    Ok(())
}

/// Refuses a sale of before the bike came back, other than the one that did, and a day of
/// listing on which a buyer had it.
fn after_it_came_back(sale: &Sale) -> Result<(), Refusal> {
    let mut back = sale.returns.iter().filter(|one| one.back.is_some());
    let Some(last) = back.next_back() else {
        return Ok(());
    };
    let id = made_visible(&sale.id);
    let with_a_buyer = |listed: &Day| {
        let mut sales = sale
            .returns
            .iter()
            .filter_map(|one| Some((one.back?.on, one.on)));
        sales.any(|(sold, back)| sold < *listed && *listed < back)
    };
    if sale.listed_on.as_ref().is_some_and(with_a_buyer) {
        let expected = format!("a day from {} on, on which {id} came back", last.on);
        let mend = "A buyer had it until then: give the day from which you offer it again.";
        return Err(("listed_on", CellProblem::new(expected, mend)));
    }
    if sale.left.as_ref().is_some_and(|left| left.on < last.on) {
        let expected = format!("a day from {} on, on which {id} came back", last.on);
        let mend = "A bike that is sold cannot leave: give the day after it came back.";
        return Err(("left_on", CellProblem::new(expected, mend)));
    }
    if sale.sold.is_none_or(|sold| sold.on >= last.on) {
        return Ok(());
    }
    let expected = format!("a day from {} on, on which {id} came back", last.on);
    let mend = "Give the sale after that day; the sale that came back is in the book already. To \
                correct it, take the import of the return back first.";
    Err(("sold_on", CellProblem::new(expected, mend)))
}

/// Refuses a sale of a bike that left, and the other way round.
fn sold_or_left(there: &Sale, sale: &Sale) -> Result<(), Refusal> {
    let (Some(sold), Some(left)) = (sale.sold, &sale.left) else {
        return Ok(());
    };
    let id = made_visible(&sale.id);
    let (column, expected) = if there.left.is_some() {
        let expected = format!("nothing: {id} left on {} ({})", left.on, left.how);
        ("sold_on", expected)
    } else {
        let expected = format!("nothing: {id} was sold on {} by the book", sold.on);
        ("left_on", expected)
    };
    let mend = "A bike is sold or leaves without a sale: take the import that is wrong back \
                ('wheelworth import --history' lists them).";
    Err((column, CellProblem::new(expected, mend)))
}

/// Refuses days that are in order by themselves, but not beside those that stay.
fn in_order(there: &Sale, sale: &Sale) -> Result<(), Refusal> {
    if let Some((left, bought)) = sale.left.as_ref().zip(sale.bought_on)
        && left.on < bought
    {
        let id = made_visible(&there.id);
        let expected = format!("a day not before bought_on of {id} in the book, {bought}");
        let mend = "Correct left_on, or give bought_on too.";
        return Err(("left_on", CellProblem::new(expected, mend)));
    }
    let Some(sold) = sale.sold else {
        return Ok(());
    };
    let days = [("listed_on", sale.listed_on), ("bought_on", sale.bought_on)];
    for (column, day) in days {
        if let Some(day) = day.filter(|day| *day > sold.on) {
            let id = made_visible(&there.id);
            let expected = format!("a day not before {column} of {id} in the book, {day}");
            let mend = format!("Correct sold_on, or give {column} too.");
            return Err(("sold_on", CellProblem::new(expected, mend)));
        }
    }
    Ok(())
}

/// A sale far from its own first ask, where one of the two is news.
fn far_from_its_ask(sale: &Sale, put: &Put, currency: &Currency) -> Option<String> {
    let is_news = match put {
        Put::Added => true,
        Put::Updated { changed } => changed
            .iter()
            .any(|change| matches!(change.field, "ask" | "sold_price")),
        _ => false,
    };
    let (ask, sold) = sale.ask.zip(sale.sold).filter(|_| is_news)?;
    let times = asks::times(sold.price, ask, TIMES, currency)?;
    Some(format!(
        "{} was sold for {}, {times} its first ask of {}; check the decimal point of both",
        sale.id,
        asks::words(sold.price, currency),
        asks::words(ask, currency)
    ))
}

/// A bike that the book knew as sold and that is on hand again by this row.
fn taken_back(sale: &Sale, put: &Put) -> Option<String> {
    let Put::Updated { changed } = put else {
        return None;
    };
    let was = |field: &str| {
        let change = changed.iter().find(|change| change.field == field)?;
        (change.after.is_empty() && !change.before.is_empty()).then_some(&change.before)
    };
    let (on, price) = (was("sold_on")?, was("sold_price")?);
    Some(format!(
        "{} was sold on {on} for {price} by the book, and is on hand again now; if what you gave is older than that \
         sale, take this import back",
        sale.id
    ))
}

/// That grades seem to run the other way, and how to say so.
fn the_other_way(found: &Reversed) -> String {
    let (name, words) = match found.feature {
        Graded::Condition => (
            "condition",
            Condition::ALL.iter().map(|c| c.word()).collect::<Vec<_>>(),
        ),
        Graded::Tier => ("tier", Tier::ALL.iter().map(|t| t.word()).collect()),
    };
    let said = words.iter().rev().enumerate().filter_map(|(place, word)| {
        let grade = place + 1;
        (words[place] != *word).then(|| format!("--word {name}:{grade}={word}"))
    });
    format!(
        "in {} sales of the book the higher grades of {name} bring less, style by style (by chance \
         alone about once in a hundred books): 5 is the best grade here. If 1 is your best, \
         import the file again with {}",
        found.sales,
        said.collect::<Vec<_>>().join(" ")
    )
}

impl Importable for Sales {
    type Beside = OwnBikes;
    const ONE: &'static str = "sale";
    const ID: &'static str = "bike";
    const DESCRIBES_A_BIKE: bool = true;

    fn beside(book: &Book) -> Result<OwnBikes, BookProblem> {
        let sales = book.sales()?.into_iter();
        let mut costs: HashMap<String, Vec<Cost>> = HashMap::new();
        for cost in book.costs()? {
            if let Some(bike) = &cost.bike {
                costs.entry(bike.clone()).or_default().push(cost);
            }
        }
        Ok(OwnBikes {
            listings: Listings::of(book)?,
            costs,
            ids: sales
                .map(|sale| (like_id::seen(&sale.id), sale.id))
                .collect(),
            renamed: names_now(book)?,
            offers: book.offers(Day::MAX)?,
            failed: inspections::failed(book, Day::MAX)?,
            doubts: Vec::new(),
        })
    }

    fn of_the_whole(book: &Book, as_of: Day) -> Result<Vec<String>, BookProblem> {
        let found = reversed(&book.sales()?, as_of);
        Ok(found.iter().map(the_other_way).collect())
    }

    fn refusal(beside: &mut OwnBikes, record: &Sale) -> Option<Refusal> {
        let now = made_visible(beside.renamed.get(&record.id)?);
        let expected = format!("an id that is in use: this bike is called {now} now");
        let mend = format!("Write {now}, or give another bike an id of its own.");
        Some((Self::ID, CellProblem::new(expected, mend)))
    }

    fn put(
        import: &mut Import<'_>,
        record: &Sale,
        _: Repeat,
        meet: Meet<'_, Sale>,
    ) -> Result<Put, BookProblem> {
        import.put_sale_beside(record, meet)
    }

    fn met(there: &Sale, new: &Sale, repeat: Repeat, changes: &Changes) -> Result<Sale, Refusal> {
        let mut sale = over(there, new, changes);
        // A file of before tells of a sale that came back since: the book knows it.
        let came_back =
            sale.sold.is_some() && there.returns.iter().any(|one| one.back == sale.sold);
        if repeat == Repeat::OfAFile && came_back {
            sale.sold = there.sold;
        }
        // What was sold for nothing may have been given away, as is said now.
        let for_nothing = there.sold.is_some_and(|sold| sold.price == Money::ZERO);
        if for_nothing && sale.left.is_some() && sale.sold == there.sold {
            sale.sold = None;
        }
        if !changes.correct {
            like_bike::check(&there.bike, &sale.bike, &there.id, repeat)?;
            another_life(there, &sale, repeat)?;
        }
        sold_or_left(there, &sale)?;
        after_it_came_back(&sale)?;
        in_order(there, &sale)?;
        Ok(sale)
    }

    fn put_before_ids(record: &mut Sale, prefix: &str) {
        record.id.insert_str(0, prefix);
    }

    fn fill(beside: &OwnBikes, record: &mut Sale) -> Option<String> {
        let known = beside.ids.get(&like_id::seen(&record.id));
        if known == Some(&record.id) {
            return None;
        }
        let found = offered::found(&beside.offers, &record.id)?;
        offered::fill(&record.id, &mut record.bike, found)
    }

    fn name(record: &Sale) -> String {
        record.id.clone()
    }

    fn priced(record: &Sale) -> Option<(Style, Money)> {
        Some((
            record.bike.style,
            record.sold.map(|s| s.price).or(record.ask)?,
        ))
    }

    fn show(beside: &mut OwnBikes, sale: &Sale, line: u64, put: &Put, currency: &Currency) {
        beside.listings.sold(sale, line, put, currency);
        beside.counted_instead(sale, line, put, currency);
        let odd = [
            beside.looks_like_another(sale, put),
            far_from_its_ask(sale, put, currency),
            taken_back(sale, put),
            beside.not_fit(sale, put),
            another_purchase(sale, put),
        ];
        let odd = odd.into_iter().flatten().map(|words| (line, words));
        beside.doubts.extend(odd);
    }

    fn doubts(beside: OwnBikes, currency: &Currency) -> Vec<(u64, String)> {
        let mut doubts = beside.listings.doubts(currency);
        doubts.extend(beside.doubts);
        doubts.sort_by_key(|(line, _)| *line);
        doubts
    }
}
