//! Names, units and types: from the tree to a formula that can be worked.

use std::collections::BTreeMap;
use std::ops::Range;

use super::dimension::Dimension;
use super::evaluate::World;
use super::parser;
use super::quotes::in_quotes;
use super::tree::{Aggregate, Function, Kind, Node, Operator};
use super::typing::{Expression, Formula, Scope, Type};
use super::unit::Unit;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::source::{Inset, Span};

/// Whole powers up to this are multiplied out.
const LARGEST_EXPONENT: i32 = 16;

/// Reads and checks a formula; problems go to `problems`, and then there is no formula.
///
/// Linear in the length of the text, which with its nesting is limited (`formula-too-deep`).
pub fn compile(inset: &Inset, scope: &Scope, problems: &mut Problems) -> Option<Formula> {
    let node = match parser::parse(inset) {
        Ok(node) => node,
        Err(problem) => {
            problems.add(problem);
            return None;
        }
    };
    let mut typing = Typing { inset, scope, fields: &scope.fields, inside: false, bare: None, problems };
    let (expression, kind) = typing.node(&node)?;
    Some(Formula { text: inset.text.clone(), kind, span: inset.whole(), expression })
}

pub(super) struct Typing<'a> {
    inset: &'a Inset,
    pub(super) scope: &'a Scope,
    /// Of the row at hand.
    pub(super) fields: &'a BTreeMap<String, (usize, Type)>,
    /// Whether this is inside an aggregate.
    pub(super) inside: bool,
    /// A text without quotes that was told of: what its words would be as names is no further mistake.
    bare: Option<Span>,
    problems: &'a mut Problems,
}

pub(super) type Typed = Option<(Expression, Type)>;

impl<'a> Typing<'a> {
    pub(super) fn problem(&self, code: Code, range: &Range<usize>, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(code, self.inset.span(range.clone()), message)
    }

    pub(super) fn report(&mut self, problem: Diagnostic) -> Typed {
        let told = self.bare.is_some_and(|bare| bare.start <= problem.span.start && problem.span.end <= bare.end);
        if !told {
            self.problems.add(problem);
        }
        None
    }

    /// Both sides with what they are, as labels.
    fn mismatch(
        &mut self,
        code: Code,
        at: &Range<usize>,
        message: String,
        left: (&Node, &Type),
        right: (&Node, &Type),
        hint: Option<String>,
    ) -> Typed {
        let mut problem = self.problem(code, at, message);
        for (node, kind) in [left, right] {
            problem = problem.also(self.inset.span(node.range.clone()), format!("this is {kind}"));
        }
        if let Some(hint) = hint {
            problem = problem.hint(hint);
        }
        self.report(problem)
    }

    pub(super) fn node(&mut self, node: &Node) -> Typed {
        match &node.kind {
            Kind::Number { value, unit } => self.literal(*value, unit.as_ref()),
            Kind::Text(text) => Some((Expression::Text(text.clone()), Type::Text { choices: vec![text.clone()] })),
            Kind::Truth(truth) => Some((Expression::Truth(*truth), Type::Truth)),
            Kind::Name(name) => self.name(name, &node.range),
            Kind::Negate(inner) => {
                // `-20 [degF]` is one temperature, not the negative of another.
                if let Kind::Number { value, unit: unit @ Some((_, text)) } = &inner.kind
                    && Unit::parse(text).is_ok_and(|unit| unit.is_point())
                {
                    return self.literal(-value, unit.as_ref());
                }
                let (expression, kind) = self.node(inner)?;
                match kind {
                    Type::Number { point: false, .. } => Some((Expression::Negate(expression.into()), kind)),
                    Type::Number { .. } => self.point_misuse(&node.range, "negated"),
                    _ => self.wants(&inner.range, "a number", &kind),
                }
            }
            Kind::Not(inner) => {
                let expression = self.truth(inner)?;
                Some((Expression::Not(expression.into()), Type::Truth))
            }
            Kind::Binary { operator, at, left, right } => self.binary(*operator, at, left, right),
            Kind::If { condition, then, otherwise } => {
                let condition = self.truth(condition);
                let (then_typed, otherwise_typed) = (self.node(then), self.node(otherwise));
                let ((first, first_kind), (second, second_kind)) = (then_typed?, otherwise_typed?);
                let kind = match (first_kind, second_kind) {
                    (Type::Text { mut choices }, Type::Text { choices: more }) => {
                        if choices.is_empty() || more.is_empty() {
                            choices.clear();
                        } else {
                            choices.extend(more);
                        }
                        choices.sort();
                        choices.dedup();
                        Type::Text { choices }
                    }
                    (first, second) if first == second => first,
                    (first, second) => {
                        let code = if matches!((&first, &second), (Type::Number { .. }, Type::Number { .. })) {
                            Code::UnitMismatch
                        } else {
                            Code::TypeMismatch
                        };
                        let message = format!("both branches of an `if` must be alike, found {first} and {second}");
                        return self.mismatch(code, &node.range, message, (then, &first), (otherwise, &second), None);
                    }
                };
                Some((Expression::If { condition: condition?.into(), then: first.into(), otherwise: second.into() }, kind))
            }
            Kind::Call { function, at, arguments } => self.call(function, at, arguments),
            Kind::Aggregate { function, at, value, list, holds } => self.aggregate(function, at, value.as_deref(), list, holds.as_deref()),
        }
    }

