//! A formula turned round: what one name must be for both sides of an equation to come out alike.
//!
//! The name must stand in it once. From its side each operation is undone in turn on the other side; one that more than one
//! value can have come through (a square of either sign, the smaller of two) ends it, unless the ranges of the inputs leave one.

use std::ops::Range;

use super::evaluate::difference;
use super::program::{Input, InputKind};
use super::tree::{Function, Kind, Node, Operator};
use super::typing::Expression;

/// Why there is no single inverse.
pub(super) struct NoInverse {
    /// The place in the formula.
    pub(super) range: Range<usize>,
    /// Another place that matters, such as the other one where the name stands.
    pub(super) also: Option<Range<usize>>,
    pub(super) message: String,
    pub(super) hint: String,
}

/// The places at which a name stands in a formula.
pub(super) fn places(node: &Node, name: &str) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    collect(node, name, &mut found);
    found
}

fn collect(node: &Node, name: &str, found: &mut Vec<Range<usize>>) {
    let parts: Vec<&Node> = match &node.kind {
        Kind::Name(own) if own == name => return found.push(node.range.clone()),
        Kind::Negate(inner) | Kind::Not(inner) => vec![inner],
        Kind::Binary { left, right, .. } => vec![left, right],
        Kind::If { condition, then, otherwise } => vec![condition, then, otherwise],
        Kind::Call { arguments, .. } => arguments.iter().collect(),
        Kind::Aggregate { value, holds, .. } => [value, holds].into_iter().flatten().map(Box::as_ref).collect(),
        _ => Vec::new(),
    };
    parts.into_iter().for_each(|part| collect(part, name, found));
}

/// What the name at `place` must be, for `left == right` with the nodes that they were made from.
pub(super) fn inverse(
    name: &str,
    place: usize,
    inputs: &[Input],
    left: (&Node, &Expression),
    right: (&Node, &Expression),
) -> Result<Expression, NoInverse> {
    let (mut all, more) = (places(left.0, name), places(right.0, name));
    let ((node, side), other) = if all.is_empty() { (right, left.1) } else { (left, right.1) };
    all.extend(more);
    if let [first, second, ..] = all.as_slice() {
        return Err(NoInverse {
            range: second.clone(),
            also: Some(first.clone()),
            message: format!("`{name}` stands in the formula more than once"),
            hint: "rearrange the formula so that every unknown stands in it once".into(),
        });
    }
    let mut way = Way { place, inputs, name };
    way.undo(node, side, other.clone())
}

struct Way<'a> {
    place: usize,
    inputs: &'a [Input],
    name: &'a str,
}

fn binary(operator: Operator, left: Expression, right: Expression) -> Expression {
    Expression::Binary { operator, left: left.into(), right: right.into() }
}

fn call(function: Function, argument: Expression) -> Expression {
    Expression::Call { function, arguments: vec![argument] }
}

fn plain(number: f64) -> Expression {
    Expression::Number { base: number, written: number, unit: None }
}

