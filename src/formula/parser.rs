//! Tokens to a tree, by precedence: `if`, `or`, `and`, `not`, comparison, `+ -`, `* /`, unary `-`, `^`.

use std::ops::Range;

use super::lexer::{Token, bare_unit, tokens};
use super::tree::{Aggregate, Kind, Node, Operator};
use crate::diagnostic::{Code, Diagnostic};
use crate::source::Inset;

/// A formula may be nested, or have operators in a row, this deep. Beyond it nobody checks it by eye, and the walks
/// over the tree, which call themselves, stay far from the end of any thread's stack.
pub(super) const DEPTH: usize = 64;

/// A formula may be this long, in bytes.
const LONGEST: usize = 8000;

const RESERVED: &[&str] = &["if", "then", "else", "and", "or", "not", "true", "false", "in", "where"];

/// Whether a name is a word of the language and so cannot name an input or step.
pub(super) fn is_reserved(name: &str) -> bool {
    RESERVED.contains(&name)
}

type Parsed = Result<Node, Diagnostic>;

/// Reads a formula; the first thing that cannot be read ends it.
pub(super) fn parse(inset: &Inset) -> Parsed {
    if inset.text.len() > LONGEST {
        return Err(too_deep(inset, 0..inset.text.len()));
    }
    let tokens = tokens(inset)?;
    let mut parser = Parser { inset, tokens, at: 0, nested: 0 };
    let node = parser.expression()?;
    match parser.tokens.get(parser.at) {
        None => Ok(node),
        Some((Token::Unit(_), range)) => {
            let problem = parser.syntax(range.clone(), "a unit stands only right after a number");
            Err(problem.hint("names and results carry their unit already"))
        }
        Some((token, range)) => {
            let problem = parser.syntax(range.clone(), format!("expected an operator or the end, found {}", parser.found()));
            Err(match token {
                Token::Word(word) if word == "x" => problem.hint("multiply with `*`"),
                Token::Word(_) if let Some(hint) = bare_unit(&inset.text, range.start) => problem.hint(hint),
                Token::Sign(",") => problem.hint("write decimals with a point, as in 2.5; a comma parts only the values of a function"),
                Token::Word(word) if word == "if" => problem.hint("write `if … then … else …`, the condition first"),
                _ => problem,
            })
        }
    }
}

struct Parser<'a> {
    inset: &'a Inset,
    tokens: Vec<(Token, Range<usize>)>,
    at: usize,
    nested: usize,
}

fn too_deep(inset: &Inset, range: Range<usize>) -> Diagnostic {
    let message = format!("the formula is nested more than {DEPTH} deep, each sign of a long sum counted, or longer than {LONGEST} bytes");
    Diagnostic::new(Code::FormulaTooDeep, inset.span(range), message).hint("split it into named steps")
}

