//! From entries to likelihoods.

use bluecone::diagnosis::{UNSTATED_CHANGE_MINUTES, model};
use bluecone::handbook::{Basis, Book, Check, Common, Outcome, Prose, Seen, StateChange, Suspect, Symptom};

use super::*;

fn fault(id: &str) -> Name {
    Name::new(Kind::Fault, id)
}

fn outcome(keeps: &[&str], drops: &[&str], likely: &[(&str, f64)]) -> Outcome {
    Outcome {
        id: "word".into(),
        seen: Seen::Words("Something is seen.".into()),
        means: Prose::default(),
        keeps: keeps.iter().map(|id| fault(id)).collect(),
        drops: drops.iter().map(|id| fault(id)).collect(),
        likely: likely.iter().map(|(id, chance)| (fault(id), *chance)).collect(),
        next: None,
    }
}

/// A check with these outcomes, called `0`, `1` and so on, of which one may be the usual.
fn with(outcomes: &[Outcome], usual: Option<usize>) -> Check {
    let outcomes = outcomes.iter().enumerate().map(|(place, outcome)| Outcome { id: place.to_string(), ..outcome.clone() });
    Check { usual: usual.map(|place| place.to_string()), ..entry("look", State::Powered, &[], outcomes.collect()) }
}

fn near(found: &[f64], expected: &[f64]) {
    let close = found.len() == expected.len() && found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-12);
    assert!(close, "{found:?}, expected {expected:?}");
}

#[test]
fn keeps_and_drops_exclude_and_the_rest_is_shared() {
    let look = with(&[outcome(&["a"], &[], &[]), outcome(&[], &["a"], &[]), outcome(&[], &[], &[])], None);
    near(&look.likelihoods(&fault("a")), &[0.95, 0.0, 0.05]);
    near(&look.likelihoods(&fault("b")), &[0.0, 0.5, 0.5]);
}

#[test]
fn what_the_check_is_silent_about_gives_the_usual_outcome() {
    let look = with(&[outcome(&["a", "b"], &[], &[]), outcome(&[], &["a"], &[]), outcome(&[], &[], &[]), outcome(&[], &[], &[])], Some(1));
    near(&look.likelihoods(&fault("c")), &[0.0, 0.95, 0.025, 0.025]);
    near(&look.likelihoods(&fault("a")), &[0.95, 0.0, 0.025, 0.025]);
    near(&look.likelihoods(&fault("b")), &[0.475, 0.475, 0.025, 0.025]);
    let look = with(&[outcome(&[], &[], &[("a", 0.1)]), outcome(&[], &[], &[]), outcome(&[], &[], &[("a", 0.3)])], Some(1));
    near(&look.likelihoods(&fault("a")), &[0.1, 0.6, 0.3]);
    // A stated chance stands for the usual outcome too.
    near(&with(&look.outcomes, Some(0)).likelihoods(&fault("a")), &[0.1, 0.6, 0.3]);
}

#[test]
fn a_stated_chance_stands_and_the_others_share_what_is_left() {
    let look = with(&[outcome(&["a"], &[], &[]), outcome(&[], &[], &[("a", 0.4)]), outcome(&["a", "b"], &[], &[])], None);
    near(&look.likelihoods(&fault("a")), &[0.3, 0.4, 0.3]);
    near(&look.likelihoods(&fault("b")), &[0.0, 0.05, 0.95]);
    near(&look.likelihoods(&fault("c")), &[0.0, 1.0, 0.0]);
}

#[test]
fn stated_chances_alone_or_above_one_are_divided_by_their_sum() {
    let look = with(&[outcome(&[], &[], &[("a", 0.2)]), outcome(&[], &[], &[("a", 0.6)])], Some(0));
    near(&look.likelihoods(&fault("a")), &[0.25, 0.75]);
    let above = with(&[outcome(&[], &[], &[("a", 0.9)]), outcome(&[], &[], &[("a", 0.6)]), outcome(&[], &[], &[])], Some(2));
    near(&above.likelihoods(&fault("a")), &[0.6, 0.4, 0.0]);
}

