//! Safety before action: what the handbook's safety rules ask of a check, a task or a symptom.

use std::collections::BTreeSet;

use super::build::{choice, item, ranked};
use super::item::{Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{lower, opening, quoted, sentence};
use crate::handbook::{Check, Common, Entry, Handbook, Kind, Name, SafetyNote, SafetyRule, Signal, State, Task, Touches};

/// Entries asked under one rule.
const ENTRIES: usize = 6;
/// A check that ends so many pieces of work is a general proof.
const MANY: usize = 2;

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let works: Vec<Work> =
        handbook.checks.iter().map(|check| Work::check(handbook, check)).chain(handbook.tasks.iter().map(Work::task)).collect();
    let mut items = rules(handbook, &works);
    items.extend(states(handbook));
    items.extend(before(handbook));
    items.extend(endings(handbook, &works));
    items.extend(handbook.safety.iter().filter_map(|note| signal(handbook, note)));
    items
}

/// What checks and tasks have in common.
struct Work<'a> {
    kind: Kind,
    common: &'a Common,
    /// The state at the start.
    state: State,
    /// Every state on the way.
    states: BTreeSet<State>,
    touches: &'a [Touches],
    safety: &'a [Name],
    /// Checks that come before or are part of the work.
    before: BTreeSet<Name>,
    closing: &'a [Name],
}

impl<'a> Work<'a> {
    fn check(handbook: &Handbook, check: &'a Check) -> Self {
        let before = before_it(handbook, check);
        // What comes before was done isolated, if the check itself is not.
        let states = if before.is_empty() { BTreeSet::from([check.state]) } else { BTreeSet::from([State::Isolated, check.state]) };
        let Check { common, state, touches, safety, closing, .. } = check;
        Self { kind: Kind::Check, common, state: *state, states, touches, safety, before, closing }
    }

    fn task(task: &'a Task) -> Self {
        let states = task.steps.iter().filter_map(|step| step.state).chain([task.state]).collect();
        let before = task.steps.iter().flat_map(|step| step.used.clone()).collect();
        let Task { common, state, touches, safety, closing, .. } = task;
        Self { kind: Kind::Task, common, state: *state, states, touches, safety, before, closing }
    }

    fn name(&self) -> Name {
        Name::new(self.kind, &self.common.id)
    }

    fn meets(&self, rule: &SafetyRule) -> bool {
        let touches = rule.touches.is_none_or(|touches| self.touches.contains(&touches));
        rule.applies_to.contains(&self.kind) && touches && (rule.states.is_empty() || rule.states.contains(&self.state))
    }

    /// Notes that it lists or that a rule asks of it.
    fn notes(&self, handbook: &Handbook) -> BTreeSet<Name> {
        let asked = handbook.book.safety_rules.iter().filter(|rule| self.meets(rule)).flat_map(|rule| &rule.needs_safety);
        asked.chain(self.safety).cloned().collect()
    }
}

/// Which note do the rules ask for? Wrong are notes about hazards that this work does not meet at any of its steps.
///
/// General notes (licence, bypass), and notes that the work lists of its own accord, are never wrong options: nobody should learn
/// that good advice is a mistake.
fn rules(handbook: &Handbook, works: &[Work]) -> Vec<Item> {
    let mut items = Vec::new();
    for rule in handbook.book.safety_rules.iter().filter(|rule| conditional(rule)) {
        let met: Vec<&Work> = works.iter().filter(|work| work.meets(rule)).collect();
        for work in Random::of(&rule.id).some(met, ENTRIES) {
            let id = format!("safety/note/{}/{}", rule.id, work.common.id);
            let mut random = Random::of(&id);
            let listed: Vec<Name> = work.notes(handbook).into_iter().collect();
            let mut others: Vec<Name> = foreign(handbook, work).into_iter().collect();
            random.shuffle(&mut others);
            let variants = rule.needs_safety.iter().filter_map(|note| {
                let title = handbook.title(note)?;
                let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, &listed)));
                let question = format!(
                    "{} ({}): which of these notes do the handbook's safety rules ask for?",
                    work.common.title,
                    circumstances(work)
                );
                let because = format!("{}. {}: {}", quoted(title), rule.title, sentence(&lower(&rule.why)));
                Some(choice(&mut random, question, option(note)?, others.iter().filter_map(option), because))
            });
            let variants: Vec<_> = variants.collect();
            items.extend(item(handbook, id, work.name(), variants));
        }
    }
    items
}

