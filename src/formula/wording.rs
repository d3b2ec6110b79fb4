//! A step's working in one line of plain text: in names, and with values in their place.

use super::draft::Nearest;
use super::evaluate::World;
use super::format::{TYPED, format};
use super::pick::By;
use super::program::{How, Program, RowList, Step};
use super::tree::{Aggregate, Function, Operator};
use super::typing::Expression;
use super::unit::Unit;

/// A piece of the line.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Piece {
    Words(String),
    /// An input or step by its place.
    Name(usize),
    /// A field or step of the row at hand by its place in the row.
    Field(usize),
}

/// Strengths of what is no operator; see [`Operator::strength`].
const NOT: u8 = 3;
const NEGATE: u8 = 7;
const RAISE: u8 = 8;
const WHOLE: u8 = 9;

/// The working in names: titles of inputs, steps and columns. `list`: the list to whose rows the step belongs.
pub(super) fn names(program: &Program, list: Option<&RowList>, step: &Step) -> String {
    join(&pieces(program, step), |place| program.title(place).to_owned(), |place| list.map_or("", |list| list.title(place)).to_owned())
}

/// The working with values as shown; of an `if`, the branch that is taken.
pub(super) fn numbers(
    program: &Program,
    list: Option<&RowList>,
    step: &Step,
    world: &World,
    shown: &[String],
    fields: &[String],
) -> String {
    let pieces = match &step.how {
        How::Formula(formula) => line(program, taken(&formula.expression, world)),
        How::Pick(_) => pieces(program, step),
    };
    let of = |texts: &[String], place: usize| texts.get(place).cloned().unwrap_or_default();
    debug_assert!(list.is_some() || !pieces.iter().any(|piece| matches!(piece, Piece::Field(_))));
    join(&pieces, |place| of(shown, place), |place| of(fields, place))
}

/// Of an `if` the branch that is taken with these values.
fn taken<'a>(expression: &'a Expression, world: &World) -> &'a Expression {
    let mut expression = expression;
    while let Expression::If { condition, then, otherwise } = expression {
        expression = if world.truth(condition) == Ok(true) { then } else { otherwise };
    }
    expression
}

/// The whole line of a step as pieces.
pub(super) fn pieces(program: &Program, step: &Step) -> Vec<Piece> {
    let pick = match &step.how {
        How::Formula(formula) => return line(program, &formula.expression),
        How::Pick(pick) => pick,
    };
    let Some(table) = program.tables.get(&pick.table) else { return Vec::new() };
    let titles: Vec<String> = table.columns.iter().map(|column| column.title.clone()).collect();
    let mut line = Line { pieces: Vec::new(), columns: &titles, program, over: None };
    line.words(&format!("{} in “{}”", titles[pick.column], table.title));
    match &pick.by {
        By::First { holds, .. } => {
            line.words(", first row with ");
            line.expression(&holds.expression, 0);
        }
        By::Where(keys) => {
            for (at, (column, value)) in keys.iter().enumerate() {
                line.words(&format!("{}{} = ", if at == 0 { " where " } else { ", " }, titles[*column]));
                line.expression(&value.expression, 0);
            }
        }
        By::At { column, value, how } => {
            line.words(&format!(" at {} ", titles[*column]));
            line.expression(&value.expression, 0);
            line.words(match how {
                Nearest::NextUp => " or the next row up",
                Nearest::Between => ", between rows in proportion",
            });
        }
    }
    line.pieces
}

/// The line of a formula without columns.
pub(super) fn line(program: &Program, expression: &Expression) -> Vec<Piece> {
    let mut line = Line { pieces: Vec::new(), columns: &[], program, over: None };
    line.expression(expression, 0);
    line.pieces
}

/// A literal as readers see it.
fn literal(written: f64, unit: Option<&Unit>) -> String {
    let number = format(written, TYPED);
    unit.map_or_else(|| number.clone(), |unit| unit.with(&number))
}

/// Small raised digits.
fn raised(exponent: i32) -> String {
    let digits = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    exponent.to_string().chars().map(|sign| sign.to_digit(10).map_or('⁻', |digit| digits[digit as usize])).collect()
}

pub(super) fn strength(expression: &Expression) -> u8 {
    match expression {
        Expression::If { .. } => 0,
        Expression::Not(_) => NOT,
        Expression::Negate(_) => NEGATE,
        Expression::Raise { .. } => RAISE,
        Expression::Number { written, .. } if *written < 0.0 => NEGATE,
        Expression::Binary { operator, .. } => operator.strength(),
        // In words it is long; only alone, or beside a plus or minus, does it need no parentheses.
        Expression::Aggregate { .. } => 5,
        _ => WHOLE,
    }
}

