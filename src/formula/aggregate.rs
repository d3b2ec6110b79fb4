//! What is made of the rows of a list: `sum(draw in loads)`, `count(loads where hot)`; its types and its values.

use std::ops::Range;

use super::compile::{Typed, Typing};
use super::evaluate::{Result, Value, World, finite};
use super::sentence;
use super::tree::{Aggregate, Node};
use super::typing::{Expression, Type};
use crate::diagnostic::Code;

/// The rows of a list, as aggregates see them.
#[derive(Debug, Clone)]
pub(super) struct ListValues {
    /// What the list is called.
    pub(super) title: String,
    pub(super) rows: Vec<RowValues>,
}

#[derive(Debug, Clone)]
pub(super) struct RowValues {
    /// What the row is called, such as `Load 2: Gas valve`.
    pub(super) title: String,
    /// Fields, then steps.
    pub(super) values: Vec<Result>,
}

impl Typing<'_> {
    pub(super) fn aggregate(
        &mut self,
        name: &str,
        at: &Range<usize>,
        value: Option<&Node>,
        list: &(String, Range<usize>),
        holds: Option<&Node>,
    ) -> Typed {
        let Some(function) = Aggregate::ALL.into_iter().find(|function| function.name() == name) else {
            let problem = self.problem(Code::UnknownName, at, format!("nothing goes over rows by the name `{name}`"));
            return self.report(problem.nearest(name, Aggregate::ALL.iter().map(|function| function.name())));
        };
        if self.inside {
            let problem = self.problem(Code::WrongArguments, at, format!("`{name}` over rows stands inside another one"));
            return self.report(problem.hint("give the inner one a step of its own"));
        }
        let scope = self.scope;
        let Some((position, fields)) = scope.lists.get(&list.0) else {
            if scope.broken.contains(&list.0) {
                return None;
            }
            let message = if scope.other_lists.contains_key(&list.0) || scope.later.contains(&list.0) && !scope.names.contains_key(&list.0)
            {
                format!("the rows of `{}` cannot be gone over here", list.0)
            } else {
                format!("there is no list of rows `{}`", list.0)
            };
            let problem = self.problem(Code::UnknownName, &list.1, message);
            return self.report(problem.nearest(&list.0, scope.lists.keys().map(String::as_str)));
        };
        if value.is_some() == (function == Aggregate::Count) {
            let problem = self.problem(Code::WrongArguments, at, format!("`{name}` over rows is written `{}`", function.form()));
            return self.report(problem);
        }
        let outer = std::mem::replace(&mut self.fields, fields);
        self.inside = true;
        let typed = value.map(|value| (self.node(value), value));
        let holds = holds.map(|holds| self.truth(holds));
        self.fields = outer;
        self.inside = false;
        let holds = match holds {
            Some(holds) => Some(Box::new(holds?)),
            None => None,
        };
        let Some((typed, node)) = typed else {
            return Some((Expression::Aggregate { function, list: *position, value: None, holds, kind: Type::PLAIN }, Type::PLAIN));
        };
        let (expression, kind) = typed?;
        let kind = match (function, kind) {
            (Aggregate::FirstFailing, Type::Truth) => Type::Text { choices: scope.row_titles.get(&list.0).cloned().unwrap_or_default() },
            (Aggregate::Tally, Type::Text { .. }) => Type::Text { choices: Vec::new() },
            (Aggregate::Tally, kind) => return self.wants(&node.range, "a text", &kind),
            (Aggregate::FirstFailing, kind) => return self.wants(&node.range, "a truth (yes or no)", &kind),
            (Aggregate::Sum, Type::Number { point: true, .. }) => return self.point_misuse(&node.range, "summed"),
            (_, kind @ Type::Number { .. }) => kind,
            (_, kind) => return self.wants(&node.range, "a number", &kind),
        };
        Some((Expression::Aggregate { function, list: *position, value: Some(expression.into()), holds, kind: kind.clone() }, kind))
    }
}

impl World<'_> {
    /// Rows in their order; the first one that lacks a value that is needed ends it with its sentence.
    pub(super) fn aggregate(&self, function: Aggregate, list: usize, value: Option<&Expression>, holds: Option<&Expression>) -> Result {
        let list = self.lists.get(list).ok_or(sentence::LARGE)?.as_ref().map_err(Clone::clone)?;
        let (mut count, mut total, mut extreme) = (0.0, 0.0, None);
        let mut tally: Vec<(String, usize)> = Vec::new();
        for row in &list.rows {
            let world = World { fields: &row.values, ..*self };
            if let Some(holds) = holds
                && !world.truth(holds)?
            {
                continue;
            }
            count += 1.0;
            let Some(value) = value else { continue };
            if function == Aggregate::FirstFailing {
                if !world.truth(value)? {
                    return Ok(Value::Text(row.title.clone()));
                }
                continue;
            }
            if function == Aggregate::Tally {
                let Value::Text(text) = world.value(value)? else { return Err(sentence::LARGE.into()) };
                match tally.iter_mut().find(|(known, _)| *known == text) {
                    Some((_, times)) => *times += 1,
                    None => tally.push((text, 1)),
                }
                continue;
            }
            let number = finite(world.number(value)?)?;
            total += number;
            extreme = match extreme {
                Some(before) if function == Aggregate::Min && number >= before => Some(before),
                Some(before) if function == Aggregate::Max && number <= before => Some(before),
                _ => Some(number),
            };
        }
        match function {
            Aggregate::Sum => Ok(Value::Number(total)),
            Aggregate::Count => Ok(Value::Number(count)),
            Aggregate::Tally if tally.is_empty() => Ok(Value::Text("none".into())),
            Aggregate::Tally => {
                let parts: Vec<String> = tally.into_iter().map(|(text, times)| format!("{times} × {text}")).collect();
                Ok(Value::Text(parts.join("; ")))
            }
            Aggregate::FirstFailing => Err(sentence::none_fails(&list.title).into()),
            Aggregate::Min | Aggregate::Max => extreme.map(Value::Number).ok_or_else(|| sentence::no_row_to_compare(&list.title).into()),
        }
    }
}
