//! Walks with a hidden fault, step by step as a technician would go: undisturbed along the policy, and with checks put off, odd
//! readings and failed proofs of safety on the way. Rules are looked at from the model, not through the walk's own eyes.

use bluecone::diagnosis::{Diagnosis, Event, Next, Walk};

use super::walk_agreement::{computed, written};
use super::*;

/// How a walk ended: minutes, and the suspects that were left, the named one first.
struct Ended {
    minutes: f64,
    left: Vec<usize>,
    named: bool,
}

/// What the rules ask for, kept beside the walk.
struct Watch<'a> {
    diagnosis: &'a Diagnosis,
    state: State,
    /// Checks that were done and, if they are guards, passed.
    done: Vec<usize>,
    /// The same since the appliance came into its state.
    since: Vec<usize>,
    /// Checks that were left without an answer.
    left: Vec<usize>,
    entered: Vec<State>,
    minutes: f64,
}

impl Watch<'_> {
    fn step(&mut self, check: usize, case: &str) {
        let model = &self.diagnosis.model;
        let this = &model.checks[check];
        self.minutes += model.minutes.between(self.state, this.state) + this.minutes;
        if this.state != self.state {
            self.since.clear();
            self.state = this.state;
            self.entered.push(this.state);
        }
        assert!(this.guard || !self.done.contains(&check), "{case}: {} is done twice", this.check);
        assert!(!self.left.contains(&check), "{case}: {} was put off and is asked all the same", this.check);
        assert!(!this.erased_by.iter().any(|state| self.entered.contains(state)), "{case}: {} reads what was erased", this.check);
        for earlier in &this.after {
            assert!(self.done.contains(earlier), "{case}: {} comes before {}", model.checks[*earlier].check, this.check);
        }
        let mut before = this.after.clone();
        let mut known = Vec::new();
        while let Some(earlier) = before.pop() {
            if !known.contains(&earlier) {
                known.push(earlier);
                before.extend(&model.checks[earlier].after);
            }
        }
        for guard in known.into_iter().filter(|&guard| model.checks[guard].guard && model.checks[guard].state == this.state) {
            assert!(self.since.contains(&guard), "{case}: {} does not hold for {}", model.checks[guard].check, this.check);
        }
        // A reading that this state erases was taken, or left.
        for (place, other) in model.checks.iter().enumerate().filter(|(_, other)| other.erased_by.contains(&self.state)) {
            let taken = self.done.contains(&place) || self.left.contains(&place);
            assert!(taken, "{case}: {} would have been read before {}", other.check, this.check);
        }
    }
}

fn go(walk: &Walk, diagnosis: &Diagnosis, hidden: usize, disturbed: u64, random: &mut Random, case: &str) -> Ended {
    let model = &diagnosis.model;
    let mut watch =
        Watch { diagnosis, state: model.start, done: vec![], since: vec![], left: vec![], entered: vec![model.start], minutes: 0.0 };
    let mut history: Vec<Event> = Vec::new();
    for _ in 0..200 {
        let look = walk.look(&history).unwrap_or_else(|wrong| panic!("{case}: {wrong:?} in {:?}", written(diagnosis, &history)));
        assert!((look.minutes - watch.minutes).abs() < 1e-9 && look.state == watch.state, "{case}");
        let case = format!("{case} after {:?}", written(diagnosis, &history));
        assert!(look.odds.iter().any(|odds| odds.suspect == hidden), "{case}: the hidden fault was struck out");
        let step = match look.next {
            Next::Do(step) => step,
            Next::Named { suspect, others, .. } => {
                let left = [suspect].into_iter().chain(others.iter().map(|odds| odds.suspect)).collect();
                return Ended { minutes: look.minutes, left, named: true };
            }
            Next::Open { suspects, if_done } => {
                assert!(if_done.iter().all(|check| watch.left.contains(check)), "{case}");
                return Ended { minutes: look.minutes, left: suspects.iter().map(|odds| odds.suspect).collect(), named: false };
            }
            Next::Contradiction { .. } => panic!("{case}: true answers contradict"),
        };
        let check = &model.checks[step.check];
        let chance = random.next() % 100;
        if chance < disturbed / 2 {
            watch.left.push(step.check);
            history.push(Event::Later(step.check));
            continue;
        }
        watch.step(step.check, &case);
        if chance < disturbed {
            watch.left.push(step.check);
            history.push(Event::Odd(step.check));
            continue;
        }
        let under: Vec<f64> = check.outcomes.iter().map(|outcome| outcome.likelihood[hidden]).collect();
        let fails = check.guard && chance < disturbed + disturbed / 2;
        let outcome = if check.guard { usize::from(fails) } else { random.place(&under) };
        history.push(Event::Found { check: step.check, outcome });
        if fails {
            watch.since.retain(|&other| other != step.check);
        } else {
            watch.done.push(step.check);
            watch.since.push(step.check);
        }
    }
    panic!("{case}: no end in sight");
}

