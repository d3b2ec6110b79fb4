//! Worked examples in the words of the page: titles and the trade's units in the place of ids and codes.

use bluecone::diagnostic::Problems;
use bluecone::formula::*;

use super::reader;
use crate::proof::folder::{proved, texts};

const SUM: &str = r#"
inputs:
  - {id: mode, title: What is known, choices: [{id: cold, title: Cold iron}, {id: hot, title: Hot iron}], start: hot}
  - {id: liquid_line, title: Liquid line, unit: '[degF]', units: [Cel], from: -40, to: 300, start: 90}
  - {id: pull, title: Pull, unit: uA, units: [mA], from: -1e6, to: 1e6, start: 1}
  - {id: pieces, title: Pieces, from: 0, to: 1e9, start: 1}
rows:
  - id: loads
    title: Loads on it
    row: Load
    called: kind
    most: 3
    fields:
      - {id: kind, title: Kind, choices: [{id: gas_valve, title: Gas valve}], start: gas_valve}
      - {id: draw, title: Draw, unit: VA, from: 0, to: 50, start: 10}
      - {id: many, title: How many, from: 1, to: 4, start: 1}
  - id: fuses
    title: Fuses
    row: Fuse
    most: 3
    fields: [{id: size, title: Size, unit: A, from: 0.5, to: 15, start: 3}]
  - id: spares
    title: Spares
    row: Spare
    most: 3
    fields: [{id: spare, title: Spare, from: 0, to: 9, start: 1}]
steps:
  - {id: total, title: All loads, unit: VA, formula: sum(draw in loads)}
  - {id: warm, title: Warm, formula: 'liquid_line > 50 [degF]'}
  - {id: half, title: Half the pull, unit: uA, digits: 4, formula: pull / 2}
  - {id: iron, title: Iron, formula: 'if mode == "cold" then "grey" else "red"'}
examples:
  - title: One
    given:
      mode: cold
      liquid_line: 90.0 degF
      pull: '-12500.0 uA'
      pieces: '1e6'
      loads: [{draw: '4.50 VA', kind: gas_valve}, {draw: '5.5', many: '2'}, {}]
      fuses: [{size: 500 mA}, {size: '3'}]
      spares: []
    expect: {total: '20', warm: 'true', half: '-6250.00 uA', iron: grey}
    within: 0.01 uA
"#;

fn shown(text: &str) -> ShownExample {
    let (draft, _) = reader::draft("words.yaml", text);
    let mut problems = Problems::default();
    let program = Program::build(&draft, &reader::tables(), &mut problems).unwrap_or_else(|| panic!("{problems:#?}"));
    program.shown_example(&program.examples[0])
}

fn part<'a>(parts: &'a [ShownPart], title: &str) -> &'a ShownPart {
    parts.iter().find(|part| part.title == title).unwrap_or_else(|| panic!("no {title} in {parts:#?}"))
}

fn row(title: &str, fields: &[&str]) -> ShownGivenRow {
    ShownGivenRow { title: title.into(), fields: fields.iter().map(|field| (*field).to_owned()).collect() }
}

#[test]
fn ids_and_codes_become_titles_and_units() {
    // The tolerance is in microamps, which only one of the steps has.
    let shown = shown(&SUM.replace("{total: '20', warm", "{warm"));
    for (title, value) in [
        ("What is known", "Cold iron"),
        ("Liquid line", "90.0\u{a0}°F"),
        ("Pull", "−12\u{202f}500.0\u{a0}µA"),
        ("Pieces", "1\u{202f}000\u{202f}000"),
        ("Spares", "none"),
    ] {
        assert_eq!(part(&shown.given, title).value, value, "{title}");
        assert!(part(&shown.given, title).rows.is_empty());
    }
    let loads = part(&shown.given, "Loads on it");
    assert_eq!(loads.value, "");
    let rows =
        [row("Load 1: Gas valve", &["Draw: 4.50\u{a0}VA"]), row("Load 2", &["Draw: 5.5\u{a0}VA", "How many: 2"]), row("Load 3", &[])];
    assert_eq!(loads.rows, rows);
    // What the only field is, the list's title says.
    assert_eq!(part(&shown.given, "Fuses").rows, [row("Fuse 1", &["500\u{a0}mA"]), row("Fuse 2", &["3\u{a0}A"])]);
    for (title, value) in [("Warm", "yes"), ("Half the pull", "−6250.00\u{a0}µA"), ("Iron", "grey")] {
        assert_eq!(part(&shown.expect, title).value, value, "{title}");
    }
    assert_eq!(shown.within, "0.01\u{a0}µA");
}

#[test]
fn a_tolerance_is_told_with_a_unit_only_where_all_have_it() {
    let within = |expect: &str, within: &str| {
        let text = SUM.replace("{total: '20', warm: 'true', half: '-6250.00 uA', iron: grey}", expect);
        shown(&text.replace("within: 0.01 uA", within)).within
    };
    assert_eq!(within("{half: '-6250'}", "within: 0.5"), "0.5\u{a0}µA");
    assert_eq!(within("{half: '-6250', total: '20'}", "within: 0.5"), "0.5");
    assert_eq!(within("{half: '-6250'}", "within: 0.1 %"), "0.1\u{a0}%");
    assert_eq!(within("{half: '-6250'}", "within: '0'"), "");
    assert_eq!(within("{half: '-6250'}", ""), "");
}

/// The page shows the figures that were proved: typed again, they are the same quantity.
#[test]
fn what_is_shown_of_the_demo_is_what_was_proved() {
    let (demo, problems, _) = proved(&texts("content"));
    let demo = demo.unwrap_or_else(|| panic!("{problems:#?}"));
    let mut numbers = 0;
    for calculator in &demo.calculators {
        let program = &calculator.program;
        for (example, words) in program.examples.iter().zip(&calculator.examples) {
            assert_eq!(example.title, words.title);
            let what = format!("{}: {}", calculator.common.id, example.title);
            for ((name, text), part) in example.given.iter().zip(&words.shown.given) {
                let Some(input) = program.input(name) else {
                    assert_eq!(program.list(name).map(|list| &list.title), Some(&part.title), "{what}");
                    continue;
                };
                assert_eq!(part.title, input.title, "{what}");
                match &input.kind {
                    InputKind::Text { choices, .. } => {
                        let title = choices.iter().find(|choice| choice.id == *text).map(|choice| choice.title.as_str());
                        assert_eq!(Some(part.value.as_str()), title, "{what}");
                    }
                    InputKind::Number { .. } => {
                        let value = |text: &str| input.read(text).unwrap_or_else(|why| panic!("{what}: {text}: {why:?}")).0;
                        assert_eq!(value(&part.value), value(text), "{what}: {name}");
                        numbers += 1;
                    }
                }
            }
            for ((name, _), part) in example.expect.iter().zip(&words.shown.expect) {
                assert_eq!(Some(&part.title), program.step(name).map(|step| &step.title), "{what}");
            }
        }
    }
    assert!(numbers > 400, "only {numbers} numbers were looked at");
}
