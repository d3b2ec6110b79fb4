//! Steps that stand for one another say the same all the way down, and those that do not, do not.

use std::collections::{BTreeMap, BTreeSet};

use bluecone::diagnosis::{Node, Policy, alike, diagnoses};

use super::*;

/// A node and all below it in words, without odds.
fn whole(policy: &Policy, node: usize, apart: &BTreeSet<usize>) -> String {
    if apart.contains(&node) {
        return format!("#{node}");
    }
    let suspects = |odds: &[bluecone::diagnosis::Odds]| odds.iter().map(|odds| odds.suspect.to_string()).collect::<Vec<_>>().join(",");
    match &policy.nodes[node] {
        Node::Ask(ask) => {
            let mut ways: Vec<String> =
                ask.branches.iter().map(|way| format!("{:?}→{}", way.outcomes, whole(policy, way.node, apart))).collect();
            ways.sort();
            format!("{} {:?} {:?} ({})", ask.check, ask.from, ask.again, ways.join(" "))
        }
        Node::Found { suspect, others, .. } => format!("found {suspect} {}", suspects(others)),
        Node::Open { suspects: left } => format!("open {}", suspects(left)),
        Node::Onward { checks, suspects: left, .. } => format!("onward {checks:?} {}", suspects(left)),
    }
}

#[test]
fn nodes_stand_for_those_that_say_the_same_and_no_others() {
    let (mut merged, mut all) = (0, 0);
    let few = Limits { situations: 20, steps: 6, ..Limits::default() };
    for diagnosis in diagnoses(handbook(), &Limits::default()).values().chain(diagnoses(handbook(), &few).values()) {
        let policy = &diagnosis.policy;
        for apart in [BTreeSet::new(), (0..policy.nodes.len().min(8)).collect()] {
            let stands = alike(policy, &apart);
            let mut by_words: BTreeMap<String, usize> = BTreeMap::new();
            for (node, &by) in stands.iter().enumerate() {
                assert_eq!(*by_words.entry(whole(policy, node, &apart)).or_insert(by), by, "node {node}");
                assert_eq!(stands[by], by, "what stands for others stands for itself");
            }
            assert_eq!(by_words.len(), stands.iter().collect::<BTreeSet<_>>().len(), "nodes that say different things");
            assert!(apart.iter().all(|&node| stands[node] == node));
            all += stands.len();
            merged += stands.len() - by_words.len();
        }
    }
    assert!(merged > 100 && merged < all, "{merged} of {all}");
}
