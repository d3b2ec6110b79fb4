//! The exact search against a second, plain one that tries every order of checks after every finding, useless checks included.

use bluecone::diagnosis::{CheckModel, Limits, Minutes, Model, Node, policy};
use bluecone::handbook::State;

use super::*;

/// Where the plain search stands. Nothing is remembered and nothing is cut off.
#[derive(Clone)]
struct Plain {
    weights: Vec<f64>,
    done: Vec<bool>,
    holding: Vec<bool>,
    state: State,
    /// Checks that are never done: what they read cannot be read in time, or they wait for one of those.
    never: Vec<bool>,
}

fn start(model: &Model) -> Plain {
    let n_checks = model.checks.len();
    let weights = model.suspects.iter().map(|suspect| suspect.chance).collect();
    Plain { weights, done: vec![false; n_checks], holding: vec![false; n_checks], state: model.start, never: never(model) }
}

/// Whether to bring the appliance into a state erases what a check reads.
fn erases(model: &Model, state: State, check: usize) -> bool {
    model.checks[check].erased_by.contains(&state)
}

/// Tries every order of checks that erases nothing which is still to be read, and keeps the readings of the one that reads most.
fn never(model: &Model) -> Vec<bool> {
    let n_checks = model.checks.len();
    let found_lost = |check: usize| erases(model, model.start, check) || erases(model, model.checks[check].state, check);
    let readings: Vec<usize> = (0..n_checks).filter(|&check| !model.checks[check].erased_by.is_empty()).collect();
    let mut most: Vec<usize> = Vec::new();
    let mut open: Vec<Vec<usize>> = vec![Vec::new()];
    while let Some(done) = open.pop() {
        let read: Vec<usize> = readings.iter().copied().filter(|check| done.contains(check)).collect();
        if read.len() > most.len() {
            most = read;
        }
        for check in (0..n_checks).filter(|check| !done.contains(check) && !found_lost(*check)) {
            let this = &model.checks[check];
            let erased = readings.iter().any(|&other| !found_lost(other) && !done.contains(&other) && erases(model, this.state, other));
            if !erased && this.after.iter().all(|earlier| done.contains(earlier)) {
                open.push([done.as_slice(), &[check]].concat());
            }
        }
    }
    let given_up = |check: usize| readings.contains(&check) && !most.contains(&check);
    (0..n_checks).map(|check| given_up(check) || before(model, check).into_iter().any(given_up)).collect()
}

/// All that must come before a check.
fn before(model: &Model, check: usize) -> Vec<usize> {
    let mut found: Vec<usize> = Vec::new();
    let mut open = model.checks[check].after.clone();
    while let Some(next) = open.pop() {
        if !found.contains(&next) {
            found.push(next);
            open.extend(&model.checks[next].after);
        }
    }
    found
}

fn over(model: &Model, certainty: f64, at: &Plain) -> bool {
    let whole: f64 = at.weights.iter().sum();
    if at.weights.iter().any(|weight| weight / whole >= certainty - 1e-12) {
        return true;
    }
    let alive: Vec<usize> = (0..at.weights.len()).filter(|&suspect| at.weights[suspect] > 0.0).collect();
    !model.checks.iter().zip(at.done.iter().zip(&at.never)).any(|(check, (done, never))| {
        let parts =
            |outcome: &OutcomeModel| alive.iter().any(|&one| (outcome.likelihood[one] - outcome.likelihood[alive[0]]).abs() > 1e-12);
        !done && !never && check.outcomes.iter().any(parts)
    })
}

/// Minutes of doing a check now and going on as well as can be; `None` if it may not be done yet.
fn with(model: &Model, certainty: f64, at: &Plain, check: usize) -> Option<f64> {
    let this = &model.checks[check];
    if at.done[check] || at.never[check] || this.after.iter().any(|&earlier| !at.done[earlier]) {
        return None;
    }
    // Nothing that is still to be read may be erased, whether it tells anything or not.
    let waits = |reading: usize| !at.done[reading] && !at.never[reading] && erases(model, this.state, reading);
    if this.state != at.state && (0..model.checks.len()).any(waits) {
        return None;
    }
    let mut then = at.clone();
    let mut minutes = model.minutes.between(at.state, this.state) + this.minutes;
    if then.state != this.state {
        then.holding.fill(false);
        then.state = this.state;
    }
    for guard in before(model, check) {
        if model.checks[guard].guard && model.checks[guard].state == this.state && !then.holding[guard] {
            minutes += model.checks[guard].minutes;
            then.holding[guard] = true;
        }
    }
    then.done[check] = true;
    then.holding[check] = this.guard;
    let whole: f64 = at.weights.iter().sum();
    for outcome in &this.outcomes {
        then.weights = at.weights.iter().zip(&outcome.likelihood).map(|(weight, chance)| weight * chance).collect();
        let chance = then.weights.iter().sum::<f64>() / whole;
        if chance > 0.0 {
            minutes += chance * least(model, certainty, &then);
        }
    }
    Some(minutes)
}

fn least(model: &Model, certainty: f64, at: &Plain) -> f64 {
    if over(model, certainty, at) {
        return 0.0;
    }
    (0..model.checks.len()).filter_map(|check| with(model, certainty, at, check)).fold(f64::INFINITY, f64::min)
}

