//! What is unusual in the market, as text.

use crate::pricing::market::Market;
use crate::pricing::market::far_asks::FarAsks;
use crate::pricing::records::gathered::Gathered;
use crate::report::market::double_listings::DoubleListings;
use crate::report::market::takeaways;
use crate::report::market::takeaways::take;
use crate::report::market::words;
use crate::report::text::amounts;
use crate::report::text::amounts::{bike, exact, round};
use crate::report::text::counts::many;
use crate::report::text::shares::left_out;
use crate::report::text::table::{Column, Table};
use crate::trade::Currency;
use std::fmt::Write as _;

/// Rows that were set aside and are named, at most.
const SET_ASIDE: usize = 5;

/// Prices far from their value, rows set aside, double listings.
pub(in crate::report) fn unusual(
    out: &mut String,
    market: &Market,
    doubles: &DoubleListings,
    currency: &Currency,
) {
    let _ = writeln!(out, "\nUnusual");
    far_asks(out, &market.far, currency);
    if let Some(gathered) = market.gathered.as_ref().filter(|g| g.left_out > 0) {
        set_aside(out, gathered);
    }
    double_listings(out, doubles, currency);
    take(out, takeaways::of_unusual(market));
}

fn far_asks(out: &mut String, far: &FarAsks, currency: &Currency) {
    if far.count > 0 {
        let _ = writeln!(
            out,
            "  {} far from what is likely for such a listing, the strongest first{}",
            many(far.count, "comp"),
            shown(far.found.len(), far.count)
        );
    }
    let mut table = Table::new([
        Column::cut(10).after("    "),
        Column::right(8).fitted(),
        Column::right(7).fitted(),
        Column::broken(20).after(", "),
    ]);
    for ask in &far.found {
        let times = if ask.ratio >= 1.0 {
            format!("{:.1} times", ask.ratio)
        } else {
            format!("1/{:.1} of", 1.0 / ask.ratio)
        };
        let likely = round(ask.expected, currency);
        table.row([
            words::listing(&ask.listing, &ask.source),
            words::standing(ask.outcome, ask.paid).into(),
            exact(ask.price, currency),
            format!("{times} the likely {likely}: {}", words::may_be(ask.may_be)),
        ]);
        table.across(format!("      {}", bike(&ask.bike)));
    }
    table.write(out);
}

fn set_aside(out: &mut String, gathered: &Gathered) {
    let named = gathered.left_out_named.iter().take(SET_ASIDE);
    let named: Vec<String> = named.map(left_out).collect();
    let more = if gathered.left_out > named.len() {
        "; …"
    } else {
        ""
    };
    let _ = writeln!(
        out,
        "  Set aside as not to be believed, {} in all: {}{more}",
        gathered.left_out,
        named.join("; ")
    );
}

fn double_listings(out: &mut String, doubles: &DoubleListings, currency: &Currency) {
    if doubles.count > 0 {
        let _ = writeln!(
            out,
            "  {} probably listed more than once{}",
            many(doubles.count, "bike"),
            shown(doubles.named.len(), doubles.count)
        );
    }
    for double in &doubles.named {
        let listings = double.listings.iter();
        let listings = listings.map(|(id, source)| words::listing(id, source));
        let listings: Vec<String> = listings.collect();
        let _ = writeln!(
            out,
            "    {}: {}, {}",
            listings.join(" = "),
            amounts::briefly(&double.bike),
            exact(double.ask, currency)
        );
    }
}

/// `; 10 shown` where not all are.
fn shown(shown: usize, all: usize) -> String {
    if shown < all {
        format!("; {shown} shown")
    } else {
        String::new()
    }
}
