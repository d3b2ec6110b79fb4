//! Steps of a policy that ask for the same and lead to the same, whatever the odds with which a call comes by them.

use std::collections::{BTreeMap, BTreeSet};

use super::policy::{Node, Policy};
use crate::handbook::State;

/// What a node says without its odds.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Said {
    Itself(usize),
    /// Check, the state before it, guards to be done again, and for the outcomes of each branch the node that stands for its end.
    Ask(usize, State, Vec<usize>, Vec<(Vec<usize>, usize)>),
    /// The named suspect and the others that are possible.
    Found(usize, Vec<usize>),
    Open(Vec<usize>),
    Onward(Vec<usize>, Vec<usize>),
}

/// For each node the one that stands for all that say the same. Suspects of an end are compared in their order, the likeliest
/// first. Those of `apart` stand for themselves alone.
pub fn alike(policy: &Policy, apart: &BTreeSet<usize>) -> Vec<usize> {
    let mut finder = Finder { policy, apart, by: vec![None; policy.nodes.len()], said: BTreeMap::new() };
    (0..policy.nodes.len()).map(|node| finder.find(node)).collect()
}

struct Finder<'a> {
    policy: &'a Policy,
    apart: &'a BTreeSet<usize>,
    by: Vec<Option<usize>>,
    said: BTreeMap<Said, usize>,
}

impl Finder<'_> {
    /// No deeper than there are checks: a check is asked once on each way down, and guards are not nodes of their own.
    fn find(&mut self, node: usize) -> usize {
        if let Some(by) = self.by[node] {
            return by;
        }
        let names = |odds: &[super::policy::Odds]| odds.iter().map(|odds| odds.suspect).collect::<Vec<_>>();
        let policy = self.policy;
        let said = match &policy.nodes[node] {
            _ if self.apart.contains(&node) => Said::Itself(node),
            Node::Ask(ask) => {
                let mut ways: Vec<_> = ask.branches.iter().map(|branch| (branch.outcomes.clone(), self.find(branch.node))).collect();
                ways.sort();
                Said::Ask(ask.check, ask.from, ask.again.clone(), ways)
            }
            Node::Found { suspect, others, .. } => Said::Found(*suspect, names(others)),
            Node::Open { suspects } => Said::Open(names(suspects)),
            Node::Onward { checks, suspects, .. } => Said::Onward(checks.clone(), names(suspects)),
        };
        let by = *self.said.entry(said).or_insert(node);
        self.by[node] = Some(by);
        by
    }
}