    pub(super) fn wants(&mut self, range: &Range<usize>, expected: &str, found: &Type) -> Typed {
        let problem = self.problem(Code::TypeMismatch, range, format!("expected {expected}, found {found}"));
        self.report(problem)
    }

    pub(super) fn point_misuse(&mut self, range: &Range<usize>, done: &str) -> Typed {
        let problem = self.problem(Code::UnitMismatch, range, format!("a temperature on a scale cannot be {done}"));
        self.report(problem.hint("subtract another temperature first: the difference can"))
    }

    pub(super) fn truth(&mut self, node: &Node) -> Option<Expression> {
        let (expression, kind) = self.node(node)?;
        if kind == Type::Truth {
            return Some(expression);
        }
        self.wants(&node.range, "a truth (yes or no)", &kind);
        None
    }

    fn literal(&mut self, written: f64, unit: Option<&(Range<usize>, String)>) -> Typed {
        let Some((range, text)) = unit else {
            return Some((Expression::Number { base: written, written, unit: None }, Type::PLAIN));
        };
        match Unit::parse(text) {
            Ok(unit) => {
                let (base, kind) = (unit.to_base(written), Type::of_unit(&unit));
                if !base.is_finite() {
                    let problem = self.problem(Code::OutOfRange, range, "the number is too large in SI base units");
                    return self.report(problem);
                }
                Some((Expression::Number { base, written, unit: Some(unit) }, kind))
            }
            Err(wrong) => {
                let at = range.start + wrong.range.start..range.start + wrong.range.end;
                let mut problem = self.problem(Code::UnknownUnit, &at, wrong.message);
                if let Some(hint) = wrong.hint {
                    problem = problem.hint(hint);
                }
                self.report(problem)
            }
        }
    }

    fn name(&mut self, name: &str, range: &Range<usize>) -> Typed {
        if let Some((place, kind)) = self.fields.get(name) {
            if self.scope.columns.contains_key(name) {
                let problem =
                    self.problem(Code::DuplicateName, range, format!("`{name}` is a column of the table and also a field of the row"));
                return self.report(problem.hint("give the field another name"));
            }
            return Some((Expression::Field(*place), kind.clone()));
        }
        match (self.scope.names.get(name), self.scope.columns.get(name)) {
            (Some(_), Some(_)) => {
                let message = format!("`{name}` is a column of the table and also an input or step");
                let problem = self.problem(Code::DuplicateName, range, message).hint("give the input or step another name");
                self.report(problem)
            }
            (Some((place, kind)), None) => Some((Expression::Name(*place), kind.clone())),
            (None, Some((position, kind))) => Some((Expression::Column(*position), kind.clone())),
            (None, None) if self.scope.broken.contains(name) => None,
            (None, None) => {
                let problem = if let Some(list) = self.scope.list_with(name) {
                    self.problem(Code::RowOutsideRows, range, format!("`{name}` belongs to each row of `{list}`, and here is no row")).hint(
                        format!(
                            "go over the rows: `{}`; there are sum, count, min, max, first_failing and tally",
                            self.scope.over_rows(list, name)
                        ),
                    )
                } else if self.scope.lists.contains_key(name) {
                    self.problem(Code::RowOutsideRows, range, format!("`{name}` is a list of rows, not a value"))
                        .hint(format!("count its rows with `count({name})`, or go over them: `sum(VALUE in {name})`"))
                } else if let Some(list) = self.scope.other_list_with(name) {
                    self.problem(Code::RowOutsideRows, range, format!("`{name}` belongs to each row of `{list}`, and here are other rows"))
                        .hint(format!(
                            "a step of the calculator itself can go over both lists, such as `{}`",
                            self.scope.over_rows(list, name)
                        ))
                } else if self.scope.other_lists.contains_key(name) {
                    self.problem(Code::RowOutsideRows, range, format!("`{name}` is another list of rows, and here is one row"))
                        .hint("a step of the calculator itself can go over it")
                } else if self.scope.own == *name {
                    self.problem(Code::UnknownName, range, format!("`{name}` is this step itself"))
                        .hint("a formula may use only what stands above it")
                } else if self.scope.later.contains(name) {
                    self.problem(Code::UnknownName, range, format!("`{name}` stands further down"))
                        .hint("a formula may use only what stands above it")
                } else if self.is_a_choice(name) {
                    self.problem(Code::UnknownName, range, no_step(name, false)).hint(in_quotes(&self.inset.text, range.clone(), name))
                } else {
                    self.problem(Code::UnknownName, range, no_step(name, false)).nearest(name, self.scope.known())
                };
                self.report(problem)
            }
        }
    }

