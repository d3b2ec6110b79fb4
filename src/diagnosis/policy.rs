//! A policy: for every finding, what to do next.

use std::collections::BTreeMap;

use super::model::Model;
use crate::handbook::State;

/// What to do in every case that can come. Steps that are reached with the same knowledge are one node with several ways in.
#[derive(Debug, Clone, PartialEq)]
pub struct Policy {
    /// Minutes to be expected until a fault is named or no check parts what is left.
    pub expected_minutes: f64,
    /// Whether no safe order has fewer expected minutes.
    pub exact: bool,
    /// By how many minutes at most a better policy could undercut this one; 0 if exact.
    pub gap: f64,
    /// Expected minutes of the order as written; `None` if it has too many cases to be worked out.
    pub written_minutes: Option<f64>,
    /// Situations that the search opened.
    pub situations: usize,
    /// The first node is where the diagnosis begins; others stand in the order in which a reader meets them, likeliest first.
    pub nodes: Vec<Node>,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    Ask(Ask),
    /// Named with a chance of at least the certainty.
    Found {
        suspect: usize,
        probability: f64,
        others: Vec<Odds>,
    },
    /// No check of the symptom parts these, likeliest first.
    Open {
        suspects: Vec<Odds>,
    },
    /// Too many cases to write out: go through these checks in this order, each where it still parts what is left. The minutes
    /// are those of all of them.
    Onward {
        checks: Vec<usize>,
        minutes: f64,
        suspects: Vec<Odds>,
    },
}

/// A check to be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Place in the model's checks.
    pub check: usize,
    /// The state in which the appliance is before.
    pub from: State,
    pub change_minutes: f64,
    /// Guards to be done again once the appliance is in the check's state; places in the model's checks.
    pub again: Vec<usize>,
    /// Change of state, guards and check together.
    pub minutes: f64,
    /// Expected information in bits: how much less uncertain the fault is afterwards.
    pub bits: f64,
    /// Chance that the diagnosis is over after it.
    pub ends: f64,
    /// Minutes to be expected from here to the end, this check included.
    pub left_minutes: f64,
    /// Suspects that are still possible, likeliest first.
    pub suspects: Vec<Odds>,
    /// Likeliest first.
    pub branches: Vec<Branch>,
}

/// A suspect and its chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Odds {
    /// Place in the model's suspects.
    pub suspect: usize,
    pub probability: f64,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// Places in the check's outcomes; all of them leave the same odds. Outcomes of the check that no branch has cannot come
    /// under any suspect that is left.
    pub outcomes: Vec<usize>,
    pub probability: f64,
    /// Place in [`Policy::nodes`].
    pub node: usize,
}

impl Policy {
    /// Minutes saved against the written order.
    pub fn saved_minutes(&self) -> Option<f64> {
        self.written_minutes.map(|written| written - self.expected_minutes)
    }

    /// The node where the diagnosis begins.
    pub fn root(&self) -> &Node {
        &self.nodes[0]
    }

    /// What this policy comes to if the suspects have other chances than those it was made for: expected minutes, and the
    /// chance that the fault at its end is the right one or one of those left open. It ends where it did before.
    pub fn under(&self, model: &Model, chances: &[f64]) -> (f64, f64) {
        // A node's suspects have the same chances on every way in, but for a factor, so that each is worked out once.
        let mut known: BTreeMap<usize, (f64, f64)> = BTreeMap::new();
        self.from(0, model, chances, &mut known)
    }

    fn from(&self, node: usize, model: &Model, weights: &[f64], known: &mut BTreeMap<usize, (f64, f64)>) -> (f64, f64) {
        if let Some(found) = known.get(&node) {
            return *found;
        }
        let whole: f64 = weights.iter().sum();
        let found = match &self.nodes[node] {
            Node::Ask(ask) => {
                let (mut minutes, mut right) = (ask.minutes, 0.0);
                for branch in &ask.branches {
                    let chance = |suspect: usize| -> f64 {
                        branch.outcomes.iter().map(|&outcome| model.checks[ask.check].outcomes[outcome].likelihood[suspect]).sum()
                    };
                    let then: Vec<f64> = weights.iter().enumerate().map(|(suspect, weight)| weight * chance(suspect)).collect();
                    let reached = then.iter().sum::<f64>() / whole;
                    if reached > 0.0 {
                        let (after, named) = self.from(branch.node, model, &then, known);
                        minutes += reached * after;
                        right += reached * named;
                    }
                }
                (minutes, right)
            }
            Node::Onward { minutes, .. } => (*minutes, 1.0),
            Node::Open { .. } => (0.0, 1.0),
            Node::Found { suspect, .. } => (0.0, weights[*suspect] / whole),
        };
        known.insert(node, found);
        found
    }

    /// For each node the chance that the diagnosis comes by.
    pub fn reached(&self) -> Vec<f64> {
        let mut ways_in: BTreeMap<usize, usize> = BTreeMap::new();
        for branch in self.nodes.iter().flat_map(Node::branches) {
            *ways_in.entry(branch.node).or_default() += 1;
        }
        let mut reached = vec![0.0; self.nodes.len()];
        reached[0] = 1.0;
        let mut open = vec![0];
        while let Some(node) = open.pop() {
            for branch in self.nodes[node].branches() {
                reached[branch.node] += reached[node] * branch.probability;
                if let Some(left) = ways_in.get_mut(&branch.node) {
                    *left -= 1;
                    if *left == 0 {
                        open.push(branch.node);
                    }
                }
            }
        }
        reached
    }
}

impl Node {
    pub fn branches(&self) -> &[Branch] {
        match self {
            Node::Ask(ask) => &ask.branches,
            _ => &[],
        }
    }
}
