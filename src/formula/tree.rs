//! A formula as it stands: the tree that the parser makes, with a place for every node.

use std::ops::Range;

/// Places are byte ranges of the formula's text.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) range: Range<usize>,
    pub(super) kind: Kind,
    /// Levels below and including this one.
    pub(super) depth: usize,
}

#[derive(Debug, Clone)]
pub(super) enum Kind {
    /// `unit` is the text between the literal's brackets and its place.
    Number {
        value: f64,
        unit: Option<(Range<usize>, String)>,
    },
    Text(String),
    Truth(bool),
    Name(String),
    Negate(Box<Node>),
    Not(Box<Node>),
    Binary {
        operator: Operator,
        at: Range<usize>,
        left: Box<Node>,
        right: Box<Node>,
    },
    If {
        condition: Box<Node>,
        then: Box<Node>,
        otherwise: Box<Node>,
    },
    Call {
        function: String,
        at: Range<usize>,
        arguments: Vec<Node>,
    },
    /// `sum(VALUE in LIST where HOLDS)`; `count(LIST where HOLDS)` has no value.
    Aggregate {
        function: String,
        at: Range<usize>,
        value: Option<Box<Node>>,
        list: (String, Range<usize>),
        holds: Option<Box<Node>>,
    },
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operator {
    Or,
    And,
    Equal,
    NotEqual,
    Less,
    LessEqual,
    Greater,
    GreaterEqual,
    Add,
    Subtract,
    Multiply,
    Divide,
    Power,
}

impl Operator {
    /// As authors write it.
    pub(super) fn written(self) -> &'static str {
        match self {
            Self::Or => "or",
            Self::And => "and",
            Self::Equal => "==",
            Self::NotEqual => "!=",
            Self::Less => "<",
            Self::LessEqual => "<=",
            Self::Greater => ">",
            Self::GreaterEqual => ">=",
            Self::Add => "+",
            Self::Subtract => "-",
            Self::Multiply => "*",
            Self::Divide => "/",
            Self::Power => "^",
        }
    }

    /// As readers see it.
    pub(super) fn shown(self) -> &'static str {
        match self {
            Self::Equal => "=",
            Self::NotEqual => "≠",
            Self::LessEqual => "≤",
            Self::GreaterEqual => "≥",
            Self::Subtract => "−",
            Self::Multiply => "×",
            Self::Divide => "÷",
            other => other.written(),
        }
    }

    /// How tightly it binds; higher is tighter.
    pub(super) fn strength(self) -> u8 {
        match self {
            Self::Or => 1,
            Self::And => 2,
            Self::Add | Self::Subtract => 5,
            Self::Multiply | Self::Divide => 6,
            Self::Power => 8,
            _ => 4,
        }
    }

    pub(super) fn compares(self) -> bool {
        self.strength() == 4
    }
}

/// The functions of the language.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    Min,
    Max,
    Abs,
    Sqrt,
    Exp,
    Ln,
    RoundUp,
    RoundDown,
}

impl Function {
    pub const ALL: [Function; 8] = [Self::Min, Self::Max, Self::Abs, Self::Sqrt, Self::Exp, Self::Ln, Self::RoundUp, Self::RoundDown];

    /// As authors write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Min => "min",
            Self::Max => "max",
            Self::Abs => "abs",
            Self::Sqrt => "sqrt",
            Self::Exp => "exp",
            Self::Ln => "ln",
            Self::RoundUp => "round_up",
            Self::RoundDown => "round_down",
        }
    }
}

/// What is made of the rows of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aggregate {
    Sum,
    Count,
    Min,
    Max,
    /// The title of the first row for which a truth does not hold.
    FirstFailing,
    /// Each text that there is, with how many rows have it.
    Tally,
}

impl Aggregate {
    pub const ALL: [Aggregate; 6] = [Self::Sum, Self::Count, Self::Min, Self::Max, Self::FirstFailing, Self::Tally];

    /// As authors write it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Sum => "sum",
            Self::Count => "count",
            Self::Min => "min",
            Self::Max => "max",
            Self::FirstFailing => "first_failing",
            Self::Tally => "tally",
        }
    }

    /// As authors write it, for hints.
    pub(super) fn form(self) -> &'static str {
        match self {
            Self::Count => "count(LIST where TRUTH)",
            Self::FirstFailing => "first_failing(TRUTH in LIST)",
            Self::Tally => "tally(TEXT in LIST)",
            Self::Sum => "sum(VALUE in LIST)",
            Self::Min => "min(VALUE in LIST)",
            Self::Max => "max(VALUE in LIST)",
        }
    }
}
