//! Worked examples: run, and told when they do not come out.

use super::build::row_texts;
use super::compile::no_step;
use super::draft::{Draft, ExampleDraft, GivenDraft};
use super::evaluate::{Value, alike};
use super::format::{TYPED, format};
use super::given::{Given, read_number, read_quantity};
use super::program::{Example, Program, Step};
use super::sentence::{self, Lack};
use super::unit::Unit;
use super::work::Worked;
use crate::diagnostic::{Code, Diagnostic, Once, Problems};
use crate::source::Placed;

/// How near the result must come.
pub(super) enum Within {
    /// The same digits as shown.
    Shown,
    /// A part of the expected value.
    Part(f64),
    /// A number of the unit, or of the step's own.
    Amount(f64, Option<Unit>),
}

/// What can be amiss with an expected value.
enum Amiss {
    Told(Box<Diagnostic>),
    /// The tolerance is of another kind than the step.
    OtherUnit,
    /// The tolerance lets almost anything pass.
    TooWide,
}

impl Program {
    /// Runs the draft's examples and keeps them.
    pub(super) fn examples(&mut self, draft: &Draft, problems: &mut Problems) {
        for example in &draft.examples {
            self.example(example, problems);
            let kept = Example {
                title: example.title.value.clone(),
                given: example.given.iter().map(|(name, given)| (name.value.clone(), self.given_text(&name.value, given))).collect(),
                expect: example.expect.iter().map(|(name, text)| (name.value.clone(), text.value.clone())).collect(),
                within: example.within.as_ref().map(|within| within.value.clone()),
                span: example.span,
            };
            self.examples.push(kept);
        }
    }

    fn example(&self, draft: &ExampleDraft, problems: &mut Problems) {
        let n_before = problems.len();
        let given = self.given(draft, problems);
        let is_given = problems.len() == n_before;
        if draft.expect.is_empty() {
            problems.add(Diagnostic::new(Code::MissingField, draft.span, "the example expects nothing"));
        }
        if let Some(within) = tolerance(draft, problems) {
            self.hold(draft, &self.work_values(&given), &within, is_given, problems);
        }
    }

    /// What an example gives, as far as it can be entered.
    fn given(&self, draft: &ExampleDraft, problems: &mut Problems) -> Given {
        let mut given = Given::new();
        for (name, value) in &draft.given {
            match (self.input(&name.value), self.list(&name.value), value) {
                (Some(input), _, GivenDraft::Text(text)) => {
                    given.set(name.value.clone(), text.value.clone());
                    if let Err(sentence) = input.read_for(&text.value, false) {
                        problems.add(cannot_be_entered(name, text, sentence));
                    }
                }
                (_, Some(list), GivenDraft::Rows(rows)) => {
                    for row in rows {
                        row_texts(list, row, problems);
                    }
                    if rows.len() < list.least || rows.len() > list.most {
                        let problem =
                            Diagnostic::new(Code::WrongValue, name.span, format!("these rows cannot be entered as `{}`", name.value));
                        problems.add(problem.hint(sentence::rows(list.least, list.most)));
                    }
                    given.set(name.value.clone(), self.given_text(&name.value, value));
                }
                (Some(_), _, GivenDraft::Rows(_)) => {
                    problems.add(Diagnostic::new(
                        Code::WrongType,
                        name.span,
                        format!("`{}` is an input and takes one value, not rows", name.value),
                    ));
                }
                (_, Some(_), GivenDraft::Text(text)) => {
                    let problem =
                        Diagnostic::new(Code::WrongType, text.span, format!("`{}` is a list of rows: expected a list", name.value));
                    problems.add(problem.hint("write each row as a map of its fields: `[{draw: 40 VA}, {draw: 10 VA}]`"));
                }
                (None, None, _) => {
                    let known = self.inputs.iter().map(|input| input.id.as_str()).chain(self.lists.iter().map(|list| list.id.as_str()));
                    let problem = Diagnostic::new(Code::UnknownName, name.span, format!("there is no input `{}`", name.value));
                    problems.add(problem.nearest(&name.value, known));
                }
            }
        }
        if let Err(sentence) = self.complete(&mut given) {
            problems.add(Diagnostic::new(Code::WrongValue, draft.span, sentence));
        }
        given
    }

