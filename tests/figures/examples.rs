//! The worked examples of the demo's calculators: how far each lies from the figure that was published, and the page of
//! the authors' guide that tells it.
//!
//! `RENEW_CASES=1 cargo nextest run -E 'test(/outside_checks/)'` writes the page anew.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;

use bluecone::formula::{Given, Value};
use bluecone::handbook::{Calculator, Citation, Handbook, Kind, Name, Severity, SourceKind};
use bluecone::search::{Finder, documents, synonyms};

use super::published::quantity;
use crate::proof::folder::{package, proved, shown, texts};

const PAGE: &str = "content/guide/21-outside-checks.md";

/// Figures of one calculator from one source.
#[derive(Default)]
struct Row {
    figures: usize,
    /// As a part of the figure; of a figure of zero, the amount.
    worst: f64,
}

fn demo() -> Handbook {
    let (demo, problems, sources) = proved(&texts("content"));
    demo.unwrap_or_else(|| panic!("{}", shown(&problems, &sources)))
}

/// Whether the citation is of something that others published or ran: neither shop habit nor memory.
fn outside(handbook: &Handbook, citation: &Citation) -> bool {
    !matches!(kind(handbook, citation), SourceKind::CommonPractice | SourceKind::Recalled)
}

fn kind(handbook: &Handbook, citation: &Citation) -> SourceKind {
    handbook.sources.iter().find(|source| source.common.id == citation.source.id).unwrap().kind
}

/// Works the examples anew and gathers how far they lie off, by source.
fn deviations(calculator: &Calculator) -> BTreeMap<String, Row> {
    let program = &calculator.program;
    let mut rows: BTreeMap<String, Row> = BTreeMap::new();
    assert_eq!(calculator.examples.len(), program.examples.len());
    for (example, typed) in calculator.examples.iter().zip(&program.examples) {
        let mut given = Given::new();
        typed.given.iter().for_each(|(input, text)| given.set(input, text));
        let worked = program.work(&given);
        let row = rows.entry(example.source.source.id.clone()).or_default();
        for (id, expected) in &typed.expect {
            row.figures += 1;
            let (Ok(Value::Number(base)), Some(expected)) = (&worked.step(id).unwrap().value, expected) else { continue };
            let own = &program.step(id).unwrap().unit;
            let (figure, unit) = quantity(expected);
            let unit = unit.as_ref().unwrap_or(own);
            assert!(unit.fits(own), "{}: {id}: `{expected}` is not in a unit of the step", calculator.common.id);
            let got = unit.from_base(*base);
            let apart = (got - figure).abs();
            row.worst = row.worst.max(if figure == 0.0 { apart } else { apart / figure.abs() });
        }
    }
    rows
}

