//! One unknown out of several quantities.

use bluecone::diagnostic::Problems;
use bluecone::formula::*;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use super::agreement::program;
use super::reader;

fn built(formula: &str, from: &str) -> std::result::Result<Program, String> {
    let start = from.parse::<f64>().unwrap().max(2.0);
    let text = format!(
        "inputs:
  - {{id: x, title: X, from: {from}, to: 50, start: {start}}}
  - {{id: w, title: W, from: -1000000, to: 1000000, start: 3}}
  - {{id: z, title: Z, from: 1, to: 50, start: 4}}
solve: {{id: find, title: Find, formula: '{formula}', unknown: [x, w], start: x}}
"
    );
    let (draft, _) = reader::draft("built.yaml", &text);
    let mut problems = Problems::default();
    Program::build(&draft, &Default::default(), &mut problems)
        .ok_or_else(|| problems.iter().map(|problem| problem.message.clone() + "\n").collect())
}

/// Every formula as it is turned round, in words.
#[test]
fn operations_are_undone() {
    for (formula, from, expected) in [
        ("w == x", "-50", "W"),
        ("w == x + z", "-50", "W − Z"),
        ("w == z - x", "-50", "Z − W"),
        ("w == x - z", "-50", "W + Z"),
        ("x * z == w", "-50", "W ÷ Z"),
        ("w == z / x", "1", "Z ÷ W"),
        ("w == x / z", "-50", "W × Z"),
        ("w == -x", "-50", "−W"),
        ("w == x ^ 2", "0", "√(W)"),
        ("w == x ^ 3", "0", "(W) ^ (1 ÷ 3)"),
        ("w == x ^ 3", "-50", "if W < 0 then −(−W) ^ (1 ÷ 3), else (W) ^ (1 ÷ 3)"),
        ("w == x ^ -1", "1", "1 ÷ W"),
        ("w == x ^ -2", "1", "√(1 ÷ W)"),
        ("w == x ^ 2.5", "0", "(W) ^ (1 ÷ 2.5)"),
        ("w == 2 ^ x", "-50", "ln(W) ÷ ln(2)"),
        ("w == sqrt(x)", "0", "(W)²"),
        ("w == exp(x)", "-50", "ln(W)"),
        ("w == ln(x)", "1", "exp(W)"),
        ("w == abs(x)", "0", "W"),
        ("w == z * (x - 3) ^ 2 / 4", "3", "√(W × 4 ÷ Z) + 3"),
        ("max(z, 2) * x == w", "-50", "W ÷ the largest of (Z, 2)"),
    ] {
        let program = built(formula, from).unwrap_or_else(|why| panic!("{formula}: {why}"));
        let worked = program.work(&Given::new());
        assert_eq!(worked.steps[0].names, expected, "{formula}");
    }
}

/// Rounding on the way does not put an answer beyond its range's end.
#[test]
fn an_answer_at_the_end_of_its_range_stands() {
    for (formula, w, z) in [("w == x + z + 0.2", "1.4", "1.2"), ("w == (x + z) * 0.1", "0.33", "3.3"), ("w == z * 3 - x", "3.3", "1.1")] {
        let program = built(formula, "0").unwrap();
        let worked = program.work(&Given::new().with("w", w).with("z", z));
        assert_eq!((worked.steps[0].shown.as_str(), worked.steps[0].number), ("0", Some(0.0)), "{formula}: {:?}", worked.steps[0]);
    }
}

