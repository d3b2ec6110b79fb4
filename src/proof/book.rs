//! `handbook.yaml`: the book itself, its stages and its rules.

use std::collections::BTreeMap;

use super::desk::{Desk, state, touches};
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::{Book, Kind, Prose, SafetyRule, Stage, StateChange, UnitSystem};
use crate::manuscript::{self, Manuscript};
use crate::source::Span;

pub fn book(manuscript: &Manuscript, desk: &mut Desk) -> Book {
    let Some(written) = &manuscript.handbook else {
        return Book::default();
    };
    let mut stages: BTreeMap<&str, Span> = BTreeMap::new();
    for stage in written.stages.iter() {
        if let Some(first) = stages.insert(stage.id.as_str(), stage.id.span) {
            let message = format!("two stages are called `{}`", stage.id.as_str());
            desk.add(Diagnostic::new(Code::DuplicateName, stage.id.span, message).also(first, "the first"));
        }
    }
    let mut rules: BTreeMap<&str, Span> = BTreeMap::new();
    for rule in &written.safety_rules {
        if let Some(first) = rules.insert(rule.id.as_str(), rule.id.span) {
            let message = format!("two safety rules are called `{}`", rule.id.as_str());
            desk.add(Diagnostic::new(Code::DuplicateName, rule.id.span, message).also(first, "the first"));
        }
    }
    // A symptom that could not be read, or whose stage there is not, may be the one that stops there; a book that has none yet is
    // only begun.
    let has_stage = |symptom: &manuscript::Entry<manuscript::Symptom>| stages.contains_key(symptom.written.stage.as_str());
    let all_known = manuscript.symptoms.iter().all(has_stage);
    if all_known && !manuscript.symptoms.is_empty() && !manuscript.unread.iter().any(|(kind, _)| *kind == manuscript::Kind::Symptom) {
        for stage in written.stages.iter() {
            if !manuscript.symptoms.iter().any(|symptom| symptom.written.stage.as_str() == stage.id.as_str()) {
                let message = format!("no symptom stops at the stage `{}`", stage.id.as_str());
                let diagnostic = Diagnostic::new(Code::StageWithoutSymptom, stage.id.span, message);
                desk.add(diagnostic.hint("write one, or leave the stage out"));
            }
        }
    }
    state_changes(&written.state_changes, desk);
    let invented = written.invented.as_ref().is_some_and(|invented| invented.value);
    if invented && written.notice.is_none() {
        let message = "expected `notice`, found none: an invented handbook says so on every page";
        desk.add(Diagnostic::new(Code::MissingField, written.title.span, message));
    }
    // Browsers, readers of pages aloud among them, know languages by the tags of BCP 47: two or three letters, then parts.
    let mut parts = written.language.split('-');
    let language = parts.next().is_some_and(|name| matches!(name.len(), 2 | 3) && name.bytes().all(|byte| byte.is_ascii_alphabetic()));
    if !language || !parts.all(|part| matches!(part.len(), 1..=8) && part.bytes().all(|byte| byte.is_ascii_alphanumeric())) {
        let message = format!("expected a language tag such as `en` or `en-US`, found `{}`", written.language.value);
        desk.add(Diagnostic::new(Code::WrongValue, written.language.span, message));
    }
    Book {
        title: written.title.value.clone(),
        shop: written.shop.value.clone(),
        edition: written.edition.value.clone(),
        book_id: written.book_id.value.clone(),
        language: written.language.value.clone(),
        units: match written.units.value {
            manuscript::Units::Us => UnitSystem::Us,
            manuscript::Units::Si => UnitSystem::Si,
        },
        invented,
        notice: written.notice.as_ref().map_or_else(Prose::default, |notice| desk.prose(notice)),
        caution: desk.prose(&written.caution),
        stages: written
            .stages
            .iter()
            .map(|stage| Stage { id: stage.id.value.clone(), title: stage.title.value.clone(), normal: desk.prose(&stage.normal) })
            .collect(),
        state_changes: written
            .state_changes
            .iter()
            .map(|change| StateChange {
                from: state(change.from.value),
                to: state(change.to.value),
                minutes: change.minutes.value,
                note: change.note.as_ref().map(|note| note.value.clone()),
            })
            .collect(),
        safety_rules: written.safety_rules.iter().map(|rule| safety_rule(rule, desk)).collect(),
    }
}

fn state_changes(changes: &[manuscript::StateChange], desk: &mut Desk) {
    let mut seen: BTreeMap<(manuscript::State, manuscript::State), Span> = BTreeMap::new();
    for change in changes {
        let (from, to) = (change.from.value, change.to.value);
        if from == to {
            let message = format!("expected another state than `{}`, found the same", from.name());
            desk.add(Diagnostic::new(Code::WrongValue, change.to.span, message));
        } else if let Some(first) = seen.insert((from, to), change.from.span) {
            let message = format!("the change from `{}` to `{}` stands twice", from.name(), to.name());
            desk.add(Diagnostic::new(Code::DuplicateName, change.from.span, message).also(first, "the first"));
        }
    }
}

fn safety_rule(rule: &manuscript::SafetyRule, desk: &mut Desk) -> SafetyRule {
    if rule.needs_safety.is_empty() && rule.needs_before.is_empty() && rule.needs_closing.is_empty() {
        let message = "the rule asks for nothing: expected `needs-safety`, `needs-before` or `needs-closing`";
        desk.add(Diagnostic::new(Code::MissingField, rule.id.span, message));
    }
    SafetyRule {
        id: rule.id.value.clone(),
        title: rule.title.value.clone(),
        applies_to: rule.applies_to.iter().map(|applies| kind(applies.value)).collect(),
        touches: rule.touches.as_ref().map(|placed| touches(placed.value)),
        states: rule.states.iter().map(|placed| state(placed.value)).collect(),
        needs_safety: desk.links(&rule.needs_safety),
        needs_before: desk.links(&rule.needs_before),
        needs_closing: desk.links(&rule.needs_closing),
        why: rule.why.value.clone(),
    }
}

fn kind(work: manuscript::Work) -> Kind {
    match work {
        manuscript::Work::Check => Kind::Check,
        manuscript::Work::Task => Kind::Task,
    }
}
