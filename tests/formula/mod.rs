//! The formula language, from the outside.

pub mod agreement;
mod cases;
mod example_words;
mod fuzz;
mod numbers;
mod random;
mod reader;
mod result;
mod robust;
mod rows;
mod solve;
mod titles;
mod units;
mod working;
