//! What the browser's walk through a symptom's checks reads: the numbers, as one script a symptom, and what to do at each check,
//! as one script a check that all symptoms share and that is loaded when the check comes up.

mod body;
mod note;
mod numbers;

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;
use serde::Serialize;

pub use note::{Reading, WalkWords};

use self::body::Body;
use self::numbers::Numbers;
use super::pen::Pen;
use super::{Address, File};
use crate::diagnosis::{Diagnosis, Node};
use crate::handbook::{Entry, Handbook, Kind, Name};

/// The scripts that a symptom's page loads beside its numbers.
const SCRIPTS: [(&str, &str); 4] = [
    ("walk-model.js", include_str!("../../browser/walk-model.js")),
    ("walk-note.js", include_str!("../../browser/walk-note.js")),
    ("walk-page.js", include_str!("../../browser/walk-page.js")),
    ("walk.js", include_str!("../../browser/walk.js")),
];

/// Whether there is anything to walk through.
pub(super) fn leads_anywhere(diagnosis: &Diagnosis) -> bool {
    matches!(diagnosis.policy.root(), Node::Ask(_))
}

/// What a symptom's page loads for the walk, in this order: the scripts read one another's names as they are loaded.
pub(super) fn scripts(id: &str) -> Vec<Address> {
    let mut scripts = vec![Address::script("gauge.js"), Address::walk_script(id)];
    scripts.extend(SCRIPTS.map(|(name, _)| Address::script(name)));
    scripts
}

/// Gives the scripts of all symptoms that can be walked through, and of all their checks, to `take`, on all cores.
pub(super) fn each(handbook: &Handbook, diagnoses: &BTreeMap<Name, Diagnosis>, take: &(dyn Fn(File) + Sync)) {
    // All symptoms lie in one folder, so links from any of their pages are the same.
    let here = Address::entry(&Name::new(Kind::Symptom, ""));
    let pen = Pen { handbook, here: &here };
    let walks: Vec<(&Name, &Diagnosis)> = diagnoses.iter().filter(|(_, diagnosis)| leads_anywhere(diagnosis)).collect();
    walks.par_iter().for_each(|(name, diagnosis)| {
        let Some(Entry::Symptom(symptom)) = handbook.entry(name) else { return };
        let numbers = Numbers::new(symptom, diagnosis, &pen);
        take(File::new(&Address::walk_script(&name.id), script("blueconeWalks", &name.id, &numbers)));
    });
    let checks: BTreeSet<&Name> = walks.iter().flat_map(|(_, diagnosis)| diagnosis.model.checks.iter().map(|check| &check.check)).collect();
    checks.par_iter().for_each(|name| {
        let Some(Entry::Check(check)) = handbook.entry(name) else { return };
        take(File::new(&Address::walk_check_script(&name.id), script("blueconeWalkChecks", &name.id, &Body::new(check, &pen))));
    });
    if !walks.is_empty() {
        SCRIPTS.into_iter().for_each(|(name, text)| take(File::new(&Address::script(name), text)));
    }
}

/// A classic script that adds one value under its key to an object of the page.
fn script(object: &str, key: &str, value: &impl Serialize) -> String {
    // Numbers and texts always become JSON; `<` and line separators are written so that they are safe in any script.
    let json = serde_json::to_string(value).unwrap_or_else(|_| "null".into());
    let json = json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029");
    format!("var {object} = {object} || {{}};\n{object}[{key:?}] = {json};\n")
}
