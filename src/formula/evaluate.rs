//! Works a checked formula. The browser's script does the same operations in the same order.

use super::aggregate::ListValues;
use super::powers;
use super::sentence::{self, Lack};
use super::tree::{Function, Operator};
use super::typing::{Expression, Formula};

/// What an input or step gives. Numbers are in SI base units and finite.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Number(f64),
    Truth(bool),
    Text(String),
}

/// A value, or why there is none.
pub type Result<T = Value> = std::result::Result<T, Lack>;

/// The sentence why there is no value; empty if there is one.
pub fn says<T>(result: &Result<T>) -> String {
    result.as_ref().err().map_or_else(String::new, |why| why.says.clone())
}

/// The values that names, columns and fields stand for.
#[derive(Clone, Copy, Default)]
pub(super) struct World<'a> {
    /// By place; a sentence says why a name that is needed has no value.
    pub(super) names: &'a [Result],
    /// The lists of rows, by position; a sentence says why a list that is needed has no value.
    pub(super) lists: &'a [Result<ListValues>],
    /// Fields and steps of the list's row at hand.
    pub(super) fields: &'a [Result],
    /// Cells of the table's row at hand.
    pub(super) cells: &'a [Option<Value>],
    /// Only values are asked for: no step puts its working in words.
    pub(super) wordless: bool,
}

/// Numbers closer than this part of the larger are taken as equal: conversions between units leave such traces, and a
/// technician must not be told that 21 A does not carry 21 A.
const ALIKE: f64 = 1e-9;

/// Whether two numbers differ by no more than conversions leave behind.
pub(super) fn alike(a: f64, b: f64) -> bool {
    alike_within(a, b, ALIKE)
}

/// Whether two numbers differ by no more than this part of the larger.
pub(super) fn alike_within(a: f64, b: f64, part: f64) -> bool {
    (a - b).abs() <= part * larger(a.abs(), b.abs())
}

/// Below and not alike.
pub(super) fn below(a: f64, b: f64) -> bool {
    a < b && !alike(a, b)
}

fn larger(a: f64, b: f64) -> f64 {
    if b > a { b } else { a }
}

impl Formula {
    pub(super) fn work(&self, world: &World) -> Result {
        match world.value(&self.expression)? {
            Value::Number(number) => finite(number).map(Value::Number),
            value => Ok(value),
        }
    }

    /// The value of a formula that was checked to give a number.
    pub(super) fn number(&self, world: &World) -> Result<f64> {
        match self.work(world)? {
            Value::Number(number) => Ok(number),
            _ => Err(sentence::LARGE.into()),
        }
    }
}

pub(super) fn finite(number: f64) -> Result<f64> {
    if number.is_finite() { Ok(number) } else { Err(sentence::LARGE.into()) }
}

