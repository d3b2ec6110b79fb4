//! A fault's page: why it happens, what gives it away, how it is mended and proved.

use serde::Serialize;

use super::pen::{self, Link, Pen};
use crate::handbook::{Entry, Fault};

/// `fault` in the template.
#[derive(Serialize)]
pub(super) struct FaultView {
    part: String,
    cause_html: String,
    signs_html: String,
    task: Option<Link>,
    remedy_html: Option<String>,
    proved_by: Option<Link>,
    behind: Vec<BehindView>,
}

/// A symptom that the fault may be behind, with its chance there.
#[derive(Serialize)]
struct BehindView {
    link: Link,
    chance: String,
    width: f64,
    basis: &'static str,
}

pub(super) fn view(fault: &Fault, pen: &Pen) -> FaultView {
    FaultView {
        part: fault.part.clone(),
        cause_html: pen.prose("cause", &fault.cause),
        signs_html: pen.prose("signs", &fault.signs),
        task: fault.mend.task.as_ref().and_then(|name| pen.link(name)),
        remedy_html: fault.mend.remedy.as_ref().map(|prose| pen.prose("remedy", prose)),
        proved_by: pen.link(&fault.proved_by),
        behind: behind(fault, pen),
    }
}

fn behind(fault: &Fault, pen: &Pen) -> Vec<BehindView> {
    let name = Entry::Fault(fault).name();
    let mut found = Vec::new();
    for symptom in &pen.handbook.symptoms {
        let Some(suspect) = symptom.suspects.iter().find(|suspect| suspect.fault == name) else { continue };
        let whole: f64 = symptom.suspects.iter().map(|suspect| suspect.weight).sum();
        let Some(link) = pen.link(&Entry::Symptom(symptom).name()) else { continue };
        found.push((suspect.weight / whole, link, suspect.basis.words()));
    }
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    let one = |(chance, link, basis): (f64, Link, &'static str)| BehindView {
        link,
        chance: pen::percent(chance),
        width: (chance * 1000.0).round() / 10.0,
        basis,
    };
    found.into_iter().map(one).collect()
}
