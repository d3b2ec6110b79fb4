//! Rows: read, worked one by one, gone over.

use bluecone::formula::*;

use super::agreement::program;

fn worked(loads: &str) -> Worked {
    program("transformer-budget").work(&Given::new().with("loads", loads))
}

fn shown(worked: &Worked, step: &str) -> String {
    let step = worked.step(step).unwrap();
    step.value.as_ref().map(|_| step.shown.clone()).unwrap_or_else(|why| why.says.clone())
}

#[test]
fn rows_are_worked_one_by_one_and_gone_over() {
    let worked = worked("plate_power=12 VA; kind=igniter, by=meter, amps=1.5 A; relay, plate, 4 VA, many=2");
    assert_eq!(worked.refused(), None);
    let titles: Vec<&str> = worked.lists[0].rows.iter().map(|row| row.title.as_str()).collect();
    assert_eq!(titles, ["Load 1: Gas valve", "Load 2: Igniter", "Load 3: Relay coil"]);
    let draws: Vec<&str> = worked.lists[0].rows.iter().map(|row| row.steps[1].shown.as_str()).collect();
    assert_eq!(draws, ["12.0\u{a0}VA", "36.0\u{a0}VA", "8.0\u{a0}VA"]);
    assert_eq!(worked.lists[0].rows[1].steps[0].numbers, "1.5\u{a0}A × 24\u{a0}V");
    assert_eq!(worked.lists[0].rows[2].steps[1].numbers, "4\u{a0}VA × 2");
    assert_eq!(worked.lists[0].rows[0].steps[4].numbers, "Gauge in “Copper conductor ampacity”, first row with 60 °C ≥ 20 × 0.5\u{a0}A");
    let counts: Vec<bool> = worked.lists[0].rows[1].inputs.iter().map(|input| input.counts).collect();
    assert_eq!(counts, [true, true, false, true, true]);
    for (step, expected) in [
        ("total", "56.0\u{a0}VA"),
        ("left", "−16\u{a0}VA"),
        ("igniters", "1"),
        ("entries", "3"),
        ("devices", "4"),
        ("largest", "1.5\u{a0}A"),
        ("least_valve", "12\u{a0}VA"),
        ("worst", "Load 2: Igniter"),
        ("spread", "56\u{a0}VA"),
        ("heavy", "Load 2: Igniter"),
        ("fuse", "3\u{a0}A"),
        ("kinds", "1 × Gas valve; 1 × Igniter; 1 × Relay coil"),
    ] {
        assert_eq!(shown(&worked, step), expected, "{step}");
    }
    assert_eq!(worked.verdicts[0].band, Ok(0));
}

#[test]
fn a_tally_counts_each_text_in_the_order_of_the_rows() {
    assert_eq!(shown(&worked("kind=relay; kind=valve; kind=relay; kind=relay"), "kinds"), "3 × Relay coil; 1 × Gas valve");
    let odd = worked("kind=relay; plate_power=999 VA");
    assert_eq!(shown(&odd, "kinds"), "It needs “Draw” of “Load 2: Gas valve”, which has no value.");
}

#[test]
fn nothing_to_go_over_has_a_meaning() {
    let worked = worked("");
    assert!(worked.lists[0].rows.is_empty());
    for (step, expected) in [
        ("total", "0.0\u{a0}VA"),
        ("entries", "0"),
        ("devices", "0"),
        ("largest", "“Loads” has no row for this."),
        ("least_valve", "“Loads” has no row for this."),
        ("worst", "None of “Loads” fails."),
        ("heavy", "none"),
        ("kinds", "none"),
    ] {
        assert_eq!(shown(&worked, step), expected, "{step}");
    }
    assert_eq!(shown(&worked_where_none_is_a_valve(), "least_valve"), "“Loads” has no row for this.");
}

fn worked_where_none_is_a_valve() -> Worked {
    worked("kind=relay; kind=igniter")
}

#[test]
fn what_a_row_lacks_is_said_with_its_row() {
    let odd = worked("plate_power=999 VA; plate_power=3 VA");
    assert_eq!(odd.refused(), Some(("loads row 1 plate_power".into(), "Enter a value from 0\u{a0}VA to 150\u{a0}VA.")));
    assert_eq!(shown(&odd, "total"), "It needs “Draw” of “Load 1: Gas valve”, which has no value.");
    assert_eq!(shown(&odd, "igniters"), "0", "what does not use the row's wrong field has a value");
    assert_eq!(shown(&odd, "left"), "It needs “All loads”, which has no value.");
    let many = worked(&"; ".repeat(8));
    assert_eq!(many.refused(), Some(("loads".into(), "Give from 0 to 8 rows.")));
    assert_eq!(shown(&many, "total"), "It needs “Loads”, which has no value.");
    let fuses = program("transformer-budget").work(&Given::new().with("fuses", ""));
    assert_eq!(shown(&fuses, "fuse"), "It needs “Fuses”, which has no value.");
}

#[test]
fn a_text_that_is_no_list_says_why() {
    let says = |text: &str| worked(text).lists[0].says.clone().unwrap();
    assert_eq!(
        says("plate_powr=3"),
        "A row has no “plate_powr”; did you mean “plate_power”? Its fields are kind, by, plate_power, amps, many."
    );
    assert_eq!(says("many=1, many=2"), "“many” is given twice in a row.");
    assert_eq!(says("valve, plate, 1, 2, 3, 4"), "“4” is more than a row has; its fields are kind, by, plate_power, amps, many.");
}

