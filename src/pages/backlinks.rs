//! Who refers to whom: each entry's page names the entries that use it.

use std::collections::{BTreeMap, BTreeSet};

use crate::handbook::{Citation, Entry, Handbook, Name, Prose};

/// For each entry, the entries that refer to it, in the order of names.
pub(super) struct Backlinks(BTreeMap<Name, BTreeSet<Name>>);

impl Backlinks {
    /// `uses` are references that only other stages can see.
    pub fn of(handbook: &Handbook, uses: &[(Name, Name)]) -> Self {
        let mut found: BTreeMap<Name, BTreeSet<Name>> = BTreeMap::new();
        let mut add = |user: &Name, used: Name| {
            if *user != used {
                found.entry(used).or_default().insert(user.clone());
            }
        };
        for entry in handbook.entries() {
            let user = entry.name();
            references(entry).into_iter().for_each(|used| add(&user, used));
        }
        for (user, used) in uses {
            add(user, used.clone());
        }
        Self(found)
    }

    pub fn to(&self, name: &Name) -> impl Iterator<Item = &Name> + Clone {
        self.0.get(name).into_iter().flatten()
    }
}

/// Every citation of an entry, also those inside a calculator.
pub(super) fn citations(entry: Entry<'_>) -> Vec<&Citation> {
    let mut all: Vec<&Citation> = entry.common().sources.iter().collect();
    if let Entry::Calculator(calculator) = entry {
        all.extend(calculator.figures().map(|(_, citation)| citation));
        all.extend(calculator.examples.iter().map(|example| &example.source));
        all.extend(calculator.disagree.iter().map(|row| &row.source));
    }
    all
}

/// Every entry that an entry refers to, in fields and in prose; may repeat.
fn references(entry: Entry) -> Vec<Name> {
    let common = entry.common();
    let mut names: Vec<Name> = common.see.clone();
    names.extend(citations(entry).into_iter().map(|citation| citation.source.clone()));
    let mut prose: Vec<&Prose> = common.body.iter().collect();
    match entry {
        Entry::Symptom(symptom) => {
            names.extend(symptom.suspects.iter().map(|suspect| suspect.fault.clone()));
            names.extend_from_slice(&symptom.checks);
            names.extend_from_slice(&symptom.safety);
            prose.push(&symptom.seen);
        }
        Entry::Fault(fault) => {
            names.extend(fault.mend.task.clone());
            names.push(fault.proved_by.clone());
            prose.extend([&fault.cause, &fault.signs]);
            prose.extend(&fault.mend.remedy);
        }
        Entry::Check(check) => {
            names.extend_from_slice(&check.after);
            names.extend_from_slice(&check.safety);
            names.extend_from_slice(&check.closing);
            names.extend(check.measures.clone());
            prose.extend(&check.steps);
            for outcome in &check.outcomes {
                names.extend_from_slice(&outcome.keeps);
                names.extend_from_slice(&outcome.drops);
                names.extend(outcome.likely.iter().map(|(name, _)| name.clone()));
                names.extend(outcome.next.clone());
                prose.push(&outcome.means);
            }
        }
        Entry::Measurement(measurement) => {
            names.extend_from_slice(&measurement.safety);
            prose.extend([&measurement.place, &measurement.how, &measurement.meter]);
            prose.extend(measurement.bands.iter().map(|band| &band.means));
        }
        Entry::Safety(note) => {
            prose.extend([&note.hazard, &note.when]);
            prose.extend(&note.controls);
        }
        Entry::Task(task) => {
            names.extend_from_slice(&task.safety);
            names.extend_from_slice(&task.closing);
            for step in &task.steps {
                names.extend_from_slice(&step.used);
                prose.push(&step.action);
                prose.extend(&step.why);
            }
        }
        Entry::Table(table) => prose.extend(&table.notes),
        Entry::Calculator(calculator) => names.extend_from_slice(&calculator.next),
        Entry::Source(source) => prose.extend(&source.note),
        Entry::Course(course) => {
            for module in &course.modules {
                names.extend_from_slice(&module.lessons);
                prose.push(&module.goal);
            }
        }
        Entry::Term(_) => {}
    }
    names.extend(prose.into_iter().flat_map(|prose| prose.links.iter().cloned()));
    names
}
