//! A column of a table in another unit than the calculators take it to be in: one slip, which shows at every formula and worked
//! example behind it. It is told where it was made.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::calculator::Built;
use super::desk::Desk;
use super::draft::draft;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::formula::{Column, ColumnKind, Draft, HowDraft, InputDraft, InputKindDraft, Program, StepDraft, Table, Unit};
use crate::manuscript::{self, Entry, Manuscript};

/// Puts one problem at a column in place of all that vanish when the column is in another unit.
pub fn columns(manuscript: &Manuscript, tables: &BTreeMap<String, Table>, built: &mut [Built], desk: &mut Desk) {
    if built.iter().all(|(_, problems)| problems.is_empty()) {
        return;
    }
    let drafts: Vec<Draft> = manuscript.calculators.iter().map(|entry| draft(&entry.written)).collect();
    for entry in &manuscript.tables {
        let Some(table) = tables.get(&entry.id.value) else { continue };
        let mut users: Vec<usize> = (0..drafts.len()).filter(|at| picks(&drafts[*at]).any(|id| *id == table.id)).collect();
        // Those with problems come first: where they stay, the others need not be tried.
        users.sort_by_key(|at| built[*at].1.is_empty());
        for (column, written) in entry.written.columns.iter().enumerate() {
            let trial = Trial { drafts: &drafts, tables, table, column, users: &users, built };
            let Some((unit, vanished)) = trial.unit_that_mends() else { continue };
            desk.add(told(entry, written, &unit, &vanished));
            for (at, gone) in vanished {
                let mut left = Problems::default();
                built[at].1.iter().filter(|problem| !stands_in(problem, &gone)).for_each(|problem| left.add(problem.clone()));
                built[at].1 = left;
            }
        }
    }
}

/// Calculators that may be built to try the units of one column. Beyond that, what the column leads to stays told.
const MOST_BUILDS: usize = 20_000;

/// Which problems of which calculators vanish.
type Vanished = BTreeMap<usize, Vec<Diagnostic>>;

/// One column, and the calculators that pick from its table.
struct Trial<'a> {
    drafts: &'a [Draft],
    tables: &'a BTreeMap<String, Table>,
    table: &'a Table,
    column: usize,
    users: &'a [usize],
    built: &'a [Built],
}

impl Trial<'_> {
    /// The unit with which more than one problem vanishes and none comes. A single problem says enough as it is, and may as well be
    /// the formula's.
    fn unit_that_mends(&self) -> Option<(Unit, Vanished)> {
        let ColumnKind::Number(own) = &self.table.columns[self.column].kind else { return None };
        let several = self.users.iter().map(|at| self.built[*at].1.len()).sum::<usize>() > 1;
        let candidates = if several { self.candidates() } else { Vec::new() };
        if candidates.len() * self.users.len() > MOST_BUILDS {
            return None;
        }
        let mended = candidates.into_iter().filter(|unit| unit != own).filter_map(|unit| {
            let vanished = self.with(&unit)?;
            (vanished.values().map(Vec::len).sum::<usize>() > 1).then_some((unit, vanished))
        });
        // The first of those that mend most.
        mended.rev().max_by_key(|(_, vanished)| vanished.values().map(Vec::len).sum::<usize>())
    }

    /// What vanishes if the column is in this unit; none if anything else comes.
    fn with(&self, unit: &Unit) -> Option<Vanished> {
        let mut table = self.table.clone();
        table.columns[self.column].kind = ColumnKind::Number(unit.clone());
        let users = self.users.iter().flat_map(|at| picks(&self.drafts[*at]));
        let mut tables: BTreeMap<String, Table> = users.filter_map(|id| Some((id.clone(), self.tables.get(id)?.clone()))).collect();
        tables.insert(table.id.clone(), table);
        let tried = |at: &usize| {
            let mut now = Problems::default();
            Program::build(&self.drafts[*at], &tables, &mut now);
            let (before, now) = (self.built[*at].1.clone().sorted(), now.sorted());
            let nothing_new = now.iter().all(|problem| stands_in(problem, &before));
            nothing_new.then(|| (*at, before.into_iter().filter(|problem| !stands_in(problem, &now)).collect()))
        };
        self.users.par_iter().map(tried).collect()
    }

    /// The units that the calculators and the other columns have, each once.
    fn candidates(&self) -> Vec<Unit> {
        let number = |column: &Column| match &column.kind {
            ColumnKind::Number(unit) => Some(unit.clone()),
            ColumnKind::Text => None,
        };
        let drafts = self.users.iter().map(|at| &self.drafts[*at]);
        let written = drafts.flat_map(|draft| {
            let of_steps = steps(draft).filter_map(|step| step.unit.as_ref());
            of_steps.chain(inputs(draft).filter_map(|input| match &input.kind {
                InputKindDraft::Number { unit, .. } => unit.as_ref(),
                InputKindDraft::Text { .. } => None,
            }))
        });
        let mut units: Vec<Unit> = Vec::new();
        let known = written.filter_map(|text| Unit::known(&text.value));
        for unit in known.chain(self.table.columns.iter().filter_map(number)).chain([Unit::one()]) {
            if !units.contains(&unit) {
                units.push(unit);
            }
        }
        units
    }
}

fn told(entry: &Entry<manuscript::Table>, column: &manuscript::Column, unit: &Unit, vanished: &Vanished) -> Diagnostic {
    let (place, found) = match &column.unit {
        Some(found) => (found.span, format!("`{}`", found.value)),
        None => (column.id.span, "none".to_owned()),
    };
    let wanted = if *unit == Unit::one() { "no unit".to_owned() } else { format!("the unit `{}`", unit.ucum()) };
    let message = format!("expected {wanted} for the column `{}` of `{}`, found {found}", column.id.as_str(), entry.id.value);
    let mut problem = Diagnostic::new(Code::UnitMismatch, place, message).hint(format!(
        "with {wanted} the calculators come out that pick from the table; if {found} is right, mend them at the places told here"
    ));
    for first in vanished.values().filter_map(|gone| gone.first()) {
        problem = problem.also(first.span, first.message.clone());
    }
    problem
}

fn stands_in(problem: &Diagnostic, others: &[Diagnostic]) -> bool {
    others.iter().any(|other| (other.span, other.code, &other.message) == (problem.span, problem.code, &problem.message))
}

/// The tables that a calculator picks from.
fn picks(draft: &Draft) -> impl Iterator<Item = &String> {
    steps(draft).filter_map(|step| match &step.how {
        HowDraft::Pick(pick) => Some(&pick.table.value),
        HowDraft::Formula(_) => None,
    })
}

fn steps(draft: &Draft) -> impl Iterator<Item = &StepDraft> {
    draft.rows.iter().flat_map(|list| &list.steps).chain(&draft.steps)
}

fn inputs(draft: &Draft) -> impl Iterator<Item = &InputDraft> {
    draft.rows.iter().flat_map(|list| &list.fields).chain(&draft.inputs)
}
