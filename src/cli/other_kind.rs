//! A file of another kind than the one that was asked for.

use crate::intake::{Asks, Comps, Costs, Field, Gifts, InspectionSheet, Kind, Sales};

/// What reads a file with this header, where it is one of ours with our own names of the
/// columns: how the command begins.
pub(super) fn command_for(header: &[String]) -> Option<&'static str> {
    const KINDS: [(&str, &[Field]); 6] = [
        (Sales::COMMAND, Sales::FIELDS),
        (Comps::COMMAND, Comps::FIELDS),
        (Asks::COMMAND, Asks::FIELDS),
        (Costs::COMMAND, Costs::FIELDS),
        (Gifts::COMMAND, Gifts::FIELDS),
        (InspectionSheet::COMMAND, InspectionSheet::FIELDS),
    ];
    let has = |field: &Field| header.iter().any(|name| name == field.name);
    let fits = |fields: &[Field]| {
        let known = |name: &String| fields.iter().any(|field| field.name == name);
        header.iter().all(known) && fields.iter().all(|field| !field.required || has(field))
    };
    let mut fitting = KINDS.iter().filter(|(_, fields)| fits(fields));
    fitting.next().map(|(command, _)| *command)
}
