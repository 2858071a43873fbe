//! The flags of `record`: one for each column that a file of the kind has.

use super::leave::LeaveFlags;
use super::recordable::{Mark, Recordable};
use super::return_::ReturnFlags;
use super::sale::SaleFlags;
use super::typed::Typed;
use crate::cli::how_written::{Dates, Decimal};
use crate::intake::{Asks, Comps, Costs, Field, Gifts};
use crate::trade::Style;
use clap::value_parser;
use clap::{Arg, ArgAction, ArgMatches, Args, Command, Error, FromArgMatches, Subcommand};
use std::marker::PhantomData;

/// Record one event without a file: a sale, a bike seen for sale, an asking price, a cost, a gift and more
///
/// The flags are named as the columns of the files. Each event is an import of
/// its own: 'wheelworth import --history' lists it, and --undo takes it back.
///
/// Example: wheelworth record sale --bike B-7 --sold-on 2026-04-11 --sold-price 150
#[derive(Debug, Args)]
#[command(arg_required_else_help = true)]
pub(crate) struct Record {
    #[command(subcommand)]
    pub event: Event,
}

/// What is recorded.
#[derive(Debug, Subcommand)]
pub(crate) enum Event {
    /// Record a bike of yours: a new one, or what changed, as when it is sold
    ///
    /// Of a bike that is in the book only what is given changes; '' empties a
    /// field. Several bikes sold for one price: --bike A --bike B; the price is split
    /// by what each is worth. A bike taken in part payment: --took-in with
    /// --took-in-for and --took-in-style; the price is then all that was agreed,
    /// money and that bike together.
    ///
    /// Example: wheelworth record sale --bike B-7 --sold-on 2026-04-11 --sold-price 150
    Sale(SaleFlags),
    /// Record that a bike leaves without a sale: kept, given, scrapped or stolen
    ///
    /// It counts in no price and no stock from then on; the days on which it stood unsold
    /// still count. What it cost counts among the workshop's costs of that quarter, but not for a bike that
    /// you keep. Parts of a scrapped bike that go into the parts box are listed and in
    /// no sum.
    ///
    /// Example: wheelworth record leave --bike B-9 --as scrapped --box-value 12.50 --box-item
    /// wheels
    Leave(LeaveFlags),
    /// Record that a sale came back, wholly or in part
    ///
    /// Without --refund the bike comes back, all of its price is handed back, and it is
    /// stock again. With --refund the buyer keeps the bike and gets that much
    /// back. The quarter in which it happens counts it; its sale stays where it was.
    ///
    /// Example: wheelworth record return --bike B-7 --refund 20
    Return(ReturnFlags),
    /// Record somebody else's bike that you have seen, or another look at it
    ///
    /// A new one needs --style and --ask; without --listing it gets an id, which is
    /// shown. With the --listing of one that is in the book it is a later look: the
    /// first look keeps its day and ask.
    ///
    /// Example: wheelworth record comp --style city --ask 120; later: wheelworth record comp
    /// --listing S-1 --ask 95, or --gone
    Comp(Typed<Comps>),
    /// Record a price change of one of your listings
    ///
    /// Example: wheelworth record ask --bike B-7 --ask 135
    Ask(Typed<Asks>),
    /// Record money spent on a bike or on the workshop
    ///
    /// Each cost counts, also one that is like another.
    ///
    /// Example: wheelworth record cost --bike B-7 --kind part --item chain --amount 12
    Cost(Typed<Costs>),
    /// Record money handed to a beneficiary
    ///
    /// A reference that is in the book changes that gift; without one each gift
    /// counts, also one that is like another.
    ///
    /// Example: wheelworth record gift --amount 60 --reference T-113
    Gift(Typed<Gifts>),
}

