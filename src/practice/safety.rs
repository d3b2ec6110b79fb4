//! Safety before action: what the handbook's safety rules ask of a check, a task or a symptom.

use std::collections::BTreeSet;

use super::build::{choice, item, ranked};
use super::item::{Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{lower, opening, plain, quoted, sentence};
use crate::handbook::{Check, Common, Handbook, Kind, Name, SafetyNote, SafetyRule, Signal, State, Task, Touches};

/// Entries asked under one rule.
const ENTRIES: usize = 4;

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let works: Vec<Work> = handbook.checks.iter().map(Work::check).chain(handbook.tasks.iter().map(Work::task)).collect();
    let mut items = rules(handbook, &works);
    items.extend(states(handbook));
    items.extend(before(handbook));
    items.extend(endings(handbook, &works));
    items.extend(symptoms(handbook));
    items.extend(handbook.safety.iter().filter_map(|note| signal(handbook, note)));
    items
}

/// What checks and tasks have in common.
struct Work<'a> {
    kind: Kind,
    common: &'a Common,
    state: State,
    touches: &'a [Touches],
    safety: &'a [Name],
    closing: &'a [Name],
}

impl<'a> Work<'a> {
    fn check(check: &'a Check) -> Self {
        Self { kind: Kind::Check, common: &check.common, state: check.state, touches: &check.touches, safety: &check.safety, closing: &check.closing }
    }

    fn task(task: &'a Task) -> Self {
        Self { kind: Kind::Task, common: &task.common, state: task.state, touches: &task.touches, safety: &task.safety, closing: &task.closing }
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

/// Which note does the rule ask for? Wrong are notes that other rules ask for, under conditions that this work does not meet.
fn rules(handbook: &Handbook, works: &[Work]) -> Vec<Item> {
    let mut items = Vec::new();
    for rule in &handbook.book.safety_rules {
        let met: Vec<&Work> = works.iter().filter(|work| work.meets(rule)).collect();
        for work in Random::of(&rule.id).some(met, ENTRIES) {
            let id = format!("safety/note/{}/{}", rule.id, work.common.id);
            let mut random = Random::of(&id);
            let listed: Vec<Name> = work.notes(handbook).into_iter().collect();
            let mut others: Vec<Name> = handbook.book.safety_rules.iter().flat_map(|rule| rule.needs_safety.clone()).collect::<BTreeSet<_>>().into_iter().collect();
            random.shuffle(&mut others);
            // Rules may ask for few notes in all: then any other note that has no business with this work.
            let mut rest: Vec<Name> = handbook.safety.iter().map(|note| Name::new(Kind::Safety, &note.common.id)).collect();
            random.shuffle(&mut rest);
            others.extend(rest);
            let variants = rule.needs_safety.iter().filter_map(|note| {
                let title = handbook.title(note)?;
                let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, &listed)));
                let question = format!("{} ({}): which of these safety notes must you have read first?", work.common.title, circumstances(work));
                let because = format!("{}. {}: {}", quoted(title), rule.title, sentence(&lower(&rule.why)));
                Some(choice(&mut random, question, option(note)?, others.iter().filter_map(option).collect(), because))
            });
            let variants: Vec<_> = variants.collect();
            items.extend(item(handbook, id, work.name(), variants));
        }
    }
    items
}

/// "isolated; line voltage, combustion".
fn circumstances(work: &Work) -> String {
    let touches: Vec<String> = work.touches.iter().map(|touches| touches.words().to_lowercase()).collect();
    let near = if touches.is_empty() { "nothing dangerous is touched".to_owned() } else { format!("near: {}", touches.join(", ")) };
    format!("starts {}; {near}", work.state.name().replace('-', " "))
}

/// In which state? Asked of checks that take a reading, as the state is part of the reading.
fn states(handbook: &Handbook) -> Vec<Item> {
    let ask = |check: &Check| {
        check.measures.as_ref()?;
        let id = format!("safety/state/{}", check.common.id);
        let place = |state: State| State::ALL.iter().position(|known| *known == state).unwrap_or_default();
        let options = State::ALL.iter().map(|state| Choice::new(state.words(), Proof::Place { at: place(*state), right: place(check.state) })).collect();
        let first = match check.after.first().and_then(|name| handbook.title(name)) {
            Some(title) if check.state != State::Isolated => format!(" The preparation is done dead: {} comes first.", quoted(title)),
            Some(title) => format!(" {} comes first.", quoted(title)),
            None => String::new(),
        };
        let question = format!("{}: in which state is the appliance when the reading is taken?", check.common.title);
        let because = format!("{}.{first}", check.state.words());
        item(handbook, id, Name::new(Kind::Check, &check.common.id), [ranked(question, options, because)])
    };
    handbook.checks.iter().filter_map(ask).collect()
}

