//! Proof: what is wrong with entries that can be read, one case a file, and entries broken at random.

mod cases;
pub mod folder;
mod mutate;
