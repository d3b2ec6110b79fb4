//! All tests that run in one process, a folder for each stage.

mod command;
mod diagnosis;
mod figures;
mod formula;
mod guide;
mod layout;
mod manuscript;
mod pages;
mod practice;
mod proof;
mod search;
