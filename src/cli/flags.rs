//! What can be typed. The doc comments are the help.

use super::accuracy::Accuracy;
use super::advert;
use super::context::{self, Format};
use super::demo::Demo;
use super::export::exportable::Export;
use super::import::flags::Import;
use super::inspect::flags::Inspect;
use super::list::List;
use super::market::Market;
use super::offer::flags::Offer;
use super::pocket;
use super::price::flags::Price;
use super::quarter::Quarter;
use super::record::flags::Record;
use super::rename::Rename;
use super::rule::flags::Rule;
use super::shell::{Completions, Manual};
use super::show::Show;
use super::start::Start;
use super::stock::Stock;
use clap::{Parser, Subcommand};
use std::path::PathBuf;

/// Options of every command stand after its own.
const LAST: usize = 900;

/// Price a refurbished bicycle from your own sales and the asks you have seen
///
/// Keep a record book of your bikes, their costs and your gifts, and of bikes that
/// others offer ('comps', comparable listings), and ask it what a bike is worth, how
/// sure that is, what is left after costs, and what is due to the cause. Start with
/// 'wheelworth demo' to see it work on invented data.
#[derive(Debug, Parser)]
#[command(
    name = "wheelworth",
    version,
    max_term_width = 80,
    arg_required_else_help = true
)]
pub(super) struct Arguments {
    /// The record book
    #[arg(
        long,
        global = true,
        env = "WHEELWORTH_BOOK",
        default_value = context::DEFAULT_BOOK,
        value_name = "FILE",
        hide_env_values = true,
        display_order = LAST
    )]
    pub book: PathBuf,

    /// The day the answer is for; nothing later is used [default: today]
    #[arg(long, global = true, value_name = "DATE", display_order = LAST)]
    pub as_of: Option<String>,

    /// How results are written
    #[arg(long, global = true, value_enum, default_value_t = Format::Text, display_order = LAST)]
    pub format: Format,

    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    // The help of a command with arguments stands at its arguments; a comment
    // here would hide it.
    Start(Start),
    Import(Import),
    Record(Record),
    Price(Box<Price>),
    Market(Market),
    Accuracy(Accuracy),
    Inspect(Inspect),
    Offer(Box<Offer>),
    Pocket(pocket::Arguments),
    List(List),
    Show(Show),
    Rename(Rename),
    Rule(Rule),
    Stock(Stock),
    Advert(advert::Arguments),
    Quarter(Quarter),
    Export(Export),
    /// List what is believed before any record, and what your records make of it
    ///
    /// Without a book it shows the beliefs alone.
    ///
    /// Example: wheelworth priors --book shed.sqlite
    Priors,
    /// Say whether the book is sound
    ///
    /// Example: wheelworth check --book shed.sqlite
    Check,
    Demo(Demo),
    Completions(Completions),
    Manual(Manual),
}

impl Command {
    /// Whether a person reads what it prints, so that lines are broken to fit: not what
    /// is for programs.
    pub(super) fn is_to_be_read(&self, format: Format) -> bool {
        format == Format::Text
            && !matches!(
                self,
                Command::Completions(_) | Command::Manual(_) | Command::Advert(_)
            )
    }
}
