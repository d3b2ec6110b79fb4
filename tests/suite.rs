//! All tests that run in one process, a folder for each stage.

mod figures;
mod formula;
mod guide;
mod manuscript;
mod pages;
mod practice;
mod proof;
mod search;