#[test]
fn a_list_is_written_as_it_is_read() {
    let program = program("transformer-budget");
    let list = program.list("loads").unwrap();
    for text in ["kind=igniter, amps=500 mA; many=2", "", "kind=relay"] {
        assert_eq!(list.write(&list.read(text).unwrap()), text);
    }
    assert_eq!(list.write(&list.read(" igniter ,, 4 VA ;").unwrap()), "kind=igniter, plate_power=4 VA; ");
}

#[test]
fn the_working_names_what_it_goes_over() {
    let program = program("transformer-budget");
    let worked = program.work(&Given::new().with("loads", "plate_power=12 VA"));
    let names = |step: &str| worked.step(step).unwrap().names.clone();
    assert_eq!(names("total"), "sum of Draw in “Loads”");
    assert_eq!(names("igniters"), "number of “Loads” where Kind = “Igniter”");
    assert_eq!(names("spread"), "(largest Draw in “Loads” − (smallest Draw in “Loads”)) × 2");
    assert_eq!(names("kinds"), "how many of each Kind in “Loads” where Draw > 0\u{a0}VA");
    assert_eq!(names("worst"), "first that fails “Fits” in “Loads”");
    let step = program.step("igniters").unwrap();
    assert_eq!(
        program.mathml(step).unwrap(),
        "<math display=\"block\"><mrow><mtext>Igniters</mtext><mo>=</mo><mtext>number\u{a0}of\u{a0}</mtext><mtext>“Loads”</mtext>\
         <mtext>\u{a0}where\u{a0}</mtext><mtext>Kind</mtext><mo>=</mo><mtext>“Igniter”</mtext></mrow></math>"
    );
}

/// In the line with values what goes over rows is one of them; by itself it stays in words, since its value is the step's result.
#[test]
fn what_goes_over_rows_stands_in_the_working_as_a_value() {
    let worked = worked("plate_power=12 VA; kind=igniter, by=meter, amps=1.5 A; relay, plate, 4 VA, many=2");
    for (step, expected) in [
        ("total", "sum of Draw in “Loads”"),
        ("spread", "(36.0\u{a0}VA − 8.0\u{a0}VA) × 2"),
        ("gauge", "Gauge in “Copper conductor ampacity”, first row with 60 °C ≥ 10 × 2.33\u{a0}A"),
        ("heavy", "first that fails “Fits” in “Loads” where Draw > 1\u{a0}VA"),
    ] {
        assert_eq!(worked.step(step).unwrap().numbers, expected, "{step}");
    }
    assert_eq!(worked.step("spread").unwrap().made, ["36.0\u{a0}VA", "8.0\u{a0}VA"]);
}

#[test]
fn what_goes_over_rows_is_told_in_the_unit_of_what_it_goes_over() {
    let text = "
inputs:
  - {id: spare, title: Spare, unit: ft, from: 0, to: 100, start: 1, units: [m]}
rows:
  - id: pipes
    title: Pipes
    row: Pipe
    most: 3
    fields:
      - {id: length, title: Length, unit: ft, units: [m], from: 0, to: 1000, start: 100.125}
      - {id: many, title: How many, from: 0, to: 9, start: 2}
    steps:
      - {id: inches, title: In inches, unit: in, digits: 1, formula: length}
    start: [{}, {}]
steps:
  - {id: typed, title: Typed, unit: m, formula: sum(length in pipes) + spare}
  - {id: stepped, title: Stepped, unit: m, formula: max(inches in pipes) + spare}
  - {id: worked, title: Worked, unit: m, digits: 2, formula: sum(length * many in pipes) + spare}
  - {id: other, title: Other, formula: 'sum(length * many in pipes) / 1 [ft] + count(pipes)'}
  - {id: nested, title: Nested, unit: ft, formula: 'spare + (if count(pipes) > 5 then min(length in pipes) else 0 [ft])'}
examples:
  - {title: One, given: {}, expect: {nested: 1 ft}}
";
    let (draft, _) = super::reader::draft("pipes.yaml", text);
    let mut problems = bluecone::diagnostic::Problems::default();
    let program = Program::build(&draft, &super::reader::tables(), &mut problems).unwrap_or_else(|| panic!("{problems:#?}"));
    let working =
        |given: &Given| -> Vec<String> { program.work(given).steps.iter().map(|step| step.numbers.replace('\u{a0}', " ")).collect() };
    let expected = [
        "200.25 ft + 1 ft",
        "1201.5 in + 1 ft",
        "122.07 m + 1 ft",
        "(sum of Length × How many in “Pipes”) ÷ 1 ft + 2",
        "1 ft + (if 2 > 5 then 100.125 ft, else 0 ft)",
    ];
    assert_eq!(working(&Given::new()), expected);
    // A branch that is not taken may have nothing to go over.
    assert_eq!(working(&Given::new().with("pipes", ""))[4], "1 ft + (if 0 > 5 then –, else 0 ft)");
    let script = super::agreement::worked_by_script(&program, &[vec![], vec![("pipes".into(), String::new())]]);
    for (script, given) in script.iter().zip([Given::new(), Given::new().with("pipes", "")]) {
        let there = super::agreement::workings(&program.labels(), script);
        assert_eq!(there.iter().map(|text| text.replace('\u{a0}', " ")).collect::<Vec<_>>(), working(&given));
    }
}
