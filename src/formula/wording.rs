//! A step's working in one line of plain text: in names, and with values in their place.

use serde::Serialize;

use super::draft::Nearest;
use super::evaluate::{Value, World};
use super::format::{Digits, TYPED, format};
use super::labels::{self, UnitLabels};
use super::pick::By;
use super::program::{How, Input, InputKind, Program, RowList, Step};
use super::titles::{Titles, choices_at};
use super::tree::{Aggregate, Function, Operator};
use super::typing::{Case, Expression, Type};
use super::unit::Unit;

/// A piece of a line: words, or the place of an input or step whose name or value stands there.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Piece {
    Words(String),
    Name(usize),
    /// A field or step of the row at hand.
    Field {
        field: usize,
    },
    /// What goes over the rows of a list; what it came to stands there.
    Made {
        made: Box<Made>,
    },
}

/// What goes over the rows of a list inside a formula, and how what it comes to is shown.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Made {
    /// The step's name, `+` and a number from 1, by which the script knows it.
    pub key: String,
    pub unit: UnitLabels,
    /// For those who want metric units, where the unit is a customary one.
    pub metric: Option<UnitLabels>,
    /// Decimals shown in `unit`; `None` for significant figures.
    pub digits: Option<u8>,
    /// The most significant figures.
    pub figures: u8,
    #[serde(skip)]
    pub(super) expression: Expression,
    #[serde(skip)]
    own: Unit,
}

impl Made {
    /// What it comes to, with its unit.
    fn shown(&self, world: &World) -> String {
        let digits = self.digits.map_or(Digits::Significant(self.figures), Digits::Decimals);
        match world.value(&self.expression) {
            Ok(Value::Number(base)) if base.is_finite() => self.own.with(&format(self.own.from_base(base), digits)),
            // A branch inside the formula that is not taken.
            _ => "–".to_owned(),
        }
    }
}

/// Significant figures where decimals are not asked for, as in metric units.
const SHOWN: u8 = 3;

/// Strengths of what is no operator; see [`Operator::strength`].
const NOT: u8 = 3;
const NEGATE: u8 = 7;
const RAISE: u8 = 8;
const WHOLE: u8 = 9;

/// The working in names: titles of inputs, steps and columns. `list`: the list to whose rows the step belongs.
pub(super) fn names(program: &Program, list: Option<&RowList>, step: &Step) -> String {
    let field = |place: usize| list.map_or("", |list| list.title(place)).to_owned();
    join(&pieces(program, step, false), |place| program.title(place).to_owned(), field, |_| String::new())
}

/// The working with values: a line for each branch of an `if`, so that the page can show the one that is taken.
pub(super) fn lines(program: &Program, step: &Step) -> Vec<Vec<Piece>> {
    match &step.how {
        How::Formula(formula) => {
            let mut line = Line::new(program, step);
            let words = |case: Case| {
                // By itself it is the step's own result, which stands beside it.
                line.step = Some(step).filter(|_| !matches!(case.value, Expression::Aggregate { .. }));
                line.expression(case.value, 0);
                std::mem::take(&mut line.pieces)
            };
            formula.expression.cases().into_iter().map(words).collect()
        }
        How::Pick(_) => vec![pieces(program, step, true)],
    }
}

/// What goes over rows in the lines of a step.
pub(super) fn made(lines: &[Vec<Piece>]) -> impl Iterator<Item = &Made> {
    lines.iter().flatten().filter_map(|piece| match piece {
        Piece::Made { made } => Some(&**made),
        _ => None,
    })
}

/// The position of the branch that is taken among [`lines`].
pub(super) fn branch(step: &Step, world: &World) -> usize {
    let How::Formula(formula) = &step.how else { return 0 };
    let holds = |case: &Case| case.conditions.iter().all(|condition| world.truth(condition) == Ok(true));
    formula.expression.cases().iter().position(holds).unwrap_or(0)
}

/// A line with values as shown, of inputs and steps, of the fields and steps of the row at hand, and of what goes over rows; the
/// last of these by themselves too.
pub(super) fn numbers(line: &[Piece], shown: &[String], fields: &[String], world: &World) -> (String, Vec<String>) {
    let of = |texts: &[String], place: usize| texts.get(place).cloned().unwrap_or_default();
    let mut all = Vec::new();
    let made = |made: &Made| {
        all.push(made.shown(world));
        all.last().cloned().unwrap_or_default()
    };
    let line = join(line, |place| of(shown, place), |place| of(fields, place), made);
    (line, all)
}

