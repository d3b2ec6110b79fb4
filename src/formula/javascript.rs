//! The calculator as a script for the page: what is worked, for the run-time in `browser/`. What is only read (titles, units,
//! sentences, the words of the working) stands in the page; see [`labels`](super::labels).

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use super::band::Bands;
use super::draft::Nearest;
use super::pick::By;
use super::program::{How, Phase, Program, RowList, Step};
use super::table::{Cell, ColumnKind, Table};
use super::tree::{Aggregate, Function, Operator};
use super::typing::{Case, Expression, Formula};
use super::unit::Unit;
use super::wording::{self, strength};

/// A file of the run-time, the same for all calculators.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunTime {
    pub file: &'static str,
    pub text: &'static str,
}

/// What every calculator's script needs before it; the other files add to this one.
pub const SUMS: RunTime = RunTime { file: "sums.js", text: include_str!("../browser/sums.js") };
/// Picks from tables.
pub const PICKS: RunTime = RunTime { file: "picks.js", text: include_str!("../browser/picks.js") };
/// Exponentials, logarithms and powers.
pub const POWERS: RunTime = RunTime { file: "powers.js", text: include_str!("../browser/powers.js") };
/// Phases laid end to end.
pub const TIMELINE: RunTime = RunTime { file: "timeline.js", text: include_str!("../browser/timeline.js") };

/// One unknown out of several inputs.
pub const SOLVE: RunTime = RunTime { file: "solve.js", text: include_str!("../browser/solve.js") };
/// Lists of rows, and what is made of them.
pub const ROWS: RunTime = RunTime { file: "rows.js", text: include_str!("../browser/rows.js") };

/// The run-time as far as a calculator needs it, in loading order.
pub fn run_time(program: &Program) -> Vec<RunTime> {
    let picks = program.all_steps().any(|step| matches!(step.how, How::Pick(_)));
    let mut script = Script { program, row: None, list: None, outer: false, calls: BTreeSet::new() };
    script.body(&[]);
    let powers = ["exp", "ln", "pow", "raise"].iter().any(|name| script.calls.contains(name));
    let lists = !program.lists.is_empty();
    let parts = [
        (SUMS, true),
        (PICKS, picks),
        (POWERS, powers),
        (SOLVE, program.solve.is_some()),
        (ROWS, lists),
        (TIMELINE, program.timeline.is_some()),
    ];
    parts.into_iter().filter_map(|(file, needed)| needed.then_some(file)).collect()
}

/// A classic script that registers the calculator under `id` with the run-time. Numbers are in SI base units, written so that
/// they read back to the same bits. The scripts of the tables that it picks from come before it.
pub fn javascript(id: &str, program: &Program) -> String {
    let mut script = Script { program, row: None, list: None, outer: false, calls: BTreeSet::new() };
    let tables: Vec<&str> = table_columns(program).into_keys().collect();
    let sections = script.body(&tables);
    let calls = script.calls.iter().copied().collect::<Vec<_>>().join(", ");
    let variables: String = (1..=tables.len()).map(|at| format!(", t{at}")).collect();
    let tables = tables.into_iter().map(quoted).collect::<Vec<_>>().join(", ");
    format!("bluecone.sum({}, [{tables}], ({{ {calls} }}{variables}) => ({{\n{sections}}}));\n", quoted(id))
}

/// A classic script that gives a table's figures to the run-time, column by column, in the units in which they are printed. The
/// column in which the rows rise is named, if there is one.
pub fn table_javascript(table: &Table, columns: &BTreeSet<usize>) -> String {
    let order = table.order.and_then(|order| table.columns.get(order)).map_or("", |order| &order.name);
    let mut text = format!("bluecone.table({}, {}, {{\n", quoted(&table.id), quoted(order));
    for (at, column) in columns.iter().filter_map(|at| Some((*at, table.columns.get(*at)?))) {
        let cells = table.rows.iter().map(|row| match row.get(at) {
            Some(Cell::Number(cell)) => number(*cell),
            Some(Cell::Text(cell)) => quoted(cell),
            _ => "null".into(),
        });
        let cells = cells.collect::<Vec<_>>().join(", ");
        let _ = match &column.kind {
            ColumnKind::Number(unit) if unit.conversion() != Unit::one().conversion() => {
                let (offset, numerator, denominator) = unit.conversion();
                let scale = [offset, numerator, denominator].map(number).join(", ");
                writeln!(text, "  {}: {{ scale: [{scale}], cells: [{cells}] }},", column.name)
            }
            _ => writeln!(text, "  {}: [{cells}],", column.name),
        };
    }
    text + "});\n"
}

