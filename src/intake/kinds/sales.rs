//! `sales.csv`: the user's own bikes, sold or on hand.

use crate::intake::cells::features::not_a_word;
use crate::intake::cells::meanings::meaning;
use crate::intake::cells::row::{RowCells, Zero};
use crate::intake::field::{BikePlaces, Field, place};
use crate::intake::kind::Kind;
use crate::intake::problems::columns::{shell_word, word_flag};
use crate::intake::problems::pointing::shortened;
use crate::intake::problems::problem::{CellProblem, RowNote};
use crate::trade::sale::Sold;
use crate::trade::{Day, Left, LeftAs, Money, Sale};

/// The kind of `sales.csv`.
#[derive(Clone, Copy, Debug)]
pub struct Sales;

const BIKE: usize = place(Sales::FIELDS, "bike");
const FEATURES: BikePlaces = BikePlaces::among(Sales::FIELDS);
const BOUGHT_ON: usize = place(Sales::FIELDS, "bought_on");
const LISTED_ON: usize = place(Sales::FIELDS, "listed_on");
const ASK: usize = place(Sales::FIELDS, "ask");
const SOLD_ON: usize = place(Sales::FIELDS, "sold_on");
const SOLD_PRICE: usize = place(Sales::FIELDS, "sold_price");
const PURCHASE: usize = place(Sales::FIELDS, "purchase");
const PARTS: usize = place(Sales::FIELDS, "parts");
const FEES: usize = place(Sales::FIELDS, "fees");
const OTHER_COST: usize = place(Sales::FIELDS, "other_cost");
const HOURS: usize = place(Sales::FIELDS, "hours");
const NOTE: usize = place(Sales::FIELDS, "note");
const GUESS: usize = place(Sales::FIELDS, "guess");
const LEFT_ON: usize = place(Sales::FIELDS, "left_on");
const LEFT_AS: usize = place(Sales::FIELDS, "left_as");
const BOX_VALUE: usize = place(Sales::FIELDS, "box_value");
const BOX_ITEM: usize = place(Sales::FIELDS, "box_item");

impl Kind for Sales {
    type Record = Sale;
    const NAME: &'static str = "sales";
    const COMMAND: &'static str = "wheelworth import sales";
    const FIELDS: &'static [Field] = &[
        Field::required("bike", "your id of the bike, unique"),
        Field::STYLE,
        Field::MADE,
        Field::CONDITION,
        Field::TIER,
        Field::SEAT_TUBE,
        Field::NEW_PRICE,
        Field::optional("bought_on", "day of purchase"),
        Field::optional("listed_on", "day on which it was first offered"),
        Field::optional("ask", "first ask").of_money(),
        Field::optional("sold_on", "day of the sale"),
        Field::optional("sold_price", "what the buyer paid").of_money(),
        Field::optional("purchase", "what you paid for it").of_money(),
        Field::optional("parts", "parts and supplies").of_money(),
        Field::optional("fees", "fees of listing and selling").of_money(),
        Field::optional("other_cost", "travel and anything else that it cost").of_money(),
        Field::optional("hours", "unpaid hours"),
        Field::optional("note", "your own remark"),
        Field::optional(
            "guess",
            "what you expect it to bring, guessed before you see a price here",
        )
        .of_money(),
        Field::optional("left_on", "day on which it left without a sale"),
        Field::optional(
            "left_as",
            "how it left without a sale: kept, given, scrapped or stolen",
        ),
        Field::optional(
            "box_value",
            "what the parts are worth that a scrapped bike gave to the parts box",
        )
        .of_money(),
        Field::optional("box_item", "which parts these are"),
    ];

    fn read(row: &mut RowCells<'_>) -> Option<Sale> {
        let id = row.id(BIKE);
        let bike = row.features(&FEATURES);
        one_day(row);
        let bought_on = row.day(BOUGHT_ON);
        let listed_on = row.day(LISTED_ON);
        let ask = row.money(ASK, Zero::Refused);
        not_sold(row);
        let sold_on = row.day(SOLD_ON);
        let sold_price = row.money(SOLD_PRICE, Zero::Allowed);
        let a_sale = ("a sale has both", "it is not sold");
        alone(row, SOLD_ON, SOLD_PRICE, a_sale);
        alone(row, SOLD_PRICE, SOLD_ON, a_sale);
        row.in_order((LISTED_ON, listed_on), (SOLD_ON, sold_on));
        row.in_order((BOUGHT_ON, bought_on), (SOLD_ON, sold_on));
        let purchase = row.money(PURCHASE, Zero::Allowed);
        let parts = row.money(PARTS, Zero::Allowed);
        let fees = row.money(FEES, Zero::Allowed);
        let other_cost = row.money(OTHER_COST, Zero::Allowed);
        let hours = row.hours(HOURS);
        let note = row.text(NOTE);
        let guess = row.money(GUESS, Zero::Allowed);
        let left = left(row, (BOUGHT_ON, bought_on));
        if sold_price == Some(Money::ZERO) {
            row.note(RowNote::SoldForNothing);
        }
        let sold = sold_on
            .zip(sold_price)
            .map(|(on, price)| Sold { on, price });
        Some(Sale {
            id: id?,
            bike: bike?,
            bought_on,
            listed_on,
            ask,
            sold,
            purchase,
            parts,
            fees,
            other_cost,
            hours,
            note,
            guess,
            left,
            returns: Vec::new(),
        })
    }
}

