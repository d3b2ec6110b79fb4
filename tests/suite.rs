//! Every test of the crate, a folder per stage.

mod formula;