/// A part as percent with two significant figures; below a millionth of a percent lies only rounding of floating point.
fn percent(part: f64) -> String {
    let percent = part * 100.0;
    if percent < 1e-6 {
        return "none".into();
    }
    let digits = (1 - percent.log10().floor() as i32).max(0) as usize;
    let text = format!("{percent:.digits$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    format!("{text} %")
}

fn page(handbook: &Handbook) -> String {
    let mut text = String::from(INTRODUCTION);
    for calculator in &handbook.calculators {
        for (source, row) in deviations(calculator) {
            let id = &calculator.common.id;
            writeln!(
                text,
                "| [{}](calculator:{id}) | {} | <source:{source}> | {} |",
                calculator.common.title,
                percent(row.worst),
                row.figures
            )
            .unwrap();
        }
    }
    text += FURTHER;
    for [subject, source, figures, worst] in further() {
        let (kind, id) = subject.split_once(' ').unwrap();
        let name = Name { kind: if kind == "table" { Kind::Table } else { Kind::Calculator }, id: id.to_owned() };
        let title = handbook.title(&name).unwrap();
        writeln!(text, "| [{title}]({kind}:{id}) | {worst} | {source} | {figures} |").unwrap();
    }
    text += DISAGREEMENTS;
    for calculator in handbook.calculators.iter().filter(|calculator| !calculator.disagree.is_empty()) {
        for figure in &calculator.disagree {
            let id = &calculator.common.id;
            let title = &calculator.common.title;
            let cells = [&figure.figure, &figure.value, &figure.rule].map(|cell| cell.replace('|', "\\|"));
            writeln!(
                text,
                "| [{title}](calculator:{id}) | {} | {} | {} | <source:{}> |",
                cells[0], cells[1], cells[2], figure.source.source.id
            )
            .unwrap();
        }
    }
    text
}

/// The figures that the tests hold and no example shows: what was tried, source, how many, worst deviation.
fn further() -> Vec<[String; 4]> {
    let text = fs::read_to_string(package("tests/figures/deviations.tsv")).unwrap();
    let rows = text.lines().skip(1).map(|line| line.split('\t').collect::<Vec<_>>());
    rows.filter(|row| row[0].starts_with("calculator ") || row[0].starts_with("table "))
        .map(|row| [row[0], row[1], row[2], &percent(row[3].parse().unwrap_or(0.0))].map(str::to_owned))
        .collect()
}

const INTRODUCTION: &str = "# Outside checks

Each calculator of the demo handbook is held against figures that were published elsewhere, or that another program gave. Nobody types the tables below: the tests work every example anew and write them, and a test fails if the page is not what they write.

```
RENEW_CASES=1 cargo nextest run -E 'test(/outside_checks/)'
```

A deviation is the part of the published figure by which the result lies off, at its worst. `none` means that they are the same to the last figure. Published figures are rounded, so a deviation of some tenths of a percent is mostly the printer's: a table of an input check prints 86 for 85.71. Words such as a colour, and yes or no, count as figures that agree or fail.

Examples from [common practice](source:common-practice) are in the table and are not counted as outside checks. A [recalled](source:recalled) figure never stands in an example: it is shown, and nothing is held against it.

## Calculators against their sources

| Calculator | Worst deviation | Source | Figures |
|---|---|---|---|
";

const FURTHER: &str = "
## Further figures

Figures that the tests hold beside the examples, and cells of tables that were compared with print. Units are compared with two other libraries as well: see [units](guide:units).

| Calculator or table | Worst deviation | Source | Figures |
|---|---|---|---|
";

const DISAGREEMENTS: &str = "
## Published figures that disagree

Where sources differ, the calculator shows them side by side and defers to the rating plate, the label or the local code.

| Calculator | Figure | Value | Rule | Source |
|---|---|---|---|---|
";

#[test]
fn the_page_of_outside_checks_is_what_the_tests_found() {
    let page = page(&demo());
    if std::env::var_os("RENEW_CASES").is_some() {
        fs::write(package(PAGE), &page).unwrap();
    }
    let known = fs::read_to_string(package(PAGE)).unwrap_or_default();
    assert!(page == known, "{PAGE} is not what the examples give; RENEW_CASES=1 writes it anew\n{page}");
}

#[test]
fn a_deviation_is_shown_as_percent() {
    let shown = [0.0, 1e-9, 0.00012, 0.0033, 0.0456, 0.1234, 1.5].map(percent);
    assert_eq!(shown, ["none", "none", "0.012 %", "0.33 %", "4.6 %", "12 %", "150 %"]);
}

#[test]
fn every_calculator_has_three_outside_checks() {
    let demo = demo();
    for calculator in &demo.calculators {
        let count = calculator.examples.iter().filter(|example| outside(&demo, &example.source)).count();
        assert!(count >= 3, "{} has only {count} examples from outside", calculator.common.id);
    }
}

#[test]
fn no_example_asserts_a_recalled_figure() {
    let demo = demo();
    for calculator in &demo.calculators {
        for example in &calculator.examples {
            assert!(kind(&demo, &example.source) != SourceKind::Recalled, "{}: {}", calculator.common.id, example.title);
        }
    }
}

#[test]
fn every_verdict_that_is_not_good_says_where_to_go_on() {
    let mut silent = Vec::new();
    for calculator in &demo().calculators {
        for band in calculator.verdicts.iter().flatten() {
            let links = band.says.links.iter().any(|link| link.kind != Kind::Source);
            if band.severity != Severity::Good && band.next.is_empty() && !links {
                silent.push(format!("{}: {}", calculator.common.id, band.says.markdown.trim()));
            }
        }
    }
    assert_eq!(silent.join("\n"), "");
}

#[test]
fn every_calculator_has_names_of_the_trade_and_finds_itself_by_them() {
    let demo = demo();
    let address = |name: &Name| format!("{:?} {}", name.kind, name.id);
    let finder = Finder::new(&documents(&demo, &address), &synonyms(&demo)).unwrap();
    let mut known = BTreeMap::new();
    let mut lost = BTreeSet::new();
    for calculator in &demo.calculators {
        let id = &calculator.common.id;
        assert!(calculator.common.also.len() >= 4, "{id} has only {:?}", calculator.common.also);
        for name in &calculator.common.also {
            if let Some(other) = known.insert(name.to_lowercase(), id.clone()) {
                lost.insert(format!("`{name}` is a name of {other} and of {id}"));
            }
            let found = finder.find(name, 8).unwrap();
            if !found.hits.iter().any(|hit| hit.address == format!("{:?} {id}", Kind::Calculator)) {
                let hits: Vec<_> = found.hits.iter().map(|hit| hit.address.as_str()).collect();
                lost.insert(format!("`{name}` of {id} finds {hits:?}"));
            }
        }
    }
    assert!(lost.is_empty(), "{}", Vec::from_iter(lost).join("\n"));
}
