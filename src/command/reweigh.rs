//! `bluecone reweigh`: what the shop's calls change.

use std::collections::BTreeSet;
use std::path::PathBuf;

use clap::Args;
use serde_json::{Value, json};

use super::{Ending, complain, count, default_book, proofed, report, say};
use crate::diagnosis::{self, Limits, Node, Policy, Reweighed, interval};
use crate::diagnostic::{Problems, Severity};
use crate::handbook::{Handbook, Record, Share, USUAL_STRENGTH};
use crate::source::Source;

/// Weigh the faults of a handbook by past calls, and show what that changes.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  bluecone reweigh calls.csv                 content/ with the calls of calls.csv
  bluecone reweigh calls.csv shop-book --strength 50
  bluecone reweigh calls.csv --json

The file has the columns date, appliance, symptom, fault and minutes. Nothing is written: to press with the
calls, lay the file beside handbook.yaml and name it there under `record`.
Exit code 1 if a row of the calls or the handbook has an error.")]
pub struct Reweigh {
    /// The calls, as comma-separated values
    #[arg(value_name = "CSV")]
    calls: PathBuf,
    /// The handbook's folder
    #[arg(default_value_os_t = default_book())]
    book: PathBuf,
    /// The weights as written count as much as so many calls; above 0
    #[arg(long, value_name = "CALLS", default_value_t = USUAL_STRENGTH)]
    strength: f64,
    /// Give the answer as JSON
    #[arg(long)]
    json: bool,
}

pub fn run(call: &Reweigh) -> Ending {
    if !(call.strength > 0.0 && call.strength.is_finite()) {
        complain(&format!("expected a strength above 0, found {}", call.strength));
        return Ending::WrongCall;
    }
    let bytes = match std::fs::read(&call.calls) {
        Ok(bytes) => bytes,
        Err(error) => {
            complain(&format!("cannot read {}: {error}", call.calls.display()));
            return if call.calls.is_file() { Ending::MachineFailed } else { Ending::WrongCall };
        }
    };
    let Ok(text) = String::from_utf8(bytes) else {
        complain(&format!("{} is not UTF-8 text", call.calls.display()));
        return Ending::Problems;
    };
    let mut proofed = match proofed(&call.book) {
        Ok(proofed) => proofed,
        Err(ending) => return ending,
    };
    let Some(handbook) = proofed.handbook else {
        report::show(&proofed.diagnostics, &proofed.sources);
        return Ending::Problems;
    };
    let source = proofed.sources.add(Source::new(call.calls.display().to_string(), text.clone()));
    let mut problems = Problems::default();
    let calls = crate::proof::calls(source, &text, &handbook, &BTreeSet::new(), &mut problems);
    let diagnostics = problems.sorted();
    report::show(&diagnostics, &proofed.sources);
    if diagnostics.iter().any(|diagnostic| diagnostic.severity() == Severity::Error) {
        return Ending::Problems;
    }
    let record = Record { calls, strength: call.strength };
    let changes = diagnosis::reweigh(&handbook, &record, &Limits::default());
    say(&if call.json { json(&handbook, &record, &changes) } else { words(&handbook, &record, &changes) })
}

fn words(handbook: &Handbook, record: &Record, changes: &[Reweighed]) -> String {
    let mut text =
        format!("{}; the weights as written count as much as {} calls.\n", count(record.calls.len(), "call", "calls"), record.strength);
    for change in changes {
        let counted = count(change.calls, "call counts", "calls count");
        text += &format!("\n{} ({counted})\n", change.symptom.common.title);
        text += "  written   calls     now   95 % sure between   fault\n";
        for (place, share) in ranked(&change.shares) {
            let (low, high) = interval(&share);
            let fault = &change.symptom.suspects[place].fault;
            text += &format!(
                "  {:5.1} %  {:6}  {:5.1} %   {:5.1} % and {:5.1} %  {}\n",
                share.written * 100.0,
                share.calls,
                share.now() * 100.0,
                low * 100.0,
                high * 100.0,
                handbook.title(fault).unwrap_or(&fault.id)
            );
        }
        text += &order(handbook, change);
    }
    if changes.is_empty() {
        text += "No call counts for a symptom of this handbook.\n";
    }
    text
}

fn order(handbook: &Handbook, change: &Reweighed) -> String {
    let title = |policy: &Policy| first(change, policy).map(|name| handbook.title(&name).unwrap_or(&name.id).to_owned());
    let (before, after) = (title(&change.before).unwrap_or_default(), title(&change.after).unwrap_or_default());
    let begins = if before == after {
        format!("begins with “{after}” as before")
    } else {
        format!("begins with “{after}”, before with “{before}”")
    };
    let in_hundred = |chance: f64| (chance * 100.0).round();
    format!(
        "  The computed order {begins}.\n  Expected minutes by the weights as written: {:.1}. With the calls: {:.1}, ending on the right fault in {} of 100;\n  \
         the order from before would take {:.1} and end on the right fault in {} of 100. The calls took {:.1} on average.\n",
        change.before.expected_minutes,
        change.now.0,
        in_hundred(change.now.1),
        change.kept.0,
        in_hundred(change.kept.1),
        change.taken_minutes
    )
}

/// The first check of a policy; both have the same checks in the same places.
fn first(change: &Reweighed, policy: &Policy) -> Option<crate::handbook::Name> {
    match policy.root() {
        Node::Ask(ask) => change.checks.get(ask.check).cloned(),
        _ => None,
    }
}

/// The likeliest now first, with their places.
fn ranked(shares: &[Share]) -> Vec<(usize, Share)> {
    let mut ranked: Vec<(usize, Share)> = shares.iter().copied().enumerate().collect();
    ranked.sort_by(|(_, a), (_, b)| b.now().total_cmp(&a.now()));
    ranked
}

fn json(handbook: &Handbook, record: &Record, changes: &[Reweighed]) -> String {
    let share = |change: &Reweighed, place: usize, share: &Share| {
        let (low, high) = interval(share);
        json!({
            "fault": change.symptom.suspects[place].fault.id,
            "title": handbook.title(&change.symptom.suspects[place].fault),
            "written": share.written,
            "calls": share.calls,
            "now": share.now(),
            "from": low,
            "to": high,
        })
    };
    let symptoms: Vec<Value> = changes
        .iter()
        .map(|change| {
            let policy = |policy: &Policy, (minutes, right): (f64, f64)| {
                json!({
                    "first": first(change, policy).map(|name| name.id),
                    "minutes": policy.expected_minutes,
                    "minutes-with-calls": minutes,
                    "right-with-calls": right,
                    "exact": policy.exact,
                    "gap": policy.gap,
                })
            };
            json!({
                "symptom": change.symptom.common.id,
                "title": change.symptom.common.title,
                "calls": change.calls,
                "taken-minutes": change.taken_minutes,
                "faults": ranked(&change.shares).iter().map(|(place, one)| share(change, *place, one)).collect::<Vec<_>>(),
                "before": policy(&change.before, change.kept),
                "after": policy(&change.after, change.now),
            })
        })
        .collect();
    let whole = json!({ "calls": record.calls.len(), "strength": record.strength, "credible": diagnosis::CREDIBLE, "symptoms": symptoms });
    format!("{whole:#}\n")
}