fn random_check(random: &mut Random, place: usize, n_suspects: usize) -> CheckModel {
    let n_outcomes = 2 + random.below(2);
    let mut rows = vec![vec![0.0; n_suspects]; n_outcomes];
    // A guard is of use only if others come after it, so that it had better come early.
    let guard = random.below(if place < 2 { 3 } else { 12 }) == 0;
    for suspect in 0..n_suspects {
        if guard {
            rows.iter_mut().for_each(|row| row[suspect] = 1.0 / n_outcomes as f64);
        } else if random.below(10) < 7 {
            rows[random.below(n_outcomes)][suspect] = 1.0;
        } else {
            let parts: Vec<f64> = (0..n_outcomes).map(|_| [0.0, 0.05, 0.3, 0.9][random.below(4)] + 0.01).collect();
            let whole: f64 = parts.iter().sum();
            rows.iter_mut().zip(&parts).for_each(|(row, part)| row[suspect] = part / whole);
        }
    }
    // Few different minutes, so that there are ties to break.
    let mut check = check(&format!("check-{place}"), [1.0, 2.0, 2.0, 5.0, 7.5][random.below(5)], &rows);
    check.guard = guard;
    check.state = State::ALL[random.below(2)];
    if random.below(4) == 0 {
        check.erased_by = State::ALL.into_iter().filter(|_| random.below(3) == 0).collect();
    }
    check.after = (0..place).filter(|_| random.below(3) == 0).collect();
    check
}

pub(super) fn random_model(random: &mut Random) -> Model {
    let n_suspects = 2 + random.below(3);
    let n_checks = if random.below(12) == 0 { 5 } else { 1 + random.below(4) };
    let chances: Vec<f64> = (0..n_suspects).map(|_| 1.0 + random.below(9) as f64).collect();
    let checks = (0..n_checks).map(|place| random_check(random, place, n_suspects)).collect();
    let mut changes = Vec::new();
    for from in State::ALL {
        for to in State::ALL {
            changes.push((from, to, random.below(6) as f64));
        }
    }
    let minutes = Minutes::from_changes(changes, 0.0);
    Model::new(suspects(&chances), checks, minutes, State::ALL[random.below(3)], (0..n_checks).collect()).expect("a sound model")
}

#[test]
fn no_policy_of_small_models_is_cheaper() {
    let mut random = Random(20);
    let (mut asked, mut ties, mut again, mut in_time, mut too_late, mut costs) = (0, 0, 0, 0, 0, 0);
    for case in 0..3000 {
        let model = random_model(&mut random);
        let limits = Limits { certainty: [1.0, 0.95, 0.8, 0.6][case % 4], ..Limits::default() };
        let found = policy(&model, &limits);
        let begin = start(&model);
        let expected = least(&model, limits.certainty, &begin);
        assert!(found.exact, "case {case}: not exact");
        assert!(
            (found.expected_minutes - expected).abs() < 1e-9,
            "case {case}: {} minutes, expected {expected}\n{model:#?}",
            found.expected_minutes
        );
        in_time += usize::from((0..model.checks.len()).any(|check| !model.checks[check].erased_by.is_empty() && !begin.never[check]));
        too_late += usize::from(begin.never.contains(&true));
        let mut free = model.clone();
        free.checks.iter_mut().for_each(|check| check.erased_by.clear());
        costs += usize::from(policy(&free, &limits).expected_minutes < expected - 1e-9);
        if let Some(written) = found.written_minutes {
            assert!(written > expected - 1e-9, "case {case}: the written order takes {written} minutes, less than the least {expected}");
        }
        let Node::Ask(ask) = found.root() else { continue };
        asked += 1;
        again += usize::from(found.nodes.iter().any(|node| matches!(node, Node::Ask(ask) if !ask.again.is_empty())));
        let equals: Vec<usize> = (0..model.checks.len())
            .filter(|&check| with(&model, limits.certainty, &begin, check).is_some_and(|minutes| minutes < expected + 1e-10))
            .collect();
        ties += usize::from(equals.len() > 1);
        let key =
            |&check: &usize| (model.checks[check].state, (model.checks[check].minutes * 10.0) as u64, model.checks[check].check.id.clone());
        let preferred = equals.into_iter().min_by_key(key);
        assert_eq!(Some(ask.check), preferred, "case {case}: a tie is not broken by safer state, cheaper, id");
    }
    println!("{in_time} with readings in time, {too_late} with some too late, {costs} where that costs minutes");
    assert!(in_time > 300 && too_late > 100 && costs > 50, "{in_time} in time, {too_late} too late, {costs} where that costs minutes");
    assert!(asked > 1500 && ties > 50 && again > 20, "the cases are too plain: {asked} asked, {ties} ties, {again} with guards done again");
}

#[test]
fn the_nodes_cost_what_the_policy_says() {
    let mut random = Random(7);
    for case in 0..500 {
        let model = random_model(&mut random);
        let found = policy(&model, &Limits::default());
        let minutes: f64 = found
            .nodes
            .iter()
            .zip(found.reached())
            .map(|(node, reached)| match node {
                Node::Ask(ask) => reached * ask.minutes,
                _ => 0.0,
            })
            .sum();
        assert!(
            (minutes - found.expected_minutes).abs() < 1e-9,
            "case {case}: the nodes take {minutes}, the policy says {}",
            found.expected_minutes
        );
        for node in &found.nodes {
            if let Node::Ask(ask) = node {
                let whole: f64 = ask.branches.iter().map(|branch| branch.probability).sum();
                assert!((whole - 1.0).abs() < 1e-9, "case {case}: the branches add up to {whole}");
            }
        }
    }
}
