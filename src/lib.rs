//! Bluecone turns one folder of entries into an offline handbook.
//!
//! `read → check → link → derive → draw → write`; each stage is a folder here and takes the value that the one before made.

pub mod command;
pub mod diagnostic;
pub mod formula;
pub mod handbook;
pub mod manuscript;
pub mod practice;
pub mod proof;
pub mod search;
pub mod site;
pub mod source;

use std::io;
use std::path::Path;

use diagnostic::Diagnostic;
use handbook::Handbook;
use source::Sources;

/// What reading and checking a handbook gave.
#[derive(Debug)]
pub struct Proofed {
    /// The texts that the diagnostics point into.
    pub sources: Sources,
    /// Sorted by file and place.
    pub diagnostics: Vec<Diagnostic>,
    /// `None` if there is an error among the diagnostics.
    pub handbook: Option<Handbook>,
}

/// Reads and checks the handbook in a folder.
///
/// # Errors
/// The machine cannot read the folder or a file in it. Whatever is wrong with the entries is among the diagnostics.
pub fn proof(folder: &Path) -> io::Result<Proofed> {
    let book = manuscript::read(folder)?;
    let (handbook, problems) = proof::proof(&book.manuscript, book.problems);
    let mut sources = book.manuscript.sources;
    sources.lie_in(&folder.to_string_lossy());
    Ok(Proofed { sources, diagnostics: problems.sorted(), handbook })
}
