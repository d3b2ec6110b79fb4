//! The calculator as a script for the page: one function for the run-time in `browser/sums.js`.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use super::band::Bands;
use super::draft::Nearest;
use super::evaluate::Value;
use super::format::Digits;
use super::pick::By;
use super::program::{How, Input, InputKind, Phase, Program, Step};
use super::table::{Cell, ColumnKind, Table};
use super::tree::{Function, Operator};
use super::typing::{Expression, Formula};
use super::unit::Unit;
use super::wording::{Piece, line, pieces, strength};

/// The run-time that every calculator's script needs before it, the same for all pages.
pub const RUN_TIME: &str = include_str!("../browser/sums.js");

/// A classic script that registers the calculator under `id` with the run-time.
///
/// Tables are cut to the columns that are used; numbers are written so that they read back to the same bits.
pub fn javascript(id: &str, program: &Program) -> String {
    let mut script = Script { program, text: String::new(), tables: BTreeMap::new() };
    script.all(id);
    script.text
}

struct Script<'a> {
    program: &'a Program,
    text: String,
    /// The variable of each table.
    tables: BTreeMap<&'a str, String>,
}

impl<'a> Script<'a> {
    fn all(&mut self, id: &str) {
        let program = self.program;
        self.line(&format!("bluecone.sum({}, function (k) {{", quoted(id)));
        self.tables();
        self.line("  return {");
        self.list("inputs", program.inputs.iter().map(|input| self.input(input)).collect());
        self.list("steps", program.steps.iter().map(|step| self.step(step)).collect());
        let verdicts = program.verdicts.iter().map(|verdict| {
            let meaning = match &verdict.bands {
                Bands::Number { edges } => {
                    format!("edges: [{}]", edges.iter().map(|edge| self.function(edge)).collect::<Vec<_>>().join(", "))
                }
                Bands::Is(values) => format!("is: [{}]", values.iter().map(value).collect::<Vec<_>>().join(", ")),
            };
            format!("{{ on: {}, {meaning} }}", quoted(&program.steps[verdict.step].id))
        });
        self.list("verdicts", verdicts.collect());
        if let Some(timeline) = &program.timeline {
            self.list("phases", timeline.phases.iter().map(|phase| self.phase(phase)).collect());
        }
        if let Some(drawing) = &program.drawing {
            let parts = drawing.parts.iter().map(|(name, formula)| format!("{}: {}", quoted(name), self.function(formula)));
            let parts = parts.collect::<Vec<_>>().join(", ");
            self.line(&format!("    drawing: {{ {parts} }},"));
        }
        self.line("  };");
        self.line("});");
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn list(&mut self, name: &str, items: Vec<String>) {
        if items.is_empty() {
            self.line(&format!("    {name}: [],"));
            return;
        }
        self.line(&format!("    {name}: ["));
        for item in items {
            self.line(&format!("      {item},"));
        }
        self.line("    ],");
    }

    fn tables(&mut self) {
        let program = self.program;
        let mut used: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
        for step in &program.steps {
            if let How::Pick(pick) = &step.how {
                used.entry(&pick.table).or_default().extend(pick.columns());
            }
        }
        for (at, (id, columns)) in used.into_iter().enumerate() {
            let Some(table) = program.tables.get(id) else { continue };
            let variable = format!("table{}", at + 1);
            let text = self.table(table, &columns);
            self.line(&format!("  const {variable} = {text};"));
            self.tables.insert(id, variable);
        }
    }

    fn table(&self, table: &Table, columns: &BTreeSet<usize>) -> String {
        let names = columns.iter().map(|column| quoted(&table.columns[*column].name)).collect::<Vec<_>>().join(", ");
        let units = columns.iter().map(|column| match &table.columns[*column].kind {
            ColumnKind::Number(unit) if unit.conversion() != Unit::one().conversion() => {
                let (offset, numerator, denominator) = unit.conversion();
                format!("[{}, {}, {}]", number(offset), number(numerator), number(denominator))
            }
            _ => "0".into(),
        });
        let units = units.collect::<Vec<_>>().join(", ");
        let mut text = format!("k.table({}, [{names}], [{units}], [", quoted(&table.title));
        for row in &table.rows {
            let cells = columns.iter().map(|column| match row.get(*column) {
                Some(Cell::Number(cell)) => number(*cell),
                Some(Cell::Text(cell)) => quoted(cell),
                _ => "null".into(),
            });
            let _ = write!(text, "\n    [{}],", cells.collect::<Vec<_>>().join(", "));
        }
        text.push_str("\n  ])");
        text
    }

    fn input(&self, input: &Input) -> String {
        let mut text = format!("{{ id: {}, title: {}", quoted(&input.id), quoted(&input.title));
        match &input.kind {
            InputKind::Number { units, from, to, start, whole } => {
                let units = units.iter().map(unit).collect::<Vec<_>>().join(", ");
                let _ = write!(text, ", units: [{units}], from: {}, to: {}, start: {}", number(*from), number(*to), number(*start));
                if *whole {
                    text.push_str(", whole: true");
                }
            }
            InputKind::Text { choices, start } => {
                let choices =
                    choices.iter().map(|choice| format!("[{}, {}]", quoted(&choice.id), quoted(&choice.title))).collect::<Vec<_>>();
                let _ = write!(text, ", choices: [{}], start: {start}", choices.join(", "));
            }
        }
        if let Some(when) = &input.when {
            let _ = write!(text, ", when: {}", self.function(when));
        }
        text + " }"
    }

    fn step(&self, step: &Step) -> String {
        let mut text = format!("{{ id: {}, title: {}", quoted(&step.id), quoted(&step.title));
        if step.unit != Unit::one() {
            let _ = write!(text, ", unit: {}", unit(&step.unit));
        }
        if let Digits::Decimals(decimals) = step.digits {
            let _ = write!(text, ", digits: {decimals}");
        }
        let work = match &step.how {
            How::Formula(formula) => self.function(formula),
            How::Pick(_) => format!("(v) => {}", self.pick(step)),
        };
        let line = match &step.how {
            How::Formula(formula) => self.branches(&formula.expression),
            How::Pick(_) => pieces_text(&pieces(self.program, step)),
        };
        let _ = write!(text, ",\n        work: {work},\n        line: (v) => {line} }}");
        text
    }

    /// The pieces of the branch that is taken.
    fn branches(&self, expression: &Expression) -> String {
        match expression {
            Expression::If { condition, then, otherwise } => {
                format!("{} ? {} : {}", self.expression(condition, 1), self.branches(then), self.branches(otherwise))
            }
            other => pieces_text(&line(self.program, other)),
        }
    }

    fn pick(&self, step: &Step) -> String {
        let How::Pick(pick) = &step.how else { return "null".into() };
        let Some(table) = self.program.tables.get(&pick.table) else { return "null".into() };
        let variable = self.tables.get(pick.table.as_str()).map_or("null", String::as_str);
        let name = |column: usize| quoted(&table.columns[column].name);
        let column = name(pick.column);
        let none = pick.none.as_ref().map_or("\"\"".into(), |none| quoted(none));
        match &pick.by {
            By::First { holds, uses } => {
                let uses = uses.iter().map(|column| name(*column)).collect::<Vec<_>>().join(", ");
                let row = Columns(table, self).expression(&holds.expression, 0);
                format!("k.first({variable}, {column}, [{uses}], (r) => {row}, {none})")
            }
            By::Where(keys) => {
                let keys = keys.iter().map(|(column, formula)| format!("{}: {}", name(*column), self.expression(&formula.expression, 0)));
                format!("k.where({variable}, {column}, {{ {} }}, {none})", keys.collect::<Vec<_>>().join(", "))
            }
            By::At { column: order, value, how } => {
                let value = self.expression(&value.expression, 0);
                format!("k.at({variable}, {column}, {}, {value}, {}, {none})", name(*order), *how == Nearest::Between)
            }
        }
    }

    fn phase(&self, phase: &Phase) -> String {
        match phase {
            Phase::Lasts { title, lasts, on, between } => {
                let on = on.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
                let between = if *between { ", between: true" } else { "" };
                format!("{{ title: {}, lasts: {}, on: [{on}]{between} }}", quoted(title), self.function(lasts))
            }
            Phase::Repeat { times, phases } => {
                let phases = phases.iter().map(|phase| self.phase(phase)).collect::<Vec<_>>().join(", ");
                format!("{{ repeat: {}, phases: [{phases}] }}", self.function(times))
            }
        }
    }

    fn function(&self, formula: &Formula) -> String {
        format!("(v) => {}", self.expression(&formula.expression, 0))
    }

    fn expression(&self, expression: &Expression, least: u8) -> String {
        written(self.program, None, expression, least)
    }
}

/// Writes formulas over a table's row.
struct Columns<'a>(&'a Table, &'a Script<'a>);

