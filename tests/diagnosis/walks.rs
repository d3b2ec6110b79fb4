//! Walks through every symptom of the demo with a hidden fault drawn by its weight.

use bluecone::diagnosis::{Model, Node, Policy, model, policy};
use bluecone::handbook::{Entry, Symptom};

use super::*;

const WALKS: usize = 2000;

/// Policies take a while without optimisation, so that the tests share them.
fn solved() -> &'static [(&'static Symptom, Model, Policy)] {
    static SOLVED: OnceLock<Vec<(&'static Symptom, Model, Policy)>> = OnceLock::new();
    SOLVED.get_or_init(|| {
        let one = |symptom: &'static Symptom| {
            let model = model(handbook(), symptom).expect("a model");
            let policy = policy(&model, &Limits::default());
            (symptom, model, policy)
        };
        handbook().symptoms.iter().map(one).collect()
    })
}

#[test]
fn every_symptom_is_solved_exactly_and_no_worse_than_written() {
    assert!(solved().len() >= 10);
    for (symptom, _, policy) in solved() {
        let id = &symptom.common.id;
        let written = policy.written_minutes.expect("few enough cases");
        println!(
            "{id}: {:.1} min, written {written:.1}, {} situations, {} nodes",
            policy.expected_minutes,
            policy.situations,
            policy.nodes.len()
        );
        assert!(policy.exact && policy.gap == 0.0, "{id}");
        assert!(
            policy.expected_minutes > 0.0 && policy.expected_minutes <= written + 1e-9,
            "{id}: {} and {written}",
            policy.expected_minutes
        );
        let Node::Ask(root) = policy.root() else { panic!("{id}: nothing to ask") };
        assert_eq!(root.suspects.len(), symptom.suspects.len(), "{id}");
    }
}

/// One walk: minutes, and whether the hidden fault was named. Looks at every step whether it may be done.
fn walk(model: &Model, policy: &Policy, random: &mut Random) -> (f64, bool) {
    let chances: Vec<f64> = model.suspects.iter().map(|suspect| suspect.chance).collect();
    let hidden = random.place(&chances);
    let mut state = model.start;
    let mut visited = vec![state];
    let mut done: Vec<usize> = Vec::new();
    // Since when the appliance is in its state: guards count from there.
    let mut since: Vec<usize> = Vec::new();
    let mut weights = chances;
    let mut minutes = 0.0;
    let mut node = policy.root();
    while let Node::Ask(ask) = node {
        let check = &model.checks[ask.check];
        assert_eq!(ask.from, state, "the step begins in another state");
        assert_eq!(ask.change_minutes, model.minutes.between(state, check.state));
        for (place, other) in model.checks.iter().enumerate() {
            let erased = other.erased_by.contains(&check.state) && !done.contains(&place);
            assert!(!erased, "{} erases what {} reads", check.check, other.check);
            assert!(place != ask.check || !visited.iter().any(|state| other.erased_by.contains(state)), "{} comes too late", other.check);
        }
        visited.push(check.state);
        if check.state != state {
            since.clear();
            state = check.state;
        }
        for &guard in &ask.again {
            assert!(model.checks[guard].guard && model.checks[guard].state == state && done.contains(&guard));
            since.push(guard);
            minutes += model.checks[guard].minutes;
        }
        assert!(!done.contains(&ask.check), "a check is done twice");
        for &earlier in &check.after {
            assert!(done.contains(&earlier), "{} comes before {}", check.check, model.checks[earlier].check);
            let guards = model.checks[earlier].guard && model.checks[earlier].state == check.state;
            assert!(!guards || since.contains(&earlier), "{} no longer holds for {}", model.checks[earlier].check, check.check);
        }
        let whole: f64 = weights.iter().sum();
        for odds in &ask.suspects {
            assert!((odds.probability - weights[odds.suspect] / whole).abs() < 1e-9, "the odds are not those of what was found");
        }
        minutes += ask.change_minutes + check.minutes;
        done.push(ask.check);
        since.push(ask.check);
        let under: Vec<f64> = check.outcomes.iter().map(|outcome| outcome.likelihood[hidden]).collect();
        let outcome = random.place(&under);
        weights.iter_mut().zip(&check.outcomes[outcome].likelihood).for_each(|(weight, chance)| *weight *= chance);
        let branch = ask.branches.iter().find(|branch| branch.outcomes.contains(&outcome)).expect("a branch for what can be found");
        node = &policy.nodes[branch.node];
    }
    match node {
        Node::Found { suspect, others, .. } => {
            let named = *suspect == hidden;
            assert!(named || others.iter().any(|odds| odds.suspect == hidden), "the hidden fault was struck out");
            (minutes, named)
        }
        Node::Open { suspects } => {
            assert!(suspects.iter().any(|odds| odds.suspect == hidden), "the hidden fault was struck out");
            (minutes, true)
        }
        Node::Ask(_) | Node::Onward { .. } => panic!("an exact policy goes to the end"),
    }
}

