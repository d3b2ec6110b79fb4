//! From a [`Draft`] to a [`Program`]: every name, unit, edge and example checked, all problems told at once.

mod inputs;
mod phases;
mod plot;
mod result;
mod rows;
mod solve;
mod steps;
mod verdicts;

use std::collections::BTreeMap;

pub(super) use rows::row_texts;

use super::compile::{compile, no_step};
use super::dimension::Dimension;
use super::draft::{Draft, DrawingDraft, PartKind};
use super::parser::is_reserved;
use super::program::{Drawing, Program};
use super::table::Table;
use super::tree::Function;
use super::typing::{Scope, Type};
use super::unit::{Unit, UnitError};
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::source::{Placed, Span};

impl Program {
    /// Checks a draft and runs its examples. `tables` are all the tables of the handbook, by id without prefix.
    ///
    /// Gives nothing if there was any error; every error found is in `problems`.
    pub fn build(draft: &Draft, tables: &BTreeMap<String, Table>, problems: &mut Problems) -> Option<Program> {
        let mut own = Problems::default();
        let mut builder = Builder {
            draft,
            tables,
            scope: Scope::default(),
            program: Program::default(),
            names: BTreeMap::new(),
            problems: &mut own,
            sound: true,
        };
        builder.later_names();
        builder.inputs();
        builder.solve();
        builder.lists();
        builder.steps();
        builder.verdicts();
        builder.result();
        builder.plot();
        builder.timeline();
        builder.drawing();
        let (mut program, sound) = (builder.program, builder.sound);
        program.find_titles();
        if sound && !own.has_errors() {
            program.examples(draft, &mut own);
        }
        let sound = sound && !own.has_errors();
        problems.append(own);
        sound.then_some(program)
    }
}

struct Builder<'a> {
    draft: &'a Draft,
    tables: &'a BTreeMap<String, Table>,
    scope: Scope,
    program: Program,
    /// Every name with the place where it is given first.
    names: BTreeMap<String, Span>,
    problems: &'a mut Problems,
    /// False once something is missing from the program, so that its places no longer count from the draft.
    sound: bool,
}

impl Builder<'_> {
    fn report(&mut self, code: Code, span: Span, message: impl Into<String>) {
        self.problems.add(Diagnostic::new(code, span, message));
    }

    fn no_step(&self, name: &str) -> String {
        if self.scope.list_with(name).is_some() {
            return format!("there is no step `{name}` outside the rows");
        }
        no_step(name, self.draft.inputs.iter().any(|input| input.id.value == name))
    }

    fn later_names(&mut self) {
        for step in &self.draft.steps {
            self.scope.later(step.id.value.clone());
        }
        for input in &self.draft.inputs {
            self.scope.later(input.id.value.clone());
        }
        for list in &self.draft.rows {
            self.scope.later(list.id.value.clone());
        }
    }

    /// A name that formulas can use and that nothing else has. Gives false if something else has it: then nobody knows which of
    /// the two a formula means, and those that use it are not blamed.
    fn name(&mut self, id: &Placed<String>) -> bool {
        let mut letters = id.value.chars();
        let starts = letters.next().is_some_and(|letter| letter.is_ascii_lowercase());
        let written = starts && letters.all(|letter| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '_');
        if !written {
            let problem = Diagnostic::new(Code::WrongValue, id.span, format!("expected a name for formulas, found `{}`", id.value));
            self.problems.add(problem.hint("small letters a to z, digits and `_`, a letter first"));
        } else if is_reserved(&id.value) || Function::ALL.iter().any(|function| function.name() == id.value) {
            self.report(Code::DuplicateName, id.span, format!("`{}` is a word of the formula language", id.value));
        }
        let Some(first) = self.names.get(&id.value).copied() else {
            self.names.insert(id.value.clone(), id.span);
            return true;
        };
        let what = if self.draft.rows.is_empty() { "an input or step" } else { "an input, list, field or step" };
        let problem = Diagnostic::new(Code::DuplicateName, id.span, format!("`{}` names {what} already", id.value));
        self.problems
            .add(problem.also(first, "the first").hint("give one of the two another name, and use that in the formulas that mean it"));
        self.sound = false;
        self.scope.names.remove(&id.value);
        self.scope.fields.remove(&id.value);
        self.scope.broken(id.value.clone());
        false
    }

    fn unit(&mut self, text: &Placed<String>) -> Option<Unit> {
        match Unit::parse(&text.value) {
            Ok(unit) => Some(unit),
            Err(wrong) => {
                self.problems.add(unknown_unit(text, wrong));
                None
            }
        }
    }

    fn drawing(&mut self) {
        let Some(DrawingDraft { kind, parts }) = &self.draft.drawing else { return };
        let mut drawing = Drawing { kind: kind.value.clone(), parts: Vec::new() };
        for part in parts {
            let Some(formula) = compile(&part.formula, &self.scope, self.problems) else { continue };
            let length = Type::Number { dimension: Dimension::LENGTH, point: false };
            let (fits, wanted) = match part.wants {
                PartKind::Length => (formula.kind == length, "length"),
                PartKind::Text => (matches!(formula.kind, Type::Text { .. }), "a text"),
            };
            if !fits {
                let message = format!("`{}` of the drawing: expected {wanted}, found {}", part.name.value, formula.kind);
                self.report(mismatch(&formula.kind, part.wants == PartKind::Length), part.formula.whole(), message);
            }
            drawing.parts.push((part.name.value.clone(), formula));
        }
        self.program.drawing = Some(drawing);
    }
}

/// Numbers of another dimension are a matter of units, anything else of types.
fn mismatch(found: &Type, number_wanted: bool) -> Code {
    if number_wanted && matches!(found, Type::Number { .. }) { Code::UnitMismatch } else { Code::TypeMismatch }
}

/// Whether two types may be compared: texts with texts, numbers of one dimension.
fn comparable(a: &Type, b: &Type) -> bool {
    matches!((a, b), (Type::Text { .. }, Type::Text { .. })) || a == b
}

fn unknown_unit(text: &Placed<String>, wrong: UnitError) -> Diagnostic {
    let problem = Diagnostic::new(Code::UnknownUnit, text.span, wrong.message);
    match wrong.hint {
        Some(hint) => problem.hint(hint),
        None => problem.hint("units are UCUM codes or the trade's spellings, such as `V`, `uA`, `in. w.c.`, `Btu/h`"),
    }
}