/// The whole line of a step as pieces; `values`: whether what goes over rows stands there as a value.
fn pieces(program: &Program, step: &Step, values: bool) -> Vec<Piece> {
    let mut line = Line { step: Some(step).filter(|_| values), ..Line::new(program, step) };
    let pick = match &step.how {
        How::Formula(formula) => {
            line.expression(&formula.expression, 0);
            return line.pieces;
        }
        How::Pick(pick) => pick,
    };
    let Some(table) = program.tables.get(&pick.table) else { return Vec::new() };
    let titles: Vec<String> = table.columns.iter().map(|column| column.title.clone()).collect();
    let mut line = Line { columns: &titles, ..line };
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

/// The list of the program to whose rows a step of the program belongs.
fn list_of<'a>(program: &'a Program, step: &Step) -> Option<&'a RowList> {
    program.lists.iter().find(|list| list.steps.iter().any(|own| std::ptr::eq(own, step)))
}

/// A text that is compared with a choice is one of the choices, and readers know that by its title.
/// `list`: the list whose fields are meant.
pub(super) fn choice_title<'a>(
    program: &'a Program,
    list: Option<&'a RowList>,
    left: &Expression,
    right: &'a Expression,
) -> Option<&'a str> {
    let Expression::Text(text) = right else { return None };
    let choices = match left {
        Expression::Name(place) => choices_at(*place, &program.inputs, &program.steps),
        Expression::Field(place) => choices_at(*place, &list?.fields, &list?.steps),
        _ => return None,
    };
    choices.iter().find(|choice| choice.id == *text).map(|choice| choice.title.as_str())
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

fn join(
    pieces: &[Piece],
    name: impl Fn(usize) -> String,
    field: impl Fn(usize) -> String,
    mut value: impl FnMut(&Made) -> String,
) -> String {
    pieces
        .iter()
        .map(|piece| match piece {
            Piece::Words(words) => words.clone(),
            Piece::Name(place) => name(*place),
            Piece::Field { field: place } => field(*place),
            Piece::Made { made } => value(made),
        })
        .collect()
}

struct Line<'a> {
    program: &'a Program,
    pieces: Vec<Piece>,
    columns: &'a [String],
    /// The choices that the step hands on, where a text is one of them: not in conditions.
    titles: Option<&'a Titles>,
    /// The list to whose rows the step belongs.
    own: Option<&'a RowList>,
    /// The list that the aggregate at hand goes over: its rows are many, so fields are named.
    over: Option<&'a RowList>,
    /// The step in whose line what goes over rows stands as a value; none where it stands in words.
    step: Option<&'a Step>,
    /// How many there were.
    made: usize,
}

/// What an aggregate is called in words, before its value and before the list.
pub(super) fn aggregate_words(function: Aggregate) -> (&'static str, &'static str) {
    match function {
        Aggregate::Sum => ("sum of ", " in "),
        Aggregate::Count => ("number of ", ""),
        Aggregate::Min => ("smallest ", " in "),
        Aggregate::Max => ("largest ", " in "),
        Aggregate::Tally => ("how many of each ", " in "),
        Aggregate::FirstFailing => ("first that fails “", "” in "),
    }
}

impl<'a> Line<'a> {
    fn new(program: &'a Program, step: &'a Step) -> Self {
        let own = list_of(program, step);
        Self { program, pieces: Vec::new(), columns: &[], titles: Some(&step.titles), own, over: None, step: None, made: 0 }
    }

    fn words(&mut self, words: &str) {
        match self.pieces.last_mut() {
            Some(Piece::Words(last)) => last.push_str(words),
            _ => self.pieces.push(Piece::Words(words.to_owned())),
        }
    }

