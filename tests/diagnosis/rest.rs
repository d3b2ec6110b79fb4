//! The checks to go through where a policy is not written out: nothing is missing, and every rule is kept.

use std::collections::BTreeSet;

use bluecone::diagnosis::{Node, Rest, diagnoses, policy};

use super::*;

/// From every node of a policy on: a walk down the policy needs no check that the list leaves out.
fn holds_all(model: &Model, found: &bluecone::diagnosis::Policy) {
    let rest = Rest::new(model);
    let place = |check: usize| rest.order().iter().position(|&other| other == check);
    for (node, this) in found.nodes.iter().enumerate() {
        let listed = rest.from(found, node);
        let set: BTreeSet<usize> = listed.iter().copied().collect();
        assert!(listed.is_sorted_by_key(|&check| place(check)), "in the order of the whole list");
        match this {
            Node::Ask(ask) => {
                assert!(set.contains(&ask.check) && ask.again.iter().all(|guard| set.contains(guard)), "node {node}");
                for branch in &ask.branches {
                    assert!(rest.from(found, branch.node).iter().all(|check| set.contains(check)), "node {node}");
                }
            }
            Node::Onward { checks, .. } => assert!(checks.iter().all(|check| set.contains(check)), "node {node}"),
            Node::Found { .. } | Node::Open { .. } => assert!(listed.is_empty(), "node {node}"),
        }
    }
    for (at, &check) in rest.order().iter().enumerate() {
        let model_check = &model.checks[check];
        assert!(model_check.after.iter().all(|&first| place(first).is_some_and(|earlier| earlier < at)), "{}", model_check.check);
        let erased = rest.order()[..at].iter().find(|&&earlier| model_check.erased_by.contains(&model.checks[earlier].state));
        assert_eq!(erased, None, "what {} reads has been erased", model_check.check);
    }
}

#[test]
fn from_every_step_of_the_demo_nothing_is_missing_and_every_rule_is_kept() {
    let mut steps = 0;
    for diagnosis in diagnoses(handbook(), &Limits::default()).values() {
        holds_all(&diagnosis.model, &diagnosis.policy);
        steps += diagnosis.policy.nodes.len();
    }
    assert!(steps > 100, "{steps}");
}

/// A guard stands with what it guards although it has been done: the appliance may have been live since.
#[test]
fn a_guard_stands_with_what_it_guards_and_a_fleeting_reading_first() {
    let mut guard = check("guard", 5.0, &[vec![0.5; 4], vec![0.5; 4]]);
    (guard.guard, guard.state) = (true, State::Isolated);
    let mut dead = looks_for("dead", 2.0, &[0], 4);
    (dead.state, dead.after) = (State::Isolated, vec![0]);
    let live = looks_for("live", 3.0, &[1], 4);
    let mut code = looks_for("code", 9.0, &[2], 4);
    code.erased_by = vec![State::Isolated];
    let model = flat(&[5.0, 3.0, 1.0, 2.0], vec![guard, dead, live, code]);
    let rest = Rest::new(&model);
    let place = |check: usize| rest.order().iter().position(|&other| other == check).expect("it can be done");
    assert!(place(3) < place(0) && place(0) < place(1), "{:?}", rest.order());
    let found = policy(&model, &Limits { certainty: 1.0, ..Limits::default() });
    holds_all(&model, &found);
    let dead_later = found.nodes.iter().position(|node| matches!(node, Node::Ask(ask) if ask.check == 1)).expect("it is asked");
    assert_eq!(rest.from(&found, dead_later)[..2], [0, 1], "the guard is named although it was done");
}

/// Where the bounded search stops writing steps down, the list goes on.
#[test]
fn what_a_bounded_search_leaves_is_listed() {
    let checks = (0..9).map(|place| looks_for(&format!("check-{place}"), 1.0 + place as f64, &[place, (place * 4 + 1) % 9], 9)).collect();
    let model = flat(&[9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0], checks);
    let found = policy(&model, &Limits { situations: 2, steps: 2, certainty: 1.0 });
    let onward = found.nodes.iter().filter(|node| matches!(node, Node::Onward { .. })).count();
    assert!(!found.exact && onward > 0, "{onward}");
    holds_all(&model, &found);
}