/// The word that says of a bike that it was sold, where one column holds how each left.
pub(in crate::intake) const SOLD: &str = "sold";

/// Where a word stands in the place of a price that says how a bike left without a sale.
fn not_sold(row: &mut RowCells<'_>) {
    let said = row.cell(SOLD_PRICE).to_lowercase();
    let read = || meaning("left_as", &said).and_then(|(ours, _)| LeftAs::from_word(ours));
    let Some(how) = LeftAs::from_word(&said).or_else(read) else {
        return;
    };
    let mend = format!(
        "It was not sold: leave the cell empty, and once it is imported 'wheelworth record leave --bike {} --as {}' \
         says so; or give the file columns left_on and left_as.",
        match row.cell(BIKE) {
            "" => "ID".to_string(),
            id => shell_word(&shortened(id)),
        },
        how.word()
    );
    row.refuse(SOLD_PRICE, CellProblem::new("what the buyer paid", mend));
    row.hide(SOLD_PRICE);
    row.hide(SOLD_ON);
}

/// Where one column holds the day on which a bike left, sold or not, `left_as` says which of
/// the two it is.
fn one_day(row: &mut RowCells<'_>) {
    if !row.shares(SOLD_ON, LEFT_ON) {
        return;
    }
    let how = row.cell(LEFT_AS).to_lowercase();
    if how == SOLD || (how.is_empty() && !row.cell(SOLD_PRICE).is_empty()) {
        row.hide(LEFT_ON);
        row.hide(LEFT_AS);
        return;
    }
    row.hide(SOLD_ON);
    if parse_left_as(&how).is_err() && !row.cell(LEFT_ON).is_empty() {
        let expected = "sold, or how it left: kept, given, scrapped or stolen";
        let flag = word_flag("left_as", &how, "OURS");
        let or = flag.map_or(String::new(), |flag| format!(", or import with {flag}"));
        row.refuse(
            LEFT_AS,
            CellProblem::new(expected, format!("Write one of these{or}.")),
        );
        row.hide(LEFT_AS);
        row.hide(LEFT_ON);
        return;
    }
    let nothing = |cell: &str| cell.chars().all(|c| matches!(c, '0' | '.' | ',' | '-'));
    if nothing(row.cell(SOLD_PRICE)) {
        row.hide(SOLD_PRICE); // 0 for a bike that brought nothing.
    }
}

/// How it left without a sale.
fn left(row: &mut RowCells<'_>, bought: (usize, Option<Day>)) -> Option<Left> {
    let on = row.day(LEFT_ON);
    let how = match row.cell(LEFT_AS) {
        "" => None,
        _ => row.read(LEFT_AS, parse_left_as),
    };
    let box_value = row.money(BOX_VALUE, Zero::Allowed);
    let box_item = row.text(BOX_ITEM);
    let leaving = ("a bike that left has both", "it did not leave");
    alone(row, LEFT_ON, LEFT_AS, leaving);
    alone(row, LEFT_AS, LEFT_ON, leaving);
    row.in_order(bought, (LEFT_ON, on));
    for sold in [SOLD_ON, SOLD_PRICE] {
        if !row.cell(LEFT_ON).is_empty() && !row.cell(sold).is_empty() {
            let (left, sold) = (row.name(LEFT_ON), row.name(sold));
            let expected = format!("nothing beside {sold}: a bike that was sold did not leave");
            let mend = format!("Empty {left} and left_as, or sold_on and sold_price.");
            row.refuse(LEFT_ON, CellProblem::new(expected, mend));
            break;
        }
    }
    for gave in [BOX_VALUE, BOX_ITEM] {
        if !row.cell(gave).is_empty() && how.is_some_and(|how| how != LeftAs::Scrapped)
            || !row.cell(gave).is_empty() && row.cell(LEFT_AS).is_empty()
        {
            let name = row.name(gave);
            let expected = "nothing, as the bike is not scrapped";
            let mend = format!("Empty {name}, or write scrapped in left_as.");
            row.refuse(gave, CellProblem::new(expected, mend));
        }
    }
    Some(Left {
        on: on?,
        how: how?,
        box_value,
        box_item,
    })
}

/// Reads how a bike left by its word; case does not matter.
fn parse_left_as(text: &str) -> Result<LeftAs, CellProblem> {
    let words = LeftAs::ALL.iter().map(|how| how.word());
    LeftAs::from_word(text).ok_or_else(|| not_a_word("left_as", text, "how a bike left", words))
}

/// Refuses a cell that is filled while its partner is empty. `why`: why both belong
/// together, and what is so where neither stands.
fn alone(row: &mut RowCells<'_>, filled: usize, empty: usize, why: (&str, &str)) {
    if !row.cell(filled).is_empty() && row.cell(empty).is_empty() {
        let (filled_name, empty_name) = (row.name(filled), row.name(empty));
        let expected = format!("{empty_name} beside {filled_name}: {}", why.0);
        let mend = format!("Fill in {empty_name}, or empty {filled_name} if {}.", why.1);
        row.refuse(filled, CellProblem::new(expected, mend));
    }
}
