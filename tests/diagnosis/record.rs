//! Past calls: shares, how sure they are, and the order that follows from them.

use bluecone::diagnosis::{interval, model, model_with, policy, reweigh};
use bluecone::handbook::{Call, Record, Share, Symptom};

use super::*;

fn share(alpha: f64, beta: f64) -> Share {
    Share { written: 0.5, calls: 0, alpha, beta }
}

/// Quantiles of the Beta distribution at 0.025 and 0.975, from `scipy.stats.beta.ppf` (SciPy 1.17.1).
const QUANTILES: [(f64, f64, f64, f64); 7] = [
    (1.0, 1.0, 0.025, 0.975),
    (0.5, 0.5, 0.001541333133436012, 0.9984586668665639),
    (2.4, 37.6, 0.00983016136475044, 0.15063317206719098),
    (25.4, 20.6, 0.4085520619006449, 0.6914952442615345),
    (36.0, 24.0, 0.47437850877645094, 0.7193037988375728),
    (0.8, 119.2, 7.675570723780305e-05, 0.026940976896450936),
    (150.5, 349.5, 0.26161089288396805, 0.3418969821170418),
];

#[test]
fn intervals_are_those_of_another_library() {
    for (alpha, beta, from, to) in QUANTILES {
        let (low, high) = interval(&share(alpha, beta));
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.max(1e-3);
        assert!(close(low, from) && close(high, to), "Beta({alpha}, {beta}): {low} to {high}, expected {from} to {to}");
    }
}

/// With one parameter 1 the distribution function is a power: Beta(1, n) has 1 - (1 - x)^n, the bound of a proportion of which
/// no case was seen in n - 1 (C. J. Clopper and E. S. Pearson, Biometrika 26, 1934).
#[test]
fn intervals_are_those_that_can_be_worked_by_hand() {
    for n in [1.0, 2.0, 10.0, 60.0, 300.0] {
        let (low, high) = interval(&share(1.0, n));
        assert!((low - (1.0 - 0.975_f64.powf(1.0 / n))).abs() < 1e-12 && (high - (1.0 - 0.025_f64.powf(1.0 / n))).abs() < 1e-12, "{n}");
        let turned = interval(&share(n, 1.0));
        assert!((turned.0 - (1.0 - high)).abs() < 1e-12 && (turned.1 - (1.0 - low)).abs() < 1e-12, "{n}");
    }
}

fn symptom(id: &str) -> &'static Symptom {
    handbook().symptoms.iter().find(|symptom| symptom.common.id == id).expect("a symptom of the demo")
}

fn call(symptom: &str, fault: &str) -> Call {
    Call {
        date: "2026-11-25".into(),
        appliance: "furnace".into(),
        symptom: Name::new(Kind::Symptom, symptom),
        fault: Name::new(Kind::Fault, fault),
        minutes: 30.0,
    }
}

#[test]
fn calls_are_added_to_the_weights_as_written() {
    let dark = symptom("igniter-stays-dark");
    let mut calls = vec![call("igniter-stays-dark", "control-failed"); 5];
    calls.push(call("igniter-stays-dark", "gas-supply-off")); // not listed
    calls.push(call("lights-then-drops-out", "control-failed")); // another symptom
    let record = Record { calls, strength: 20.0 };
    let shares = record.shares(dark);
    assert_eq!(record.calls_of(dark), 5);
    let whole: f64 = shares.iter().map(Share::now).sum();
    assert!((whole - 1.0).abs() < 1e-12);
    for (share, suspect) in shares.iter().zip(&dark.suspects) {
        let calls = if suspect.fault.id == "control-failed" { 5.0 } else { 0.0 };
        assert!((share.now() - (share.written * 20.0 + calls) / 25.0).abs() < 1e-12, "{}", suspect.fault);
        let (low, high) = interval(share);
        assert!(0.0 <= low && low < share.now() && share.now() < high && high <= 1.0);
    }
    // No calls leave what was written.
    let none = Record { calls: Vec::new(), strength: 20.0 };
    assert!(none.shares(dark).iter().all(|share| (share.now() - share.written).abs() < 1e-12));
    assert!(reweigh(handbook(), &none, &Limits::default()).is_empty());
}

/// Where a fault is named only when no other is left, the old order names it as surely as the new one, so it can be no quicker.
/// Below that certainty it may be, since it ends on other chances.
#[test]
fn where_faults_are_named_for_certain_the_old_order_is_never_quicker() {
    let record = handbook().record.as_ref().expect("the demo has a record");
    let changes = reweigh(handbook(), record, &Limits { certainty: 1.0, ..Limits::default() });
    let (mut compared, mut slower) = (0, 0);
    for change in changes.iter().filter(|change| change.before.exact && change.after.exact) {
        let id = &change.symptom.common.id;
        assert!(change.kept.0 >= change.now.0 - 1e-9, "{id}: {:?} and {:?}", change.kept, change.now);
        compared += 1;
        slower += usize::from(change.kept.0 > change.now.0 + 1e-9);
    }
    assert!(compared >= 4 && slower >= 2, "{slower} of {compared} slower");
}

#[test]
fn the_order_follows_the_calls() {
    let record = handbook().record.as_ref().expect("the demo has a record");
    assert!(record.calls.len() >= 100);
    let changes = reweigh(handbook(), record, &Limits::default());
    assert!(changes.len() >= 4);
    for change in changes {
        let id = &change.symptom.common.id;
        assert!((change.now.0 - change.after.expected_minutes).abs() < 1e-9, "{id}: the policy's own chances give its own minutes");
        assert!(change.now.1 > 0.95 && change.kept.1 > 0.95, "{id}");
        // What the press computes is the order after.
        let pressed = policy(&model(handbook(), change.symptom).expect("a model"), &Limits::default());
        assert_eq!(pressed, change.after, "{id}");
    }
    // Where all calls end on one fault, it becomes the likeliest, and its check saves minutes.
    let many = Record { calls: vec![call("igniter-stays-dark", "supply-voltage-low"); 300], strength: 20.0 };
    let change = &reweigh(handbook(), &many, &Limits::default())[0];
    assert!(change.after.expected_minutes < change.before.expected_minutes);
    let chances: Vec<f64> = change.shares.iter().map(Share::now).collect();
    let again = model_with(handbook(), change.symptom, &chances).expect("a model");
    assert!((again.suspects.iter().map(|suspect| suspect.chance).fold(0.0, f64::max) - 301.6 / 320.0).abs() < 1e-9);
}
