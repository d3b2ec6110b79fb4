//! A symptom's computed order of checks, drawn as numbered steps that lead to one another: it reads like a chart, stays as
//! narrow as a list, and works on paper. Steps that few calls come by follow after the others, shorter. What the order does not
//! write out is not drawn: a line that leads there says what is still possible and which checks to go through, of one list
//! that all such lines share.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::drawn_steps::DrawnSteps;
use super::hazard::{self, HazardLine};
use super::pen::{self, Link, Pen, StateView};
use crate::diagnosis::{Ask, Branch, Diagnosis, Node, Odds, Rest};
use crate::handbook::{Check, Entry, Measurement, Name, Outcome, Seen, State};

/// `diagnosis` in the template.
#[derive(Serialize)]
pub(super) struct DiagnosisView {
    minutes: String,
    written: Option<String>,
    /// Minutes saved against the written order, if at least half a minute.
    saved: Option<String>,
    exact: bool,
    gap: String,
    certainty: String,
    start: StateView,
    steps: Vec<StepView>,
    rare: Vec<RareView>,
    /// The checks that are named where no step is drawn.
    rest: Vec<RestView>,
    ends: Vec<EndView>,
}

#[derive(Serialize)]
struct StepView {
    number: usize,
    check: Link,
    state: StateView,
    minutes: String,
    /// The state before and the minutes to leave it, if the check needs another.
    change: Option<(StateView, String)>,
    /// What can hurt in this check, gravest first.
    hazards: Vec<HazardLine>,
    again: Vec<TimedLink>,
    guard: bool,
    /// Chance that the search ends here, if there is one.
    ends: Option<String>,
    bits: String,
    left: String,
    ways: Vec<WayView>,
}

/// A step that few calls come by.
#[derive(Serialize)]
struct RareView {
    number: usize,
    check: Link,
    state: StateView,
    /// What can hurt in this check, gravest first; without titles if a step before has named them.
    hazards: Vec<HazardLine>,
    again: Vec<TimedLink>,
    guard: bool,
    ways: Vec<WayView>,
}

#[derive(Serialize)]
struct TimedLink {
    link: Link,
    minutes: String,
}

/// What is found, and where that leads.
#[derive(Serialize)]
struct WayView {
    /// What is seen; empty if whatever is found leads the same way.
    seen: Vec<String>,
    /// Left out where the chances of what is named are left out, too.
    chance: Option<String>,
    step: Option<usize>,
    found: Option<FoundView>,
    open: Vec<OddsView>,
    /// What is still possible where no step is drawn, and the numbers of the checks to go through.
    left: Vec<OddsView>,
    rest: Vec<usize>,
}

/// A check of the list for lines that lead to no step.
#[derive(Serialize)]
struct RestView {
    number: usize,
    check: Link,
    state: StateView,
    minutes: String,
    hazards: Vec<HazardLine>,
    guard: bool,
}

#[derive(Serialize)]
struct FoundView {
    odds: OddsView,
    others: Vec<OddsView>,
}

#[derive(Serialize)]
struct OddsView {
    link: Link,
    chance: String,
}

/// A fault, what proves it and what mends it.
#[derive(Serialize)]
struct EndView {
    fault: Link,
    proof: Option<Link>,
    task: Option<Link>,
}

struct Drawing<'a> {
    diagnosis: &'a Diagnosis,
    pen: &'a Pen<'a>,
    /// The number of the step that is drawn for a node; rare ones that say the same have one.
    numbers: BTreeMap<usize, usize>,
    rest: Rest<'a>,
    /// The numbers of the checks that lines to no step name, in the shared list.
    rest_numbers: BTreeMap<usize, usize>,
}

