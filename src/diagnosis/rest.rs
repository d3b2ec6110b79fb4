//! What is left to be done where a policy is not written out: a list that is short, keeps the rules, and ends.

use std::collections::BTreeSet;

use super::board::{Board, bit, places};
use super::model::Model;
use super::policy::{Node, Policy};

/// The checks of a model in one order that keeps what must come before what, and from a node of its policy on those that may
/// still be needed. Who does these in this order knows at the end at least what the policy would have told. A guard stands
/// with every check that it holds for; it is to be done again whenever the appliance has left its state since.
pub struct Rest<'a> {
    board: Board<'a>,
    order: Vec<usize>,
}

impl<'a> Rest<'a> {
    pub fn new(model: &'a Model) -> Self {
        let board = Board::new(model, 1.0);
        let wished: Vec<usize> = model.written.iter().copied().chain(0..model.checks.len()).collect();
        let (mut order, mut done) = (Vec::new(), 0);
        let ready = |check: &usize, done: u64| board.doable & !done & bit(*check) != 0 && board.after[*check] & !done == 0;
        while let Some(&next) = wished.iter().find(|check| ready(check, done)) {
            order.push(next);
            done |= bit(next);
        }
        Self { board, order }
    }

    /// Every check that can be done; places in the model's checks.
    pub fn order(&self) -> &[usize] {
        &self.order
    }

    /// Those of them that may still be needed from a node on.
    pub fn from(&self, policy: &Policy, node: usize) -> Vec<usize> {
        let (mut met, mut open) = (BTreeSet::from([node]), vec![node]);
        let mut needed = 0;
        while let Some(place) = open.pop() {
            match &policy.nodes[place] {
                Node::Ask(ask) => needed |= bit(ask.check),
                Node::Onward { checks, .. } => needed |= checks.iter().fold(0, |set, &check| set | bit(check)),
                Node::Found { .. } | Node::Open { .. } => {}
            }
            open.extend(policy.nodes[place].branches().iter().map(|branch| branch.node).filter(|&next| met.insert(next)));
        }
        let needed = places(needed).fold(needed, |set, check| set | self.board.holds[check]);
        self.order.iter().copied().filter(|&check| needed & bit(check) != 0).collect()
    }
}
