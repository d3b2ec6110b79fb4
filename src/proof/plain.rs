//! Kinds that need little more than their links: symptoms, faults, safety notes, terms, sources, guide pages.

use super::desk::{Desk, PROBLEMS_PAGE, placed};
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic};
use crate::handbook::{Basis, Fault, GuidePage, Kind, Mend, Name, SafetyNote, Signal, SourceEntry, SourceKind, Suspect, Symptom, Term};
use crate::manuscript::{self, Entry, Manuscript};

pub fn symptom(entry: &Entry<manuscript::Symptom>, manuscript: &Manuscript, desk: &mut Desk) -> Option<Symptom> {
    let written = &entry.written;
    let name = Name::new(Kind::Symptom, entry.id.value.clone());
    let mut places = EntryPlaces::new(entry.place());
    places.list("faults", written.faults.iter().map(|suspect| (suspect.fault.as_str(), suspect.fault.span)));
    places.list("checks", placed(&written.checks));
    desk.note(name, places);
    let common = desk.common(entry);
    if let Some(handbook) = &manuscript.handbook {
        let known = || handbook.stages.iter().map(|stage| stage.id.as_str());
        if !known().any(|stage| stage == written.stage.as_str()) {
            let message = format!("expected a stage of handbook.yaml, found `{}`", written.stage.as_str());
            let diagnostic = Diagnostic::new(Code::WrongValue, written.stage.span, message);
            let list = known().map(|stage| format!("`{stage}`")).collect::<Vec<_>>().join(", ");
            desk.add(diagnostic.nearest(&written.stage, known()).hint(format!("stages: {list}")));
        }
    }
    let faults: Vec<_> = written.faults.iter().map(|suspect| suspect.fault.clone()).collect();
    let resolved = desk.links(&faults);
    let suspects = written
        .faults
        .iter()
        .filter_map(|suspect| {
            let fault = resolved.iter().find(|fault| fault.to_string() == suspect.fault.as_str())?.clone();
            let basis = match suspect.basis.value {
                manuscript::Basis::ShopRecord => Basis::ShopRecord,
                manuscript::Basis::CommonPractice => Basis::CommonPractice,
                manuscript::Basis::Judgement => Basis::Judgement,
            };
            Some(Suspect { fault, weight: suspect.weight.value, basis })
        })
        .collect();
    Some(Symptom {
        common,
        stage: written.stage.value.clone(),
        seen: desk.prose(&written.seen),
        suspects,
        checks: desk.links(&written.checks),
        safety: desk.links(&written.safety),
    })
}

pub fn fault(entry: &Entry<manuscript::Fault>, desk: &mut Desk) -> Option<Fault> {
    let written = &entry.written;
    desk.note(Name::new(Kind::Fault, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    if written.mend.is_none() && written.remedy.is_none() {
        let message = "expected `mend` or `remedy`, found neither";
        desk.add(Diagnostic::new(Code::MissingField, entry.place(), message).hint("say how the fault is mended"));
    }
    Some(Fault {
        common: desk.common(entry),
        part: written.part.value.clone(),
        cause: desk.prose(&written.cause),
        signs: desk.prose(&written.signs),
        mend: Mend {
            task: written.mend.as_ref().and_then(|task| desk.link(task)),
            remedy: written.remedy.as_ref().map(|remedy| desk.prose(remedy)),
        },
        proved_by: desk.link(&written.proved_by)?,
    })
}

pub fn safety(entry: &Entry<manuscript::Safety>, desk: &mut Desk) -> SafetyNote {
    let written = &entry.written;
    desk.note(Name::new(Kind::Safety, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    SafetyNote {
        common: desk.common(entry),
        signal: match written.signal.value {
            manuscript::Signal::Danger => Signal::Danger,
            manuscript::Signal::Warning => Signal::Warning,
            manuscript::Signal::Caution => Signal::Caution,
            manuscript::Signal::Notice => Signal::Notice,
        },
        hazard: desk.prose(&written.hazard),
        controls: written.controls.iter().map(|control| desk.prose(control)).collect(),
        when: desk.prose(&written.when),
    }
}

pub fn term(entry: &Entry<manuscript::Term>, desk: &mut Desk) -> Term {
    desk.note(Name::new(Kind::Term, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    Term { common: desk.common(entry) }
}

pub fn source(entry: &Entry<manuscript::SourceEntry>, desk: &mut Desk) -> SourceEntry {
    let written = &entry.written;
    desk.note(Name::new(Kind::Source, entry.id.value.clone()), EntryPlaces::new(entry.place()));
    SourceEntry {
        common: desk.common(entry),
        kind: match written.kind.value {
            manuscript::SourceKind::Standard => SourceKind::Standard,
            manuscript::SourceKind::Handbook => SourceKind::Handbook,
            manuscript::SourceKind::CommonPractice => SourceKind::CommonPractice,
            manuscript::SourceKind::Recalled => SourceKind::Recalled,
        },
        publisher: written.publisher.as_ref().map(|publisher| publisher.value.clone()),
        edition: written.edition.as_ref().map(|edition| edition.value.clone()),
        note: written.note.as_ref().map(|note| desk.prose(note)),
    }
}

pub fn guide(page: &manuscript::GuidePage, desk: &mut Desk) -> GuidePage {
    desk.begin_page();
    if page.id.value == PROBLEMS_PAGE {
        let message = format!("the id `{PROBLEMS_PAGE}` belongs to the page of codes, which every guide gets");
        desk.add(Diagnostic::new(Code::DuplicateId, page.title.span, message).hint("give the file another name"));
    }
    GuidePage { id: page.id.value.clone(), title: page.title.value.clone(), text: desk.markdown(&page.body) }
}