    /// Whether a text that formulas see here can be this one.
    fn is_a_choice(&self, name: &str) -> bool {
        let kinds = self.scope.names.values().map(|(_, kind)| kind).chain(self.fields.values().map(|(_, kind)| kind));
        kinds.chain(self.scope.columns.values().map(|(_, kind)| kind)).any(|kind| match kind {
            Type::Text { choices } => choices.iter().any(|choice| choice == name),
            _ => false,
        })
    }

    fn binary(&mut self, operator: Operator, at: &Range<usize>, left: &Node, right: &Node) -> Typed {
        if matches!(operator, Operator::And | Operator::Or) {
            let (first, second) = (self.truth(left), self.truth(right));
            return Some((Expression::Binary { operator, left: first?.into(), right: second?.into() }, Type::Truth));
        }
        if operator == Operator::Power {
            return self.power(at, left, right);
        }
        if matches!(operator, Operator::Equal | Operator::NotEqual) && self.bare_text(left, right) {
            return None;
        }
        let (first, second) = (self.node(left), self.node(right));
        let ((first, first_kind), (second, second_kind)) = (first?, second?);
        let kind = match (&first_kind, &second_kind) {
            (Type::Number { dimension, point }, Type::Number { dimension: other, point: other_point }) => {
                let sides = ((left, &first_kind), (right, &second_kind));
                match arithmetic(operator, (*dimension, *point), (*other, *other_point)) {
                    Ok(kind) => kind,
                    Err((message, hint)) => return self.mismatch(Code::UnitMismatch, at, message, sides.0, sides.1, hint),
                }
            }
            (Type::Text { choices }, Type::Text { choices: others }) if matches!(operator, Operator::Equal | Operator::NotEqual) => {
                self.known_text(left, &first, others);
                self.known_text(right, &second, choices);
                Type::Truth
            }
            (Type::Truth, Type::Truth) if matches!(operator, Operator::Equal | Operator::NotEqual) => Type::Truth,
            _ => {
                let message = format!("`{}` does not go between {first_kind} and {second_kind}", operator.written());
                return self.mismatch(Code::TypeMismatch, at, message, (left, &first_kind), (right, &second_kind), None);
            }
        };
        Some((Expression::Binary { operator, left: first.into(), right: second.into() }, kind))
    }

