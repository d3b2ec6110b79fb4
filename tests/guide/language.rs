//! The guide's page on formulas: every table on it is worked, with the calculator that the page shows, inside the demo handbook.

use std::fs;

use bluecone::diagnostic::{Code, Severity};
use bluecone::formula::{Given, Program, Worked};
use bluecone::handbook::Handbook;
use bluecone::pages::clock;

use crate::proof::folder::{Texts, package, proved, shown, texts};

const PAGE: &str = "content/guide/15-formulas.md";
const ENTRY: &str = "calculators/one-of-each.yaml";

/// A table of the page: the line of its head, its head and its rows, cell by cell.
struct Table {
    line: usize,
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// For messages: where a row stands, and its first cell.
    fn place(&self, row: usize) -> String {
        format!("{PAGE}:{}: {}", self.line + 2 + row, self.rows[row][0])
    }
}

fn tables() -> Vec<Table> {
    let text = fs::read_to_string(package(PAGE)).unwrap();
    let cells = |line: &str| -> Vec<String> { line.trim_matches('|').split('|').map(|cell| cell.trim().to_owned()).collect() };
    let lines: Vec<&str> = text.lines().collect();
    let heads = (1..lines.len()).filter(|&at| lines[at].starts_with("|---"));
    heads
        .map(|at| Table {
            line: at,
            head: cells(lines[at - 1]),
            rows: lines[at + 1..].iter().take_while(|line| line.starts_with('|')).map(|line| cells(line)).collect(),
        })
        .collect()
}

/// Without the signs of Markdown for code and links.
fn plain(cell: &str) -> &str {
    let cell = cell.strip_prefix('[').and_then(|cell| cell.split_once("](")).map_or(cell, |(words, _)| words);
    cell.trim_matches('`')
}

fn entry() -> String {
    let blocks = super::whole("content/");
    blocks.get(ENTRY).unwrap_or_else(|| panic!("{PAGE} shows no {ENTRY}")).text.clone()
}

/// The demo handbook with the page's calculator, to which the steps are added.
fn book(demo: &Texts, steps: &str, examples: &str) -> Texts {
    let text = entry();
    assert!(text.matches("\nverdicts:\n").count() == 1 && text.matches("\nexamples:\n").count() == 1);
    let text =
        text.replace("\nverdicts:\n", &format!("\n{steps}verdicts:\n")).replace("\nexamples:\n", &format!("\nexamples:\n{examples}"));
    let mut files = demo.clone();
    files.insert(ENTRY.to_owned(), text);
    files
}

fn program(handbook: &Handbook) -> &Program {
    &handbook.calculators.iter().find(|calculator| calculator.common.id == "one-of-each").unwrap().program
}

fn worked(program: &Program, cell: &str) -> (Given, Worked) {
    let pairs = plain(cell).split(',').filter(|pair| *pair != "as it starts");
    let mut given = pairs.fold(Given::new(), |given, pair| {
        let (name, value) = pair.split_once('=').unwrap_or_else(|| panic!("`{pair}` is no input and value"));
        given.with(name.trim(), value.trim())
    });
    program.complete(&mut given).unwrap();
    let worked = program.work(&given);
    (given, worked)
}

fn result(worked: &Worked, step: &str) -> String {
    let step = worked.step(step).unwrap_or_else(|| panic!("there is no step `{step}`"));
    step.value.as_ref().map_or_else(|why| why.says.clone(), |_| step.shown.clone())
}

/// Spaces that do not break are shown on the page as plain ones.
fn spaced(text: &str) -> String {
    text.replace(['\u{a0}', '\u{202f}'], " ")
}

/// The demo handbook with one more step for each formula of the tables with *Comes to*: values are expected by a worked
/// example, sentences read from the working.
#[test]
fn every_formula_of_the_page_comes_to_what_it_says() {
    let demo = texts("content");
    let tables = tables();
    let formulas: Vec<(String, &str, &str)> = tables
        .iter()
        .filter(|table| table.head[1] == "Comes to")
        .flat_map(|table| table.rows.iter().enumerate().map(|(at, row)| (table.place(at), plain(&row[0]), row[1].as_str())))
        .collect();
    assert!(formulas.len() > 70, "{} formulas", formulas.len());
    let (mut steps, mut expected, mut sentences, mut refused) = (String::new(), Vec::new(), Vec::new(), 0);
    for (at, (place, formula, comes_to)) in formulas.iter().enumerate() {
        let quoted = formula.replace('\'', "''");
        if comes_to.starts_with('[') {
            let code = plain(comes_to);
            let step = format!("  - {{id: tried, title: Tried, formula: '{quoted}'}}\n");
            let (_, problems, sources) = proved(&book(&demo, &step, ""));
            let found: Vec<&str> = problems.iter().map(|problem| problem.code.name()).collect();
            assert!(Code::ALL.iter().any(|known| known.name() == code), "{place}: no problem is called {code}");
            assert_eq!(found, [code], "{place}\n{}", shown(&problems, &sources));
            refused += 1;
        } else if comes_to.starts_with('`') {
            let value = plain(comes_to);
            let number = value.split(' ').next().unwrap();
            // A tally begins with a number and has no unit.
            let unit = if number.parse::<f64>().is_ok() && !value.contains('×') { value[number.len()..].trim() } else { "" };
            let unit = if unit.is_empty() { String::new() } else { format!(", unit: '{}'", unit.replace('\'', "''")) };
            steps += &format!("  - {{id: tried_{at}, title: Tried {at}{unit}, formula: '{quoted}'}}\n");
            expected.push(format!("tried_{at}: '{value}'"));
        } else {
            steps += &format!("  - {{id: tried_{at}, title: Tried {at}, formula: '{quoted}'");
            steps += if formula.contains("[VA]") { ", unit: VA}\n" } else { "}\n" };
            sentences.push((at, place, comes_to));
        }
    }
    assert!(refused >= 8 && sentences.len() >= 4 && expected.len() > 55);
    let example =
        format!("  - {{title: The page, expect: {{{}}}, within: 0, source: {{from: source:common-practice}}}}\n", expected.join(", "));
    let (handbook, problems, sources) = proved(&book(&demo, &steps, &example));
    let errors: Vec<_> = problems.into_iter().filter(|problem| problem.severity() == Severity::Error).collect();
    assert_eq!(shown(&errors, &sources), "");
    let handbook = handbook.unwrap();
    let (_, worked) = worked(program(&handbook), "as it starts");
    for (at, place, sentence) in sentences {
        assert_eq!(result(&worked, &format!("tried_{at}")), *sentence, "{place}");
    }
}

