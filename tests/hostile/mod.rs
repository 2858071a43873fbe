//! Files and books as they should not be: each gets a clear message that names
//! the place, and the book is left byte for byte as it was.

mod asks;
mod books;
mod corpus;
mod costs;
mod edges;
mod exports;
mod files;
mod gifts;
mod imports;
mod no_room;
mod plug_pulled;
mod record;
mod rows;
mod sheets;
