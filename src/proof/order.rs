//! Orders of checks: as a symptom lists them, each with what must come before it, and what is lost on the way.

use std::collections::BTreeSet;

use super::places::Places;
use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::handbook::{Check, Handbook, Kind, Name, Symptom};

/// Checks that come after one in a state that erases what they read: no order helps them.
pub fn read_after_erased(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    for check in handbook.checks.iter().filter(|check| !check.erased_by.is_empty()) {
        let name = Name::new(Kind::Check, check.common.id.clone());
        for first in &check.after {
            let before = handbook.up_to(first);
            let Some(eraser) = before.iter().find(|earlier| check.erased_by.contains(&earlier.state)) else { continue };
            let message = format!(
                "this check comes after `check:{}`, which is done {}, and that erases what it reads",
                eraser.common.id,
                eraser.state.name()
            );
            let diagnostic = Diagnostic::new(Code::ReadTooLate, places.item(&name, "after", &first.to_string()), message);
            problems.add(diagnostic.also(places.item(&name, "erased-by", eraser.state.name()), "erased by this state"));
        }
    }
}

/// Symptoms that list a check after one in a state that erases what it reads.
pub fn erased_as_written(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    for symptom in &handbook.symptoms {
        as_written(handbook, symptom, places, problems);
    }
}

fn as_written(handbook: &Handbook, symptom: &Symptom, places: &Places, problems: &mut Problems) {
    let name = Name::new(Kind::Symptom, symptom.common.id.clone());
    // Each check with the listed one that it is done for.
    let mut done: Vec<(&Check, &Name)> = Vec::new();
    for listed in &symptom.checks {
        for check in handbook.up_to(listed) {
            if done.iter().any(|(earlier, _)| earlier.common.id == check.common.id) {
                continue;
            }
            // If it comes too late for its own preconditions, that is told at the check itself.
            let ever = !check.after.iter().flat_map(|first| handbook.up_to(first)).any(|first| check.erased_by.contains(&first.state));
            if let Some((eraser, _)) = done.iter().find(|(earlier, _)| ever && check.erased_by.contains(&earlier.state)) {
                let place = |of: &Name| places.item(&name, "checks", &of.to_string());
                let message = format!(
                    "`check:{}` comes too late: `check:{}` is done {}, and that erases what it reads",
                    check.common.id,
                    eraser.common.id,
                    eraser.state.name()
                );
                let diagnostic = Diagnostic::new(Code::ReadTooLate, place(listed), message);
                let own = Name::new(Kind::Check, check.common.id.clone());
                let diagnostic = diagnostic.also(places.item(&own, "erased-by", eraser.state.name()), "erased by this state");
                let erased_for = done.iter().find(|(earlier, _)| earlier.common.id == eraser.common.id).map_or(listed, |(_, of)| of);
                let words = if erased_for.id == eraser.common.id { "erased here" } else { "erased by what comes before this" };
                problems.add(
                    diagnostic
                        .also(place(erased_for), words)
                        .hint(format!("list it before the first check that is done {}", eraser.state.name())),
                );
            }
            done.push((check, listed));
        }
    }
}

/// Symptoms that list a check before one that must come before it.
pub fn out_of_order(handbook: &Handbook, places: &Places, problems: &mut Problems) {
    for symptom in &handbook.symptoms {
        let name = Name::new(Kind::Symptom, symptom.common.id.clone());
        for (at, listed) in symptom.checks.iter().enumerate() {
            let needed = handbook.up_to(listed);
            for late in symptom.checks[at + 1..].iter().filter(|late| needed.iter().any(|check| check.common.id == late.id)) {
                // In a circle each comes before the other, which is told where the circle is.
                if handbook.up_to(late).iter().any(|check| check.common.id == listed.id) {
                    continue;
                }
                let message = format!("`{late}` must come before `{listed}`, which this symptom lists earlier");
                let diagnostic = Diagnostic::new(Code::OutOfOrder, places.item(&name, "checks", &late.to_string()), message);
                problems.add(diagnostic.also(places.item(&name, "checks", &listed.to_string()), "listed here"));
            }
        }
    }
}

/// Checks of a symptom that no order lets be done: what they read, or what a check before them reads, has been erased by then.
/// Checks that wait for themselves are not among them; their circle is a problem of its own.
pub fn never_in_time<'a>(handbook: &'a Handbook, symptom: &Symptom) -> BTreeSet<&'a str> {
    let all_before = |check: &Check| handbook.up_to(&Name::new(Kind::Check, check.common.id.clone()));
    let circles = |check: &Check| {
        let mut firsts = check.after.iter().flat_map(|first| handbook.up_to(first));
        firsts.any(|first| first.common.id == check.common.id)
    };
    let checks: Vec<&Check> = handbook.checks_of(symptom).into_iter().filter(|check| !all_before(check).into_iter().any(circles)).collect();
    // An appliance enters a state only for a check. So whatever may be done without erasing what is still to be read is done,
    // until nothing more may be, and no order comes further than that.
    let mut open = checks.clone();
    let waits = |check: &Check, open: &[&Check]| open.iter().any(|other| check.after.iter().any(|first| first.id == other.common.id));
    let erases = |check: &Check, open: &[&Check]| {
        open.iter().any(|other| other.common.id != check.common.id && other.erased_by.contains(&check.state))
    };
    while let Some(place) = open.iter().position(|check| !waits(check, &open) && !erases(check, &open)) {
        open.remove(place);
    }
    let lost: BTreeSet<&str> = open.iter().filter(|check| !check.erased_by.is_empty()).map(|check| check.common.id.as_str()).collect();
    let behind = |check: &&&Check| all_before(check).iter().any(|first| lost.contains(first.common.id.as_str()));
    checks.iter().filter(behind).map(|check| check.common.id.as_str()).collect()
}
