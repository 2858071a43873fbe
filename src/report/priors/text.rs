//! What is assumed beside what the records say, as text.

use crate::pricing::prior::effect::Effect;
use crate::report::text::table::{Column, Table};
use std::fmt::Write as _;

/// The table for people.
pub fn text(version: u32, effects: &[Effect], records: Option<(usize, usize)>) -> String {
    let mut out = String::new();
    let _ = writeln!(
        out,
        "What is assumed before any record, version {version}: our judgement, without a published source. Each is a factor \
         on the price, how sure it is (two times in three within low and high), and how many own sales it weighs as \
         much as. That number is for a sale that differs from the base bike by one step (one year, one tier); a sale \
         further away counts for more. JSON lists the season and how each style differs from these, too.\n"
    );
    let mut table = Table::new([
        Column::cut(22).after(""),
        Column::right(9),
        Column::right(7),
        Column::right(7),
        Column::right(11),
        Column::right(13),
    ]);
    table.row([
        "effect",
        "assumed",
        "low",
        "high",
        "worth sales",
        "with records",
    ]);
    for e in effects.iter().filter(|e| !e.nuisance) {
        let fitted = e.fitted.map_or("-".to_string(), |f| format!("x {f:.3}"));
        table.row([
            e.effect.clone(),
            format!("x {:.3}", e.believed),
            format!("{:.3}", e.low),
            format!("{:.3}", e.high),
            format!("{:.1}", e.equivalent_sales),
            fitted,
        ]);
    }
    table.write(&mut out);
    let _ = match records {
        Some((sales, comps)) => {
            writeln!(out, "\nWith records: {sales} own sales and {comps} comps.")
        }
        None => writeln!(
            out,
            "\nThe book has no prices yet: these assumptions are all there is."
        ),
    };
    out
}