impl<K: Recordable> Args for Typed<K> {
    fn augment_args(command: Command) -> Command {
        let dry_run = Arg::new("dry_run")
            .long("dry-run")
            .action(ArgAction::SetTrue)
            .help("Say what would be recorded; leave the book as it is");
        let correct = Arg::new("correct")
            .long("correct")
            .action(ArgAction::SetTrue)
            .help("Change what the book has, also where it looks like another one");
        let dates = Arg::new("dates")
            .long("dates")
            .value_name("DATES")
            .value_parser(value_parser!(Dates))
            .help("Order of day and month in dates such as 03/02/2024; the book keeps it");
        let decimal = Arg::new("decimal")
            .long("decimal")
            .value_name("DECIMAL")
            .value_parser(value_parser!(Decimal))
            .help("Sign before the decimals of amounts such as 1.234; the book keeps it");
        let own = [dates, decimal, dry_run];
        let marks = K::MARKS.iter().map(mark::<K>);
        let command = command.args(K::FIELDS.iter().map(flag::<K>));
        let command = command.args(marks).args(own);
        if K::MAY_BE_ANOTHER {
            command.arg(correct)
        } else {
            command
        }
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl<K: Recordable> FromArgMatches for Typed<K> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, Error> {
        let marked = |column: &str| {
            let mut marks = K::MARKS.iter().filter(|mark| mark.column == column);
            let mark = marks.find(|mark| matches.get_flag(mark.flag))?;
            Some(mark.value.to_string())
        };
        let all = |name: &str| matches.get_many::<String>(name).into_iter().flatten();
        let cell = |field: &Field| {
            let typed = all(field.name).next().cloned();
            typed.or_else(|| marked(field.name))
        };
        let several = K::SEVERAL.into_iter().flat_map(|name| all(name).skip(1));
        Ok(Self {
            cells: K::FIELDS.iter().map(cell).collect(),
            dry_run: matches.get_flag("dry_run"),
            correct: K::MAY_BE_ANOTHER && matches.get_flag("correct"),
            dates: matches.get_one("dates").copied(),
            decimal: matches.get_one("decimal").copied(),
            others: several.cloned().collect(),
            names: &[],
            kind: PhantomData,
        })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

fn flag<K: Recordable>(field: &Field) -> Arg {
    let arg = Arg::new(field.name)
        .long(field.name.replace('_', "-"))
        .value_name(value_name(field.name))
        .help(help::<K>(field))
        .allow_hyphen_values(may_be_a_number(field.name));
    if K::SEVERAL == Some(field.name) {
        return arg.action(ArgAction::Append);
    }
    if field.name == "from_box" {
        return arg.num_args(0..=1).default_missing_value("yes");
    }
    arg
}

/// A flag that stands for a value of a column: `--gone` for `--outcome gone`.
fn mark<K: Recordable>(mark: &Mark) -> Arg {
    let others = K::MARKS.iter().filter(|other| other.column == mark.column);
    let others = others
        .map(|other| other.flag)
        .filter(|flag| *flag != mark.flag);
    Arg::new(mark.flag)
        .long(mark.flag)
        .action(ArgAction::SetTrue)
        .conflicts_with_all(others.chain([mark.column]))
        .help(mark.what)
}

fn value_name(column: &str) -> &'static str {
    match column {
        "bike" | "listing" => "ID",
        "style" => "STYLE",
        "made" => "YEARS",
        "condition" | "tier" => "GRADE",
        "seat_tube" => "SIZE",
        "hours" => "HOURS",
        "kind" => "KIND",
        "beneficiary" | "source" => "NAME",
        "outcome" => "OUTCOME",
        "from_box" => "YES OR NO",
        "left_as" => "HOW",
        "item" | "note" | "reference" | "box_item" => "TEXT",
        "on" | "first_seen" | "last_seen" => "DATE",
        other if other.ends_with("_on") => "DATE",
        _ => "AMOUNT",
    }
}

/// What may begin with a minus sign is read, so that a message can say why it
/// cannot be.
fn may_be_a_number(column: &str) -> bool {
    matches!(
        value_name(column),
        "AMOUNT" | "YEARS" | "GRADE" | "SIZE" | "HOURS"
    )
}

/// What the column holds, with its words and what is taken without it.
fn help<K: Recordable>(field: &Field) -> String {
    let more = match field.name {
        "style" => {
            let words: Vec<&str> = Style::ALL.iter().map(|style| style.word()).collect();
            format!(": {}", words.join(" "))
        }
        "condition" => ": donor, project, rider, tidy, mint".into(),
        "tier" => ": basic, sport, club, race, pro".into(),
        "seat_tube" => ": 53, 53cm, 530mm, 20in, M".into(),
        _ => String::new(),
    };
    let without = K::WITHOUT
        .iter()
        .find(|(column, _)| *column == field.name)
        .map_or(String::new(), |(_, what)| format!(" [{what}]"));
    let mut letters = field.what.chars();
    let first = letters.next().map(|letter| letter.to_ascii_uppercase());
    let what: String = first.into_iter().chain(letters).collect();
    format!("{what}{more}{without}")
}