/// Whether a rule depends on what the work touches or on its state.
fn conditional(rule: &SafetyRule) -> bool {
    rule.touches.is_some() || !rule.states.is_empty()
}

/// Whether a hazard that the rule is about is near, whatever the kind of work and at any step of it. States count only for a rule
/// that names nothing touched: near line voltage both proving dead and care with live parts are good advice.
fn near(rule: &SafetyRule, work: &Work) -> bool {
    // With the gas on, everything about gas, flame and heat is near, whatever the work itself touches.
    let burning = work.states.iter().any(|state| *state >= State::GasOn);
    match rule.touches {
        Some(touches) => work.touches.contains(&touches) || (burning && touches != Touches::LineVoltage),
        None => rule.states.iter().any(|state| work.states.contains(state)),
    }
}

/// Notes that are all about hazards which the work does not meet.
fn foreign(handbook: &Handbook, work: &Work) -> BTreeSet<Name> {
    let rules = &handbook.book.safety_rules;
    let mut found: BTreeSet<Name> = rules.iter().flat_map(|rule| rule.needs_safety.clone()).collect();
    for rule in rules
        .iter()
        .filter(|rule| !conditional(rule) || near(rule, work) || rule.needs_before.iter().any(|check| work.before.contains(check)))
    {
        rule.needs_safety.iter().for_each(|note| {
            found.remove(note);
        });
    }
    let own = work.notes(handbook);
    found.retain(|note| !own.contains(note));
    found
}

/// "isolated; line voltage, combustion".
fn circumstances(work: &Work) -> String {
    let touches: Vec<String> = work.touches.iter().map(|touches| touches.words().to_lowercase()).collect();
    let near = if touches.is_empty() { "nothing dangerous is touched".to_owned() } else { format!("near: {}", touches.join(", ")) };
    format!("starts {}; {near}", work.state.name().replace('-', " "))
}

/// Up to which state? Asked of checks that take a reading, as the state is part of the reading. The furthest one is asked for, since
/// the others are passed through on the way to it, and a part of the readings may be taken there.
fn states(handbook: &Handbook) -> Vec<Item> {
    let ask = |check: &Check| {
        check.measures.as_ref()?;
        let id = format!("safety/state/{}", check.common.id);
        let place = |state: State| State::ALL.iter().position(|known| *known == state).unwrap_or_default();
        let options = State::ALL
            .iter()
            .map(|state| Choice::new(state.words(), Proof::Place { at: place(*state), right: place(check.state) }))
            .collect();
        let first = match check.after.first().and_then(|name| handbook.title(name)) {
            Some(title) if check.state != State::Isolated => format!(" The preparation is done dead: {} comes first.", quoted(title)),
            Some(title) => format!(" {} comes first.", quoted(title)),
            None => String::new(),
        };
        let question = format!("{}: how far is the appliance started, at the most, while its readings are taken?", check.common.title);
        let passed = if check.state > State::Powered { " The states before it are only passed through on the way." } else { "" };
        let because = format!("{}.{passed}{first}", check.state.words());
        item(handbook, id, Name::new(Kind::Check, &check.common.id), [ranked(question, options, because)])
    };
    handbook.checks.iter().filter_map(ask).collect()
}

/// Which of these may begin only after another check? Wrong are checks that need it neither directly nor through others.
fn before(handbook: &Handbook) -> Vec<Item> {
    let mut items = Vec::new();
    for first in &handbook.checks {
        let name = Name::new(Kind::Check, &first.common.id);
        let needing: Vec<Name> = handbook
            .checks
            .iter()
            .filter(|check| before_it(handbook, check).contains(&name))
            .map(|check| Name::new(Kind::Check, &check.common.id))
            .collect();
        let free: Vec<&Check> = handbook
            .checks
            .iter()
            .filter(|check| check.common.id != first.common.id && !before_it(handbook, check).contains(&name))
            .collect();
        let id = format!("safety/before/{}", name.id);
        let mut random = Random::of(&id);
        let mut variants = Vec::new();
        for needs in random.some(needing.clone(), 6) {
            let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, &needing)));
            let mut wrong: Vec<Choice> = free.iter().filter_map(|check| option(&Name::new(Kind::Check, &check.common.id))).collect();
            random.shuffle(&mut wrong);
            let question = format!("Which of these checks may begin only after {}?", quoted(&first.common.title));
            let Some(right) = option(&needs) else { continue };
            let because = format!(
                "{}: its entry puts {} before it. {}",
                quoted(&right.text),
                quoted(&first.common.title),
                sentence(&first.common.summary)
            );
            variants.push(choice(&mut random, question, right, wrong, because));
        }
        items.extend(item(handbook, id, name, variants));
    }
    items
}

