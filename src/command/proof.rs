//! `bluecone proof`: what is wrong with the handbook.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Ending, count, default_book, proofed, report, sarif, say};
use crate::diagnostic::Severity;

/// Check a handbook and write nothing.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  bluecone proof                            everything that is wrong with content/
  bluecone proof shop-book
  bluecone proof --format sarif > p.sarif   for editors and build servers (SARIF 2.1.0)

Exit code 1 if there is an error; warnings alone give 0.")]
pub struct Proof {
    /// The handbook's folder
    #[arg(default_value_os_t = default_book())]
    book: PathBuf,
    /// How to show the problems
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Format {
    /// For people: place, excerpt, caret, hints
    Text,
    /// SARIF 2.1.0, a JSON format that other programs read
    Sarif,
}

pub fn run(call: &Proof) -> Ending {
    let proofed = match proofed(&call.book) {
        Ok(proofed) => proofed,
        Err(ending) => return ending,
    };
    match call.format {
        Format::Text => report::show(&proofed.diagnostics, &proofed.sources),
        Format::Sarif => {
            let ending = say(&sarif::text(&proofed.diagnostics, &proofed.sources));
            if ending != Ending::Done {
                return ending;
            }
        }
    }
    let failed = proofed.diagnostics.iter().any(|diagnostic| diagnostic.severity() == Severity::Error);
    if failed {
        return Ending::Problems;
    }
    if let (Format::Text, Some(handbook)) = (call.format, &proofed.handbook) {
        let n_entries = handbook.entries().count();
        let n_examples: usize = handbook.calculators.iter().map(|calculator| calculator.examples.len()).sum();
        let n_rules = handbook.book.safety_rules.len();
        return say(&format!(
            "{}, {} came out, {}\n",
            count(n_entries, "entry", "entries"),
            count(n_examples, "worked example", "worked examples"),
            count(n_rules, "safety rule holds", "safety rules hold"),
        ));
    }
    Ending::Done
}