    /// Holds what came out against what is expected. `is_given`: without what was to be given there is no value or another one, and
    /// that is no second mistake.
    fn hold(&self, draft: &ExampleDraft, worked: &Worked, within: &Within, is_given: bool, problems: &mut Problems) {
        let (mut other_unit, mut too_wide) = (Vec::new(), Vec::new());
        for (name, text) in &draft.expect {
            match self.step(&name.value) {
                Some(step) if step.solves.is_some_and(|place| worked.inputs.get(place).is_some_and(|input| input.counts)) => {
                    problems.add(self.given_already(step, name, draft));
                }
                Some(step) => match step.compare(worked, text, within) {
                    Ok(()) => {}
                    Err(Amiss::OtherUnit) => other_unit.push(step),
                    Err(Amiss::TooWide) => too_wide.push(step),
                    Err(Amiss::Told(problem)) if is_given || !matches!(problem.code, Code::NoValue | Code::ExampleFails) => {
                        problems.add(*problem);
                    }
                    Err(Amiss::Told(_)) => {}
                },
                None => {
                    let problem = Diagnostic::new(
                        Code::UnknownName,
                        name.span,
                        no_step(&name.value, self.inputs.iter().any(|input| input.id == name.value)),
                    );
                    problems.add(problem.nearest(&name.value, self.steps.iter().map(|step| step.id.as_str())));
                }
            }
        }
        if let Some(text) = &draft.within {
            problems.append(of_tolerance(text, &other_unit, &too_wide));
        }
    }
}

/// How near an example's values must come; none after telling that it cannot be read.
fn tolerance(draft: &ExampleDraft, problems: &mut Problems) -> Option<Within> {
    let Some(text) = &draft.within else { return Some(Within::Shown) };
    let unread = |sentence| {
        let message = format!("expected a tolerance such as `0.1 %`, `0.01 uA` or `0`, found `{}`", text.value);
        problems.add(Diagnostic::new(Code::WrongValue, text.span, message).hint(sentence));
    };
    Within::read(&text.value).map_err(unread).ok()
}

/// An input or field does not take a value. Where several examples give it the input was most likely changed.
pub(super) fn cannot_be_entered(name: &Placed<String>, text: &Placed<String>, why: Lack) -> Diagnostic {
    let problem = Diagnostic::new(Code::WrongValue, text.span, format!("this cannot be entered as `{}`", name.value));
    problem.hint(why).once(Once::PerFile)
}

/// What is wrong with the tolerance of an example, told once for all the steps that it is held against.
fn of_tolerance(text: &Placed<String>, other_unit: &[&Step], too_wide: &[&Step]) -> Problems {
    let names = |steps: &[&Step]| steps.iter().map(|step| format!("`{}`", step.id)).collect::<Vec<_>>().join(", ");
    let mut problems = Problems::default();
    if let [first, ..] = other_unit {
        let message = format!("the tolerance is in another kind of unit than {}", names(other_unit));
        let own = first.unit.shown();
        let hint = if own.is_empty() {
            "a part of the value, such as `0.1 %`".to_owned()
        } else {
            format!("`0.1 %` of the value, or a number with {own}")
        };
        let problem = Diagnostic::new(Code::UnitMismatch, text.span, message);
        problems.add(problem.hint(format!("write {hint}; steps of several kinds take a part, or an example each")));
    } else if !too_wide.is_empty() {
        let message = format!("the tolerance is as large as the value expected of {}, so almost any result would pass", names(too_wide));
        let problem = Diagnostic::new(Code::WrongValue, text.span, message);
        problems.add(problem.hint("state a tolerance that tells right from wrong, such as `1 %`"));
    }
    problems
}

impl Program {
    /// Of several unknowns only one is worked out.
    fn given_already(&self, step: &Step, name: &Placed<String>, draft: &ExampleDraft) -> Diagnostic {
        let message = format!("`{}` is not worked out in this example, so nothing can be expected of it", step.id);
        let problem = Diagnostic::new(Code::WrongValue, name.span, message);
        let unknowns = self.solve.iter().flat_map(|solve| &solve.unknowns).map(|place| self.inputs[*place].id.as_str());
        let missing: Vec<String> = unknowns
            .filter(|id| *id != step.id && !draft.given.iter().any(|(given, _)| given.value == *id))
            .map(|id| format!("`{id}`"))
            .collect();
        if draft.given.iter().any(|(given, _)| given.value == step.id) {
            problem.hint("it is given: take it away here, or there")
        } else {
            problem.hint(format!("give {} too, and it is worked out", missing.join(", ")))
        }
    }

    /// What an example gives, as one text.
    fn given_text(&self, name: &str, given: &GivenDraft) -> String {
        match (given, self.list(name)) {
            (GivenDraft::Text(text), _) => text.value.clone(),
            (GivenDraft::Rows(rows), Some(list)) => {
                // What is wrong with a row is told where the example is run.
                let rows: Vec<_> = rows.iter().map(|row| row_texts(list, row, &mut Problems::default())).collect();
                list.write(&rows)
            }
            (GivenDraft::Rows(_), None) => String::new(),
        }
    }
}

