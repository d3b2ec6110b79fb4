//! A step that hands on a choice shows the choice's title, in Rust and in the script alike; its value stays the id.

use bluecone::diagnostic::Problems;
use bluecone::formula::*;

use super::agreement::worked_by_script;
use super::reader;

const SUM: &str = r#"
inputs:
  - {id: place, title: Place, choices: [{id: dry, title: Dry room}, {id: wet, title: Wet room}], start: wet}
  - {id: season, title: Season, choices: [{id: warm, title: Summer}, {id: cold, title: Winter}], start: cold}
  - {id: other, title: Other place, choices: [{id: dry, title: Desert}, {id: far, title: Far away}], start: dry}
  - {id: number, title: Number, from: 0, to: 9, start: 3}
rows:
  - id: wires
    title: Wires
    row: Wire
    most: 5
    fields:
      - {id: end, title: End, choices: [{id: bare, title: Bare wire}, {id: tab, title: Push-on tab}], start: tab}
    steps:
      - {id: own, title: Own, formula: end}
      - {id: mixed, title: Mixed, formula: 'if number > 5 then end else place'}
    start: [{end: bare}, {end: tab}, {end: bare}]
steps:
  - {id: here, title: Here, formula: place}
  - {id: again, title: Again, formula: 'if number > 5 then here else season'}
  - {id: word, title: Word, formula: 'if number > 5 then place else "constructed"'}
  - {id: two, title: Two, formula: 'if number > 5 then place else other'}
  - {id: ends, title: Ends, formula: tally(own in wires)}
  - {id: none, title: None, formula: 'tally(end in wires where number > 5)'}
  - {id: truth, title: Truth, formula: 'here == "wet"'}
"#;

#[test]
fn choices_that_are_handed_on_are_shown_by_their_titles() {
    let (draft, _) = reader::draft("titles", SUM);
    let mut problems = Problems::default();
    let program = Program::build(&draft, &reader::tables(), &mut problems).unwrap_or_else(|| panic!("{problems:?}"));
    let given = [vec![], vec![("number".to_owned(), "6".to_owned()), ("place".to_owned(), "dry".to_owned())]];
    let expected = [
        [
            ("here", "wet", "Wet room"),
            ("again", "cold", "Winter"),
            ("word", "constructed", "constructed"),
            // Both inputs have an id `dry`, and call it differently.
            ("two", "dry", "dry"),
            ("ends", "2 × bare; 1 × tab", "2 × Bare wire; 1 × Push-on tab"),
            ("none", "none", "none"),
            ("truth", "", "yes"),
        ],
        [
            ("here", "dry", "Dry room"),
            ("again", "dry", "Dry room"),
            ("word", "dry", "Dry room"),
            ("two", "dry", "dry"),
            ("ends", "2 × bare; 1 × tab", "2 × Bare wire; 1 × Push-on tab"),
            ("none", "2 × bare; 1 × tab", "2 × Bare wire; 1 × Push-on tab"),
            ("truth", "", "no"),
        ],
    ];
    let scripts = worked_by_script(&program, &given);
    for ((given, expected), script) in given.iter().zip(expected).zip(scripts) {
        let all = given.iter().fold(Given::new(), |all, (name, text)| all.with(name, text));
        let worked = program.work(&all);
        for (at, (id, value, shown)) in expected.into_iter().enumerate() {
            let step = worked.step(id).unwrap();
            assert_eq!(step.shown, shown, "{id}");
            assert_eq!(script["steps"][at]["shown"], shown, "{id} in the script");
            if !value.is_empty() {
                assert_eq!(step.value, Ok(Value::Text(value.into())), "{id}");
                assert_eq!(script["steps"][at]["value"], value, "{id} in the script");
            }
        }
        let rows = &worked.lists[0].rows;
        assert_eq!((&*rows[0].steps[0].shown, &*rows[1].steps[0].shown), ("Bare wire", "Push-on tab"));
        assert_eq!(script["lists"][0]["rows"][0]["steps"][0]["shown"], "Bare wire");
        assert_eq!(script["lists"][0]["rows"][0]["steps"][1]["shown"], rows[0].steps[1].shown);
    }
    // The page finds the titles in the fields that it has already.
    let labels = program.labels();
    assert_eq!(labels.steps[1].titles_of, ["place", "season"]);
    assert!(labels.steps[3].titles_of.is_empty());
    assert_eq!(labels.lists[0].steps[0].titles_of, ["end"]);
}

/// Where a step hands a choice on, or is compared with one, its working shows the choice's title too.
#[test]
fn choices_in_the_working_are_shown_by_their_titles() {
    let sum = r#"
inputs:
  - {id: place, title: Place, choices: [{id: dry, title: Dry room}, {id: wet, title: Wet room}], start: wet}
  - {id: number, title: Number, from: 0, to: 9, start: 3}
rows:
  - id: wires
    title: Wires
    row: Wire
    most: 5
    fields:
      - {id: end, title: End, choices: [{id: bare, title: Bare wire}, {id: tab, title: Push-on tab}], start: tab}
    steps:
      - {id: own, title: Own, formula: 'if number > 5 then end else "bare"'}
      - {id: is_bare, title: Is bare, formula: 'own == "bare"'}
    start: [{end: bare}, {end: tab}]
steps:
  - {id: here, title: Here, formula: 'if number > 5 then place else "wet"'}
  - {id: damp, title: Damp, formula: 'here == "wet"'}
  - {id: other, title: Other, formula: 'if here == "dry" then here else "unknown"'}
  - {id: ends, title: Ends, formula: 'tally(if number > 5 then end else "bare" in wires where own == "tab")'}
  - {id: word, title: Word, formula: 'if number > 5 then "wet" else "dry"'}
"#;
    let (draft, _) = reader::draft("titles", sum);
    let mut problems = Problems::default();
    let program = Program::build(&draft, &reader::tables(), &mut problems).unwrap_or_else(|| panic!("{problems:?}"));
    let worked = program.work(&Given::new());
    let names = |at: usize| worked.steps[at].names.as_str();
    assert_eq!(names(0), "if Number > 5 then Place, else “Wet room”");
    assert_eq!(worked.steps[0].numbers, "“Wet room”");
    assert_eq!(names(1), "Here = “Wet room”");
    // A text that is no choice stays as it is.
    assert_eq!(names(2), "if Here = “Dry room” then Here, else “unknown”");
    assert_eq!(names(3), "how many of each (if Number > 5 then End, else “Bare wire”) in “Wires” where Own = “Push-on tab”");
    // Nothing tells whose choices these are.
    assert_eq!(names(4), "if Number > 5 then “wet”, else “dry”");
    let row = &worked.lists[0].rows[0].steps;
    assert_eq!(row[0].names, "if Number > 5 then End, else “Bare wire”");
    assert_eq!(row[1].names, "Own = “Bare wire”");
    let formula = program.mathml(&program.steps[0]).unwrap();
    assert!(formula.contains("“Wet room”") && !formula.contains("“wet”"), "{formula}");
}