/// `None` if there is nothing to check.
pub(super) fn view(diagnosis: &Diagnosis, pen: &Pen) -> Option<DiagnosisView> {
    let policy = &diagnosis.policy;
    let DrawnSteps { full, rare, stands } = DrawnSteps::of(policy);
    let drawn: BTreeMap<usize, usize> = full.iter().chain(&rare).enumerate().map(|(at, &place)| (place, at + 1)).collect();
    let numbers = (0..policy.nodes.len()).filter_map(|place| Some((place, *drawn.get(&stands[place])?))).collect();
    let rest = Rest::new(&diagnosis.model);
    let led_to = drawn.keys().flat_map(|&place| policy.nodes[place].branches()).map(|branch| branch.node);
    let named: BTreeSet<usize> =
        led_to.filter(|node| !drawn.contains_key(&stands[*node])).flat_map(|node| rest.from(policy, node)).collect();
    let listed = rest.order().iter().copied().filter(|check| named.contains(check));
    let rest_numbers = listed.enumerate().map(|(at, check)| (check, at + 1)).collect();
    let drawing = Drawing { diagnosis, pen, numbers, rest, rest_numbers };
    let steps: Vec<StepView> = full.iter().filter_map(|&place| drawing.step(place)).collect();
    if steps.is_empty() {
        return None;
    }
    Some(DiagnosisView {
        minutes: minutes(policy.expected_minutes),
        written: policy.written_minutes.map(minutes),
        saved: policy.saved_minutes().filter(|saved| *saved >= 0.5).map(minutes),
        exact: policy.exact,
        gap: minutes(policy.gap),
        certainty: pen::percent(diagnosis.certainty),
        start: pen::state(diagnosis.model.start),
        rare: drawing.rare(&full, &rare),
        rest: drawing.rest(),
        steps,
        ends: drawing.ends(),
    })
}

