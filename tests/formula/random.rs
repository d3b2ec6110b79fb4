//! Random formulas: what the evaluator gives and what the emitted script gives, and that the line for readers keeps the meaning.

use bluecone::diagnostic::Problems;
use bluecone::formula::*;
use bluecone::source::{Inset, Placed, SourceId, Span};
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::collections::BTreeMap;

use super::agreement::{lack, same_value, why, worked_by_script, workings};

/// Sums over the plain numbers `a`, `b` and `c`.
fn number() -> BoxedStrategy<String> {
    let leaf = prop_oneof![
        prop::sample::select(vec!["a", "b", "c"]).prop_map(str::to_owned),
        (0..2000u32).prop_map(|number| (f64::from(number) / 8.0).to_string()),
        prop::sample::select(vec!["1e-9", "3 [%]", "2.5e7", "0.1", "1e200", "0"]).prop_map(str::to_owned),
    ];
    leaf.prop_recursive(6, 40, 3, |inner| {
        let pair = (inner.clone(), inner.clone());
        let truth = (pair.clone(), prop::sample::select(vec!["<", "<=", ">", ">=", "==", "!="])).prop_map(|((a, b), sign)| format!("({a}) {sign} ({b})"));
        let joined = prop_oneof![
            2 => truth.clone(),
            1 => truth.clone().prop_map(|truth| format!("not ({truth})")),
            1 => (truth.clone(), truth.clone(), prop::sample::select(vec!["and", "or", "==", "!="])).prop_map(|(a, b, word)| format!("({a}) {word} ({b})")),
        ];
        prop_oneof![
            4 => (pair.clone(), prop::sample::select(vec!["+", "-", "*", "/"])).prop_map(|((a, b), sign)| format!("{a} {sign} {b}")),
            3 => (pair.clone(), prop::sample::select(vec!["+", "-", "*", "/"])).prop_map(|((a, b), sign)| format!("({a}) {sign} ({b})")),
            1 => inner.clone().prop_map(|a| format!("-({a})")),
            1 => inner.clone().prop_map(|a| format!("- -({a})")),
            1 => (inner.clone(), -3..4i32).prop_map(|(a, exponent)| format!("({a}) ^ {exponent}")),
            1 => inner.clone().prop_map(|a| format!("sqrt({a})")),
            1 => inner.clone().prop_map(|a| format!("abs({a})")),
            1 => (inner.clone(), prop::sample::select(vec!["exp", "ln"])).prop_map(|(a, name)| format!("{name}({a})")),
            1 => pair.clone().prop_map(|(a, b)| format!("({a}) ^ ({b})")),
            1 => (pair.clone(), prop::sample::select(vec!["min", "max"])).prop_map(|((a, b), name)| format!("{name}({a}, {b})")),
            // A step that is known beforehand and not above zero is refused, so none is known beforehand.
            1 => (pair.clone(), prop::sample::select(vec!["round_up", "round_down"])).prop_map(|((a, b), name)| format!("{name}({a}, ({b}) + 0 * c)")),
            2 => (joined, pair).prop_map(|(truth, (a, b))| format!("(if {truth} then {a} else {b})")),
        ]
    })
    .boxed()
}

fn program(formulas: &[String]) -> Program {
    let words = |text: &str| Placed::new(text.to_owned(), Span::default());
    let input = |id: &str| InputDraft {
        id: words(id),
        title: words(id),
        kind: InputKindDraft::Number {
            unit: None,
            from: Placed::new(-1e6, Span::default()),
            to: Placed::new(1e6, Span::default()),
            start: Placed::new(0.0, Span::default()),
            units: Vec::new(),
            whole: false,
        },
        when: None,
    };
    let step = |(at, formula): (usize, &String)| StepDraft {
        when: None,
        id: words(&format!("s{at}")),
        title: words(&format!("s{at}")),
        unit: None,
        digits: None,
        how: HowDraft::Formula(Inset::plain(SourceId(0), formula.clone(), 0)),
    };
    let draft =
        Draft { inputs: ["a", "b", "c"].map(input).into(), steps: formulas.iter().enumerate().map(step).collect(), ..Draft::default() };
    let mut problems = Problems::default();
    Program::build(&draft, &BTreeMap::new(), &mut problems).unwrap_or_else(|| panic!("{problems:#?}"))
}

#[test]
fn random_formulas_agree_to_the_bit() {
    let mut runner = TestRunner::new_with_rng(Config::default(), TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let formulas: Vec<String> = (0..600).map(|_| number().new_tree(&mut runner).unwrap().current()).collect();
    let program = program(&formulas);
    let input = prop_oneof![-1e6..1e6f64, -10.0..10.0f64, (-20..20i32).prop_map(f64::from), Just(0.0), Just(1e-7)];
    let given: Vec<Vec<(String, String)>> = (0..20)
        .map(|_| {
            ["a", "b", "c"].iter().map(|name| ((*name).to_owned(), input.new_tree(&mut runner).unwrap().current().to_string())).collect()
        })
        .collect();
    let (mut values, mut lacking) = (0, 0);
    for (given, script) in given.iter().zip(worked_by_script(&program, &given)) {
        let worked = program.work(&given.iter().fold(Given::new(), |all, (name, text)| all.with(name, text)));
        let workings = workings(&program.labels(), &script);
        for (((step, found), formula), working) in worked.steps.iter().zip(script["steps"].as_array().unwrap()).zip(&formulas).zip(workings)
        {
            assert!(same_value(&found["value"], step.value.as_ref().ok()), "{formula} with {given:?}\n{step:?}\n{found}");
            assert_eq!(why(found), lack(&step.value), "{formula} with {given:?}");
            assert_eq!(working, step.numbers, "{formula} with {given:?}");
            if step.value.is_ok() { values += 1 } else { lacking += 1 }
        }
    }
    assert!(values > 6000 && lacking > 300, "{values} values, {lacking} without");
}
