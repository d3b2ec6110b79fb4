//! `bluecone proof`: what is wrong with the handbook.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Ending, count, default_book, proofed, report, sarif, say};
use crate::diagnosis::{Limits, diagnoses};
use crate::diagnostic::Severity;
use crate::handbook::Handbook;

/// Check a handbook and write nothing.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  bluecone proof                            everything that is wrong with content/
  bluecone proof shop-book
  bluecone proof --orders                   also how many minutes each computed order saves
  bluecone proof --format sarif > p.sarif   for editors and build servers (SARIF 2.1.0)

Exit code 1 if there is an error; warnings alone give 0.")]
pub struct Proof {
    /// The handbook's folder
    #[arg(default_value_os_t = default_book())]
    book: PathBuf,
    /// How to show the problems
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Also show for each symptom what its order as written and the computed one cost
    #[arg(long, conflicts_with = "format")]
    orders: bool,
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
        let orders = if call.orders { orders(handbook) } else { String::new() };
        return say(&format!(
            "{orders}{}, {} came out, {}\n",
            count(n_entries, "entry", "entries"),
            count(n_examples, "worked example", "worked examples"),
            count(n_rules, "safety rule holds", "safety rules hold"),
        ));
    }
    Ending::Done
}

/// What each symptom's order costs, as written and computed.
fn orders(handbook: &Handbook) -> String {
    let mut lines = vec![[
        "symptom".to_owned(),
        "minutes as written".to_owned(),
        "computed".to_owned(),
        "saved".to_owned(),
        "computed order is".to_owned(),
    ]];
    for (name, found) in diagnoses(handbook, &Limits::default()) {
        let policy = &found.policy;
        let minutes = |minutes: Option<f64>| minutes.map_or("too many cases".to_owned(), |minutes| format!("{minutes:.1}"));
        let how = if policy.exact { "the least".to_owned() } else { format!("at most {:.1} above the least", policy.gap) };
        lines.push([
            name.id,
            minutes(policy.written_minutes),
            format!("{:.1}", policy.expected_minutes),
            minutes(policy.saved_minutes()),
            how,
        ]);
    }
    let width = |column: usize| lines.iter().map(|line| line[column].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..4).map(width).collect();
    let line = |line: &[String; 5]| {
        let [symptom, written, computed, saved, how] = line;
        format!("{symptom:<0$}  {written:>1$}  {computed:>2$}  {saved:>3$}  {how}\n", widths[0], widths[1], widths[2], widths[3])
    };
    lines.iter().map(line).collect::<String>() + "Expected minutes to a named fault, with changes of state.\n\n"
}