    /// Parentheses go around what binds less tightly than `least`.
    fn expression(&mut self, expression: &Expression, least: u8) {
        if let Some(made) = self.made(expression) {
            return self.pieces.push(Piece::Made { made: made.into() });
        }
        let wrap = strength(expression) < least;
        if wrap {
            self.words("(");
        }
        match expression {
            Expression::Number { written, unit, .. } => self.words(&literal(*written, unit.as_ref())),
            Expression::Text(text) => {
                let title = self.titles.and_then(|titles| titles.title(text));
                self.words(&format!("“{}”", title.unwrap_or(text)));
            }
            Expression::Truth(truth) => self.words(if *truth { "yes" } else { "no" }),
            Expression::Name(place) => self.pieces.push(Piece::Name(*place)),
            Expression::Column(position) => {
                let title = self.columns.get(*position).cloned().unwrap_or_default();
                self.words(&title);
            }
            Expression::Field(place) => match self.over {
                Some(list) => self.words(list.title(*place)),
                None => self.pieces.push(Piece::Field { field: *place }),
            },
            Expression::Aggregate { function, list, value, holds, .. } => {
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
                    self.condition(holds);
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
            Expression::Binary { operator: Operator::Power, left, right } => {
                self.raised(left, Operator::Power.strength() + 1);
                self.words(" ^ ");
                self.expression(right, if matches!(**right, Expression::Negate(_)) { WHOLE } else { Operator::Power.strength() + 1 });
            }
            Expression::Binary { operator, left, right } => {
                let strength = operator.strength();
                let side = |of: &Expression, other| match choice_title(self.program, self.over.or(self.own), other, of) {
                    Some(title) => Expression::Text(title.to_owned()),
                    None => of.clone(),
                };
                let (before, after) = (side(left, right), side(right, left));
                self.expression(&before, if operator.compares() { strength + 1 } else { strength });
                self.words(&format!(" {} ", operator.shown()));
                self.expression(&after, if matches!(after, Expression::Negate(_)) { WHOLE } else { strength + 1 });
            }
            Expression::Raise { base, exponent } => {
                self.raised(base, WHOLE);
                self.words(&raised(*exponent));
            }
            Expression::If { condition, then, otherwise } => {
                self.words("if ");
                self.condition(condition);
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
                    Function::Min => "the smallest of (",
                    Function::Max => "the largest of (",
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

    fn condition(&mut self, condition: &Expression) {
        let titles = self.titles.take();
        self.expression(condition, 1);
        self.titles = titles;
    }

    /// What goes over rows as a value, in the unit of the field or step that it goes over. A formula over fields is told in the
    /// unit of the step; in words, if it is of another dimension, and so are texts.
    fn made(&mut self, expression: &Expression) -> Option<Made> {
        let (Some(step), Expression::Aggregate { list, value, kind, .. }) = (self.step, expression) else { return None };
        let Type::Number { dimension, point } = kind else { return None };
        let list = self.program.lists.get(*list)?;
        let metric = |unit: &Unit| unit.metric();
        let (own, metric, digits) = match value.as_deref() {
            None => (Unit::one(), None, Digits::Decimals(0)),
            Some(Expression::Field(place)) => match (list.fields.get(*place), list.steps.get(place.wrapping_sub(list.fields.len()))) {
                (Some(Input { kind: InputKind::Number { units, .. }, .. }), _) => {
                    let own = units.first().cloned().unwrap_or_else(Unit::one);
                    let offered = units.iter().find(|unit| own.is_customary() && !unit.is_customary()).cloned();
                    let metric = offered.or_else(|| metric(&own));
                    (own, metric, TYPED)
                }
                (_, Some(step)) => (step.unit.clone(), metric(&step.unit), step.digits),
                _ => return None,
            },
            Some(_) if *kind == Type::PLAIN => (Unit::one(), None, Digits::default()),
            Some(_) if !point && step.unit.dimension() == *dimension && !step.unit.is_point() => {
                (step.unit.clone(), metric(&step.unit), step.digits)
            }
            Some(_) => return None,
        };
        self.made += 1;
        let (digits, figures) = match digits {
            Digits::Decimals(decimals) => (Some(decimals), SHOWN),
            Digits::Significant(figures) => (None, figures),
        };
        Some(Made {
            key: std::format!("{}+{}", step.id, self.made),
            unit: labels::unit(&own),
            metric: metric.as_ref().map(labels::unit),
            digits,
            figures,
            expression: expression.clone(),
            own,
        })
    }

    /// A name stands for a title of several words or a value with its unit: the parentheses say what is raised.
    fn raised(&mut self, base: &Expression, least: u8) {
        if !matches!(base, Expression::Name(_) | Expression::Aggregate { .. } | Expression::Number { unit: Some(_), .. }) {
            return self.expression(base, least);
        }
        self.words("(");
        self.expression(base, 0);
        self.words(")");
    }
}
