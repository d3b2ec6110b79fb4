//! A step's formula as MathML (the Core subset that browsers draw), in the titles of what it uses; and text as markup.

use super::format::{TYPED, format};
use super::program::{How, Program, RowList, Step};
use super::titles::Titles;
use super::tree::{Function, Operator};
use super::typing::Expression;
use super::wording::{aggregate_words, choice_title, strength};

impl Program {
    /// `<math>` of a formula step in titles: `Flame current = Voltage / Scale`. A pick has none; its words are in
    /// [`WorkedStep::names`](super::WorkedStep::names).
    pub fn mathml(&self, step: &Step) -> Option<String> {
        self.mathml_in(None, step)
    }

    /// The same of a step of the list's rows.
    pub fn mathml_in(&self, list: Option<&RowList>, step: &Step) -> Option<String> {
        let How::Formula(formula) = &step.how else { return None };
        let mut writer = Writer { text: String::new(), program: self, list, titles: Some(&step.titles) };
        writer.expression(&formula.expression, 0);
        Some(math(&format!("{}<mo>=</mo>{}", text("mtext", &step.title), writer.text)))
    }
}

fn math(inner: &str) -> String {
    format!("<math display=\"block\"><mrow>{inner}</mrow></math>")
}

fn text(element: &str, words: &str) -> String {
    format!("<{element}>{}</{element}>", escape(words))
}

/// Writes `text` so that it means itself in HTML and MathML, in text and in quoted attributes.
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    push_escaped(&mut out, text);
    out
}

/// The same, at the end of `out`.
pub fn push_escaped(out: &mut String, text: &str) {
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            other => out.push(other),
        }
    }
}

/// A shown number with its unit.
fn quantity(shown: &str) -> String {
    match shown.split_once('\u{a0}') {
        Some((number, unit)) if !unit.starts_with('×') => {
            format!("<mrow>{}{}</mrow>", text("mn", number), text("mtext", &format!("\u{a0}{unit}")))
        }
        None if shown.starts_with(|sign: char| sign.is_ascii_digit() || sign == '−') => text("mn", shown),
        _ => text("mtext", shown),
    }
}

struct Writer<'a> {
    text: String,
    program: &'a Program,
    /// The list whose fields are meant.
    list: Option<&'a RowList>,
    /// The choices that the step hands on, where a text is one of them: not in conditions.
    titles: Option<&'a Titles>,
}

