//! From a handbook to what can be found in it.

use super::Document;
use crate::handbook::{Cell, Entry, Handbook, Kind, Name, Prose, Seen};

/// Every entry and guide page as plain text; `address` gives a name's page.
pub fn documents(handbook: &Handbook, address: &dyn Fn(&Name) -> String) -> Vec<Document> {
    let mut documents: Vec<Document> = handbook.entries().map(|entry| document(entry, handbook, address)).collect();
    for page in &handbook.guide {
        let name = Name::new(Kind::Guide, page.id.clone());
        documents.push(Document {
            id: page.id.clone(),
            address: address(&name),
            kind: Kind::Guide.word().to_owned(),
            title: page.title.clone(),
            text: plain(&page.text),
            background: true,
            ..Document::default()
        });
    }
    documents
}

/// Groups of words that mean the same: each term with its other names.
pub fn synonyms(handbook: &Handbook) -> Vec<Vec<String>> {
    let group =
        |common: &crate::handbook::Common| std::iter::once(common.title.clone()).chain(common.also.iter().cloned()).collect::<Vec<_>>();
    handbook.terms.iter().map(|term| group(&term.common)).filter(|group| group.len() > 1).collect()
}

fn document(entry: Entry, handbook: &Handbook, address: &dyn Fn(&Name) -> String) -> Document {
    let common = entry.common();
    let name = entry.name();
    let mut text = Text::default();
    let mut figures = Vec::new();
    text.maybe(&common.body);
    match entry {
        Entry::Symptom(symptom) => {
            text.prose(&symptom.seen);
            symptom.suspects.iter().for_each(|suspect| text.title(&suspect.fault, handbook));
        }
        Entry::Fault(fault) => {
            text.words(&fault.part);
            text.prose(&fault.cause);
            text.prose(&fault.signs);
            text.maybe(&fault.mend.remedy);
        }
        Entry::Check(check) => {
            check.steps.iter().for_each(|step| text.prose(step));
            for outcome in &check.outcomes {
                if let Seen::Words(words) = &outcome.seen {
                    text.words(words);
                }
                text.prose(&outcome.means);
            }
            check.tools.iter().for_each(|tool| text.words(tool));
        }
        Entry::Measurement(measurement) => {
            text.words(&measurement.quantity);
            text.prose(&measurement.place);
            text.prose(&measurement.how);
            text.prose(&measurement.meter);
            for band in &measurement.bands {
                text.words(&band.label);
                text.prose(&band.means);
                figures.push(format!("{} {}", band.from, measurement.unit.shown()));
                figures.push(format!("{} {}", band.to, measurement.unit.shown()));
            }
        }
        Entry::Safety(note) => {
            text.words(note.signal.word());
            text.prose(&note.hazard);
            note.controls.iter().for_each(|control| text.prose(control));
            text.prose(&note.when);
        }
        Entry::Task(task) => {
            for step in &task.steps {
                text.prose(&step.action);
                text.maybe(&step.why);
            }
            task.tools.iter().chain(&task.parts).chain(&task.record).for_each(|words| text.words(words));
        }
        Entry::Table(table) => {
            text.maybe(&table.notes);
            table.columns.iter().for_each(|column| text.words(&column.title));
            for row in &table.rows {
                for (cell, column) in row.iter().zip(&table.columns) {
                    match (cell, &column.unit) {
                        (Cell::Number { written, .. }, Some(unit)) => figures.push(format!("{written} {}", unit.shown())),
                        (Cell::Number { written, .. }, None) => figures.push(written.clone()),
                        (Cell::Text(words), _) => text.words(words),
                        (Cell::Empty, _) => {}
                    }
                }
            }
        }
        Entry::Calculator(calculator) => {
            calculator.program.inputs.iter().for_each(|input| text.words(&input.title));
            calculator.program.lists.iter().for_each(|list| {
                text.words(&list.title);
                list.titles().for_each(|title| text.words(title));
            });
            calculator.program.steps.iter().filter(|step| step.solves.is_none()).for_each(|step| text.words(&step.title));
            calculator.verdicts.iter().flatten().for_each(|band| text.prose(&band.says));
        }
        Entry::Term(_) => {}
        Entry::Source(source) => {
            source.publisher.iter().chain(&source.edition).for_each(|words| text.words(words));
            text.maybe(&source.note);
        }
        Entry::Course(course) => {
            for module in &course.modules {
                text.words(&module.title);
                text.prose(&module.goal);
                module.sign_off.iter().for_each(|words| text.words(words));
            }
        }
    }
    figures.sort();
    figures.dedup();
    Document {
        id: common.id.clone(),
        address: address(&name),
        kind: name.kind.word().to_owned(),
        title: common.title.clone(),
        also: common.also.clone(),
        summary: common.summary.clone(),
        figures,
        text: text.0,
        background: name.kind == Kind::Source,
    }
}

/// Plain text as it is gathered.
#[derive(Default)]
struct Text(String);

impl Text {
    fn words(&mut self, words: &str) {
        if !self.0.is_empty() {
            self.0.push('\n');
        }
        self.0.push_str(words);
    }

    fn prose(&mut self, prose: &Prose) {
        let plain = plain(prose);
        self.words(&plain);
    }

    fn maybe(&mut self, prose: &Option<Prose>) {
        prose.iter().for_each(|prose| self.prose(prose));
    }

    fn title(&mut self, name: &Name, handbook: &Handbook) {
        handbook.title(name).into_iter().for_each(|title| self.words(title));
    }
}

/// The words of the prose; a bare link to an entry is left out, since all it has is an id.
fn plain(prose: &Prose) -> String {
    prose.without_marks(|link| if Name::parse(link).is_none() { link.to_owned() } else { String::new() })
}
