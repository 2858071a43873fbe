//! Pages of a quarter's report, from reports made up by hand.

mod csv_and_json;
mod html;
mod made_up;
mod private;
mod text;
