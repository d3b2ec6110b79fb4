//! The demo handbook's sums and tables against published figures, and units against other libraries.
//!
//! The figures stand in the YAML files of this folder, each with the published source that it comes from. What figures
//! rest on memory alone is marked as recalled in the handbook and stands in no file here.

mod agreement;
mod conversions;
mod examples;
mod outside;
mod plots;
mod published;
mod report;

pub use report::Report;
