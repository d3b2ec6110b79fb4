//! Which steps of an order a page draws.

use std::collections::{BTreeMap, BTreeSet};

use crate::diagnosis::{Node, Policy, alike};

/// Steps with all that is to be said of them, at most: those that most calls come by. The others are rare.
const FULL_STEPS: usize = 18;

/// Steps that fewer of the calls come by are rare.
const RARE: f64 = 0.005;

/// Orders of so many steps are drawn whole.
const WHOLE_STEPS: usize = 60;

/// Of longer ones, steps that fewer of the calls come by are not drawn.
const SELDOM: f64 = 0.001;

/// Steps that a page draws at most, so that it loads at once on an old phone.
const MOST_STEPS: usize = 150;

/// Places in the policy's nodes.
pub(super) struct DrawnSteps {
    pub full: BTreeSet<usize>,
    /// Of rare steps that say the same, the one that stands for them.
    pub rare: Vec<usize>,
    /// For each node the one that stands for it.
    pub stands: Vec<usize>,
}

impl DrawnSteps {
    pub fn of(policy: &Policy) -> Self {
        let reached = policy.reached();
        let mut asked: Vec<usize> = (0..policy.nodes.len()).filter(|&place| matches!(policy.nodes[place], Node::Ask(_))).collect();
        asked.sort_by(|a, b| reached[*b].total_cmp(&reached[*a]).then(a.cmp(b)));
        let full: BTreeSet<usize> = asked.iter().copied().take(FULL_STEPS).filter(|&place| place == 0 || reached[place] >= RARE).collect();
        let stands = alike(policy, &full);

        let mut rare: BTreeMap<usize, f64> = BTreeMap::new();
        for &place in asked.iter().filter(|place| !full.contains(place)) {
            *rare.entry(stands[place]).or_default() += reached[place];
        }
        if full.len() + rare.len() > WHOLE_STEPS {
            rare.retain(|_, reached| *reached >= SELDOM);
        }
        let mut rare: Vec<(usize, f64)> = rare.into_iter().collect();
        rare.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        rare.truncate(MOST_STEPS - full.len());

        // A step may be met often enough by way of many that are not.
        let chosen: BTreeSet<usize> = full.iter().copied().chain(rare.into_iter().map(|(place, _)| place)).collect();
        let led_to = led_to(policy, &stands, &chosen);
        let (full, rare) = led_to.into_iter().partition(|place| full.contains(place));
        Self { full, rare: Vec::from_iter::<BTreeSet<usize>>(rare), stands }
    }
}

/// Those of the chosen steps to which the first leads by way of others of them.
fn led_to(policy: &Policy, stands: &[usize], chosen: &BTreeSet<usize>) -> BTreeSet<usize> {
    let mut met = BTreeSet::from([0]);
    let mut open = vec![0];
    while let Some(place) = open.pop() {
        let next = policy.nodes[place].branches().iter().map(|branch| stands[branch.node]);
        open.extend(next.filter(|step| chosen.contains(step)).filter(|&step| met.insert(step)));
    }
    met
}
