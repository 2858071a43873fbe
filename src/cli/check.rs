//! `check`: is the book sound?

use super::context::{Context, DONE, Format};
use super::failure::Failure;
use crate::book::Book;

/// Says what is in the book and whether anything is wrong with it.
pub(super) fn run(context: &mut Context<'_>) -> Result<u8, Failure> {
    let book = Book::open(&context.book)?;
    let problems = book.check();
    if let Some(first) = problems.first() {
        return Err(Failure::Refused {
            message: format!("{} is not sound: {first}", context.book.display()),
            hints: problems
                .iter()
                .skip(1)
                .cloned()
                .chain([book.put_back()])
                .collect(),
        });
    }
    let counts = book.counts()?;
    if context.format == Format::Json {
        let text = serde_json::json!({
            "book": context.book.display().to_string(), "sound": true,
            "sales": counts.sales, "asks": counts.asks, "comps": counts.comps,
            "costs": counts.costs, "gifts": counts.gifts,
            "returns": counts.returns, "inspections": counts.inspections, "offers": counts.offers,
        });
        writeln!(context.out, "{text:#}")?;
        return Ok(DONE);
    }
    // What not every book has is named where it is there.
    let beside = [
        (counts.returns, "return", "returns"),
        (counts.inspections, "inspection", "inspections"),
        (counts.offers, "offer", "offers"),
    ];
    let beside = beside.iter().filter(|(count, ..)| *count > 0);
    let beside = beside.map(|(count, one, several)| format!(", {}", counted(*count, one, several)));
    let beside: String = beside.collect();
    writeln!(
        context.out,
        "{} is sound: {}, {}, {}, {}, {}{beside}.",
        context.book.display(),
        counted(counts.sales, "own bike", "own bikes"),
        counted(counts.asks, "change of their asks", "changes of their asks"),
        counted(counts.comps, "comp", "comps"),
        counted(counts.costs, "cost", "costs"),
        counted(counts.gifts, "gift", "gifts"),
    )?;
    Ok(DONE)
}

fn counted(count: u64, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}