/// Which of these may begin only after another check? Wrong are checks that need it neither directly nor through others.
fn before(handbook: &Handbook) -> Vec<Item> {
    let mut items = Vec::new();
    for first in &handbook.checks {
        let name = Name::new(Kind::Check, &first.common.id);
        let needing: Vec<Name> = handbook.checks.iter().filter(|check| before_it(handbook, check).contains(&name)).map(|check| Name::new(Kind::Check, &check.common.id)).collect();
        let free: Vec<&Check> = handbook.checks.iter().filter(|check| check.common.id != first.common.id && !before_it(handbook, check).contains(&name)).collect();
        let id = format!("safety/before/{}", name.id);
        let mut random = Random::of(&id);
        let mut variants = Vec::new();
        for needs in random.some(needing.clone(), 6) {
            let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, &needing)));
            let mut wrong: Vec<Choice> = free.iter().filter_map(|check| option(&Name::new(Kind::Check, &check.common.id))).collect();
            random.shuffle(&mut wrong);
            let question = format!("Which of these checks may begin only after {}?", quoted(&first.common.title));
            let Some(right) = option(&needs) else { continue };
            let because = format!("{}: its entry puts {} before it. {}", quoted(&right.text), quoted(&first.common.title), sentence(&first.common.summary));
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
            && let Some(crate::handbook::Entry::Check(earlier)) = handbook.entry(name)
        {
            open.extend(&earlier.after);
        }
    }
    found
}

/// What must end the work? Wrong are checks that end other work and not this.
fn endings(handbook: &Handbook, works: &[Work]) -> Vec<Item> {
    let closing: Vec<Name> = works.iter().flat_map(|work| work.closing.to_vec()).collect::<BTreeSet<_>>().into_iter().collect();
    let ask = |work: &Work| {
        let id = format!("safety/ends/{}", work.common.id);
        let mut random = Random::of(&id);
        let asks = |check: &Name| handbook.book.safety_rules.iter().find(|rule| work.meets(rule) && rule.needs_closing.contains(check));
        let variants: Vec<Option<Variant>> = work.closing.iter().filter_map(|last| {
            let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, work.closing)));
            let mut wrong: Vec<Choice> = closing.iter().filter(|name| **name != work.name()).filter_map(option).collect();
            random.shuffle(&mut wrong);
            let mut more: Vec<Choice> = handbook.checks.iter().filter(|check| !work.common.see.iter().any(|seen| seen.id == check.common.id))
                .filter_map(|check| option(&Name::new(Kind::Check, &check.common.id))).collect();
            random.shuffle(&mut more);
            wrong.extend(more);
            let why = asks(last).map(|rule| format!(" {}: {}", rule.title, sentence(&lower(&rule.why)))).unwrap_or_default();
            let question = format!("{}: which of these must end the work?", work.common.title);
            let right = option(last)?;
            let because = format!("{}.{why}", right.text);
            Some(choice(&mut random, question, right, wrong, because))
        }).collect();
        // Checks end alike; a check is asked only where a rule demands the ending.
        let demanded = work.kind == Kind::Task || work.closing.iter().any(|last| asks(last).is_some());
        if demanded { item(handbook, id, work.name(), variants) } else { None }
    };
    works.iter().filter_map(ask).collect()
}

/// Which note stands on top of a symptom? Wrong are notes that neither it nor any of its checks shows.
fn symptoms(handbook: &Handbook) -> Vec<Item> {
    let ask = |symptom: &crate::handbook::Symptom| {
        let id = format!("safety/symptom/{}", symptom.common.id);
        let mut random = Random::of(&id);
        let checks = handbook.checks.iter().filter(|check| symptom.checks.iter().any(|name| name.id == check.common.id));
        let shown: Vec<Name> = checks.flat_map(|check| check.safety.clone()).chain(symptom.safety.clone()).chain(symptom.common.see.clone()).collect();
        let first = symptom.safety.first()?;
        let option = |name: &Name| Some(Choice::new(handbook.title(name)?, Proof::listed(name, &shown)));
        let mut wrong: Vec<Choice> = handbook.safety.iter().filter_map(|note| option(&Name::new(Kind::Safety, &note.common.id))).collect();
        random.shuffle(&mut wrong);
        let question = format!("You are called to this: {}. Which of these safety notes comes before the first check?", quoted(&symptom.common.title));
        let right = option(first)?;
        let summary = match handbook.entry(first) {
            Some(entry) => sentence(&entry.common().summary),
            None => String::new(),
        };
        let because = format!("{}. {summary}", quoted(&right.text));
        item(handbook, id, Name::new(Kind::Symptom, &symptom.common.id), [choice(&mut random, question, right, wrong, because)])
    };
    handbook.symptoms.iter().filter_map(ask).collect()
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
    let hazard = plain(handbook, &note.hazard);
    let because = format!("{}: {says}. {}", note.signal.word(), sentence(opening(&hazard, 240)));
    item(handbook, id, Name::new(Kind::Safety, &note.common.id), [ranked(question, options, because)])
}
