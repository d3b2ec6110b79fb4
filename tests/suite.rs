//! All tests that run in one process, a folder for each stage.

mod command;
mod formula;
mod layout;
mod manuscript;
mod pages;
mod practice;
mod search;
