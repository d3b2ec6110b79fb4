//! Published rules and worked figures.

use bluecone::diagnosis::{Model, Node, Policy, policy};

use super::*;

/// The chance that the fault is none of those looked for, as a share of them all. Without it the last check would be spared,
/// since its fault would be known; the rule counts it, as its repair has to be done.
const NONE_OF_THEM: f64 = 1e-9;

/// Each action finds one fault, for sure; nothing else costs anything.
fn actions(chances: &[f64], minutes: &[f64]) -> Model {
    let n_suspects = chances.len() + 1;
    let checks = minutes.iter().enumerate().map(|(place, minutes)| looks_for(&format!("action-{place}"), *minutes, &[place], n_suspects));
    let chances: Vec<f64> = chances.iter().copied().chain([NONE_OF_THEM]).collect();
    flat(&chances, checks.collect())
}

/// The checks in the order in which they come as long as nothing is found.
fn order(policy: &Policy) -> Vec<usize> {
    let mut order = Vec::new();
    let mut node = policy.root();
    while let Node::Ask(ask) = node {
        order.push(ask.check);
        let Some(not_found) = ask.branches.iter().find(|branch| branch.outcomes.contains(&1)) else { break };
        node = &policy.nodes[not_found.node];
    }
    order
}

/// Expected cost of repair of an order: each action is paid with the chance that none before it found the fault.
fn cost_of_repair(order: &[usize], chances: &[f64], minutes: &[f64]) -> f64 {
    let mut left: f64 = chances.iter().sum();
    let mut sum = 0.0;
    for &action in order {
        sum += left * minutes[action];
        left -= chances[action];
    }
    sum
}

fn orders(n_actions: usize) -> Vec<Vec<usize>> {
    if n_actions == 0 {
        return vec![Vec::new()];
    }
    let shorter = orders(n_actions - 1);
    let put_in = |order: &Vec<usize>, place: usize| {
        let mut order = order.clone();
        order.insert(place, n_actions - 1);
        order
    };
    shorter.iter().flat_map(|order| (0..n_actions).map(move |place| put_in(order, place))).collect()
}

/// J. B. Kadane and H. A. Simon, "Optimal strategies for a class of constrained sequential problems", Annals of Statistics 5
/// (1977); D. Heckerman, J. S. Breese and K. Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM 38(3),
/// 1995: with independent costs and one fault, the order of falling chance over cost has the least expected cost of repair.
#[test]
fn five_actions_come_in_the_order_of_chance_over_cost() {
    let chances = [0.35, 0.30, 0.15, 0.12, 0.08];
    let minutes = [8.0, 5.0, 1.0, 6.0, 3.0];
    let found = policy(&actions(&chances, &minutes), &certain());
    assert!(found.exact);
    assert_eq!(order(&found), [2, 1, 0, 4, 3]);
    assert!((found.expected_minutes - 10.97).abs() < 1e-6, "{}", found.expected_minutes);

    let costs: Vec<f64> = orders(5).iter().map(|order| cost_of_repair(order, &chances, &minutes)).collect();
    assert_eq!(costs.len(), 120);
    assert!((costs.iter().copied().fold(f64::INFINITY, f64::min) - 10.97).abs() < 1e-9);
    assert!((costs.iter().copied().fold(0.0, f64::max) - 17.44).abs() < 1e-9);
    assert!((cost_of_repair(&[0, 1, 2, 3, 4], &chances, &minutes) - 13.04).abs() < 1e-9, "by chance alone");
    // As written is by chance alone here.
    let written = found.written_minutes.expect("small enough");
    assert!((written - 13.04).abs() < 1e-6, "{written}");
    assert!((found.saved_minutes().expect("both are known") - 2.07).abs() < 1e-6);
}

/// The same sources: of equal ratios either may come first.
#[test]
fn equal_ratios_cost_the_same_and_the_cheaper_comes_first() {
    let (chances, minutes) = ([0.6, 0.4], [3.0, 2.0]);
    assert!((cost_of_repair(&[0, 1], &chances, &minutes) - 3.8).abs() < 1e-9);
    assert!((cost_of_repair(&[1, 0], &chances, &minutes) - 3.8).abs() < 1e-9);
    let found = policy(&actions(&chances, &minutes), &certain());
    assert!((found.expected_minutes - 3.8).abs() < 1e-6, "{}", found.expected_minutes);
    // The ratios are not quite equal once the rest has its billionth; with none the second is spared, so nothing to compare.
    assert_eq!(order(&found).len(), 2);
}

