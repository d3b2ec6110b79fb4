//! All tests that run in one process, a folder for each stage.

mod command;
mod layout;
mod manuscript;
mod search;
