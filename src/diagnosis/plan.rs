//! From solved situations to a policy that can be read.

use rustc_hash::FxHashMap;

use super::board::{Board, places};
use super::policy::{Ask, Branch, Node, Odds, Policy};
use super::situation::{Action, Ending, Key, Situation, View};
use super::solve::Solver;

/// The policy of an exact search.
pub(super) fn exact(board: &Board, solver: &mut Solver, minutes: f64, written_minutes: Option<f64>) -> Policy {
    let mut plan = Plan::default();
    plan.add(board, &board.start(), &mut |at, view| solver.best(at, view));
    Policy { expected_minutes: minutes, exact: true, gap: 0.0, written_minutes, situations: solver.opened, nodes: plan.nodes }
}

/// Nodes as they are written down, each situation once.
#[derive(Default)]
pub(super) struct Plan {
    pub nodes: Vec<Node>,
    known: FxHashMap<Key, usize>,
}

impl Plan {
    /// Writes a situation and all that follows; gives its place and the minutes to be expected from it. What `best` has no
    /// answer for is left to the written order.
    pub fn add(&mut self, board: &Board, at: &Situation, best: &mut dyn FnMut(&Situation, &View) -> Option<usize>) -> (usize, f64) {
        let view = board.view(at.possible);
        let key = board.key(at, &view);
        if let Some(&place) = self.known.get(&key) {
            return (place, left_minutes(&self.nodes[place]));
        }
        let place = self.nodes.len();
        self.known.insert(key, place);
        self.nodes.push(Node::Open { suspects: odds(board, at) });
        if board.over(at, &view) {
            self.nodes[place] = end(board, at);
            return (place, 0.0);
        }
        let Some(check) = best(at, &view) else {
            let (node, minutes) = onward(board, at, &view);
            self.nodes[place] = node;
            return (place, minutes);
        };
        let action = board.action(at, check);
        let mut endings = board.endings(at, &view, &action);
        let mut ask = ask(board, at, &action, &endings);
        endings.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        for ending in endings {
            let outcomes = board.outcomes_of(at, &view, check, &ending);
            let (node, minutes) = self.add(board, &ending.then, best);
            ask.left_minutes += ending.probability * minutes;
            ask.branches.push(Branch { outcomes, probability: ending.probability, node });
        }
        let minutes = ask.left_minutes;
        self.nodes[place] = Node::Ask(ask);
        (place, minutes)
    }
}

/// Minutes to be expected from a node; what is not written out counts in full.
fn left_minutes(node: &Node) -> f64 {
    match node {
        Node::Ask(ask) => ask.left_minutes,
        Node::Onward { minutes, .. } => *minutes,
        Node::Found { .. } | Node::Open { .. } => 0.0,
    }
}

/// A check with its figures, still without branches.
fn ask(board: &Board, at: &Situation, action: &Action, endings: &[Ending]) -> Ask {
    let after: f64 = endings.iter().map(|ending| ending.probability * entropy(&ending.then)).sum();
    let ends = endings.iter().filter(|ending| board.over(&ending.then, &board.view(ending.then.possible)));
    Ask {
        check: action.check,
        from: at.state,
        change_minutes: action.change,
        again: places(action.again).collect(),
        minutes: action.minutes,
        bits: (entropy(at) - after).max(0.0),
        ends: ends.map(|ending| ending.probability).sum(),
        left_minutes: action.minutes,
        suspects: odds(board, at),
        branches: Vec::new(),
    }
}

fn end(board: &Board, at: &Situation) -> Node {
    let mut suspects = odds(board, at);
    let (leader, chance) = board.leader(at);
    if chance < board.certainty - 1e-12 {
        return Node::Open { suspects };
    }
    suspects.retain(|odds| odds.suspect != leader);
    Node::Found { suspect: leader, probability: chance, others: suspects }
}

/// The checks that are left, cheapest first within the rules, and the minutes of them all.
fn onward(board: &Board, at: &Situation, view: &View) -> (Node, f64) {
    let mut checks = Vec::new();
    let mut minutes = 0.0;
    let mut now = at.clone();
    // Only what was possible here is looked at, so each of these checks may still be needed.
    loop {
        let actions = board.actions(&now, view);
        let Some(action) = actions.into_iter().min_by(|a, b| a.minutes.total_cmp(&b.minutes)) else { break };
        minutes += action.minutes;
        checks.push(action.check);
        board.pass(&mut now, &action);
    }
    (Node::Onward { checks, minutes, suspects: odds(board, at) }, minutes)
}

/// What is possible, likeliest first.
fn odds(board: &Board, at: &Situation) -> Vec<Odds> {
    let mut odds: Vec<Odds> = places(at.possible).map(|suspect| Odds { suspect, probability: at.weights[suspect] / at.whole }).collect();
    odds.sort_by(|a, b| b.probability.total_cmp(&a.probability).then_with(|| board.fault(a.suspect).cmp(board.fault(b.suspect))));
    odds
}

/// Uncertainty about the fault, in bits (C. E. Shannon, 1948).
pub(super) fn entropy(at: &Situation) -> f64 {
    let one = |suspect: usize| {
        let chance = at.weights[suspect] / at.whole;
        if chance > 0.0 { -chance * chance.log2() } else { 0.0 }
    };
    places(at.possible).map(one).sum()
}
