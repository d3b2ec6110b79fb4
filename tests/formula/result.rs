//! What of a calculator is its result, and steps that count only now and then.

use bluecone::formula::*;

use super::agreement::{program, worked_by_script};

fn outcomes(loads: &str) -> Vec<Outcome> {
    let program = program("transformer-budget");
    program.outcomes(&program.work(&Given::new().with("loads", loads)))
}

fn row(title: &str, results: &[&str]) -> ShownRow {
    ShownRow { title: title.into(), results: results.iter().map(|result| (*result).to_owned()).collect(), lacks: false }
}

#[test]
fn steps_and_rows_come_out_in_the_authors_order() {
    let found = outcomes("plate_power=12 VA; kind=igniter, by=meter, amps=1.5 A; relay, plate, 4 VA");
    let expected = [
        Outcome::Found(vec!["1 × Gas valve".into(), "1 × Igniter".into(), "1 × Relay coil".into()]),
        Outcome::Found(vec!["52.0\u{a0}VA".into()]),
        Outcome::Found(vec!["one".into()]),
        Outcome::Rows(vec![row("Load 2: Igniter", &["Draw: 36.0\u{a0}VA", "10 AWG"])]),
        // What does not count is left out.
        Outcome::Rows(vec![row("Load 1: Gas valve", &[]), row("Load 3: Relay coil", &[])]),
        Outcome::Rows(vec![row("Fuse 1", &[]), row("Fuse 2", &[])]),
    ];
    assert_eq!(found, expected);
}

#[test]
fn no_such_row_is_said_or_left_out() {
    let found = outcomes("kind=igniter, plate_power=30 VA");
    assert_eq!(found[4], Outcome::None("There is no small one.".into()));
    let found = outcomes("plate_power=3 VA");
    // No igniter, so there is no grade; and none is too large, which has no sentence.
    assert_eq!((&found[2], &found[3]), (&Outcome::Idle, &Outcome::Idle));
    let found = outcomes("by=meter, amps=10 A, many=4");
    let Outcome::Rows(rows) = &found[3] else { panic!("{found:?}") };
    assert_eq!(rows[0].results, ["Draw: 960.0\u{a0}VA", "Conductor: No conductor of the table carries this."]);
}

#[test]
fn a_row_that_cannot_be_judged_says_why() {
    let found = outcomes("plate_power=999 VA; plate_power=3 VA");
    let why = "It needs “Draw”, which has no value.".to_owned();
    let Outcome::Rows(rows) = &found[4] else { panic!("{found:?}") };
    assert_eq!(rows[0], ShownRow { title: "Load 1: Gas valve".into(), results: vec![why], lacks: true });
    assert_eq!(rows[1], row("Load 2: Gas valve", &[]));
    assert_eq!(found[1], Outcome::None("It needs “Draw” of “Load 1: Gas valve”, which has no value.".into()));
}

/// What does not count and what rests on it have no part in the sum; what cannot be asked lacks a value instead.
#[test]
fn a_step_counts_only_when_its_truth_holds() {
    let program = program("transformer-budget");
    let texts = ["plate_power=3 VA", "kind=igniter, plate_power=3 VA; by=meter", "kind=igniter, plate_power=999 VA"];
    let given: Vec<_> = texts.iter().map(|text| vec![("loads".to_owned(), (*text).to_owned())]).collect();
    let scripts = worked_by_script(&program, &given);
    let expected = [
        ("It does not count here.", "It does not count here.", false),
        ("light", "1", true),
        ("It needs “All loads”, which has no value.", "It needs “Grade”, which has no value.", true),
    ];
    for ((text, script), (grade, graded, counts)) in texts.iter().zip(&scripts).zip(expected) {
        let worked = program.work(&Given::new().with("loads", *text));
        for (id, expected) in [("grade", grade), ("graded", graded)] {
            let at = program.steps.iter().position(|step| step.id == id).unwrap();
            let step = &worked.steps[at];
            assert_eq!(step.value.as_ref().map_or_else(|why| why.says.as_str(), |_| step.shown.as_str()), expected, "{text}: {id}");
            assert_eq!(step.counts(), counts, "{text}: {id}");
            let found = &script["steps"][at];
            assert_eq!(if found["says"] == "" { &found["shown"] } else { &found["says"] }, expected, "{text}: {id} in the page");
        }
    }
}

#[test]
fn the_page_holds_which_steps_and_rows_they_are() {
    let labels = program("transformer-budget").result_labels();
    assert_eq!(labels[0], ResultLabels::Step { id: "kinds".into(), tally: true });
    assert_eq!(labels[2], ResultLabels::Step { id: "grade".into(), tally: false });
    let shows = vec![("draw".into(), "Draw".into(), true), ("conductor".into(), "Conductor".into(), false)];
    assert_eq!(labels[3], ResultLabels::Rows { list: "loads".into(), only: "fits".into(), holds: false, shows });
    assert_eq!(labels[5], ResultLabels::Rows { list: "fuses".into(), only: String::new(), holds: true, shows: Vec::new() });
}

/// Limits in any unit lie inside those in the main one, and both sides of a zero are told as zero.
#[test]
fn limits_are_told_in_the_unit_asked_for() {
    let input = |unit: &str, from: f64, to: f64| Input {
        id: "x".into(),
        title: "X".into(),
        kind: InputKind::Number { units: vec![Unit::parse(unit).unwrap()], from, to, start: to, whole: false },
        when: None,
    };
    for (main, from, to, asked, expected) in [
        ("V", 0.0, 20.0, "V", "0\u{a0}V to 20\u{a0}V"),
        ("V", 0.0, 20.0, "mV", "0\u{a0}mV to 20\u{202f}000\u{a0}mV"),
        ("in. w.c.", 0.1, 14.0, "Pa", "24.91\u{a0}Pa to 3487\u{a0}Pa"),
        ("degF", 32.0, 212.0, "Cel", "0\u{a0}°C to 100\u{a0}°C"),
        ("degF", -40.0, 200.0, "Cel", "−40\u{a0}°C to 93.33\u{a0}°C"),
    ] {
        let unit = Unit::parse(asked).unwrap();
        let input = input(main, from, to);
        assert_eq!(input.limits(&unit), expected);
        for limit in expected.split(" to ") {
            assert!(input.read(limit).is_ok(), "{limit} is refused");
        }
        let beyond = std::format!("{} {asked}", unit.from_base(Unit::parse(main).unwrap().to_base(to)) * 1.01);
        assert_eq!(input.read(&beyond).unwrap_err().says, std::format!("Enter a value from {expected}."), "{beyond}");
    }
}