impl Writer<'_> {
    fn element(&mut self, name: &str, inner: impl FnOnce(&mut Self)) {
        self.text.push_str(&format!("<{name}>"));
        inner(self);
        self.text.push_str(&format!("</{name}>"));
    }

    fn sign(&mut self, sign: &str) {
        self.text.push_str(&text("mo", sign));
    }

    fn row(&mut self, expression: &Expression, least: u8) {
        self.element("mrow", |writer| writer.expression(expression, least));
    }

    /// What is raised to a power; a name stands for a value with its unit, so it gets parentheses too.
    fn base(&mut self, expression: &Expression) {
        self.row(expression, if matches!(expression, Expression::Name(_) | Expression::Number { unit: Some(_), .. }) { 10 } else { 9 });
    }

    fn expression(&mut self, expression: &Expression, least: u8) {
        // A fraction and a root show by themselves what belongs together.
        let bar = matches!(expression, Expression::Binary { operator: Operator::Divide, .. });
        let wrap = strength(expression) < least && !(bar && least < 8);
        if wrap {
            self.sign("(");
        }
        match expression {
            Expression::Number { written, unit, .. } => {
                let number = format(*written, TYPED);
                let shown = unit.as_ref().map_or_else(|| number.clone(), |unit| unit.with(&number));
                self.text.push_str(&quantity(&shown));
            }
            Expression::Text(words) => {
                let title = self.titles.and_then(|titles| titles.title(words));
                self.text.push_str(&text("mtext", &format!("“{}”", title.unwrap_or(words))));
            }
            Expression::Truth(truth) => self.text.push_str(&text("mtext", if *truth { "yes" } else { "no" })),
            Expression::Name(place) => self.text.push_str(&text("mtext", self.program.title(*place))),
            Expression::Field(place) => self.text.push_str(&text("mtext", self.list.map_or("", |list| list.title(*place)))),
            Expression::Aggregate { function, list, value, holds, .. } => {
                let Some(list) = self.program.lists.get(*list) else { return };
                let spaced = |words: &str| text("mtext", &words.replace(' ', "\u{a0}"));
                let (before, middle) = aggregate_words(*function);
                let outer = self.list.replace(list);
                self.text.push_str(&spaced(before));
                if let Some(value) = value {
                    self.expression(value, 1);
                }
                self.text.push_str(&spaced(&format!("{middle}“{}”", list.title)));
                if let Some(holds) = holds {
                    self.text.push_str(&spaced(" where "));
                    self.condition(holds, 1);
                }
                self.list = outer;
            }
            // Only picks use columns, and picks are shown in words.
            Expression::Column(_) => {}
            Expression::Negate(inner) => {
                self.sign("−");
                self.expression(inner, strength(expression));
            }
            Expression::Not(inner) => {
                self.text.push_str(&text("mtext", "not\u{a0}"));
                self.expression(inner, strength(expression));
            }
            Expression::Binary { operator: Operator::Divide, left, right } => self.element("mfrac", |writer| {
                writer.row(left, 0);
                writer.row(right, 0);
            }),
            Expression::Binary { operator: Operator::Power, left, right } => self.element("msup", |writer| {
                writer.base(left);
                writer.row(right, 0);
            }),
            Expression::Binary { operator, left, right } => {
                let strength = operator.strength();
                self.side(left, right, if operator.compares() { strength + 1 } else { strength });
                match operator {
                    Operator::And | Operator::Or => self.text.push_str(&text("mtext", &format!("\u{a0}{}\u{a0}", operator.shown()))),
                    _ => self.sign(operator.shown()),
                }
                self.side(right, left, if matches!(**right, Expression::Negate(_)) { 9 } else { strength + 1 });
            }
            Expression::Raise { base, exponent } => self.element("msup", |writer| {
                writer.base(base);
                writer.text.push_str(&text("mn", &exponent.to_string().replace('-', "−")));
            }),
            Expression::If { .. } => self.cases(expression),
            Expression::Call { function: Function::Sqrt, arguments } => {
                self.element("msqrt", |writer| arguments.iter().for_each(|argument| writer.expression(argument, 0)))
            }
            Expression::Call { function, arguments } => {
                let name = function.name().replace('_', "\u{a0}");
                self.text.push_str(&text("mi", &name));
                self.sign("(");
                for (at, argument) in arguments.iter().enumerate() {
                    if at > 0 {
                        self.sign(",");
                    }
                    self.expression(argument, 0);
                }
                self.sign(")");
            }
        }
        if wrap {
            self.sign(")");
        }
    }

    fn condition(&mut self, condition: &Expression, least: u8) {
        let titles = self.titles.take();
        self.expression(condition, least);
        self.titles = titles;
    }

    /// One side of an operator; a choice is shown by its title.
    fn side(&mut self, expression: &Expression, other: &Expression, least: u8) {
        match choice_title(self.program, self.list, other, expression) {
            Some(title) => self.text.push_str(&text("mtext", &format!("“{title}”"))),
            None => self.expression(expression, least),
        }
    }

    /// `if`, `else if`, `else` as one table behind a brace.
    fn cases(&mut self, expression: &Expression) {
        self.sign("{");
        self.element("mtable", |writer| {
            let mut rest = expression;
            while let Expression::If { condition, then, otherwise } = rest {
                writer.case(then, "\u{a0}if\u{a0}", Some(condition));
                rest = otherwise;
            }
            writer.case(rest, "\u{a0}otherwise", None);
        });
    }

    fn case(&mut self, value: &Expression, words: &str, condition: Option<&Expression>) {
        self.element("mtr", |writer| {
            writer.element("mtd", |writer| writer.expression(value, 0));
            writer.element("mtd", |writer| {
                writer.text.push_str(&text("mtext", words));
                if let Some(condition) = condition {
                    writer.condition(condition, 0);
                }
            });
        });
    }
}
