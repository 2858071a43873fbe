//! A column that a kind of file may have, and its place among the kind's columns.

/// A column that a kind of file may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field {
    /// Our name of the column.
    pub name: &'static str,
    /// Whether every file must have it.
    pub required: bool,
    /// What it holds, for help.
    pub what: &'static str,
    /// Whether its cells are amounts of money.
    pub is_money: bool,
}

impl Field {
    pub(in crate::intake) const STYLE: Self = Self::required("style", "what it is built for");
    pub(in crate::intake) const MADE: Self =
        Self::optional("made", "model year, or the years it may be of: 2010..2013");
    pub(in crate::intake) const CONDITION: Self =
        Self::optional("condition", "condition, 1 to 5 or a word");
    pub(in crate::intake) const TIER: Self =
        Self::optional("tier", "component tier, 1 to 5 or a word");
    pub(in crate::intake) const SEAT_TUBE: Self =
        Self::optional("seat_tube", "seat-tube length or size");
    pub(in crate::intake) const NEW_PRICE: Self =
        Self::optional("new_price", "what the nearest bike costs new today").of_money();

    pub(in crate::intake) const fn required(name: &'static str, what: &'static str) -> Self {
        Self {
            name,
            required: true,
            what,
            is_money: false,
        }
    }

    pub(in crate::intake) const fn optional(name: &'static str, what: &'static str) -> Self {
        Self {
            required: false,
            ..Self::required(name, what)
        }
    }

    /// The same field, which holds amounts of money.
    pub(in crate::intake) const fn of_money(self) -> Self {
        Self {
            is_money: true,
            ..self
        }
    }
}

/// The place of the field `name` among `fields`. For constants: a name that is not
/// among them does not compile.
pub(in crate::intake) const fn place(fields: &[Field], name: &str) -> usize {
    let mut at = 0;
    while !same(fields[at].name.as_bytes(), name.as_bytes()) {
        at += 1;
    }
    at
}

const fn same(a: &[u8], b: &[u8]) -> bool {
    let mut at = 0;
    while at < a.len() && at < b.len() && a[at] == b[at] {
        at += 1;
    }
    at == a.len() && at == b.len()
}

/// The places of the features of a bike.
#[derive(Clone, Copy)]
pub(in crate::intake) struct BikePlaces {
    pub(in crate::intake) style: usize,
    pub(in crate::intake) made: usize,
    pub(in crate::intake) condition: usize,
    pub(in crate::intake) tier: usize,
    pub(in crate::intake) seat_tube: usize,
    pub(in crate::intake) new_price: usize,
}

impl BikePlaces {
    /// Those among `fields`, which have them all.
    pub(in crate::intake) const fn among(fields: &[Field]) -> Self {
        Self {
            style: place(fields, Field::STYLE.name),
            made: place(fields, Field::MADE.name),
            condition: place(fields, Field::CONDITION.name),
            tier: place(fields, Field::TIER.name),
            seat_tube: place(fields, Field::SEAT_TUBE.name),
            new_price: place(fields, Field::NEW_PRICE.name),
        }
    }
}
