//! The formula language, from the outside.

pub mod agreement;
mod cases;
mod numbers;
mod reader;
mod random;
mod robust;
mod units;
mod working;
