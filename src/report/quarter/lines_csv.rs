//! A quarter's report as CSV: one row a line of the report, for a spreadsheet.

use super::audience::Audience;
use super::words;
use crate::accounts::QuarterReport;
use crate::accounts::quarter::by_rule::by_rule;
use crate::accounts::quarter::figures::{
    Balance, Correction, GiftLine, LeftLine, ReturnLine, SaleLine,
};
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
    let open = audience.sees_costs();
    let balance = |line, amount| Row::new(line).plain("balance", currency.plain(amount));
    let mut rows = vec![balance("opening", report.opening)];
    rows.extend(sales(report, audience, currency));
    rows.extend(returns(report, currency));
    if open {
        rows.extend(left(report, currency));
        rows.extend(costs(report, currency));
    }
    rows.extend(corrections(report, audience, currency));
    rows.push(balance("brought_forward", report.brought_forward));
    rows.push(balance("carried_forward", report.carried_forward));
    rows.push(Row::new("due").plain("due", currency.plain(report.due)));
    rows.extend(gifts(report, currency));
    rows.push(Row::new("given").plain("given", currency.plain(report.given)));
    rows.push(balance("closing", report.closing));
    rows.extend(beneficiaries(report, currency));
    let shown = |column: &&str| open || !PRIVATE.contains(column);
    let columns: Vec<&str> = COLUMNS.into_iter().filter(shown).collect();
    written(&columns, &rows)
}

fn sales(report: &QuarterReport, audience: Audience, currency: &Currency) -> Vec<Row> {
    let rule = by_rule(report);
    let row = |(sale, due): (&SaleLine, &Money)| {
        let row = Row::new("sale")
            .plain("on", sale.sold_on.to_string())
            .text("bike", &sale.id)
            .plain("what", words::what_it_is(&sale.bike))
            .plain("sold_price", currency.plain(sale.sold_price))
            .plain("direct_cost", currency.plain(sale.direct_cost))
            .plain("margin", currency.plain(sale.margin))
            .plain(
                "hours",
                sale.hours.map_or(String::new(), record_cells::hours),
            );
        if audience.sees_dues(report) {
            row.plain("due", currency.plain(*due))
        } else {
            row
        }
    };
    let mut rows: Vec<Row> = report.sales.iter().zip(&rule.dues).map(row).collect();
    if rule.others != Money::ZERO && audience.sees_dues(report) {
        let others = Row::new("other_quarters").plain("what", words::of_others(report));
        rows.push(others.plain("due", currency.plain(rule.others)));
    }
    rows
}

/// Money handed back: each amount is taken off, so it stands below 0.
fn returns(report: &QuarterReport, currency: &Currency) -> Vec<Row> {
    let minus = |money: Money| currency.plain(Money::from_minor(-money.minor()));
    let row = |line: &ReturnLine| {
        Row::new("refund")
            .plain("on", line.on.to_string())
            .text("bike", &line.id)
            .plain("what", words::came_back(line))
            .plain("sold_price", minus(line.refund))
            .plain("direct_cost", minus(line.cost_back))
            .plain("margin", currency.plain(line.change()))
    };
    report.returns.iter().map(row).collect()
}

/// Bikes that left without a sale. The cost of one that its owner keeps is in no sum,
/// so it stands in `what` and in no column that one might add up.
fn left(report: &QuarterReport, currency: &Currency) -> Vec<Row> {
    let row = |line: &LeftLine| {
        let what = words::left(&line.left, currency);
        let counts = line.left.how.costs_the_workshop();
        let what = if counts {
            what
        } else {
            let cost = currency.plain(line.direct_cost);
            format!("{what}, cost {cost}, in no sum")
        };
        let row = Row::new(if counts { "left" } else { "kept" })
            .plain("on", line.left.on.to_string())
            .text("bike", &line.id)
            .text("what", &what);
        if counts {
            row.plain("direct_cost", currency.plain(line.direct_cost))
        } else {
            row
        }
    };
    report.left.iter().map(row).collect()
}

/// The workshop's costs, and what was taken from the parts box.
fn costs(report: &QuarterReport, currency: &Currency) -> Vec<Row> {
    let workshop = report.workshop.iter().map(|cost| {
        cost_row("workshop_cost", cost, &words::cost(cost))
            .plain("direct_cost", currency.plain(cost.amount))
    });
    let boxed = report.from_box.iter().map(|cost| {
        let worth = currency.plain(cost.amount);
        let worth = format!("{}, worth {worth}", words::cost(cost));
        cost_row("from_box", cost, &worth)
    });
    workshop.chain(boxed).collect()
}

fn corrections(report: &QuarterReport, audience: Audience, currency: &Currency) -> Vec<Row> {
    let row = |correction: &Correction| {
        let column = match correction.give {
            Give::Price => "sold_price",
            Give::Net => "margin",
        };
        let what = words::told_correction(correction, audience, currency)?;
        let row = Row::new("correction")
            .text("bike", correction.bike.as_deref().unwrap_or_default())
            .plain("what", format!("{}: {what}", correction.of))
            .plain(column, currency.plain(correction.amount));
        Some(row)
    };
    report.corrections.iter().filter_map(row).collect()
}

fn gifts(report: &QuarterReport, currency: &Currency) -> Vec<Row> {
    let row = |line: &GiftLine| {
        let reference = line.gift.reference.as_deref().unwrap_or_default();
        Row::new("gift")
            .plain("on", line.gift.on.to_string())
            .text("beneficiary", &line.gift.beneficiary)
            .text("reference", reference)
            .plain("what", words::gift_remark(line))
            .plain("given", currency.plain(line.amount))
    };
    report.gifts.iter().map(row).collect()
}

fn beneficiaries(report: &QuarterReport, currency: &Currency) -> Vec<Row> {
    let rows = |one: &Balance| {
        let of = |line, column, amount| {
            Row::new(line)
                .text("beneficiary", &one.name)
                .plain(column, currency.plain(amount))
        };
        [
            of("opening", "balance", one.opening),
            of("due", "due", one.due),
            of("given", "given", one.given),
            of("closing", "balance", one.closing),
        ]
    };
    report.beneficiaries.iter().flat_map(rows).collect()
}

fn cost_row(line: &'static str, cost: &Cost, what: &str) -> Row {
    Row::new(line)
        .plain("on", cost.on.to_string())
        .text("bike", cost.bike.as_deref().unwrap_or_default())
        .text("what", what)
}

fn written(columns: &[&str], rows: &[Row]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    // Writing into memory does not fail.
    let _ = writer.write_record(columns);
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