#[test]
fn every_sum_of_the_page_comes_out_as_it_says() {
    let (handbook, problems, sources) = proved(&book(&texts("content"), "", ""));
    let handbook = handbook.unwrap_or_else(|| panic!("{}", shown(&problems, &sources)));
    let calculator = handbook.calculators.iter().find(|calculator| calculator.common.id == "one-of-each").unwrap();
    let program = &calculator.program;
    let says = |band: usize| handbook.plain(&calculator.verdicts[0][band].says);
    let mut n_checked = 0;
    for table in tables() {
        for (at, row) in table.rows.iter().enumerate() {
            let place = table.place(at);
            let mut check = |found: &str, cell: &str| {
                n_checked += 1;
                assert_eq!(spaced(found), plain(cell), "{place}");
            };
            match table.head[0].as_str() {
                "You write" => {}
                "Given" => {
                    let (_, worked) = worked(program, &row[0]);
                    for (head, cell) in table.head.iter().zip(row).skip(1).filter(|(_, cell)| !cell.is_empty()) {
                        match plain(head) {
                            "Verdict" => check(&says(*worked.verdicts[0].band.as_ref().unwrap()), cell),
                            step => check(&result(&worked, step), cell),
                        }
                    }
                }
                "The mark at" => {
                    let (given, worked) = worked(program, &row[0]);
                    let curve = program.curve(&given).unwrap().unwrap();
                    let (x, y) = curve.here.unwrap();
                    let nearest = (0..curve.x.len()).min_by(|a, b| (curve.x[*a] - x).abs().total_cmp(&(curve.x[*b] - x).abs())).unwrap();
                    check(&curve.now.clone().unwrap().1, &row[1]);
                    check(&says(program.band_at(&curve, nearest).unwrap()), &row[2]);
                    assert_eq!(Some(y), worked.step("power").unwrap().number, "{place}");
                }
                "From" => {
                    let phases = program.work(&Given::new()).timeline.unwrap().unwrap();
                    assert_eq!(phases.len(), table.rows.len());
                    let lanes = &program.timeline.as_ref().unwrap().lanes;
                    let on: Vec<&str> = phases[at].on.iter().map(|lane| lanes[*lane].title.as_str()).collect();
                    let found = [clock(phases[at].start), clock(phases[at].end), phases[at].title.clone(), on.join(", ")];
                    found.iter().zip(row).for_each(|(found, cell)| check(found, cell));
                }
                other => panic!("{place}: nobody knows what to do with a table that begins with {other}"),
            }
        }
    }
    assert!(n_checked > 60, "{n_checked} cells");
}

/// Every word and sign of the language stands in a formula of the page.
#[test]
fn the_page_has_all_of_the_language() {
    let formulas: Vec<String> = tables()
        .iter()
        .filter(|table| table.head[0] == "You write")
        .flat_map(|table| table.rows.iter().map(|row| plain(&row[0]).to_owned()))
        .collect();
    let all = formulas.join("\n");
    let words = ["if", "then", "else", "and", "or", "not", "true", "in", "where"].map(|word| format!("{word} "));
    let functions = bluecone::formula::Function::ALL.iter().map(|function| function.name());
    let aggregates = bluecone::formula::Aggregate::ALL.iter().map(|aggregate| aggregate.name());
    let calls = functions.chain(aggregates).map(|name| format!("{name}("));
    let signs = ["+", "-", "*", "/", "^", "<", "<=", ">", ">=", "==", "!=", "(", "["].map(str::to_owned);
    let spaced = format!("{} ", all.replace('\n', " \n"));
    for needed in words.into_iter().chain(calls).chain(signs) {
        assert!(spaced.contains(&needed), "no formula of the page has `{}`", needed.trim());
    }
}
