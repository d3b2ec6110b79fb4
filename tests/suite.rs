//! All tests that run in one process, a folder for each stage.

mod figures;
mod guide;
mod proof;
