//! Steps: formulas with the unit they are shown in, and rows picked from tables.

use std::collections::{BTreeMap, BTreeSet};

use super::{Builder, comparable, mismatch};
use crate::diagnostic::{Code, Diagnostic, Once};
use crate::formula::Value;
use crate::formula::compile::compile;
use crate::formula::draft::{ByDraft, HowDraft, Nearest, PickDraft, StepDraft};
use crate::formula::format::Digits;
use crate::formula::pick::{By, Pick};
use crate::formula::program::{How, Step};
use crate::formula::quotes::in_quotes;
use crate::formula::table::{Cell, ColumnKind, Table};
use crate::formula::titles::Titles;
use crate::formula::typing::{Formula, Scope, Type};
use crate::formula::unit::Unit;
use crate::source::{Inset, Placed, Span};

const MOST_DECIMALS: u8 = 9;

impl Builder<'_> {
    pub(super) fn steps(&mut self) {
        for draft in &self.draft.steps {
            let named = self.name(&draft.id);
            let step = self.step(draft);
            match step {
                Some(step) if named => {
                    let place = self.program.inputs.len() + self.program.steps.len();
                    self.scope.name(step.id.clone(), place, step.kind.clone());
                    self.program.steps.push(step);
                }
                _ => {
                    self.sound = false;
                    self.scope.broken(draft.id.value.clone());
                }
            }
        }
    }

    pub(super) fn digits(&mut self, digits: Option<&Placed<u8>>) -> Digits {
        match digits {
            Some(digits) if digits.value > MOST_DECIMALS => {
                self.report(Code::OutOfRange, digits.span, format!("expected 0 to {MOST_DECIMALS} decimals, found {}", digits.value));
                Digits::default()
            }
            Some(digits) => Digits::Decimals(digits.value),
            None => Digits::default(),
        }
    }

    pub(super) fn step(&mut self, draft: &StepDraft) -> Option<Step> {
        self.scope.own.clone_from(&draft.id.value);
        let unit = draft.unit.as_ref().map(|text| self.unit(text));
        let digits = self.digits(draft.digits.as_ref());
        let when = draft.when.as_ref().and_then(|when| self.when(when));
        let (how, kind, own_unit, span) = match &draft.how {
            HowDraft::Formula(inset) => {
                let formula = compile(inset, &self.scope, self.problems)?;
                let kind = formula.kind.clone();
                (How::Formula(formula), kind, Unit::one(), inset.whole())
            }
            HowDraft::Pick(pick) => {
                let (pick, kind, unit) = self.pick(pick)?;
                (How::Pick(pick), kind, unit, draft.id.span)
            }
        };
        let unit = match unit {
            Some(unit) => unit?,
            None => own_unit,
        };
        // Whether formula or unit is wrong cannot be known, so what uses the step is not blamed.
        if !self.shown_unit(draft, &kind, &unit, span) {
            return None;
        }
        Some(Step {
            id: draft.id.value.clone(),
            title: draft.title.value.clone(),
            kind,
            unit,
            digits,
            when,
            how,
            solves: None,
            titles: Titles::default(),
        })
    }

    fn shown_unit(&mut self, draft: &StepDraft, kind: &Type, unit: &Unit, span: Span) -> bool {
        let wanted = Type::of_unit(unit);
        match (kind, &draft.unit) {
            (Type::Number { .. }, _) if *kind == wanted => return true,
            (Type::Number { .. }, Some(text)) => {
                let problem =
                    Diagnostic::new(Code::UnitMismatch, span, format!("the step is shown in `{}`, {wanted}, but gives {kind}", text.value));
                self.problems.add(problem.label(format!("this is {kind}")).also(text.span, format!("this is {wanted}")));
            }
            (Type::Number { .. }, None) => {
                let problem =
                    Diagnostic::new(Code::UnitMismatch, span, format!("the step gives {kind}, so it needs a `unit` to be shown in"));
                self.problems.add(problem.label(format!("this is {kind}")));
            }
            (_, Some(text)) => self.report(Code::TypeMismatch, text.span, format!("the step gives {kind}, which has no unit")),
            (_, None) => return true,
        }
        false
    }

    fn pick(&mut self, draft: &PickDraft) -> Option<(Pick, Type, Unit)> {
        let Some(table) = self.tables.get(&draft.table.value) else {
            let problem = Diagnostic::new(Code::BrokenLink, draft.table.span, format!("there is no table `{}`", draft.table.value));
            self.problems.add(problem.nearest(&draft.table.value, self.tables.keys().map(String::as_str)));
            return None;
        };
        let column = self.column(table, &draft.column);
        let needs_none = !matches!(draft.by, ByDraft::At { .. });
        if needs_none && draft.none.is_none() {
            let message = "the pick needs `none`: the plain sentence for when no row fits";
            self.report(Code::MissingField, draft.table.span, message);
        }
        let by = match &draft.by {
            ByDraft::First(inset) => self.first(table, inset),
            ByDraft::Where(keys) => self.keys(table, keys, draft.table.span),
            ByDraft::At { column: at, value, how } => self.at(table, at, value, *how),
        };
        let (column, by) = (column?, by?);
        let (kind, unit) = match &table.columns[column].kind {
            ColumnKind::Number(unit) => (Type::of_unit(unit), unit.clone()),
            ColumnKind::Text => (column_type(table, column), Unit::one()),
        };
        if matches!(by, By::At { how: Nearest::Between, .. }) && !matches!(kind, Type::Number { .. }) {
            let message = format!("only numbers can be interpolated, `{}` is a text", draft.column.value);
            self.problems.add(of_column(Code::TypeMismatch, &draft.column, message));
            return None;
        }
        if !self.program.tables.contains_key(&table.id) {
            self.program.tables.insert(table.id.clone(), table.clone());
        }
        if let (By::Where(keys), ByDraft::Where(drafted)) = (&by, &draft.by) {
            self.one_row(table, column, keys, drafted);
        }
        let none = draft.none.as_ref().map(|none| none.value.clone());
        Some((Pick { table: table.id.clone(), column, by, none }, kind, unit))
    }

    fn column(&mut self, table: &Table, name: &Placed<String>) -> Option<usize> {
        let column = table.column(&name.value);
        if column.is_none() {
            let problem = of_column(Code::UnknownName, name, format!("`{}` has no column `{}`", table.title, name.value));
            self.problems.add(problem.nearest(&name.value, table.columns.iter().map(|column| column.name.as_str())));
        }
        column
    }

    fn first(&mut self, table: &Table, inset: &Inset) -> Option<By> {
        let mut scope: Scope = self.scope.clone();
        for (position, column) in table.columns.iter().enumerate() {
            scope.column(column.name.clone(), position, column_type(table, position));
        }
        let holds = compile(inset, &scope, self.problems)?;
        if holds.kind != Type::Truth {
            self.report(Code::TypeMismatch, inset.whole(), format!("`first`: expected a truth (yes or no), found {}", holds.kind));
            return None;
        }
        Some(By::First { holds })
    }

    fn keys(&mut self, table: &Table, keys: &[(Placed<String>, Inset)], span: Span) -> Option<By> {
        if keys.is_empty() {
            self.report(Code::MissingField, span, "`where` names no column");
            return None;
        }
        let mut checked = Vec::new();
        for (name, inset) in keys {
            let column = self.column(table, name);
            if let Some(column) = column
                && self.bare_cell(table, column, inset)
            {
                continue;
            }
            let value = compile(inset, &self.scope, self.problems);
            let (Some(column), Some(value)) = (column, value) else { continue };
            self.same_kind(table, column, &value, inset);
            if let (Type::Text { choices: cells }, Type::Text { choices: texts }) = (column_type(table, column), &value.kind)
                && !texts.is_empty()
                && !texts.iter().any(|text| cells.contains(text))
            {
                let quoted = |texts: &[String]| texts.iter().map(|text| format!("\"{text}\"")).collect::<Vec<_>>().join(", ");
                let message = format!("no row can fit: `{}` never holds {}", name.value, quoted(texts));
                self.problems.add(Diagnostic::new(Code::WrongValue, inset.whole(), message).hint(format!("it holds {}", quoted(&cells))));
            }
            checked.push((column, value));
        }
        (checked.len() == keys.len()).then_some(By::Where(checked))
    }

    /// Tells of a cell's text that stands in the place of a formula: YAML takes the quotes that it was given.
    fn bare_cell(&mut self, table: &Table, column: usize, inset: &Inset) -> bool {
        let text = inset.text.trim();
        let Type::Text { choices: cells } = column_type(table, column) else { return false };
        if !cells.iter().any(|cell| cell == text) || self.scope.known().any(|name| name == text) {
            return false;
        }
        let problem = Diagnostic::new(Code::WrongValue, inset.whole(), format!("expected a text in double quotes, found `{text}`"));
        self.problems.add(problem.hint(in_quotes(&inset.text, 0..inset.text.len(), text)));
        true
    }

    /// Rows that are alike in all keys have the same figure: otherwise which one is meant would be left to their order.
    fn one_row(&mut self, table: &Table, column: usize, keys: &[(usize, Formula)], drafted: &[(Placed<String>, Inset)]) {
        let cells = |row: usize| keys.iter().map(|(key, _)| table.value(row, *key)).collect::<Option<Vec<Value>>>();
        let mut met: BTreeMap<String, usize> = BTreeMap::new();
        for row in 0..table.rows.len() {
            let (Some(cells), Some(figure)) = (cells(row), table.value(row, column)) else { continue };
            let first = *met.entry(format!("{cells:?}")).or_insert(row);
            if table.value(first, column).is_some_and(|other| other != figure) {
                let written = match drafted {
                    [(name, _)] => format!("`{}`", name.value),
                    _ => "all of these keys".to_owned(),
                };
                let message = format!(
                    "several rows of `{}` fit: rows {} and {} are alike in {written} and differ in `{}`",
                    table.title,
                    first + 1,
                    row + 1,
                    table.columns[column].name
                );
                let others: Vec<String> = (0..table.columns.len())
                    .filter(|other| *other != column && !keys.iter().any(|(key, _)| key == other))
                    .filter(|other| table.value(first, *other) != table.value(row, *other))
                    .map(|other| format!("`{}`", table.columns[other].name))
                    .collect();
                let problem = of_column(Code::DuplicateRow, &drafted[0].0, message);
                self.problems.add(match others.as_slice() {
                    [] => problem,
                    others => problem.hint(format!("name another key beside it, such as {}", others.join(" or "))),
                });
                return;
            }
        }
    }

    fn at(&mut self, table: &Table, name: &Placed<String>, inset: &Inset, how: Nearest) -> Option<By> {
        let column = self.column(table, name);
        let value = compile(inset, &self.scope, self.problems);
        let (column, value) = (column?, value?);
        if table.order != Some(column) {
            let problem = of_column(Code::WrongValue, name, format!("`{}` is not in the order of `{}`", table.title, name.value));
            let hint = match table.order.and_then(|order| table.columns.get(order)) {
                Some(order) => format!("its rows rise in `{}`", order.name),
                None => format!("write `order: {}` in the table `{}`, whose rows must rise there", name.value, table.id),
            };
            self.problems.add(problem.hint(hint));
            return None;
        }
        if !matches!(table.columns[column].kind, ColumnKind::Number(_)) {
            self.problems.add(of_column(Code::TypeMismatch, name, format!("rows are found by size, but `{}` is a text", name.value)));
            return None;
        }
        self.same_kind(table, column, &value, inset);
        Some(By::At { column, value, how })
    }

    fn same_kind(&mut self, table: &Table, column: usize, value: &Formula, inset: &Inset) {
        let wanted = column_type(table, column);
        if !comparable(&wanted, &value.kind) {
            let message = format!("the column `{}` holds {wanted}, found {}", table.columns[column].name, value.kind);
            self.report(mismatch(&value.kind, matches!(wanted, Type::Number { .. })), inset.whole(), message);
        }
    }
}

/// What is wrong with a column that a pick names: most likely a slip in the table, from which other calculators pick too.
fn of_column(code: Code, name: &Placed<String>, message: String) -> Diagnostic {
    Diagnostic::new(code, name.span, message).once(Once::PerHandbook)
}

/// What a column holds; for texts, which ones.
fn column_type(table: &Table, column: usize) -> Type {
    match &table.columns[column].kind {
        ColumnKind::Number(unit) => Type::of_unit(unit),
        ColumnKind::Text => {
            let texts: BTreeSet<&String> = table
                .rows
                .iter()
                .filter_map(|row| match row.get(column) {
                    Some(Cell::Text(text)) => Some(text),
                    _ => None,
                })
                .collect();
            Type::Text { choices: texts.into_iter().cloned().collect() }
        }
    }
}