/// The tables that a calculator picks from, and the columns that it reads.
pub fn table_columns(program: &Program) -> BTreeMap<&str, BTreeSet<usize>> {
    let mut used: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
    for step in program.all_steps() {
        if let How::Pick(pick) = &step.how {
            used.entry(&pick.table).or_default().extend(pick.columns());
        }
    }
    used
}

struct Script<'a> {
    program: &'a Program,
    /// The table whose row is at hand.
    row: Option<&'a Table>,
    /// The list whose row is at hand.
    list: Option<&'a RowList>,
    /// Whether the function at hand reads a name from around its row.
    outer: bool,
    /// The run-time's functions that are called.
    calls: BTreeSet<&'static str>,
}

impl Script<'_> {
    fn body(&mut self, tables: &[&str]) -> String {
        let mut sections = String::new();
        for (name, entries) in self.sections(tables) {
            let _ = writeln!(sections, "{name}: {{");
            for entry in entries {
                let _ = writeln!(sections, "  {entry},");
            }
            sections.push_str("},\n");
        }
        if let Some(timeline) = &self.program.timeline {
            let _ = writeln!(sections, "phases: [");
            timeline.phases.iter().for_each(|phase| self.phase(phase, 1, &mut sections));
            sections.push_str("],\n");
        }
        sections
    }

    /// The entries of each part; parts that are empty are left out.
    fn sections(&mut self, tables: &[&str]) -> Vec<(&'static str, Vec<String>)> {
        let program = self.program;
        let when = program.inputs.iter().filter_map(|input| {
            let when = self.function(input.when.as_ref()?);
            Some(format!("{}: {when}", input.id))
        });
        let when = when.collect();
        let solve = program.solve.iter().flat_map(|solve| ["left", "right"].into_iter().zip(&solve.sides));
        let solve = solve.map(|(name, side)| format!("{name}: {}", self.function(side))).collect();
        let lists = program.lists.iter().map(|list| self.list(list, tables)).collect();
        let steps = program.steps.iter().map(|step| format!("{}: {}", step.id, self.step(step, tables))).collect();
        let edges = program.verdicts.iter().enumerate().filter_map(|(at, verdict)| {
            let Bands::Number { edges } = &verdict.bands else { return None };
            let edges = edges.iter().map(|edge| self.constant_or_function(&edge.expression)).collect::<Vec<_>>();
            let key = program.verdict_key(at);
            let key = if key.contains(' ') { quoted(&key) } else { key };
            Some(format!("{key}: [{}]", edges.join(", ")))
        });
        let mut edges: Vec<String> = edges.collect();
        // The page asks for what goes over rows as it asks for an edge.
        for step in &program.steps {
            for made in wording::made(&wording::lines(program, step)) {
                edges.push(format!("{}: [{}]", quoted(&made.key), self.constant_or_function(&made.expression)));
            }
        }
        // A measure that is a step's own value is named in the page.
        let drawing = program.drawing.iter().flat_map(|drawing| &drawing.parts);
        let drawing = drawing.filter(|(_, formula)| formula.name().is_none());
        let drawing = drawing.map(|(name, formula)| format!("{}: {}", quoted(name), self.function(formula))).collect();
        let sections: [(_, Vec<String>); 6] =
            [("when", when), ("solve", solve), ("lists", lists), ("steps", steps), ("edges", edges), ("drawing", drawing)];
        sections.into_iter().filter(|(_, entries)| !entries.is_empty()).collect()
    }

    /// The parts of a list's rows; their functions take the row's fields too.
    fn list(&mut self, list: &RowList, tables: &[&str]) -> String {
        // Kept apart by the borrow: the list lives in the program, not in the script.
        let program = self.program;
        self.list = program.lists.iter().find(|own| own.id == list.id);
        let when = list.fields.iter().filter_map(|field| Some(format!("{}: {}", field.id, self.function(field.when.as_ref()?))));
        let when = when.collect::<Vec<_>>().join(", ");
        let steps = list.steps.iter().map(|step| format!("\n    {}: {},", step.id, self.step(step, tables))).collect::<String>();
        self.list = None;
        format!("{}: {{ when: {{ {when} }}, steps: {{{steps}\n  }} }}", list.id)
    }

    /// A function with this body, which was the last to be written.
    fn takes(&mut self, body: String) -> String {
        let outer = std::mem::take(&mut self.outer);
        let names = match (self.list.is_some(), outer) {
            (true, true) => "(f, v)",
            (true, false) => "f",
            (false, _) => "v",
        };
        format!("{names} => {body}")
    }

    /// A function; for an `if` a list of conditions and values in turn, so that the page knows which branch was taken. Where all
    /// conditions ask for texts of one name, the list begins with the name, and the texts stand for the conditions.
    fn step(&mut self, step: &Step, tables: &[&str]) -> String {
        let formula = match &step.how {
            How::Formula(formula) => formula,
            How::Pick(_) => {
                let pick = self.pick(step, tables);
                let gives = self.counted(step, pick);
                return self.takes(gives);
            }
        };
        let cases = formula.expression.cases();
        if cases.len() == 1 {
            let value = self.expression(&formula.expression, if step.when.is_some() { 1 } else { 0 });
            let gives = self.counted(step, value);
            return self.takes(gives);
        }
        let texts: Vec<(&Expression, &str)> = cases.iter().filter_map(asked).collect();
        let one = step.when.is_none() && texts.iter().all(|(name, _)| *name == texts[0].0) && texts.len() == cases.len() - 1;
        let mut parts = match texts.first() {
            Some((Expression::Name(place), _)) if one => vec![quoted(self.program.name(*place))],
            Some((Expression::Field(place), _)) if one => vec![quoted(self.list.map_or("", |list| list.name(*place)))],
            _ => Vec::new(),
        };
        for (at, Case { conditions, value }) in cases.into_iter().enumerate() {
            match texts.get(at) {
                Some((_, text)) if one => parts.push(quoted(text)),
                _ if conditions.is_empty() => {}
                _ => {
                    let least = if conditions.len() > 1 { Operator::And.strength() + 1 } else { 0 };
                    let all = conditions.into_iter().map(|condition| self.expression(condition, least)).collect::<Vec<_>>();
                    let all = all.join(" && ");
                    // Whether the step counts is asked first, whichever branch it then takes.
                    let all = if at == 0 { self.counted(step, all) } else { all };
                    parts.push(self.takes(all));
                }
            }
            parts.push(self.constant_or_function(value));
        }
        format!("[{}]", parts.join(", "))
    }

    /// What a step gives, or why it does not count.
    fn counted(&mut self, step: &Step, gives: String) -> String {
        let Some(when) = &step.when else { return gives };
        self.calls.insert("idle");
        format!("{} ? {gives} : idle()", self.expression(&when.expression, 1))
    }

    fn pick(&mut self, step: &Step, tables: &[&str]) -> String {
        let program = self.program;
        let How::Pick(pick) = &step.how else { return "null".into() };
        let Some(table) = program.tables.get(&pick.table) else { return "null".into() };
        let name = |column: usize| table.columns.get(column).map_or("", |column| column.name.as_str());
        let variable = tables.iter().position(|id| *id == pick.table).map_or(0, |at| at + 1);
        let cell = format!("t{variable}.{}", name(pick.column));
        match &pick.by {
            By::First { holds } => {
                self.row = Some(table);
                let row = self.expression(&holds.expression, 0);
                self.row = None;
                format!("{cell}(r => {row})")
            }
            // The first column is what tables are mostly read by.
            By::Where(keys) if keys.len() == 1 && keys[0].0 == 0 => format!("{cell}({})", self.expression(&keys[0].1.expression, 0)),
            By::Where(keys) => {
                let keys = keys.iter().map(|(column, formula)| format!("{}: {}", name(*column), self.expression(&formula.expression, 0)));
                format!("{cell}({{ {} }})", keys.collect::<Vec<_>>().join(", "))
            }
            By::At { value, how, .. } => {
                let way = if *how == Nearest::Between { "between" } else { "next" };
                format!("{cell}.{way}({})", self.expression(&value.expression, 0))
            }
        }
    }

    fn phase(&mut self, phase: &Phase, depth: usize, text: &mut String) {
        let indent = "  ".repeat(depth);
        let _ = match phase {
            Phase::Lasts { lasts, between: false, .. } => writeln!(text, "{indent}{},", self.function(lasts)),
            Phase::Lasts { lasts, .. } => writeln!(text, "{indent}{{ between: {} }},", self.function(lasts)),
            Phase::Repeat { times, phases } => {
                let _ = writeln!(text, "{indent}{{ repeat: {}, phases: [", self.function(times));
                phases.iter().for_each(|phase| self.phase(phase, depth + 1, text));
                writeln!(text, "{indent}] }},")
            }
        };
    }

    fn constant_or_function(&mut self, expression: &Expression) -> String {
        match expression {
            Expression::Number { .. } | Expression::Text(_) | Expression::Truth(_) => self.expression(expression, 0),
            Expression::Negate(inner) if matches!(**inner, Expression::Number { .. }) => self.expression(expression, 0),
            _ => {
                let body = self.expression(expression, 0);
                self.takes(body)
            }
        }
    }

    fn function(&mut self, formula: &Formula) -> String {
        let body = self.expression(&formula.expression, 0);
        self.takes(body)
    }

    /// `sum(v.loads, f => f.draw, f => f.wet)`.
    fn aggregate(&mut self, function: Aggregate, list: usize, value: Option<&Expression>, holds: Option<&Expression>) -> String {
        let program = self.program;
        let Some(list) = program.lists.get(list) else { return "null".into() };
        let name = match function {
            Aggregate::Sum => "sum",
            Aggregate::Count => "count",
            Aggregate::Min => "least",
            Aggregate::Max => "most",
            Aggregate::FirstFailing => "failing",
            Aggregate::Tally => "tally",
        };
        self.calls.insert(name);
        self.outer = true;
        self.list = Some(list);
        let parts = [value, holds].into_iter().flatten().map(|part| format!(", f => {}", self.expression(part, 0)));
        let parts = parts.collect::<String>();
        self.list = None;
        format!("{name}(v.{}{parts})", list.id)
    }

    fn call(&mut self, name: &'static str, arguments: &[&Expression]) -> String {
        self.calls.insert(name);
        let arguments = arguments.iter().map(|argument| self.expression(argument, 0)).collect::<Vec<_>>();
        format!("{name}({})", arguments.join(", "))
    }

    /// Parentheses go around what binds less tightly than `least`; the strengths order JavaScript's operators as ours.
    fn expression(&mut self, expression: &Expression, least: u8) -> String {
        let text = match expression {
            Expression::Number { base, .. } => number(*base),
            Expression::Text(text) => quoted(text),
            Expression::Truth(truth) => truth.to_string(),
            Expression::Name(place) => {
                self.outer = true;
                format!("v.{}", self.program.name(*place))
            }
            Expression::Column(position) => {
                format!("r.{}", self.row.and_then(|table| table.columns.get(*position)).map_or("", |column| column.name.as_str()))
            }
            Expression::Field(place) => format!("f.{}", self.list.map_or("", |list| list.name(*place))),
            Expression::Aggregate { function, list, value, holds, .. } => {
                return self.aggregate(*function, *list, value.as_deref(), holds.as_deref());
            }
            // Two minus signs in a row would be a decrement.
            Expression::Negate(inner) => format!("-{}", self.expression(inner, 9)),
            Expression::Not(inner) => format!("!{}", self.expression(inner, 9)),
            Expression::Raise { base, exponent } => {
                self.calls.insert("raise");
                return format!("raise({}, {exponent})", self.expression(base, 0));
            }
            Expression::If { condition, then, otherwise } => {
                format!("{} ? {} : {}", self.expression(condition, 1), self.expression(then, 1), self.expression(otherwise, 0))
            }
            Expression::Call { function, arguments } => {
                return self.call(function_name(*function), &arguments.iter().collect::<Vec<_>>());
            }
            Expression::Binary { operator, left, right } => match called(*operator, left, right) {
                Some(name) => return self.call(name, &[left, right]),
                None => {
                    let strength = operator.strength();
                    let sign = match operator {
                        Operator::And => "&&",
                        Operator::Or => "||",
                        Operator::Equal => "===",
                        Operator::NotEqual => "!==",
                        other => other.written(),
                    };
                    let left = self.expression(left, if operator.compares() { strength + 1 } else { strength });
                    format!("{left} {sign} {}", self.expression(right, strength + 1))
                }
            },
        };
        if strength(expression) < least { format!("({text})") } else { text }
    }
}

/// The name and the text of a case that asks whether the one is the other.
fn asked<'a>(case: &Case<'a>) -> Option<(&'a Expression, &'a str)> {
    match case.conditions[..] {
        [Expression::Binary { operator: Operator::Equal, left, right }] => match (&**left, &**right) {
            (name @ (Expression::Name(_) | Expression::Field(_)), Expression::Text(text)) => Some((name, text)),
            _ => None,
        },
        _ => None,
    }
}

/// Operators that can lack a value, or that do not tell what is alike apart, are calls.
fn called(operator: Operator, left: &Expression, right: &Expression) -> Option<&'static str> {
    let text = |side: &Expression| matches!(side, Expression::Text(_));
    Some(match operator {
        Operator::Divide if matches!(right, Expression::Number { base, .. } if *base != 0.0) => return None,
        Operator::Equal | Operator::NotEqual if text(left) || text(right) => return None,
        Operator::Divide => "div",
        Operator::Subtract => "minus",
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

/// The shortest digits that read back to the same number; Rust's and JavaScript's spellings agree.
pub fn number(number: f64) -> String {
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