impl Columns<'_> {
    fn expression(&self, expression: &Expression, least: u8) -> String {
        written(self.1.program, Some(self.0), expression, least)
    }
}

/// Parentheses go around what binds less tightly than `least`; the strengths order JavaScript's operators as ours.
fn written(program: &Program, table: Option<&Table>, expression: &Expression, least: u8) -> String {
    let part = |expression: &Expression, least: u8| written(program, table, expression, least);
    let text = match expression {
        Expression::Number { base, .. } => number(*base),
        Expression::Text(text) => quoted(text),
        Expression::Truth(truth) => truth.to_string(),
        Expression::Name(place) => format!("v.{}", program.name(*place)),
        Expression::Column(position) => {
            format!("r.{}", table.and_then(|table| table.columns.get(*position)).map_or("", |column| column.name.as_str()))
        }
        Expression::Field(_) | Expression::Aggregate { .. } => "null".into(),
        // Two minus signs in a row would be a decrement.
        Expression::Negate(inner) => format!("-{}", part(inner, 9)),
        Expression::Not(inner) => format!("!{}", part(inner, 9)),
        Expression::Raise { base, exponent } => return format!("k.raise({}, {exponent})", part(base, 0)),
        Expression::If { condition, then, otherwise } => format!("{} ? {} : {}", part(condition, 1), part(then, 1), part(otherwise, 0)),
        Expression::Call { function, arguments } => {
            let arguments = arguments.iter().map(|argument| part(argument, 0)).collect::<Vec<_>>().join(", ");
            return format!("k.{}({arguments})", function_name(*function));
        }
        Expression::Binary { operator, left, right } => match call_name(*operator) {
            Some(name) => return format!("k.{name}({}, {})", part(left, 0), part(right, 0)),
            None => {
                let strength = operator.strength();
                let sign = match operator {
                    Operator::And => "&&",
                    Operator::Or => "||",
                    other => other.written(),
                };
                format!("{} {sign} {}", part(left, strength), part(right, strength + 1))
            }
        },
    };
    if strength(expression) < least { format!("({text})") } else { text }
}

