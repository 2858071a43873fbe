//! The tables that can be exported, and what their columns hold.

use Holds::{Day, Days, Hours, Money, Text, Tube, Whole, Word, Years, YesNo};

/// A table of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Table {
    /// The user's own bikes.
    Sales,
    /// Other people's bikes.
    Comps,
    /// Price changes of the user's own listings.
    Asks,
    /// Money spent.
    Costs,
    /// Money handed over.
    Gifts,
    /// Money handed back to buyers.
    Returns,
    /// Offers that were made.
    Offers,
    /// Inspections of the user's own bikes, a row a finding.
    Inspections,
}

/// What the cells of a column hold, as [`super::record_cells`] writes them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// The user's own text.
    Text,
    /// One of our words.
    Word,
    /// A whole number.
    Whole,
    /// A model year, or a range of them.
    Years,
    /// Money with the currency's decimals.
    Money,
    /// A day.
    Day,
    /// Hours with at most two decimals.
    Hours,
    /// A number of days with at most one decimal.
    Days,
    /// A length in centimetres with its unit and at most two decimals.
    Tube,
    /// `yes`, or nothing for no.
    YesNo,
}

/// Name of a column and what it holds.
pub type ExportColumn = (&'static str, Holds);

const BIKE: [ExportColumn; 6] = [
    ("style", Word),
    ("made", Years),
    ("condition", Whole),
    ("tier", Whole),
    ("seat_tube", Tube),
    ("new_price", Money),
];

const SALES: &[ExportColumn] = &[
    ("bike", Text),
    BIKE[0],
    BIKE[1],
    BIKE[2],
    BIKE[3],
    BIKE[4],
    BIKE[5],
    ("bought_on", Day),
    ("listed_on", Day),
    ("ask", Money),
    ("sold_on", Day),
    ("sold_price", Money),
    ("purchase", Money),
    ("parts", Money),
    ("fees", Money),
    ("other_cost", Money),
    ("hours", Hours),
    ("note", Text),
    ("guess", Money),
    ("left_on", Day),
    ("left_as", Word),
    ("box_value", Money),
    ("box_item", Text),
];

const RETURNS: &[ExportColumn] = &[
    ("bike", Text),
    ("on", Day),
    ("refund", Money),
    ("sold_on", Day),
    ("sold_price", Money),
];

const OFFERS: &[ExportColumn] = &[
    ("bike", Text),
    ("on", Day),
    ("asking", Money),
    ("margin", Money),
    ("most_mean", Money),
    ("most_cautious", Money),
    ("jobs", Text),
    ("cost", Money),
    ("hours", Hours),
    ("fees", Money),
    ("price", Money),
    ("days", Days),
    ("condition", Whole),
    ("tier", Whole),
    BIKE[0],
    BIKE[1],
    ("found_condition", Whole),
    ("found_tier", Whole),
    BIKE[4],
    BIKE[5],
];

const COMPS: &[ExportColumn] = &[
    ("listing", Text),
    ("source", Text),
    BIKE[0],
    BIKE[1],
    BIKE[2],
    BIKE[3],
    BIKE[4],
    BIKE[5],
    ("listed_on", Day),
    ("first_seen", Day),
    ("last_seen", Day),
    ("ask", Money),
    ("last_ask", Money),
    ("outcome", Word),
    ("ended_on", Day),
    ("sold_price", Money),
];

const ASKS: &[ExportColumn] = &[("bike", Text), ("on", Day), ("ask", Money)];

const COSTS: &[ExportColumn] = &[
    ("bike", Text),
    ("on", Day),
    ("kind", Word),
    ("item", Text),
    ("amount", Money),
    ("from_box", YesNo),
];

const GIFTS: &[ExportColumn] = &[
    ("on", Day),
    ("beneficiary", Text),
    ("amount", Money),
    ("reference", Text),
];

const INSPECTIONS: &[ExportColumn] = &[
    ("bike", Text),
    ("on", Day),
    ("item", Word),
    ("result", Word),
    ("measure", Text),
    ("note", Text),
    ("number", Whole),
];

impl Table {
    /// The word that is typed.
    pub fn word(self) -> &'static str {
        match self {
            Table::Sales => "sales",
            Table::Comps => "comps",
            Table::Asks => "asks",
            Table::Costs => "costs",
            Table::Gifts => "gifts",
            Table::Returns => "returns",
            Table::Offers => "offers",
            Table::Inspections => "inspections",
        }
    }

    /// How many of its first columns tell one record from another: the id, or all
    /// columns of records that have none.
    pub fn ids(self) -> usize {
        match self {
            Table::Sales => 1,
            Table::Comps | Table::Offers => 2,
            Table::Returns | Table::Asks | Table::Costs | Table::Gifts | Table::Inspections => {
                self.columns().len()
            }
        }
    }

    /// Its columns, in the order of the file that is imported.
    pub fn columns(self) -> &'static [ExportColumn] {
        match self {
            Table::Sales => SALES,
            Table::Comps => COMPS,
            Table::Asks => ASKS,
            Table::Costs => COSTS,
            Table::Gifts => GIFTS,
            Table::Returns => RETURNS,
            Table::Offers => OFFERS,
            Table::Inspections => INSPECTIONS,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Table;
    use crate::intake::{Asks, Comps, Costs, Gifts, Inspections, Kind, Offers, Returns, Sales};

    fn fields<K: Kind>() -> Vec<&'static str> {
        K::FIELDS.iter().map(|field| field.name).collect()
    }

    #[test]
    fn columns_are_those_that_are_imported() {
        for (table, fields) in [
            (Table::Sales, fields::<Sales>()),
            (Table::Comps, fields::<Comps>()),
            (Table::Asks, fields::<Asks>()),
            (Table::Costs, fields::<Costs>()),
            (Table::Gifts, fields::<Gifts>()),
            (Table::Returns, fields::<Returns>()),
            (Table::Offers, fields::<Offers>()),
            (Table::Inspections, fields::<Inspections>()),
        ] {
            let names: Vec<_> = table.columns().iter().map(|(name, _)| *name).collect();
            assert_eq!(names, fields);
        }
    }
}
