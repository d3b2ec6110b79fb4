//! What a checked formula is: its type, its expression, the names it may use.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::dimension::Dimension;
use super::tree::{Aggregate, Function, Operator};
use super::unit::Unit;
use crate::source::Span;

/// What a formula gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Type {
    /// `point`: a temperature on a scale, as against a difference.
    Number {
        dimension: Dimension,
        point: bool,
    },
    Truth,
    /// The texts that it can be; none means any text.
    Text {
        choices: Vec<String>,
    },
}

/// A checked formula. Numbers in it are in SI base units.
#[derive(Debug, Clone, PartialEq)]
pub struct Formula {
    /// As written.
    pub text: String,
    pub kind: Type,
    pub span: Span,
    pub(super) expression: Expression,
}

#[derive(Debug, Clone, PartialEq)]
pub(super) enum Expression {
    /// `base` is `written` in SI base units.
    Number {
        base: f64,
        written: f64,
        unit: Option<Unit>,
    },
    Text(String),
    Truth(bool),
    /// An input or step by its place.
    Name(usize),
    /// A column of the table's row at hand.
    Column(usize),
    /// A field or step of the list's row at hand, by its place in the row.
    Field(usize),
    Negate(Box<Expression>),
    Not(Box<Expression>),
    Binary {
        operator: Operator,
        left: Box<Expression>,
        right: Box<Expression>,
    },
    /// A whole power known beforehand, worked by multiplying: the same bits on every machine.
    Raise {
        base: Box<Expression>,
        exponent: i32,
    },
    If {
        condition: Box<Expression>,
        then: Box<Expression>,
        otherwise: Box<Expression>,
    },
    Call {
        function: Function,
        arguments: Vec<Expression>,
    },
    /// Over the rows of a list, by its position; `count` has no value.
    Aggregate {
        function: Aggregate,
        list: usize,
        value: Option<Box<Expression>>,
        holds: Option<Box<Expression>>,
        kind: Type,
    },
}

/// One way through the `if`s at the top of a formula: taken where its conditions hold and no earlier case was taken.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Case<'a> {
    /// None for the last case.
    pub(super) conditions: Vec<&'a Expression>,
    pub(super) value: &'a Expression,
}

/// Fields and steps of a row with their places.
pub(super) type Fields = BTreeMap<String, (usize, Type)>;

/// The names that a formula may use.
#[derive(Debug, Clone, Default)]
pub struct Scope {
    pub(super) names: BTreeMap<String, (usize, Type)>,
    pub(super) columns: BTreeMap<String, (usize, Type)>,
    /// Fields and steps of the row that the formula is worked for.
    pub(super) fields: Fields,
    /// The lists of rows that aggregates may go over, with the fields and steps of a row.
    pub(super) lists: BTreeMap<String, (usize, Fields)>,
    /// What the rows of a list can be called; none for a list whose rows can be called anything.
    pub(super) row_titles: BTreeMap<String, Vec<String>>,
    /// Those that a row's own formulas cannot go over.
    pub(super) other_lists: BTreeMap<String, (usize, Fields)>,
    pub(super) later: BTreeSet<String>,
    /// The step that is being read.
    pub(super) own: String,
    pub(super) broken: BTreeSet<String>,
}

impl Type {
    pub const PLAIN: Type = Type::Number { dimension: Dimension::NONE, point: false };

    pub fn of_unit(unit: &Unit) -> Self {
        Self::Number { dimension: unit.dimension(), point: unit.is_point() }
    }
}

/// In trade words: `voltage`, `a temperature`, `a truth (yes or no)`, `a text`.
impl fmt::Display for Type {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number { point: true, .. } => f.write_str("a temperature"),
            Self::Number { dimension, .. } => write!(f, "{dimension}"),
            Self::Truth => f.write_str("a truth (yes or no)"),
            Self::Text { .. } => f.write_str("a text"),
        }
    }
}

impl Scope {
    /// Adds an input or step at its place in the program.
    pub fn name(&mut self, name: impl Into<String>, place: usize, kind: Type) {
        self.names.insert(name.into(), (place, kind));
    }