impl Drawing<'_> {
    fn ask(&self, place: usize) -> Option<&Ask> {
        match &self.diagnosis.policy.nodes[place] {
            Node::Ask(ask) => Some(ask),
            _ => None,
        }
    }

    fn step(&self, place: usize) -> Option<StepView> {
        let ask = self.ask(place)?;
        let model = &self.diagnosis.model.checks[ask.check];
        let check = self.check(&model.check)?;
        Some(StepView {
            number: *self.numbers.get(&place)?,
            check: self.pen.link(&model.check)?,
            state: pen::state(model.state),
            minutes: pen::figure(model.minutes),
            change: change(ask, model.state),
            hazards: hazard::lines(&check.safety, self.pen),
            again: ask.again.iter().filter_map(|&guard| self.timed(guard)).collect(),
            guard: model.guard,
            ends: (ask.ends > 0.0).then(|| pen::percent(ask.ends)),
            bits: format!("{:.2}", ask.bits),
            left: minutes(ask.left_minutes),
            ways: ask.branches.iter().map(|branch| self.way(check, ask, branch)).collect(),
        })
    }

    /// The steps that few calls come by, without chances, which differ from one way in to another; `before` are those drawn
    /// above them.
    fn rare(&self, before: &BTreeSet<usize>, places: &[usize]) -> Vec<RareView> {
        let mut named: BTreeSet<usize> = before.iter().filter_map(|&place| Some(self.ask(place)?.check)).collect();
        let mut one = |place: usize| {
            let ask = self.ask(place)?;
            let model = &self.diagnosis.model.checks[ask.check];
            let check = self.check(&model.check)?;
            let mut hazards = hazard::lines(&check.safety, self.pen);
            if !named.insert(ask.check) {
                hazards.iter_mut().for_each(|line| line.links.clear());
            }
            Some(RareView {
                number: *self.numbers.get(&place)?,
                check: self.pen.link(&model.check)?,
                state: pen::state(model.state),
                hazards,
                again: ask.again.iter().filter_map(|&guard| self.timed(guard)).collect(),
                guard: model.guard,
                ways: ask.branches.iter().map(|branch| WayView { chance: None, ..self.way(check, ask, branch) }).collect(),
            })
        };
        places.iter().filter_map(|&place| one(place)).collect()
    }

    fn way(&self, check: &Check, ask: &Ask, branch: &Branch) -> WayView {
        let outcomes = branch.outcomes.iter().filter_map(|&outcome| check.outcomes.get(outcome));
        let all = ask.branches.len() == 1;
        let mut way = WayView {
            seen: if all { Vec::new() } else { outcomes.filter_map(|outcome| self.seen(check, outcome)).collect() },
            chance: Some(pen::percent(branch.probability)),
            step: self.numbers.get(&branch.node).copied(),
            found: None,
            open: Vec::new(),
            left: Vec::new(),
            rest: Vec::new(),
        };
        match &self.diagnosis.policy.nodes[branch.node] {
            Node::Ask(_) if way.step.is_some() => {}
            Node::Ask(Ask { suspects, .. }) | Node::Onward { suspects, .. } => {
                way.left = self.all_odds(suspects);
                way.rest = self
                    .rest
                    .from(&self.diagnosis.policy, branch.node)
                    .iter()
                    .filter_map(|check| self.rest_numbers.get(check).copied())
                    .collect();
            }
            Node::Found { suspect, probability, others } => {
                let odds = self.odds(&Odds { suspect: *suspect, probability: *probability });
                way.found = odds.map(|odds| FoundView { odds, others: self.all_odds(others) });
            }
            Node::Open { suspects } => way.open = self.all_odds(suspects),
        }
        way
    }

    fn rest(&self) -> Vec<RestView> {
        let one = |check: usize| {
            let model = &self.diagnosis.model.checks[check];
            Some(RestView {
                number: *self.rest_numbers.get(&check)?,
                check: self.pen.link(&model.check)?,
                state: pen::state(model.state),
                minutes: pen::figure(model.minutes),
                hazards: hazard::lines(&self.check(&model.check)?.safety, self.pen),
                guard: model.guard,
            })
        };
        self.rest.order().iter().filter_map(|&check| one(check)).collect()
    }

    /// Each suspect with its proof and its mending, the likeliest first.
    fn ends(&self) -> Vec<EndView> {
        let mut suspects: Vec<_> = self.diagnosis.model.suspects.iter().collect();
        suspects.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        let end = |name: &Name| {
            let Some(Entry::Fault(fault)) = self.pen.handbook.entry(name) else { return None };
            let task = fault.mend.task.as_ref().and_then(|task| self.pen.link(task));
            Some(EndView { fault: self.pen.link(name)?, proof: self.pen.link(&fault.proved_by), task })
        };
        suspects.into_iter().filter_map(|suspect| end(&suspect.fault)).collect()
    }

    fn seen(&self, check: &Check, outcome: &Outcome) -> Option<String> {
        match &outcome.seen {
            Seen::Words(words) => Some(words.clone()),
            Seen::Band(id) => {
                let measurement = self.measurement(check)?;
                measurement.bands.iter().find(|band| band.id == *id).map(|band| band.label.clone())
            }
        }
    }

    fn check(&self, name: &Name) -> Option<&Check> {
        match self.pen.handbook.entry(name) {
            Some(Entry::Check(check)) => Some(check),
            _ => None,
        }
    }

    fn measurement(&self, check: &Check) -> Option<&Measurement> {
        match self.pen.handbook.entry(check.measures.as_ref()?) {
            Some(Entry::Measurement(measurement)) => Some(measurement),
            _ => None,
        }
    }

    fn timed(&self, guard: usize) -> Option<TimedLink> {
        let model = &self.diagnosis.model.checks[guard];
        Some(TimedLink { link: self.pen.link(&model.check)?, minutes: pen::figure(model.minutes) })
    }

    fn odds(&self, odds: &Odds) -> Option<OddsView> {
        let link = self.pen.link(&self.diagnosis.model.suspects[odds.suspect].fault)?;
        Some(OddsView { link, chance: pen::percent(odds.probability) })
    }

    fn all_odds(&self, odds: &[Odds]) -> Vec<OddsView> {
        odds.iter().filter_map(|odds| self.odds(odds)).collect()
    }
}

fn change(ask: &Ask, state: State) -> Option<(StateView, String)> {
    (ask.from != state).then(|| (pen::state(ask.from), pen::figure(ask.change_minutes)))
}

/// Minutes to be expected: whole ones from ten on, as more would claim too much.
fn minutes(value: f64) -> String {
    pen::figure(if value >= 10.0 { value.round() } else { (value * 10.0).round() / 10.0 })
}
