//! All tests that run in one process, a folder for each stage.

mod formula;
mod manuscript;
mod pages;
mod practice;
mod search;