fn join(pieces: &[Piece], name: impl Fn(usize) -> String, field: impl Fn(usize) -> String) -> String {
    pieces
        .iter()
        .map(|piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Name(place) => name(*place),
            Piece::Field(place) => field(*place),
        })
        .collect()
}

struct Line<'a> {
    pieces: Vec<Piece>,
    columns: &'a [String],
    program: &'a Program,
    /// The list that the aggregate at hand goes over: its rows are many, so fields are named.
    over: Option<&'a RowList>,
}

/// What an aggregate is called in words, before its value and before the list.
pub(super) fn aggregate_words(function: Aggregate) -> (&'static str, &'static str) {
    match function {
        Aggregate::Sum => ("sum of ", " in "),
        Aggregate::Count => ("number of ", ""),
        Aggregate::Min => ("least ", " in "),
        Aggregate::Max => ("most ", " in "),
        Aggregate::FirstFailing => ("first that fails “", "” in "),
    }
}

impl<'a> Line<'a> {
    fn words(&mut self, words: &str) {
        match self.pieces.last_mut() {
            Some(Piece::Words(last)) => last.push_str(words),
            _ => self.pieces.push(Piece::Words(words.to_owned())),
        }
    }

    /// Parentheses go around what binds less tightly than `least`.
    fn expression(&mut self, expression: &Expression, least: u8) {
        let wrap = strength(expression) < least;
        if wrap {
            self.words("(");
        }
        match expression {
            Expression::Number { written, unit, .. } => self.words(&literal(*written, unit.as_ref())),
            Expression::Text(text) => self.words(&format!("“{text}”")),
            Expression::Truth(truth) => self.words(if *truth { "yes" } else { "no" }),
            Expression::Name(place) => self.pieces.push(Piece::Name(*place)),
            Expression::Column(position) => {
                let title = self.columns.get(*position).cloned().unwrap_or_default();
                self.words(&title);
            }
            Expression::Field(place) => match self.over {
                Some(list) => self.words(list.title(*place)),
                None => self.pieces.push(Piece::Field(*place)),
            },
            Expression::Aggregate { function, list, value, holds } => {
                let Some(list) = self.program.lists.get(*list) else { return };
                let (before, middle) = aggregate_words(*function);
                self.over = Some(list);
                self.words(before);
                if let Some(value) = value {
                    self.expression(value, 1);
                }
                self.words(&format!("{middle}“{}”", list.title));
                if let Some(holds) = holds {
                    self.words(" where ");
                    self.expression(holds, 1);
                }
                self.over = None;
            }
            Expression::Negate(inner) => {
                self.words("−");
                self.expression(inner, NEGATE);
            }
            Expression::Not(inner) => {
                self.words("not ");
                self.expression(inner, NOT);
            }
            Expression::Binary { operator, left, right } => {
                let strength = operator.strength();
                let (before, after) = if *operator == Operator::Power || operator.compares() {
                    (strength + 1, strength + 1)
                } else {
                    (strength, strength + 1)
                };
                self.expression(left, before);
                self.words(&format!(" {} ", operator.shown()));
                self.expression(right, if matches!(**right, Expression::Negate(_)) { WHOLE } else { after });
            }
            // A name stands for a title of several words or a value with its unit: the parentheses say what is raised.
            Expression::Raise { base, exponent } if matches!(**base, Expression::Name(_)) => {
                self.words("(");
                self.expression(base, 0);
                self.words(&format!("){}", raised(*exponent)));
            }
            Expression::Raise { base, exponent } => {
                self.expression(base, WHOLE);
                self.words(&raised(*exponent));
            }
            Expression::If { condition, then, otherwise } => {
                self.words("if ");
                self.expression(condition, 1);
                self.words(" then ");
                self.expression(then, 1);
                self.words(", else ");
                self.expression(otherwise, 0);
            }
            Expression::Call { function, arguments } => {
                self.words(match function {
                    Function::Sqrt => "√(",
                    Function::RoundUp => "round up (",
                    Function::RoundDown => "round down (",
                    Function::Min => "least of (",
                    Function::Max => "most of (",
                    Function::Abs => "size of (",
                    Function::Exp => "exp(",
                    Function::Ln => "ln(",
                });
                for (at, argument) in arguments.iter().enumerate() {
                    if at > 0 {
                        self.words(if matches!(function, Function::RoundUp | Function::RoundDown) { " to steps of " } else { ", " });
                    }
                    self.expression(argument, 0);
                }
                self.words(")");
            }
        }
        if wrap {
            self.words(")");
        }
    }
}
