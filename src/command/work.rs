//! `bluecone work`: a sum in the terminal, with its working.

use std::path::PathBuf;

use clap::Args;
use serde_json::{Map, Value, json};

use super::{Ending, complain, default_book, meant, phases, rows, say, short, whole_handbook};
use crate::formula::{Given, Input, InputKind, Outcome, Program, ResultPart, ShownRow, Step, Worked, WorkedStep};
use crate::handbook::{Calculator, Handbook};

/// Work a sum and show how.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples:
  bluecone work                                          which calculators there are
  bluecone work flame-current                            what it asks for, worked with its starting values
  bluecone work flame-current pin_voltage='5 V'          a unit after the number; without one, the input's own
  bluecone work flame-current pin_voltage='5 V' --json   for other programs
  bluecone work transformer-protection loads='volt_amps=12 VA; kind=relay, volt_amps=40 VA'
                                                         rows, parted by `;`, and fields of a row by `,`

Inputs that are not given keep their starting values. Where any one of several can be worked out, leave that one out.

With --json the answer is one object:
  calculator   its id
  inputs       by name, as shown; those that count
  rows         by list: of each row title, fields and steps
  steps        id, title, value, unit, shown, formula, working; no_value says why there is none
  result       what stands first on the page, in its order. Each part has a title; of a step
               step and shown, of rows list and rows, each with title and results; no_value
               says why something is missing, says that there is no such row
  verdicts     on, title, severity, says, next; no_value says why there is none
  timeline     title, and phases with title, from and to in seconds, and the lanes that are on")]
pub struct Work {
    /// The calculator's id
    calculator: Option<String>,
    /// Inputs as name=value
    #[arg(value_name = "NAME=VALUE")]
    given: Vec<String>,
    /// The handbook's folder
    #[arg(long, value_name = "DIR", default_value_os_t = default_book())]
    book: PathBuf,
    /// Print JSON
    #[arg(long)]
    json: bool,
}

pub fn run(call: &Work) -> Ending {
    let handbook = match whole_handbook(&call.book) {
        Ok(handbook) => handbook,
        Err(ending) => return ending,
    };
    let Some(id) = &call.calculator else {
        return say(&list(&handbook));
    };
    let Some(calculator) = handbook.calculators.iter().find(|calculator| calculator.common.id == *id) else {
        let known = handbook.calculators.iter().map(|calculator| calculator.common.id.as_str());
        complain(&format!("there is no calculator `{}`{}\n{}", short(id), meant(id, known), list(&handbook).trim_end()));
        return Ending::WrongCall;
    };
    let mut given = match given(calculator, &call.given) {
        Ok(given) => given,
        Err(words) => {
            complain(&words);
            return Ending::WrongCall;
        }
    };
    if let Err(words) = calculator.program.complete(&mut given) {
        complain(&words);
        return Ending::WrongCall;
    }
    let worked = calculator.program.work(&given);
    if let Some((input, sentence)) = worked.refused() {
        complain(&format!("{input}: {sentence}"));
        return Ending::WrongCall;
    }
    say(&if call.json { as_json(&handbook, calculator, &worked) } else { as_text(&handbook, calculator, &worked) })
}

fn list(handbook: &Handbook) -> String {
    let mut text = String::from("Calculators:\n");
    for calculator in &handbook.calculators {
        text.push_str(&format!("  {:<24} {}\n", calculator.common.id, calculator.common.summary));
    }
    text
}

/// Takes `name=value` apart and holds the names against the calculator's inputs.
fn given(calculator: &Calculator, words: &[String]) -> Result<Given, String> {
    let lists = || calculator.program.lists.iter().map(|list| list.id.as_str());
    let known = || calculator.program.inputs.iter().map(|input| input.id.as_str()).chain(lists());
    let mut given = Given::new();
    for word in words {
        let Some((name, value)) = word.split_once('=') else {
            return Err(format!("expected name=value, found `{}`", short(word)));
        };
        let name = name.trim();
        if name.is_empty() {
            return Err(format!("expected name=value, found `{}` without a name; write both without spaces around the `=`", short(word)));
        }
        if !known().any(|id| id == name) {
            return Err(format!(
                "`{}` has no input `{}`{}; it has {}",
                calculator.common.id,
                short(name),
                meant(name, known()),
                known().collect::<Vec<_>>().join(", ")
            ));
        }
        if given.get(name).is_some() {
            return Err(format!("`{name}` is given twice"));
        }
        // Behind the last row a `;` parts it from nothing.
        let rows = value.trim_end().strip_suffix(';').filter(|rows| lists().any(|id| id == name) && !rows.trim().is_empty());
        given.set(name, rows.unwrap_or(value));
    }
    Ok(given)
}

