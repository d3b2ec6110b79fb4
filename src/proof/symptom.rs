//! Symptoms: their stage, suspects and checks.

use super::desk::{Desk, placed};
use super::places::EntryPlaces;
use crate::diagnostic::{Code, Diagnostic, Once};
use crate::handbook::{Basis, Kind, Name, Suspect, Symptom};
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
            let diagnostic = Diagnostic::new(Code::WrongValue, written.stage.span, message).once(Once::PerHandbook);
            let list = known().map(|stage| format!("`{stage}`")).collect::<Vec<_>>().join(", ");
            desk.add(diagnostic.nearest(&written.stage, known()).hint(format!("stages: {list}")));
        }
    }
    let whole: f64 = written.faults.iter().map(|suspect| suspect.weight.value).sum();
    if let Some(first) = written.faults.iter().next()
        && (90.0..=110.0).contains(&whole)
        && (whole - 100.0).abs() > 0.05
    {
        let message = format!("the weights come to {}: close to 100, but not 100", (whole * 100.0).round() / 100.0);
        desk.add(Diagnostic::new(Code::WeightsSum, first.weight.span, message).hint("if they are per cent, let them come to 100"));
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