impl Way<'_> {
    fn uses(&self, expression: &Expression) -> bool {
        match expression {
            Expression::Name(place) => *place == self.place,
            Expression::Negate(inner) | Expression::Not(inner) | Expression::Raise { base: inner, .. } => self.uses(inner),
            Expression::Binary { left, right, .. } => self.uses(left) || self.uses(right),
            Expression::If { condition, then, otherwise } => self.uses(condition) || self.uses(then) || self.uses(otherwise),
            Expression::Call { arguments, .. } => arguments.iter().any(|argument| self.uses(argument)),
            _ => false,
        }
    }

    fn no(&self, node: &Node, message: String, hint: &str) -> NoInverse {
        NoInverse { range: node.range.clone(), also: None, message, hint: hint.into() }
    }

    /// What the name must be for `expression`, made from `node`, to equal `target`.
    fn undo(&mut self, node: &Node, expression: &Expression, target: Expression) -> Result<Expression, NoInverse> {
        use Operator::{Add, Divide, Multiply, Power, Subtract};
        match (expression, &node.kind) {
            (Expression::Name(_), _) => Ok(target),
            (Expression::Negate(inner), Kind::Negate(below)) => self.undo(below, inner, Expression::Negate(target.into())),
            (Expression::Raise { base, exponent }, Kind::Binary { left: below, .. }) => {
                let root = self.root(node, base, *exponent, target)?;
                self.undo(below, base, root)
            }
            (Expression::Binary { operator, left, right }, Kind::Binary { left: left_node, right: right_node, .. }) => {
                let first = self.uses(left);
                let (below, inner) = if first { (left_node, left) } else { (right_node, right) };
                let undone = match (operator, first) {
                    (Add, true) => binary(Subtract, target, (**right).clone()),
                    (Add, false) => binary(Subtract, target, (**left).clone()),
                    (Subtract, true) => binary(Add, target, (**right).clone()),
                    (Subtract, false) => binary(Subtract, (**left).clone(), target),
                    (Multiply, true) => binary(Divide, target, (**right).clone()),
                    (Multiply, false) => binary(Divide, target, (**left).clone()),
                    (Divide, true) => binary(Multiply, target, (**right).clone()),
                    (Divide, false) => binary(Divide, (**left).clone(), target),
                    (Power, true) => match constant(right).filter(|exponent| *exponent != 0.0) {
                        Some(_) => binary(Power, target, binary(Divide, plain(1.0), (**right).clone())),
                        None => {
                            let message = format!("the exponent over `{}` is not a figure other than 0", self.name);
                            return Err(self.no(node, message, "only a power with a constant exponent can be undone"));
                        }
                    },
                    (Power, false) => binary(Divide, call(Function::Ln, target), call(Function::Ln, (**left).clone())),
                    _ => return Err(self.no(node, "a comparison cannot be undone".into(), "write one formula with one `==`")),
                };
                self.undo(below, inner, undone)
            }
            (Expression::Call { function, arguments }, Kind::Call { arguments: nodes, .. }) => {
                let (Some(below), Some(inner)) = (nodes.first(), arguments.first()) else {
                    return Err(self.no(node, "this cannot be undone".into(), "work it in a step of its own"));
                };
                let undone = match function {
                    Function::Sqrt => Expression::Raise { base: target.into(), exponent: 2 },
                    Function::Exp => call(Function::Ln, target),
                    Function::Ln => call(Function::Exp, target),
                    Function::Abs => match self.sign(inner) {
                        Some(true) => target,
                        Some(false) => Expression::Negate(target.into()),
                        None => {
                            let message = format!("`abs` has two roots: `{}` could have either sign", self.name);
                            return Err(self.no(node, message, "leave `abs` out, or let the input's range begin at zero"));
                        }
                    },
                    Function::Min | Function::Max => {
                        let message = format!("`{}` can hide `{}`, so it does not follow from the others", function.name(), self.name);
                        return Err(self.no(node, message, "keep the unknowns outside `min` and `max`"));
                    }
                    Function::RoundUp | Function::RoundDown => {
                        let message = format!("many values of `{}` round to the same", self.name);
                        return Err(self.no(node, message, "round in a step of its own"));
                    }
                };
                self.undo(below, inner, undone)
            }
            (Expression::If { .. }, _) => {
                Err(self.no(node, format!("`{}` stands in an `if`, which cannot be undone", self.name), "keep the unknowns outside `if`"))
            }
            _ => Err(self.no(node, "this cannot be undone".into(), "keep the unknowns outside of it")),
        }
    }

    /// What must be raised to a whole power to give the target.
    fn root(&self, node: &Node, base: &Expression, exponent: i32, target: Expression) -> Result<Expression, NoInverse> {
        if exponent == 0 {
            return Err(self.no(node, format!("`{}` to the power 0 is always 1", self.name), "no value of it follows from the others"));
        }
        let target = if exponent < 0 { binary(Operator::Divide, plain(1.0), target) } else { target };
        let power = exponent.unsigned_abs();
        let root = |target: Expression| match power {
            1 => target,
            2 => call(Function::Sqrt, target),
            _ => binary(Operator::Power, target, binary(Operator::Divide, plain(1.0), plain(f64::from(power)))),
        };
        match (power % 2, self.sign(base)) {
            _ if power == 1 => Ok(target),
            (_, Some(true)) => Ok(root(target)),
            (0, Some(false)) => Ok(Expression::Negate(root(target).into())),
            (0, None) => {
                let message = format!("power {exponent} has two roots: `{}` could have either sign", self.name);
                Err(self.no(node, message, "let the input's range keep what is raised from changing its sign, as one that begins at zero does, so that one root is left"))
            }
            // The root of a negative number to an odd power is negative.
            (_, Some(false)) => Ok(Expression::Negate(root(Expression::Negate(target.into())).into())),
            _ => Ok(Expression::If {
                condition: binary(Operator::Less, target.clone(), plain(0.0)).into(),
                then: Expression::Negate(root(Expression::Negate(target.clone().into())).into()).into(),
                otherwise: root(target).into(),
            }),
        }
    }

    /// `Some(true)` if the ranges of the inputs leave no value below zero, `Some(false)` if none above.
    fn sign(&self, expression: &Expression) -> Option<bool> {
        let (low, high) = self.range(expression)?;
        if low >= 0.0 {
            Some(true)
        } else if high <= 0.0 {
            Some(false)
        } else {
            None
        }
    }

    /// The values that an expression can have with inputs in their ranges, if that can be told.
    fn range(&self, expression: &Expression) -> Option<(f64, f64)> {
        let range = match expression {
            Expression::Number { base, .. } => (*base, *base),
            Expression::Name(place) => match &self.inputs.get(*place)?.kind {
                InputKind::Number { units, from, to, .. } => {
                    let unit = units.first()?;
                    (unit.to_base(*from), unit.to_base(*to))
                }
                InputKind::Text { .. } => return None,
            },
            Expression::Negate(inner) => {
                let (low, high) = self.range(inner)?;
                (-high, -low)
            }
            Expression::Raise { base, exponent } if *exponent > 0 => {
                let (low, high) = self.range(base)?;
                if exponent % 2 == 0 && low < 0.0 {
                    (0.0, low.abs().max(high.abs()).powi(*exponent))
                } else {
                    (low.powi(*exponent), high.powi(*exponent))
                }
            }
            Expression::Binary { operator, left, right } => {
                let ((a, b), (c, d)) = (self.range(left)?, self.range(right)?);
                let ends = |all: [f64; 4]| {
                    (all.iter().copied().fold(f64::INFINITY, f64::min), all.iter().copied().fold(f64::NEG_INFINITY, f64::max))
                };
                match operator {
                    Operator::Add => (a + c, b + d),
                    Operator::Subtract => (a - d, b - c),
                    Operator::Multiply => ends([a * c, a * d, b * c, b * d]),
                    Operator::Divide if c > 0.0 || d < 0.0 => ends([a / c, a / d, b / c, b / d]),
                    // Down to zero the quotient has no bound, but its sign is known.
                    Operator::Divide if c >= 0.0 && a >= 0.0 => (0.0, f64::INFINITY),
                    _ => return None,
                }
            }
            Expression::Call { function: Function::Sqrt | Function::Exp | Function::Abs, .. } => (0.0, f64::INFINITY),
            _ => return None,
        };
        (!range.0.is_nan() && !range.1.is_nan()).then_some(range)
    }
}

/// The value of an expression without names.
fn constant(expression: &Expression) -> Option<f64> {
    match expression {
        Expression::Number { base, .. } => Some(*base),
        Expression::Negate(inner) => constant(inner).map(|number| -number),
        Expression::Binary { operator, left, right } => {
            let (a, b) = (constant(left)?, constant(right)?);
            let value = match operator {
                Operator::Add => a + b,
                Operator::Subtract => difference(a, b),
                Operator::Multiply => a * b,
                Operator::Divide => a / b,
                _ => return None,
            };
            value.is_finite().then_some(value)
        }
        _ => None,
    }
}