#[test]
fn undisturbed_walks_take_the_minutes_that_were_computed() {
    let mut random = Random(8);
    for (name, diagnosis) in computed() {
        let walk = Walk::new(diagnosis);
        let chances: Vec<f64> = diagnosis.model.suspects.iter().map(|suspect| suspect.chance).collect();
        let ends: Vec<(usize, Ended)> = (0..400)
            .map(|_| {
                let hidden = random.place(&chances);
                (hidden, go(&walk, diagnosis, hidden, 0, &mut random, &name.id))
            })
            .collect();
        let count = ends.len() as f64;
        let mean = ends.iter().map(|(_, end)| end.minutes).sum::<f64>() / count;
        let variance = ends.iter().map(|(_, end)| (end.minutes - mean).powi(2)).sum::<f64>() / (count - 1.0);
        let expected = diagnosis.policy.expected_minutes;
        assert!((mean - expected).abs() < 4.5 * (variance / count).sqrt() + 1e-9, "{}: {mean} min, expected {expected}", name.id);
        let wrong = ends.iter().filter(|(hidden, end)| end.named && end.left[0] != *hidden).count() as f64 / count;
        let allowed = 1.0 - diagnosis.certainty;
        assert!(wrong < allowed + 4.5 * (allowed * diagnosis.certainty / count).sqrt(), "{}: {wrong} were named wrongly", name.id);
    }
}

#[test]
fn disturbed_walks_keep_the_rules_and_never_lose_the_fault() {
    let mut random = Random(9);
    let (mut n_named, mut n_open) = (0, 0);
    for (name, diagnosis) in computed() {
        let walk = Walk::new(diagnosis);
        let chances: Vec<f64> = diagnosis.model.suspects.iter().map(|suspect| suspect.chance).collect();
        for disturbed in [10, 30, 60] {
            for _ in 0..100 {
                let hidden = random.place(&chances);
                let end = go(&walk, diagnosis, hidden, disturbed, &mut random, &name.id);
                assert!(end.left.contains(&hidden), "{}", name.id);
                n_named += usize::from(end.named);
                n_open += usize::from(!end.named);
            }
        }
    }
    assert!(n_named > 500 && n_open > 500, "{n_named} named, {n_open} open: the walks are too alike");
}

/// Answers that no single fault gives: those that conflict are named, and each of them is needed. Taking the last back leads on, since
/// before it there was no conflict; taking another back leads on too, or to a second conflict that the last answer has with others.
#[test]
fn a_contradiction_names_answers_that_conflict_and_each_way_back_leads_on() {
    let mut random = Random(10);
    let mut n_met = 0;
    for (name, diagnosis) in computed() {
        let walk = Walk::new(diagnosis);
        for _ in 0..500 {
            let mut history: Vec<Event> = Vec::new();
            let events = loop {
                match walk.look(&history).expect("an allowed history").next {
                    Next::Do(step) => {
                        let check = &diagnosis.model.checks[step.check];
                        let outcome = if check.guard { 0 } else { random.below(check.outcomes.len()) };
                        history.push(Event::Found { check: step.check, outcome });
                    }
                    Next::Contradiction { events } => break events,
                    _ => break Vec::new(),
                }
            };
            if events.is_empty() {
                continue;
            }
            n_met += 1;
            let case = format!("{}: {events:?} of {:?}", name.id, written(diagnosis, &history));
            assert!(events.contains(&(history.len() - 1)), "{case}: the answer that brought it is not among them");
            let of = |place: usize| match history[place] {
                Event::Found { check, outcome } => &diagnosis.model.checks[check].outcomes[outcome].likelihood,
                _ => panic!("{case}"),
            };
            let left = |without: Option<usize>| {
                let kept = events.iter().copied().filter(|place| Some(*place) != without);
                let mut weights: Vec<f64> = diagnosis.model.suspects.iter().map(|suspect| suspect.chance).collect();
                kept.for_each(|place| weights.iter_mut().zip(of(place)).for_each(|(weight, chance)| *weight *= chance));
                weights.iter().any(|weight| *weight > 0.0)
            };
            assert!(!left(None), "{case}: together they leave something");
            for &place in &events {
                assert!(left(Some(place)), "{case}: one of them is not needed");
                let Event::Found { check, .. } = history[place] else { panic!("{case}") };
                let mut back = history.clone();
                back.push(Event::Again(check));
                let look = walk.look(&back).unwrap_or_else(|wrong| panic!("{case}: {wrong:?}"));
                if let Next::Contradiction { events: second } = look.next {
                    let last = history.len() - 1;
                    assert!(
                        place != last && second.contains(&last) && !second.contains(&place),
                        "{case}: taking back {place} does not help"
                    );
                }
            }
        }
    }
    assert!(n_met > 300, "only {n_met} contradictions");
}