    /// The texts that a name can be.
    fn texts(&self, node: &Node) -> Option<&'a [String]> {
        let Kind::Name(name) = &node.kind else { return None };
        let (scope, fields) = (self.scope, self.fields);
        match fields.get(name).or_else(|| scope.columns.get(name)).or_else(|| scope.names.get(name)) {
            Some((_, Type::Text { choices })) => Some(choices),
            _ => None,
        }
    }

    /// Tells of a text without its quotes beside a name that can be this text.
    fn bare_text(&mut self, left: &Node, right: &Node) -> bool {
        for (known, other) in [(left, right), (right, left)] {
            let Some(choices) = self.texts(known) else { continue };
            if matches!(other.kind, Kind::Text(_)) || self.texts(other).is_some() {
                continue;
            }
            let rest = &self.inset.text[other.range.start..];
            let ends = |choice: &&String| !rest[choice.len()..].starts_with(|sign: char| sign.is_alphanumeric() || sign == '_');
            let bare = choices.iter().filter(|choice| !choice.is_empty() && rest.starts_with(choice.as_str())).filter(ends);
            let Some(text) = bare.max_by_key(|choice| choice.len()) else { continue };
            let range = other.range.start..other.range.start + text.len();
            let problem = self.problem(Code::WrongValue, &range, format!("expected a text in double quotes, found `{text}`"));
            let place = problem.span;
            self.report(problem.hint(in_quotes(&self.inset.text, range, text)));
            self.bare = Some(place);
            return true;
        }
        false
    }

    /// A text literal that can never equal the other side is a mistake.
    fn known_text(&mut self, node: &Node, expression: &Expression, others: &[String]) {
        if let Expression::Text(text) = expression
            && !others.is_empty()
            && !others.contains(text)
        {
            const MOST: usize = 12;
            let n_shown = if others.len() > MOST { 3 } else { MOST };
            let mut list = others.iter().take(n_shown).map(|other| format!("\"{other}\"")).collect::<Vec<_>>().join(", ");
            if others.len() > MOST {
                list += &format!(" and {} more", others.len() - n_shown);
            }
            let problem = self.problem(Code::WrongValue, &node.range, format!("expected one of {list}, found \"{text}\""));
            self.report(problem.nearest(text, others.iter().map(String::as_str)));
        }
    }

    fn power(&mut self, at: &Range<usize>, left: &Node, right: &Node) -> Typed {
        let (base, exponent) = (self.node(left), self.node(right));
        let ((base, base_kind), (exponent, exponent_kind)) = (base?, exponent?);
        let Type::Number { dimension, point } = base_kind else {
            return self.wants(&left.range, "a number", &base_kind);
        };
        if point {
            return self.point_misuse(&left.range, "raised to a power");
        }
        if exponent_kind != Type::PLAIN {
            return self.wants(&right.range, "a plain number as exponent", &exponent_kind);
        }
        if let Some(whole) = whole_exponent(&exponent) {
            let Some(dimension) = dimension.power(whole) else {
                let problem = self.problem(Code::UnitMismatch, at, "the result is beyond any quantity");
                return self.report(problem);
            };
            return Some((Expression::Raise { base: base.into(), exponent: whole }, Type::Number { dimension, point: false }));
        }
        if dimension != Dimension::NONE {
            let message = format!(
                "{dimension} can be raised only to a whole number known beforehand, from -{LARGEST_EXPONENT} to {LARGEST_EXPONENT}"
            );
            let problem =
                self.problem(Code::UnitMismatch, at, message).also(self.inset.span(left.range.clone()), format!("this is {dimension}"));
            return self.report(problem.hint("for a square root use `sqrt`"));
        }
        Some((Expression::Binary { operator: Operator::Power, left: base.into(), right: exponent.into() }, Type::PLAIN))
    }

    fn call(&mut self, name: &str, at: &Range<usize>, nodes: &[Node]) -> Typed {
        let Some(function) = Function::ALL.into_iter().find(|function| function.name() == name) else {
            if let Some(aggregate) = Aggregate::ALL.into_iter().find(|function| function.name() == name) {
                let problem = self.problem(Code::WrongArguments, at, format!("`{name}` goes over the rows of a list"));
                return self.report(problem.hint(format!("write `{}`", aggregate.form())));
            }
            let known = Function::ALL.iter().map(|function| function.name()).chain(Aggregate::ALL.iter().map(|function| function.name()));
            let problem = self.problem(Code::UnknownName, at, format!("no function `{name}`"));
            let is_value = self.scope.known().any(|value| value == name);
            return self.report(if is_value { problem.hint("it is a value; multiply with `*`") } else { problem.nearest(name, known) });
        };
        let (fits, wanted) = match function {
            Function::Min | Function::Max => (nodes.len() >= 2, "two or more values"),
            Function::RoundUp | Function::RoundDown => (nodes.len() == 2, "two values: the number and the step"),
            _ => (nodes.len() == 1, "one value"),
        };
        if !fits {
            let problem = self.problem(Code::WrongArguments, at, format!("`{name}` takes {wanted}, found {}", nodes.len()));
            return self.report(problem);
        }
        let typed: Vec<Typed> = nodes.iter().map(|node| self.node(node)).collect();
        let typed: Vec<(Expression, Type)> = typed.into_iter().collect::<Option<_>>()?;
        let (mut arguments, mut kinds) = (Vec::new(), Vec::new());
        for ((expression, kind), node) in typed.into_iter().zip(nodes) {
            let Type::Number { dimension, point } = kind else {
                return self.wants(&node.range, "a number", &kind);
            };
            arguments.push(expression);
            kinds.push((dimension, point));
        }
        if matches!(function, Function::RoundUp | Function::RoundDown)
            && World::default().number(&arguments[1]).is_ok_and(|step| step <= 0.0)
        {
            let problem = self.problem(Code::WrongValue, &nodes[1].range, format!("`{name}` takes a step above zero"));
            return self.report(problem);
        }
        let (dimension, point) = kinds[0];
        let kind = match function {
            Function::Min | Function::Max | Function::RoundUp | Function::RoundDown => {
                if let Some(other) = kinds.iter().position(|kind| *kind != kinds[0]) {
                    let of = |at: usize| Type::Number { dimension: kinds[at].0, point: kinds[at].1 };
                    let message = format!("`{name}` takes values that are alike, found {} and {}", of(0), of(other));
                    return self.mismatch(Code::UnitMismatch, at, message, (&nodes[0], &of(0)), (&nodes[other], &of(other)), None);
                }
                if point && matches!(function, Function::RoundUp | Function::RoundDown) {
                    return self.point_misuse(&nodes[0].range, "rounded to a step");
                }
                Type::Number { dimension, point }
            }
            _ if point => return self.point_misuse(&nodes[0].range, &format!("given to `{name}`")),
            Function::Abs => Type::Number { dimension, point: false },
            Function::Sqrt => match dimension.root() {
                Some(dimension) => Type::Number { dimension, point: false },
                None => {
                    let problem = self.problem(Code::UnitMismatch, at, format!("{dimension} has no square root among quantities"));
                    return self.report(problem.also(self.inset.span(nodes[0].range.clone()), format!("this is {dimension}")));
                }
            },
            Function::Exp | Function::Ln if dimension != Dimension::NONE => {
                let problem =
                    self.problem(Code::UnitMismatch, &nodes[0].range, format!("`{name}` takes a plain number, found {dimension}"));
                return self.report(problem.hint("divide by a quantity of the same kind first"));
            }
            Function::Exp | Function::Ln => Type::PLAIN,
        };
        Some((Expression::Call { function, arguments }, kind))
    }
}

