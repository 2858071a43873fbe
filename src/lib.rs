pub mod book;
pub mod cli;
pub mod intake;
pub mod pricing;
pub mod report;
pub mod statistics;
pub mod trade;