/// Operators that can lack a value, or that compare with the tolerance, are calls.
fn call_name(operator: Operator) -> Option<&'static str> {
    Some(match operator {
        Operator::Divide => "div",
        Operator::Power => "pow",
        Operator::Equal => "eq",
        Operator::NotEqual => "ne",
        Operator::Less => "lt",
        Operator::LessEqual => "le",
        Operator::Greater => "gt",
        Operator::GreaterEqual => "ge",
        _ => return None,
    })
}

fn function_name(function: Function) -> &'static str {
    match function {
        Function::RoundUp => "up",
        Function::RoundDown => "down",
        other => other.name(),
    }
}

fn pieces_text(pieces: &[Piece]) -> String {
    let pieces = pieces.iter().map(|piece| match piece {
        Piece::Words(words) => quoted(words),
        Piece::Name(place) | Piece::Field(place) => place.to_string(),
    });
    format!("[{}]", pieces.collect::<Vec<_>>().join(", "))
}

fn unit(unit: &Unit) -> String {
    let (offset, numerator, denominator) = unit.conversion();
    format!("[{}, {}, {}, {}, {}]", quoted(unit.shown()), quoted(unit.ucum()), number(offset), number(numerator), number(denominator))
}

fn value(value: &Value) -> String {
    match value {
        Value::Number(base) => number(*base),
        Value::Truth(truth) => truth.to_string(),
        Value::Text(text) => quoted(text),
    }
}

/// The shortest digits that read back to the same number; Rust's and JavaScript's spellings agree.
fn number(number: f64) -> String {
    let text = format!("{number:?}");
    text.strip_suffix(".0").map(str::to_owned).unwrap_or(text)
}

fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for sign in text.chars() {
        match sign {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '<' | '\u{2028}' | '\u{2029}' => {
                let _ = write!(quoted, "\\u{:04x}", sign as u32);
            }
            sign if sign.is_control() => {
                let _ = write!(quoted, "\\u{:04x}", sign as u32);
            }
            sign => quoted.push(sign),
        }
    }
    quoted.push('"');
    quoted
}