impl Parser<'_> {
    fn syntax(&self, range: Range<usize>, message: impl Into<String>) -> Diagnostic {
        Diagnostic::new(Code::FormulaSyntax, self.inset.span(range), message)
    }

    /// The next token as words.
    fn found(&self) -> String {
        match self.tokens.get(self.at) {
            None => "the end".into(),
            Some((_, range)) => format!("`{}`", &self.inset.text[range.clone()]),
        }
    }

    fn place(&self) -> Range<usize> {
        let end = self.inset.text.len();
        self.tokens.get(self.at).map_or(end..end, |(_, range)| range.clone())
    }

    fn take_sign(&mut self, sign: &str) -> Option<Range<usize>> {
        match self.tokens.get(self.at) {
            Some((Token::Sign(next), range)) if *next == sign => {
                self.at += 1;
                Some(range.clone())
            }
            _ => None,
        }
    }

    fn take_word(&mut self, word: &str) -> Option<Range<usize>> {
        match self.tokens.get(self.at) {
            Some((Token::Word(next), range)) if next == word => {
                self.at += 1;
                Some(range.clone())
            }
            _ => None,
        }
    }

    fn node(&self, range: Range<usize>, kind: Kind) -> Parsed {
        let below = match &kind {
            Kind::Negate(inner) | Kind::Not(inner) => inner.depth,
            Kind::Binary { left, right, .. } => left.depth.max(right.depth),
            Kind::If { condition, then, otherwise } => condition.depth.max(then.depth).max(otherwise.depth),
            Kind::Call { arguments, .. } => arguments.iter().map(|argument| argument.depth).max().unwrap_or(0),
            Kind::Aggregate { value, holds, .. } => [value, holds].into_iter().flatten().map(|part| part.depth).max().unwrap_or(0),
            _ => 0,
        };
        if below >= DEPTH {
            return Err(too_deep(self.inset, range));
        }
        Ok(Node { range, kind, depth: below + 1 })
    }

    fn expression(&mut self) -> Parsed {
        self.nested += 1;
        if self.nested > DEPTH {
            return Err(too_deep(self.inset, self.place()));
        }
        let node = match self.take_word("if") {
            Some(start) => {
                let condition = self.expression()?;
                self.expect_word("then", "the condition")?;
                let then = self.expression()?;
                self.expect_word("else", "the value after `then`")?;
                let otherwise = self.expression()?;
                let range = start.start..otherwise.range.end;
                self.node(range, Kind::If { condition: condition.into(), then: then.into(), otherwise: otherwise.into() })
            }
            None => self.operators(1),
        };
        self.nested -= 1;
        node
    }

    fn expect_word(&mut self, word: &str, after: &str) -> Result<(), Diagnostic> {
        match self.take_word(word) {
            Some(_) => Ok(()),
            None => {
                let problem = self.syntax(self.place(), format!("expected `{word}` after {after}, found {}", self.found()));
                Err(match self.tokens.get(self.at) {
                    Some((Token::Word(found), _)) => problem.nearest(found, [word]),
                    _ => problem,
                })
            }
        }
    }

    fn operator(&self) -> Option<(Operator, Range<usize>)> {
        let (token, range) = self.tokens.get(self.at)?;
        let operator = match token {
            Token::Word(word) if word == "or" => Operator::Or,
            Token::Word(word) if word == "and" => Operator::And,
            Token::Sign(sign) => match *sign {
                "==" => Operator::Equal,
                "!=" => Operator::NotEqual,
                "<" => Operator::Less,
                "<=" => Operator::LessEqual,
                ">" => Operator::Greater,
                ">=" => Operator::GreaterEqual,
                "+" => Operator::Add,
                "-" => Operator::Subtract,
                "*" => Operator::Multiply,
                "/" => Operator::Divide,
                "^" => Operator::Power,
                _ => return None,
            },
            _ => return None,
        };
        Some((operator, range.clone()))
    }

    /// Operators that bind at least as tightly as `strength`.
    fn operators(&mut self, strength: u8) -> Parsed {
        let mut left = self.unary(strength)?;
        while let Some((operator, at)) = self.operator().filter(|(operator, _)| operator.strength() >= strength) {
            self.at += 1;
            let right = match operator {
                Operator::Power => self.nest(|parser| parser.operators(7))?,
                other => self.operators(other.strength() + 1)?,
            };
            if operator.compares()
                && let Some((_, again)) = self.operator().filter(|(next, _)| next.compares())
            {
                let problem = self.syntax(again, "comparisons do not follow one another");
                return Err(problem.hint("join two comparisons with `and`"));
            }
            let range = left.range.start..right.range.end;
            left = self.node(range, Kind::Binary { operator, at, left: left.into(), right: right.into() })?;
        }
        Ok(left)
    }

    fn nest(&mut self, read: impl FnOnce(&mut Self) -> Parsed) -> Parsed {
        self.nested += 1;
        if self.nested > DEPTH {
            return Err(too_deep(self.inset, self.place()));
        }
        let node = read(self);
        self.nested -= 1;
        node
    }

    fn unary(&mut self, strength: u8) -> Parsed {
        if strength <= 3
            && let Some(start) = self.take_word("not")
        {
            let inner = self.nest(|parser| parser.operators(3))?;
            return self.node(start.start..inner.range.end, Kind::Not(inner.into()));
        }
        if let Some(start) = self.take_sign("-") {
            let inner = self.nest(|parser| parser.operators(7))?;
            return self.node(start.start..inner.range.end, Kind::Negate(inner.into()));
        }
        self.operand()
    }

    fn operand(&mut self) -> Parsed {
        let Some((token, range)) = self.tokens.get(self.at).cloned() else {
            return Err(self.syntax(self.place(), "expected a number, a name or `(`, found the end"));
        };
        self.at += 1;
        match token {
            Token::Number(value) => {
                let unit = match self.tokens.get(self.at).cloned() {
                    Some((Token::Unit(text), place)) => {
                        self.at += 1;
                        Some((place.start + 1..place.end - 1, text))
                    }
                    _ => None,
                };
                let end = unit.as_ref().map_or(range.end, |(place, _)| place.end + 1);
                self.node(range.start..end, Kind::Number { value, unit })
            }
            Token::Text(text) => self.node(range, Kind::Text(text)),
            Token::Word(word) if word == "true" || word == "false" => self.node(range, Kind::Truth(word == "true")),
            Token::Word(word) if !is_reserved(&word) => match self.take_sign("(") {
                Some(_) => self.call(word, range),
                None => self.node(range, Kind::Name(word)),
            },
            Token::Sign("(") => {
                let mut inner = self.expression()?;
                let close = self.expect_close(range.clone())?;
                inner.range = range.start..close.end;
                Ok(inner)
            }
            _ => {
                self.at -= 1;
                let problem = self.syntax(range, format!("expected a number, a name or `(`, found {}", self.found()));
                let before = self.at.checked_sub(1).and_then(|at| self.tokens.get(at)).map(|(token, _)| token);
                Err(match token {
                    Token::Word(word) if word == "if" => problem.hint("put an `if` inside a sum in parentheses"),
                    Token::Sign("*") if before == Some(&Token::Sign("*")) => problem.hint("write powers with `^`"),
                    _ => problem,
                })
            }
        }
    }

    fn call(&mut self, function: String, at: Range<usize>) -> Parsed {
        let mut arguments = Vec::new();
        if let Some(close) = self.take_sign(")") {
            return self.node(at.start..close.end, Kind::Call { function, at, arguments });
        }
        loop {
            arguments.push(self.expression()?);
            if self.take_sign(",").is_none() {
                break;
            }
        }
        if arguments.len() == 1
            && let Some(node) = self.aggregate(&function, &at, &arguments[0])?
        {
            return Ok(node);
        }
        let close = self.expect_close(at.clone())?;
        self.node(at.start..close.end, Kind::Call { function, at, arguments })
    }

    /// What follows the first expression of a call that goes over rows; `None` if it is a plain call.
    fn aggregate(&mut self, function: &str, at: &Range<usize>, first: &Node) -> Result<Option<Node>, Diagnostic> {
        let named = |node: &Node| match &node.kind {
            Kind::Name(name) => Some((name.clone(), node.range.clone())),
            _ => None,
        };
        let (value, list) = if self.take_word("in").is_some() {
            let list = self.operand()?;
            let Some(list) = named(&list) else {
                return Err(self.syntax(list.range, "expected the name of a list of rows after `in`"));
            };
            (Some(first.clone().into()), list)
        } else {
            let filtered = matches!(self.tokens.get(self.at), Some((Token::Word(word), _)) if word == "where");
            match named(first) {
                Some(list) if filtered || function == Aggregate::Count.name() => (None, list),
                _ if filtered => {
                    let problem = self.syntax(self.place(), "`where` follows the name of a list of rows");
                    return Err(problem.hint("write `sum(VALUE in LIST where TRUTH)` or `count(LIST where TRUTH)`"));
                }
                _ => return Ok(None),
            }
        };
        let holds = match self.take_word("where") {
            Some(_) => Some(self.expression()?.into()),
            None => None,
        };
        let close = self.expect_close(at.clone())?;
        let range = at.start..close.end;
        self.node(range, Kind::Aggregate { function: function.to_owned(), at: at.clone(), value, list, holds }).map(Some)
    }

    fn expect_close(&mut self, open: Range<usize>) -> Result<Range<usize>, Diagnostic> {
        match self.take_sign(")") {
            Some(range) => Ok(range),
            None => {
                let problem = self.syntax(self.place(), format!("expected `)`, found {}", self.found()));
                Err(problem.also(self.inset.span(open), "to close this"))
            }
        }
    }
}