#[test]
fn random_actions_come_in_the_order_of_chance_over_cost() {
    let mut random = Random(1995);
    for case in 0..300 {
        let n_actions = 2 + random.below(7);
        let weights: Vec<f64> = (0..n_actions).map(|_| 0.05 + random.unit()).collect();
        let whole: f64 = weights.iter().sum();
        let chances: Vec<f64> = weights.iter().map(|weight| weight / whole).collect();
        let minutes: Vec<f64> = (0..n_actions).map(|_| 1.0 + 20.0 * random.unit()).collect();
        let mut by_rule: Vec<usize> = (0..n_actions).collect();
        by_rule.sort_by(|&a, &b| (chances[b] / minutes[b]).total_cmp(&(chances[a] / minutes[a])));
        let found = policy(&actions(&chances, &minutes), &certain());
        let expected = cost_of_repair(&by_rule, &chances, &minutes);
        assert_eq!(order(&found), by_rule, "case {case}: {chances:?} {minutes:?}");
        assert!((found.expected_minutes - expected).abs() < 1e-5, "case {case}: {} and {expected}", found.expected_minutes);
    }
}

/// Bayes' rule with a chance of 0.3 before, 0.9 of a hit and 0.1 of a false alarm: 0.27 / 0.34 and 0.03 / 0.66.
#[test]
fn one_unsure_check_leaves_the_odds_of_bayes() {
    let model = flat(&[0.3, 0.7], vec![check("test", 1.0, &[vec![0.9, 0.1], vec![0.1, 0.9]])]);
    let found = policy(&model, &certain());
    let Node::Ask(ask) = found.root() else { panic!("the check parts them") };
    for (outcome, chance, after) in [(0, 0.34, 0.794_117_647_058_823_5), (1, 0.66, 0.045_454_545_454_545_456)] {
        let branch = ask.branches.iter().find(|branch| branch.outcomes == [outcome]).expect("a branch");
        assert!((branch.probability - chance).abs() < 1e-12);
        let Node::Open { suspects } = &found.nodes[branch.node] else { panic!("no further check parts them") };
        let odds = suspects.iter().find(|odds| odds.suspect == 0).expect("still possible");
        assert!((odds.probability - after).abs() < 1e-12, "{}", odds.probability);
    }
}

/// Certainty 0.79 is reached by the hit, 0.80 is not.
#[test]
fn a_fault_is_named_at_the_stated_certainty() {
    let model = flat(&[0.3, 0.7], vec![check("test", 1.0, &[vec![0.9, 0.1], vec![0.1, 0.9]])]);
    let named = |certainty: f64| {
        let found = policy(&model, &Limits { certainty, ..Limits::default() });
        found.nodes.iter().any(|node| matches!(node, Node::Found { suspect: 0, .. }))
    };
    assert!(named(0.79) && !named(0.80));
}

/// Half-splitting: log2 of the number of stages that are equally likely.
#[test]
fn eight_equal_stages_take_three_halvings() {
    let splits = (1..8).map(|end| looks_for(&format!("split-{end}"), 1.0, &(0..end).collect::<Vec<_>>(), 8));
    let found = policy(&flat(&[1.0; 8], splits.collect()), &certain());
    assert!((found.expected_minutes - 3.0).abs() < 1e-9, "{}", found.expected_minutes);
    let Node::Ask(ask) = found.root() else { panic!("there is something to ask") };
    assert_eq!(ask.check, 3, "the first split halves them");
    assert!((ask.bits - 1.0).abs() < 1e-9);
}

/// C. E. Shannon, 1948: causes of 1/2, 1/4, 1/8 and 1/8 hold 1.75 bits; questions that may ask for any set of them need just
/// as many on average (D. A. Huffman, 1952).
#[test]
fn any_question_allowed_the_minutes_are_the_bits() {
    let sets = (1..15usize)
        .map(|set| looks_for(&format!("set-{set:02}"), 1.0, &(0..4).filter(|suspect| set >> suspect & 1 == 1).collect::<Vec<_>>(), 4));
    let found = policy(&flat(&[0.5, 0.25, 0.125, 0.125], sets.collect()), &certain());
    assert!((found.expected_minutes - 1.75).abs() < 1e-9, "{}", found.expected_minutes);
}
