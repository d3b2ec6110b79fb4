//! Bluecone turns one folder of entries into an offline handbook.
//!
//! `read → check → link → derive → draw → write`; each stage is a folder here and takes the value that the one before made.

pub mod diagnostic;
pub mod formula;
pub mod handbook;
pub mod manuscript;
pub mod practice;
pub mod search;
pub mod site;
pub mod source;
