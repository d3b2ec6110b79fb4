//! The formula language, from the outside.

mod agreement;
mod cases;
mod numbers;
mod reader;
mod random;
mod robust;
mod units;
mod working;