impl World<'_> {
    pub(super) fn value(&self, expression: &Expression) -> Result {
        Ok(match expression {
            Expression::Number { base, .. } => Value::Number(*base),
            Expression::Text(text) => Value::Text(text.clone()),
            Expression::Truth(truth) => Value::Truth(*truth),
            Expression::Name(place) => self.names.get(*place).cloned().unwrap_or_else(|| Err(sentence::LARGE.into()))?,
            Expression::Field(place) => self.fields.get(*place).cloned().unwrap_or_else(|| Err(sentence::LARGE.into()))?,
            Expression::Aggregate { function, list, value, holds, .. } => {
                return self.aggregate(*function, *list, value.as_deref(), holds.as_deref());
            }
            Expression::Column(position) => self.cells.get(*position).cloned().flatten().ok_or(sentence::EMPTY_CELL)?,
            Expression::Negate(inner) => Value::Number(-self.number(inner)?),
            Expression::Not(inner) => Value::Truth(!self.truth(inner)?),
            Expression::Binary { operator, left, right } => return self.binary(*operator, left, right),
            Expression::Raise { base, exponent } => Value::Number(raise(self.number(base)?, *exponent)?),
            Expression::If { condition, then, otherwise } => return self.value(if self.truth(condition)? { then } else { otherwise }),
            Expression::Call { function, arguments } => Value::Number(self.call(*function, arguments)?),
        })
    }

    pub(super) fn number(&self, expression: &Expression) -> Result<f64> {
        match self.value(expression)? {
            Value::Number(number) => Ok(number),
            _ => Err(sentence::LARGE.into()),
        }
    }

    pub(super) fn truth(&self, expression: &Expression) -> Result<bool> {
        Ok(self.value(expression)? == Value::Truth(true))
    }

    fn binary(&self, operator: Operator, left: &Expression, right: &Expression) -> Result {
        match operator {
            Operator::And => return Ok(Value::Truth(self.truth(left)? && self.truth(right)?)),
            Operator::Or => return Ok(Value::Truth(self.truth(left)? || self.truth(right)?)),
            _ => {}
        }
        let (a, b) = match (self.value(left)?, self.value(right)?) {
            (Value::Number(a), Value::Number(b)) => (a, b),
            (a, b) => return Ok(Value::Truth((a == b) == (operator == Operator::Equal))),
        };
        if operator.compares() {
            let (a, b) = (finite(a)?, finite(b)?);
            return Ok(Value::Truth(match operator {
                Operator::Equal => alike(a, b),
                Operator::NotEqual => !alike(a, b),
                Operator::Less => below(a, b),
                Operator::Greater => below(b, a),
                Operator::LessEqual => !below(b, a),
                _ => !below(a, b),
            }));
        }
        Ok(Value::Number(match operator {
            Operator::Add => a + b,
            Operator::Subtract => difference(a, b),
            Operator::Multiply => a * b,
            Operator::Divide => divide(a, b)?,
            _ => power(a, b)?,
        }))
    }

    fn call(&self, function: Function, arguments: &[Expression]) -> Result<f64> {
        let mut numbers = Vec::with_capacity(arguments.len());
        for argument in arguments {
            numbers.push(self.number(argument)?);
        }
        // Only when all have been worked, as in the browser: the sentence is that of the first one without a value.
        if numbers.iter().any(|number| !number.is_finite()) {
            return Err(sentence::LARGE.into());
        }
        let first = numbers.first().copied().unwrap_or(0.0);
        match function {
            Function::Min => Ok(numbers.iter().fold(first, |least, next| if *next < least { *next } else { least })),
            Function::Max => Ok(numbers.iter().fold(first, |most, next| larger(most, *next))),
            Function::Abs => Ok(first.abs()),
            Function::Sqrt if first < 0.0 => Err(sentence::ROOT.into()),
            Function::Sqrt => Ok(first.sqrt()),
            Function::Exp => Ok(powers::exp(first)),
            Function::Ln if first <= 0.0 => Err(sentence::LOGARITHM.into()),
            Function::Ln => Ok(powers::ln(first)),
            Function::RoundUp => round(first, numbers.get(1).copied().unwrap_or(0.0), f64::ceil),
            Function::RoundDown => round(first, numbers.get(1).copied().unwrap_or(0.0), f64::floor),
        }
    }
}

/// Two numbers that agree to twelve figures, all that are ever shown, leave nothing: 0.6 − 0.2 − 0.4 is 0.
pub(super) fn difference(a: f64, b: f64) -> f64 {
    if (a - b).abs() < 1e-12 * b.abs() { 0.0 } else { a - b }
}

fn divide(a: f64, b: f64) -> Result<f64> {
    if b == 0.0 { Err(sentence::DIVIDES.into()) } else { Ok(a / b) }
}

/// A whole power by multiplying from the left.
fn raise(base: f64, exponent: i32) -> Result<f64> {
    let mut product = 1.0;
    for _ in 0..exponent.unsigned_abs() {
        product *= base;
    }
    if exponent < 0 { divide(1.0, product) } else { Ok(product) }
}

fn power(base: f64, exponent: f64) -> Result<f64> {
    let (base, exponent) = (finite(base)?, finite(exponent)?);
    let none = if base == 0.0 { exponent < 0.0 } else { base < 0.0 && exponent != exponent.floor() };
    if none { Err(sentence::POWER.into()) } else { Ok(powers::power(base, exponent)) }
}

/// To a multiple of the step; a number that is alike to a multiple is that multiple.
fn round(number: f64, step: f64, direction: fn(f64) -> f64) -> Result<f64> {
    if step <= 0.0 {
        return Err(sentence::STEP.into());
    }
    let ratio = number / step;
    let nearest = (ratio + 0.5).floor();
    Ok((if alike(ratio, nearest) { nearest } else { direction(ratio) }) * step)
}