fn as_text(handbook: &Handbook, calculator: &Calculator, worked: &Worked) -> String {
    let program = &calculator.program;
    let mut text = format!("{}\n\nGiven\n", calculator.common.title);
    let mut row = |left: &str, right: &str| text.push_str(&format!("  {left:<40} {right}\n"));
    for (input, worked) in program.inputs.iter().zip(&worked.inputs).filter(|(_, worked)| worked.counts) {
        row(&format!("{} ({})", input.title, input.id), &shown_input(input, &worked.shown));
    }
    for (list, worked) in program.lists.iter().zip(&worked.lists) {
        text.push_str(&rows::as_text(list, worked));
    }
    result(program, worked, &mut text);
    text.push_str("\nWorking\n");
    for (step, worked) in program.steps.iter().zip(&worked.steps).filter(|(_, worked)| worked.counts()) {
        match &worked.value {
            Ok(_) => {
                text.push_str(&format!("  {:<40} {}\n", step.title, worked.shown));
                text.push_str(&format!("      = {}\n", worked.names));
                if worked.numbers != worked.names {
                    text.push_str(&format!("      = {}\n", worked.numbers));
                }
            }
            Err(why) => text.push_str(&format!("  {:<40} no value: {why}\n", step.title)),
        }
    }
    if let (Some(timeline), Some(worked)) = (&program.timeline, &worked.timeline) {
        text.push_str(&phases::as_text(timeline, worked));
    }
    let verdicts = program.verdicts.iter().zip(&worked.verdicts).zip(&calculator.verdicts);
    let verdicts: Vec<_> = verdicts.filter(|((_, worked), _)| worked.counts()).collect();
    if !verdicts.is_empty() {
        text.push_str("\nVerdict\n");
    }
    for ((verdict, worked), bands) in verdicts {
        let band = match &worked.band {
            Ok(band) => *band,
            Err(why) => {
                text.push_str(&format!("  {}: no value: {why}\n", verdict.title));
                continue;
            }
        };
        let Some(words) = bands.get(band) else { continue };
        text.push_str(&format!("  {}: {}\n", verdict.title, words.severity.words()));
        text.push_str(&format!("      {}\n", handbook.plain(&words.says)));
        for next in &words.next {
            text.push_str(&format!("      next: {} ({next})\n", handbook.title(next).unwrap_or(&next.id)));
        }
    }
    text.push_str("\nThe appliance's rating plate and instructions, local codes and licensed practice come first.\n");
    text
}

/// What the calculator singles out, before the working.
fn result(program: &Program, worked: &Worked, text: &mut String) {
    let parts: Vec<_> = program.result.iter().zip(program.outcomes(worked)).filter(|(_, outcome)| *outcome != Outcome::Idle).collect();
    if !parts.is_empty() {
        text.push_str("\nResult\n");
    }
    for (part, outcome) in parts {
        let title = program.part_title(part);
        match outcome {
            Outcome::Idle => {}
            Outcome::Found(found) => {
                for (at, found) in found.iter().enumerate() {
                    text.push_str(&format!("  {:<40} {found}\n", if at == 0 { title } else { "" }));
                }
            }
            Outcome::None(why) => text.push_str(&format!("  {title:<40} {why}\n")),
            Outcome::Rows(rows) => {
                text.push_str(&format!("  {title}\n"));
                for row in rows {
                    let after = if row.results.is_empty() { "" } else { ": " };
                    text.push_str(&format!("      {}{after}{}\n", row.title, row.results.join("; ")));
                }
            }
        }
    }
}

