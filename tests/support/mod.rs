//! What the tests share: how far two numbers may differ, and a second solver.

pub mod second_opinion;
pub mod tolerance;
