//! What is said of cells that no field can hold, and of days against each other.

use crate::intake::problems::problem::CellProblem;
use crate::intake::settings::DateOrder;
use crate::intake::sheets::cell::Holds;

/// A day that can only be read in another order than one of its column before it.
pub(in crate::intake) fn two_orders(order: DateOrder, first: &str, line: u64) -> CellProblem {
    let (this, other) = match order {
        DateOrder::DayFirst => ("day", "month"),
        DateOrder::MonthFirst => ("month", "day"),
    };
    CellProblem::new(
        format!(
            "days of one column in one order: this can only be {this} first, and '{first}' (line \
             {line}) only {other} first"
        ),
        "Correct the one that is wrong, or write the days as YYYY-MM-DD.",
    )
}

/// What is said of a cell that no field can hold.
pub(in crate::intake) fn no_value(holds: Holds) -> CellProblem {
    let (expected, mend) = match holds {
        Holds::Error => (
            "a value, not an error of the spreadsheet",
            "Correct the formula or empty the cell, and save the spreadsheet.",
        ),
        Holds::Formula => (
            "a value, not a formula without its value",
            "Open the file in the spreadsheet and save it: that works the formulas out.",
        ),
        Holds::Percent => (
            "a value, not a percentage",
            "Show the cell as a plain number, or leave its column out with --ignore.",
        ),
        _ => (
            "a value, not yes or no as a spreadsheet keeps them",
            "Write it as text, yes or no, or leave its column out with --ignore.",
        ),
    };
    CellProblem::new(expected, mend)
}