impl Within {
    /// Reads `0.1 %`, `0.01 uA`, `0.01` or `0`.
    ///
    /// # Errors
    /// A plain sentence: not a number, below zero, an unknown unit.
    pub(super) fn read(text: &str) -> Result<Self, String> {
        let (number, rest) = read_number(text)?;
        if number < 0.0 {
            return Err("A tolerance is zero or more.".into());
        }
        match rest.as_str() {
            "%" => Ok(Self::Part(number / 100.0)),
            percent if percent.starts_with('%') => Err("Write the percent sign last, as in `0.1 %`.".into()),
            "" if number == 0.0 => Ok(Self::Shown),
            "" => Ok(Self::Amount(number, None)),
            unit => match Unit::parse(unit) {
                Ok(unit) => Ok(Self::Amount(number, Some(unit))),
                Err(wrong) => Err(wrong.hint.unwrap_or(wrong.message)),
            },
        }
    }
}

impl Step {
    fn compare(&self, worked: &Worked, expected: &Placed<Option<String>>, within: &Within) -> Result<(), Amiss> {
        let problem = |code, message: String| Diagnostic::new(code, expected.span, message);
        let told = |problem| Err(Amiss::Told(Box::new(problem)));
        let Some(worked) = worked.step(&self.id) else { return Ok(()) };
        let (result, wanted) = match (&worked.value, expected.value.as_deref()) {
            (Ok(value), Some(wanted)) => (value, wanted),
            (Ok(value), None) => {
                let fails = problem(Code::ExampleFails, format!("`{}`: expected no value, got {}", self.id, self.show(value)));
                return told(fails.hint("`null`, or nothing after the colon, says that no value may come out; else write the value"));
            }
            (Err(sentence), Some(wanted)) => {
                return told(problem(Code::NoValue, format!("`{}` has no value: expected {wanted}", self.id)).hint(sentence.clone()));
            }
            (Err(_), None) => return Ok(()),
        };
        let fails = |expected: String, got: String, tolerance: String| {
            told(problem(Code::ExampleFails, format!("`{}`: expected {expected}, got {got}, tolerance {tolerance}", self.id)))
        };
        match result {
            Value::Text(text) if *text == wanted.trim() => Ok(()),
            Value::Text(text) => fails(format!("\"{wanted}\""), format!("\"{text}\""), "none".into()),
            Value::Truth(truth) if wanted.trim() == truth.to_string() => Ok(()),
            Value::Truth(_) if !matches!(wanted.trim(), "true" | "false") => {
                let problem = problem(Code::WrongValue, format!("expected `true` or `false` for `{}`, found `{wanted}`", self.id));
                told(problem.hint("pages show them as yes and no"))
            }
            Value::Truth(truth) => fails(wanted.to_owned(), truth.to_string(), "none".into()),
            Value::Number(base) => {
                let (number, unit) = read_quantity(wanted, std::slice::from_ref(&self.unit)).map_err(|sentence| {
                    let problem = problem(Code::WrongValue, format!("expected a number for `{}`, found `{wanted}`", self.id));
                    Amiss::Told(Box::new(problem.hint(sentence)))
                })?;
                let wanted = unit.to_base(number);
                let in_unit = |base: f64| self.unit.with(&format(self.unit.from_base(base), TYPED));
                let (fits, tolerance) = match within {
                    Within::Shown => {
                        let shown = |base: f64| format(self.unit.from_base(base), self.digits);
                        (shown(*base) == shown(wanted), "none: equal as shown".to_owned())
                    }
                    Within::Part(part) => {
                        // Of a temperature the part is of the number on the scale, as its writer thinks of it.
                        let (got, sought) = (unit.from_base(*base), number);
                        if *part >= 1.0 {
                            return Err(Amiss::TooWide);
                        }
                        let most = part * sought.abs();
                        ((got - sought).abs() <= most || alike((got - sought).abs(), most), format!("{} %", format(part * 100.0, TYPED)))
                    }
                    Within::Amount(amount, amount_unit) => {
                        let most = self.amount(*amount, amount_unit.as_ref()).ok_or(Amiss::OtherUnit)?;
                        let shown = amount_unit.as_ref().unwrap_or(&self.unit);
                        if !self.unit.is_point() && wanted != 0.0 && most >= wanted.abs() {
                            return Err(Amiss::TooWide);
                        }
                        ((base - wanted).abs() <= most || alike((base - wanted).abs(), most), shown.with(&format(*amount, TYPED)))
                    }
                };
                if fits { Ok(()) } else { fails(in_unit(wanted), in_unit(*base), tolerance) }
            }
        }
    }

    /// A tolerance in SI base units; on a temperature scale it is a difference.
    fn amount(&self, amount: f64, unit: Option<&Unit>) -> Option<f64> {
        let unit = unit.unwrap_or(&self.unit);
        if unit.dimension() != self.unit.dimension() {
            return None;
        }
        let (_, numerator, denominator) = unit.conversion();
        Some(amount * numerator / denominator)
    }
}