#[test]
fn a_fault_that_no_outcome_allows_is_not_judged() {
    let look = with(&[outcome(&["b"], &[], &[]), outcome(&[], &["a"], &[])], Some(1));
    near(&look.likelihoods(&fault("a")), &[0.5, 0.5]);
    // A stated chance does not bring back what the same outcome rules out.
    let look = with(&[outcome(&["b"], &[], &[("a", 0.9)]), outcome(&[], &[], &[])], None);
    near(&look.likelihoods(&fault("a")), &[0.0, 1.0]);
}

/// Stated chances and the usual outcome leave the odds of the demo where the trade has them.
#[test]
fn the_demo_gives_a_healthy_polarity_reading_to_other_faults() {
    let Some(bluecone::handbook::Entry::Check(check)) = handbook().entry(&Name::new(Kind::Check, "polarity-and-ground")) else {
        panic!("the check")
    };
    assert_eq!(check.usual.as_deref(), Some("right"), "the outcome in the good band");
    let chance = |id: &str| check.likelihoods(&fault(id));
    near(&chance("flame-rod-dirty"), &[0.95, 0.05, 0.0, 0.0, 0.0]);
    // A source without a grounded neutral, such as a generator, floats.
    near(&chance("polarity-reversed"), &[0.0, 0.0, 0.1, 0.87, 0.03]);
}

fn entry(id: &str, state: State, after: &[&str], outcomes: Vec<Outcome>) -> Check {
    Check {
        common: Common { id: id.into(), title: id.into(), ..Common::default() },
        state,
        touches: Vec::new(),
        minutes: 4.0,
        tools: Vec::new(),
        after: after.iter().map(|id| Name::new(Kind::Check, *id)).collect(),
        erased_by: Vec::new(),
        safety: Vec::new(),
        measures: None,
        steps: Vec::new(),
        outcomes,
        usual: None,
        closing: Vec::new(),
    }
}

#[test]
fn a_model_brings_in_what_must_come_before() {
    let plain = || vec![outcome(&[], &[], &[]), outcome(&[], &[], &[])];
    let tells = vec![outcome(&["a"], &[], &[]), outcome(&[], &["a"], &[])];
    let symptom = Symptom {
        common: Common { id: "s".into(), ..Common::default() },
        stage: String::new(),
        seen: Prose::default(),
        suspects: [("a", 3.0), ("b", 1.0)].map(|(id, weight)| Suspect { fault: fault(id), weight, basis: Basis::Judgement }).into(),
        checks: vec![Name::new(Kind::Check, "last")],
        safety: Vec::new(),
    };
    let handbook = Handbook {
        book: Book {
            state_changes: vec![
                StateChange { from: State::Powered, to: State::GasOn, minutes: 2.0, note: None },
                StateChange { from: State::GasOn, to: State::Firing, minutes: 3.0, note: None },
                StateChange { from: State::Powered, to: State::Firing, minutes: 9.0, note: None },
            ],
            ..Book::default()
        },
        checks: vec![
            entry("first", State::Isolated, &[], plain()),
            entry("last", State::Firing, &["middle"], tells),
            entry("middle", State::Powered, &["first"], plain()),
            entry("other", State::Powered, &[], plain()),
        ],
        ..Handbook::default()
    };
    let model = model(&handbook, &symptom).expect("a model");
    let ids: Vec<&str> = model.checks.iter().map(|check| check.check.id.as_str()).collect();
    assert_eq!(ids, ["first", "last", "middle"]);
    assert_eq!((model.checks[1].after.as_slice(), model.written.as_slice()), ([2].as_slice(), [1].as_slice()));
    assert_eq!([model.checks[0].guard, model.checks[1].guard], [true, false]);
    assert_eq!(model.suspects[0].chance, 0.75);
    assert_eq!(model.start, State::AS_FOUND);
    assert_eq!(model.minutes.between(State::Powered, State::Firing), 5.0, "by way of gas on");
    assert_eq!(model.minutes.between(State::Firing, State::Isolated), UNSTATED_CHANGE_MINUTES);
}