/// Every check that comes before, directly or through others.
fn before_it(handbook: &Handbook, check: &Check) -> BTreeSet<Name> {
    let mut found = BTreeSet::new();
    let mut open: Vec<&Name> = check.after.iter().collect();
    while let Some(name) = open.pop() {
        if found.insert(name.clone())
            && let Some(Entry::Check(earlier)) = handbook.entry(name)
        {
            open.extend(&earlier.after);
        }
    }
    found
}

/// What must end the work? Wrong are checks that neither the work nor, under its circumstances, a rule has to do with.
fn endings(handbook: &Handbook, works: &[Work]) -> Vec<Item> {
    let ask = |work: &Work| {
        let id = format!("safety/ends/{}", work.common.id);
        let mut random = Random::of(&id);
        let asks = |check: &Name| handbook.book.safety_rules.iter().find(|rule| work.meets(rule) && rule.needs_closing.contains(check));
        let mut others: Vec<Name> = handbook
            .checks
            .iter()
            .map(|check| Name::new(Kind::Check, &check.common.id))
            .filter(|check| idle(handbook, works, work, check))
            .collect();
        random.shuffle(&mut others);
        let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, work.closing)));
        let variants: Vec<Option<Variant>> = work
            .closing
            .iter()
            .filter_map(|last| {
                let why = asks(last).map(|rule| format!(" {}: {}", rule.title, sentence(&lower(&rule.why)))).unwrap_or_default();
                let question = format!("{}: which of these must end the work?", work.common.title);
                let right = option(last)?;
                let because = format!("{}.{why}", right.text);
                Some(choice(&mut random, question, right, others.iter().filter_map(option), because))
            })
            .collect();
        // Checks end alike; one is asked only where a rule demands the ending.
        let demanded = work.kind == Kind::Task || work.closing.iter().any(|last| asks(last).is_some());
        if demanded { item(handbook, id, work.name(), variants) } else { None }
    };
    works.iter().filter_map(ask).collect()
}

/// Whether a check has no business at the end of the work. A check that ends much work, such as a proof of the whole, never hurts;
/// it counts as idle only if rules ask for it and none of their hazards is near.
fn idle(handbook: &Handbook, works: &[Work], work: &Work, check: &Name) -> bool {
    if *check == work.name() || work.closing.contains(check) || work.before.contains(check) || work.common.see.contains(check) {
        return false;
    }
    // The same reading under another name would prove as much.
    let reading = |name: &Name| match handbook.entry(name) {
        Some(Entry::Check(check)) => check.measures.clone(),
        _ => None,
    };
    if reading(check).is_some_and(|measured| work.closing.iter().any(|last| reading(last).as_ref() == Some(&measured))) {
        return false;
    }
    let ends = works.iter().filter(|other| other.closing.contains(check)).count();
    let mut asking = handbook.book.safety_rules.iter().filter(|rule| rule.needs_closing.contains(check)).peekable();
    let needed_first = handbook.book.safety_rules.iter().any(|rule| rule.needs_before.contains(check));
    match asking.peek() {
        Some(_) => asking.all(|rule| conditional(rule) && !near(rule, work)),
        None => ends < MANY && !needed_first,
    }
}

/// Which signal word?
fn signal(handbook: &Handbook, note: &SafetyNote) -> Option<Item> {
    const WORDS: [(Signal, &str); 4] = [
        (Signal::Danger, "it will kill or badly hurt someone if it is not avoided"),
        (Signal::Warning, "it could kill or badly hurt someone if it is not avoided"),
        (Signal::Caution, "it could hurt someone slightly or moderately if it is not avoided"),
        (Signal::Notice, "it is about damage or practice and not about injury"),
    ];
    let id = format!("safety/signal/{}", note.common.id);
    let options = WORDS.iter().map(|(signal, _)| Choice::new(signal.word(), Proof::listed(signal.word(), &[note.signal.word()]))).collect();
    let says = WORDS.iter().find(|(signal, _)| *signal == note.signal).map(|(_, says)| *says)?;
    let question = format!("{} Which signal word does this note carry?", sentence(&note.common.title));
    let hazard = handbook.plain(&note.hazard);
    let because = format!("{}: {says}. {}", note.signal.word(), sentence(opening(&hazard, 240)));
    item(handbook, id, Name::new(Kind::Safety, &note.common.id), [ranked(question, options, because)])
}