fn shown_input(input: &Input, shown: &str) -> String {
    match &input.kind {
        InputKind::Text { choices, .. } => {
            choices.iter().find(|choice| choice.id == shown).map_or_else(|| shown.to_owned(), |choice| choice.title.clone())
        }
        InputKind::Number { .. } => shown.to_owned(),
    }
}

fn as_json(handbook: &Handbook, calculator: &Calculator, worked: &Worked) -> String {
    let program = &calculator.program;
    let inputs: Map<String, Value> =
        worked.inputs.iter().filter(|input| input.counts).map(|input| (input.id.clone(), Value::from(input.shown.clone()))).collect();
    let steps: Vec<Value> = program.steps.iter().zip(&worked.steps).map(|(step, worked)| step_json(step, worked)).collect();
    let verdicts: Vec<Value> = program
        .verdicts
        .iter()
        .zip(&worked.verdicts)
        .zip(&calculator.verdicts)
        .filter(|((_, worked), _)| worked.counts())
        .filter_map(|((verdict, worked), bands)| {
            let band = match &worked.band {
                Ok(band) => *band,
                Err(why) => return Some(json!({ "on": worked.on, "title": verdict.title, "no_value": why.says })),
            };
            let words = bands.get(band)?;
            Some(json!({
                "on": worked.on,
                "title": verdict.title,
                "severity": words.severity.name(),
                "says": handbook.plain(&words.says),
                "next": words.next.iter().map(ToString::to_string).collect::<Vec<_>>(),
            }))
        })
        .collect();
    let mut answer = json!({ "calculator": calculator.common.id, "inputs": inputs, "steps": steps, "verdicts": verdicts });
    if !program.result.is_empty() {
        let parts = program.result.iter().zip(program.outcomes(worked));
        answer["result"] = parts.filter_map(|(part, outcome)| part_json(program, part, outcome)).collect();
    }
    if !program.lists.is_empty() {
        let lists = program.lists.iter().zip(&worked.lists).map(|(list, worked)| (list.id.clone(), rows::as_json(list, worked)));
        answer["rows"] = Value::Object(lists.collect());
    }
    if let (Some(timeline), Some(worked)) = (&program.timeline, &worked.timeline) {
        answer["timeline"] = phases::as_json(timeline, worked);
    }
    format!("{answer:#}\n")
}

/// A part of the result; none where it has no part in the sum.
fn part_json(program: &Program, part: &ResultPart, outcome: Outcome) -> Option<Value> {
    let mut object = match part {
        ResultPart::Step(step) => json!({ "title": program.part_title(part), "step": program.steps[*step].id }),
        ResultPart::Rows(rows) => json!({ "title": program.part_title(part), "list": program.lists[rows.list].id }),
    };
    let row = |row: ShownRow| match row.lacks {
        true => json!({ "title": row.title, "no_value": row.results.join("; ") }),
        false => json!({ "title": row.title, "results": row.results }),
    };
    match outcome {
        Outcome::Idle => return None,
        Outcome::Found(found) => object["shown"] = Value::from(found.join("; ")),
        Outcome::Rows(rows) => object["rows"] = rows.into_iter().map(row).collect(),
        // That there is no such row is what came out.
        Outcome::None(says) if matches!(part, ResultPart::Rows(_)) => (object["rows"], object["says"]) = (json!([]), Value::from(says)),
        Outcome::None(why) => object["no_value"] = Value::from(why),
    }
    Some(object)
}

pub(super) fn step_json(step: &Step, worked: &WorkedStep) -> Value {
    json!({
        "id": worked.id,
        "title": step.title,
        "value": worked.number.map_or_else(|| plain(worked), Value::from),
        "unit": worked.number.map(|_| step.unit.ucum()),
        "shown": worked.shown,
        "formula": worked.names,
        "working": worked.numbers,
        "no_value": worked.value.as_ref().err().map(|why| why.says.as_str()),
    })
}

/// A step without a number: its text or truth, or nothing.
fn plain(worked: &WorkedStep) -> Value {
    match &worked.value {
        Ok(crate::formula::Value::Truth(truth)) => Value::from(*truth),
        Ok(crate::formula::Value::Text(text)) => Value::from(text.clone()),
        _ => Value::Null,
    }
}