/// To isolate the appliance may erase the code, so that it is read first, whatever else would be quicker.
#[test]
fn the_code_is_read_before_the_power_is_switched_off() {
    let mut n_listed = 0;
    for (symptom, model, policy) in solved() {
        if !symptom.checks.iter().any(|check| check.id == "lockout-history") {
            continue;
        }
        n_listed += 1;
        let mut open = vec![0];
        while let Some(node) = open.pop() {
            let Node::Ask(ask) = &policy.nodes[node] else { continue };
            let check = &model.checks[ask.check];
            if check.check.id != "lockout-history" {
                assert_eq!(check.state, State::Powered, "{}: {} comes before the code is read", symptom.common.id, check.check);
                open.extend(ask.branches.iter().map(|branch| branch.node));
            }
        }
    }
    assert!(n_listed > 5);
}

#[test]
fn walks_are_safe_end_on_the_fault_and_take_the_expected_minutes() {
    let mut random = Random(4);
    for (symptom, model, policy) in solved() {
        let id = &symptom.common.id;
        let walks: Vec<(f64, bool)> = (0..WALKS).map(|_| walk(model, policy, &mut random)).collect();
        let n_walks = WALKS as f64;
        let mean = walks.iter().map(|(minutes, _)| minutes).sum::<f64>() / n_walks;
        let variance = walks.iter().map(|(minutes, _)| (minutes - mean).powi(2)).sum::<f64>() / (n_walks - 1.0);
        let error = (variance / n_walks).sqrt();
        assert!(
            (mean - policy.expected_minutes).abs() < 4.5 * error + 1e-9,
            "{id}: {mean} ± {error}, expected {}",
            policy.expected_minutes
        );

        let missed: f64 = policy
            .nodes
            .iter()
            .zip(policy.reached())
            .map(|(node, reached)| match node {
                Node::Found { probability, .. } => reached * (1.0 - probability),
                _ => 0.0,
            })
            .sum();
        let found = walks.iter().filter(|(_, named)| !named).count() as f64 / n_walks;
        let error = (missed * (1.0 - missed) / n_walks).sqrt();
        assert!((found - missed).abs() < 4.5 * error + 1e-9, "{id}: another fault was named in {found}, expected {missed}");
        assert!(missed <= 1.0 - bluecone::diagnosis::CERTAINTY + 1e-9, "{id}: {missed}");
    }
}

/// What the entries keep and drop holds on every way through a policy, read from the entries and not from the model.
#[test]
fn no_named_fault_was_ruled_out_by_an_entry() {
    let handbook = handbook();
    for (symptom, model, policy) in solved() {
        let mut ways: Vec<(usize, BTreeMap<usize, usize>)> = vec![(0, BTreeMap::new())];
        let mut n_ends = 0;
        while let Some((node, seen)) = ways.pop() {
            let named: Vec<usize> = match &policy.nodes[node] {
                Node::Found { suspect, .. } => vec![*suspect],
                Node::Open { suspects } => suspects.iter().map(|odds| odds.suspect).collect(),
                Node::Onward { .. } => panic!("an exact policy goes to the end"),
                Node::Ask(ask) => {
                    // One way for each branch is enough; all ways into a node leave the same odds.
                    for branch in &ask.branches {
                        let mut seen = seen.clone();
                        seen.insert(ask.check, branch.outcomes[0]);
                        ways.push((branch.node, seen));
                    }
                    continue;
                }
            };
            n_ends += 1;
            for suspect in named {
                let fault = &model.suspects[suspect].fault;
                for (&check, &outcome) in &seen {
                    let Some(Entry::Check(check)) = handbook.entry(&model.checks[check].check) else {
                        panic!("the check is of the handbook")
                    };
                    let outcome = &check.outcomes[outcome];
                    assert!(!outcome.drops.contains(fault), "{}: {} dropped {fault}", symptom.common.id, check.common.id);
                    assert!(
                        outcome.keeps.is_empty() || outcome.keeps.contains(fault),
                        "{}: {} does not keep {fault}",
                        symptom.common.id,
                        check.common.id
                    );
                }
            }
        }
        assert!(n_ends >= symptom.suspects.len(), "{}: only {n_ends} ends", symptom.common.id);
    }
}
