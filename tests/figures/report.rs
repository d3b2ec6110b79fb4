//! How far results lie from the figures that were published.

use std::collections::BTreeMap;
use std::fmt::Write;

/// Results held against figures, gathered by what was tried and by source.
#[derive(Default)]
pub struct Report {
    rows: BTreeMap<(String, String), Row>,
    wrong: Vec<String>,
}

#[derive(Default)]
struct Row {
    figures: usize,
    /// The worst deviation as a part of the figure.
    worst: f64,
    at: String,
}

/// How near a result must come to its figure.
#[derive(Debug, Clone, Copy)]
pub enum Within {
    /// But for the last bits of floating point.
    Exact,
    /// In the figure's unit.
    Amount(f64),
    /// A part of the figure.
    Part(f64),
}

impl Report {
    /// Holds a number against its figure, both in the same unit.
    pub fn number(&mut self, subject: &str, source: &str, what: &str, got: f64, figure: f64, within: Within) {
        let apart = (got - figure).abs();
        let part = if figure == 0.0 { apart } else { apart / figure.abs() };
        let row = self.rows.entry((subject.to_owned(), source.to_owned())).or_default();
        row.figures += 1;
        // Below this lies only rounding of floating point.
        if part > row.worst && part > 1e-12 {
            (row.worst, row.at) = (part, what.to_owned());
        }
        let fits = match within {
            Within::Exact => part <= 1e-12,
            Within::Amount(most) => apart <= most * (1.0 + 1e-9),
            Within::Part(most) => part <= most * (1.0 + 1e-9),
        };
        if !fits {
            self.wrong.push(format!("{subject}: {what}: published {figure}, got {got}, within {within:?} ({source})"));
        }
    }

    /// Holds a word against its figure.
    pub fn word(&mut self, subject: &str, source: &str, what: &str, got: &str, figure: &str) {
        self.rows.entry((subject.to_owned(), source.to_owned())).or_default().figures += 1;
        if got != figure {
            self.wrong(format!("{subject}: {what}: published {figure}, got {got} ({source})"));
        }
    }

    pub fn wrong(&mut self, message: String) {
        self.wrong.push(message);
    }

    /// What does not agree.
    pub fn disagreements(&self) -> String {
        self.wrong.join("\n")
    }

    /// One line for each subject and source.
    pub fn table(&self) -> String {
        let mut table = String::from("tried\tsource\tfigures\tworst deviation\tof which figure\n");
        for ((subject, source), row) in &self.rows {
            let worst = if row.worst == 0.0 { "none".to_owned() } else { format!("{:.1e}", row.worst) };
            writeln!(table, "{subject}\t{source}\t{}\t{worst}\t{}", row.figures, row.at).unwrap();
        }
        table
    }
}