    /// Adds a column of the table that is picked from.
    pub fn column(&mut self, name: impl Into<String>, position: usize, kind: Type) {
        self.columns.insert(name.into(), (position, kind));
    }

    /// Tells of a name that stands further down, for the hint.
    pub fn later(&mut self, name: impl Into<String>) {
        self.later.insert(name.into());
    }

    /// Tells of a name whose own definition has problems: formulas that use it are not blamed for it.
    pub fn broken(&mut self, name: impl Into<String>) {
        self.broken.insert(name.into());
    }

    /// Adds a list of rows at its position in the program.
    pub(super) fn list(&mut self, name: impl Into<String>, position: usize, fields: Fields) {
        self.lists.insert(name.into(), (position, fields));
    }

    pub(super) fn known(&self) -> impl Iterator<Item = &str> {
        self.names.keys().chain(self.columns.keys()).chain(self.fields.keys()).map(String::as_str)
    }

    /// The list whose rows have a field or step of this name.
    pub(super) fn list_with(&self, field: &str) -> Option<&str> {
        Self::with(&self.lists, field)
    }

    /// How a formula goes over the rows of a list for a value of its rows.
    pub(super) fn over_rows(&self, list: &str, field: &str) -> String {
        match self.lists.get(list).or_else(|| self.other_lists.get(list)).and_then(|(_, fields)| fields.get(field)) {
            Some((_, Type::Truth)) => format!("count({list} where {field})"),
            Some((_, Type::Text { .. })) => format!("tally({field} in {list})"),
            _ => format!("sum({field} in {list})"),
        }
    }

    /// The same among lists that a row's own formulas cannot go over.
    pub(super) fn other_list_with(&self, field: &str) -> Option<&str> {
        Self::with(&self.other_lists, field)
    }

    fn with<'a>(lists: &'a BTreeMap<String, (usize, Fields)>, field: &str) -> Option<&'a str> {
        lists.iter().find(|(_, (_, fields))| fields.contains_key(field)).map(|(list, _)| list.as_str())
    }
}

impl Formula {
    /// The place of the input or step, if the formula is that and no more.
    pub fn name(&self) -> Option<usize> {
        match self.expression {
            Expression::Name(place) => Some(place),
            _ => None,
        }
    }

    /// The columns that the formula uses.
    pub(super) fn columns(&self) -> BTreeSet<usize> {
        let mut uses = BTreeSet::new();
        self.expression.columns(&mut uses);
        uses
    }
}

impl Expression {
    /// The branches of the `if`s at the top, in order; one without conditions if there is none.
    pub(super) fn cases(&self) -> Vec<Case<'_>> {
        let mut cases = Vec::new();
        self.collect(&[], &mut cases);
        cases
    }

    fn collect<'a>(&'a self, under: &[&'a Expression], cases: &mut Vec<Case<'a>>) {
        match self {
            Self::If { condition, then, otherwise } => {
                let mut conditions = under.to_vec();
                conditions.push(condition);
                then.collect(&conditions, cases);
                otherwise.collect(under, cases);
            }
            value => cases.push(Case { conditions: under.to_vec(), value }),
        }
    }

    fn columns(&self, uses: &mut BTreeSet<usize>) {
        match self {
            Self::Column(position) => {
                uses.insert(*position);
            }
            Self::Negate(inner) | Self::Not(inner) | Self::Raise { base: inner, .. } => inner.columns(uses),
            Self::Binary { left, right, .. } => {
                left.columns(uses);
                right.columns(uses);
            }
            Self::If { condition, then, otherwise } => {
                condition.columns(uses);
                then.columns(uses);
                otherwise.columns(uses);
            }
            Self::Call { arguments, .. } => arguments.iter().for_each(|argument| argument.columns(uses)),
            Self::Aggregate { value, holds, .. } => [value, holds].into_iter().flatten().for_each(|part| part.columns(uses)),
            _ => {}
        }
    }
}