/// The exponent if it is a written whole number of -16..=16.
fn whole_exponent(expression: &Expression) -> Option<i32> {
    match expression {
        Expression::Number { base, unit: None, .. } if base.fract() == 0.0 && *base <= f64::from(LARGEST_EXPONENT) => Some(*base as i32),
        Expression::Negate(inner) => whole_exponent(inner).filter(|exponent| *exponent > 0).map(|exponent| -exponent),
        _ => None,
    }
}

/// What two numbers, each with its dimension and whether it is a point, give; or a message and perhaps a hint.
fn arithmetic(operator: Operator, left: (Dimension, bool), right: (Dimension, bool)) -> Result<Type, (String, Option<String>)> {
    let number = |dimension, point| Ok(Type::Number { dimension, point });
    let beyond = || ("the result is beyond any quantity".to_owned(), None);
    match operator {
        Operator::Multiply | Operator::Divide if left.1 || right.1 => {
            let done = if operator == Operator::Multiply { "multiplied" } else { "divided" };
            Err((
                format!("a temperature on a scale cannot be {done}"),
                Some("subtract another temperature first: the difference can".into()),
            ))
        }
        Operator::Multiply => number(left.0.times(right.0).ok_or_else(beyond)?, false),
        Operator::Divide => number(left.0.over(right.0).ok_or_else(beyond)?, false),
        _ if left.0 != right.0 => {
            let plain = left.0 == Dimension::NONE || right.0 == Dimension::NONE;
            let hint = plain.then(|| {
                let (dimension, point) = if left.0 == Dimension::NONE { right } else { left };
                format!("write a unit after the number, as in `{}`", Unit::example(dimension, point))
            });
            let (first, second) = (Type::Number { dimension: left.0, point: left.1 }, Type::Number { dimension: right.0, point: right.1 });
            let message = match operator {
                Operator::Add => format!("cannot add {second} to {first}"),
                Operator::Subtract => format!("cannot subtract {second} from {first}"),
                _ => format!("cannot compare {first} with {second}"),
            };
            Err((message, hint))
        }
        Operator::Add => match (left.1, right.1) {
            (true, true) => {
                Err(("two temperatures on a scale cannot be added".into(), Some("one of them must be a difference: `[degR]`, `K`".into())))
            }
            (first, second) => number(left.0, first || second),
        },
        Operator::Subtract => match (left.1, right.1) {
            (false, true) => Err(("a temperature cannot be subtracted from a difference".into(), None)),
            (first, second) => number(left.0, first && !second),
        },
        _ if left.1 != right.1 => {
            let hint = "a literal in `[degF]` or `Cel` is a temperature, in `[degR]` or `K` a difference".to_owned();
            Err(("a temperature cannot be compared with a temperature difference".into(), Some(hint)))
        }
        _ => Ok(Type::Truth),
    }
}

/// What a name that stands for no step is told: the same wherever it is used, so that a step that was renamed is one problem.
pub(super) fn no_step(name: &str, is_input: bool) -> String {
    if is_input { format!("`{name}` is an input and no step") } else { format!("there is no input or step `{name}`") }
}