/// A wrong root would be a wrong number: what is worked out is put in again.
#[test]
fn what_is_worked_out_fits_the_formula() {
    let mut runner = TestRunner::new_with_rng(Config::default(), TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let formulas = [
        ("w == x + z", "-50"),
        ("w == x * z", "-50"),
        ("w == x ^ 2 * z", "0"),
        ("w == (x - 1) ^ 2", "1"),
        ("w == x ^ 3 + z", "-50"),
        ("w == sqrt(x) * z", "0"),
        ("w == exp(x / 10) - z", "-50"),
        ("w == ln(x + 60) * z", "-50"),
        ("w / x == z", "1"),
        ("w == -x ^ 5", "-50"),
        ("z / (x + 100) == w", "-50"),
        ("w == x ^ 1.5", "0"),
        ("w == 1.1 ^ x", "-50"),
    ];
    let mut solved = 0;
    for (formula, from) in formulas {
        let program = built(formula, from).unwrap();
        for _ in 0..400 {
            let x = (from.parse::<f64>().unwrap()..50.0).new_tree(&mut runner).unwrap().current();
            let z = (1.0..50.0f64).new_tree(&mut runner).unwrap().current();
            let z = ("z".to_owned(), z.to_string());
            let given = |name: &str, number: f64| Given::new().with(&z.0, &z.1).with(name, number.to_string());
            let forward = program.work(&given("x", x).with("find", "w"));
            let Some(y) = forward.step("w").unwrap().number else { continue };
            let back = program.work(&given("w", y).with("find", "x"));
            let step = back.step("x").unwrap();
            let found = step.number.unwrap_or_else(|| panic!("{formula} at {x}: {:?}", step.value));
            assert!((found - x).abs() <= 1e-6 * x.abs().max(1.0), "{formula}: {x} came back as {found}");
            solved += 1;
        }
    }
    assert!(solved > 4000, "{solved}");
}

#[test]
fn what_does_not_fit_has_no_value() {
    let says = |formula: &str, from: &str, y: &str| {
        let program = built(formula, from).unwrap();
        program.work(&Given::new().with("w", y)).step("x").unwrap().value.clone().unwrap_err().says
    };
    assert_eq!(says("w == x ^ 2", "0", "-4"), "It takes the square root of a negative number.");
    assert_eq!(says("w == sqrt(x)", "0", "-4"), "No value of “X” fits the others.");
    assert_eq!(says("w == abs(x)", "0", "-4"), "No value of “X” fits the others.");
    assert_eq!(says("w == x + z", "-50", "500"), "It comes to 496, and this sum takes −50 to 50.");
    assert_eq!(says("w == z / x", "0", "0"), "It divides by zero.");
}

#[test]
fn the_one_that_is_left_out_is_worked_out() {
    let program = program("heat-rate");
    let given = |pairs: &[(&str, &str)]| pairs.iter().fold(Given::new(), |given, (name, text)| given.with(*name, *text));
    let mut three = given(&[("volume", "5"), ("content", "1000"), ("rate", "60000")]);
    program.complete(&mut three).unwrap();
    let worked = program.work(&three);
    assert_eq!(
        (worked.step("time").unwrap().shown.as_str(), worked.step("output").unwrap().shown.as_str()),
        ("300.00\u{a0}s", "48\u{202f}000\u{a0}Btu/h")
    );
    assert_eq!(worked.step("time").unwrap().numbers, "5\u{a0}ft³ × 1000\u{a0}Btu/ft³ ÷ 60\u{202f}000\u{a0}Btu/h");
    assert!(!worked.step("rate").unwrap().counts() && !worked.inputs.iter().find(|input| input.id == "time").unwrap().counts);
    assert_eq!(worked.verdicts[0].band, Ok(1), "the rate was given, and is judged all the same");
    // Two left out: the page's start decides. All given, or the unknown too: a word about it.
    let mut two = given(&[("volume", "5"), ("content", "1000")]);
    program.complete(&mut two).unwrap();
    assert!(program.work(&two).step("rate").unwrap().value.is_ok());
    assert!(program.complete(&mut given(&[("volume", "5"), ("content", "1000"), ("rate", "6"), ("time", "7")])).is_err());
    assert!(program.complete(&mut given(&[("find", "time"), ("time", "7")])).unwrap_err().contains("`time` is to be worked out"));
}
