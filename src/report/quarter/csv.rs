//! A quarter's report as CSV: one row a line of the report, for a spreadsheet.

use super::audience::Audience;
use super::words;
use crate::accounts::QuarterReport;
use crate::intake::with_guard;
use crate::report::export::record_cells;
use crate::trade::{Cost, Currency, Give, Money};

/// Columns, in order.
const COLUMNS: [&str; 13] = [
    "line",
    "on",
    "bike",
    "beneficiary",
    "reference",
    "what",
    "sold_price",
    "direct_cost",
    "margin",
    "hours",
    "due",
    "given",
    "balance",
];

/// Columns that only the workshop sees.
const PRIVATE: [&str; 3] = ["direct_cost", "margin", "hours"];

/// A row: its kind, and what stands in some of the columns.
struct Row(Vec<(&'static str, String)>);

impl Row {
    fn new(line: &'static str) -> Self {
        Self(vec![("line", line.into())])
    }

    /// A cell that is a number, a day or a word of ours.
    fn plain(mut self, column: &'static str, cell: impl Into<String>) -> Self {
        self.0.push((column, cell.into()));
        self
    }

    /// A cell that somebody typed.
    fn text(self, column: &'static str, cell: &str) -> Self {
        self.plain(column, with_guard(cell))
    }
}

/// The report with a header row. For the beneficiary, the columns and lines
/// that tell of costs, hours and margins are left out.
///
/// Box parts cost nothing, so their worth stands in `what` and in no column
/// that one might add up.
pub fn render(report: &QuarterReport, audience: Audience, currency: &Currency) -> String {
    let money = |amount: Money| currency.plain(amount);
    let open = audience.sees_costs();
    let balance = |line, amount| Row::new(line).plain("balance", money(amount));
    let mut rows = vec![balance("opening", report.opening)];
    rows.extend(report.sales.iter().map(|sale| {
        let row = Row::new("sale")
            .plain("on", sale.sold_on.to_string())
            .text("bike", &sale.id)
            .plain("what", words::what_it_is(&sale.bike))
            .plain("sold_price", money(sale.sold_price))
            .plain("direct_cost", money(sale.direct_cost))
            .plain("margin", money(sale.margin))
            .plain(
                "hours",
                sale.hours.map_or(String::new(), record_cells::hours),
            );
        if audience.sees_dues(report) {
            row.plain("due", money(sale.due))
        } else {
            row
        }
    }));
    if open {
        rows.extend(report.workshop.iter().map(|cost| {
            cost_row("workshop_cost", cost, words::cost(cost))
                .plain("direct_cost", money(cost.amount))
        }));
        rows.extend(report.from_box.iter().map(|cost| {
            let worth = format!("{}, worth {}", words::cost(cost), money(cost.amount));
            cost_row("from_box", cost, worth)
        }));
    }
    rows.extend(report.corrections.iter().filter_map(|correction| {
        let what = if open {
            words::correction(correction, currency)
        } else {
            words::price_change(correction, currency)?
        };
        let column = match report.giving.give {
            Give::Price => "sold_price",
            Give::Net => "margin",
        };
        Some(
            Row::new("correction")
                .text("bike", correction.bike.as_deref().unwrap_or_default())
                .plain("what", format!("{}: {what}", correction.of))
                .plain(column, money(correction.amount)),
        )
    }));
    rows.push(balance("brought_forward", report.brought_forward));
    rows.push(balance("carried_forward", report.carried_forward));
    rows.push(Row::new("due").plain("due", money(report.due)));
    rows.extend(report.gifts.iter().map(|line| {
        let reference = line.gift.reference.as_deref().unwrap_or_default();
        Row::new("gift")
            .plain("on", line.gift.on.to_string())
            .text("beneficiary", &line.gift.beneficiary)
            .text("reference", reference)
            .plain("what", words::gift_remark(line))
            .plain("given", money(line.amount))
    }));
    rows.push(Row::new("given").plain("given", money(report.given)));
    rows.push(balance("closing", report.closing));
    for one in &report.beneficiaries {
        let of = |line| Row::new(line).text("beneficiary", &one.name);
        rows.push(of("opening").plain("balance", money(one.opening)));
        rows.push(of("due").plain("due", money(one.due)));
        rows.push(of("given").plain("given", money(one.given)));
        rows.push(of("closing").plain("balance", money(one.closing)));
    }
    let shown = |column: &&str| open || !PRIVATE.contains(column);
    written(COLUMNS.iter().copied().filter(shown).collect(), &rows)
}

fn cost_row(line: &'static str, cost: &Cost, what: String) -> Row {
    Row::new(line)
        .plain("on", cost.on.to_string())
        .text("bike", cost.bike.as_deref().unwrap_or_default())
        .text("what", &what)
}

fn written(columns: Vec<&str>, rows: &[Row]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing into memory does not fail.
    let _ = writer.write_record(&columns);
    for Row(cells) in rows {
        let cell = |column: &&str| {
            let found = cells.iter().find(|(name, _)| name == column);
            found.map_or("", |(_, cell)| cell.as_str())
        };
        let _ = writer.write_record(columns.iter().map(cell));
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}
