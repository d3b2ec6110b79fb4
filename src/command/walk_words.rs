//! A walk's screens in words and as JSON.

use std::collections::BTreeMap;
use std::fmt::Write;

use serde_json::{Value, json};

use crate::diagnosis::{Event, Look, Next, Odds, Reason, Step};
use crate::handbook::{Check, Entry, SafetyNote, Seen, State};
use crate::pages::{Reading, WalkWords, band_range, percent};

/// One of the numbered answers.
pub(super) struct Choice {
    pub event: Event,
    pub says: String,
}

/// What can be answered on a screen, in the order of its numbers.
pub(super) fn choices(words: &WalkWords, look: &Look, history: &[Event]) -> Vec<Choice> {
    let mut choices = Vec::new();
    let mut add = |event: Event, says: String| choices.push(Choice { event, says });
    let mut asked: Vec<usize> = Vec::new();
    match &look.next {
        Next::Do(step) => {
            let Some(check) = words.check(step.check) else { return choices };
            for outcome in 0..check.outcomes.len() {
                add(Event::Found { check: step.check, outcome }, finding(words, check, step.check, outcome));
            }
        }
        Next::Named { suspect, .. } => denial(words, look, *suspect, &mut add),
        Next::Open { suspects, if_done } => {
            for &check in if_done {
                asked.push(check);
                add(Event::Again(check), format!("Do it now: {}", title(words, check)));
            }
            suspects.iter().for_each(|odds| denial(words, look, odds.suspect, &mut add));
        }
        Next::Contradiction { events } => {
            for event in events.iter().filter_map(|&place| history.get(place)) {
                match *event {
                    Event::Found { check, .. } => add(Event::Again(check), format!("Do it again: {}", title(words, check))),
                    Event::Not(suspect) => add(Event::Maybe(suspect), format!("It may be {} after all", fault(words, suspect))),
                    _ => {}
                }
            }
        }
    }
    for aside in look.aside.iter().filter(|aside| aside.open && !asked.contains(&aside.check)) {
        choices.push(Choice { event: Event::Again(aside.check), says: format!("Do it now after all: {}", title(words, aside.check)) });
    }
    choices
}

fn denial(words: &WalkWords, look: &Look, suspect: usize, add: &mut impl FnMut(Event, String)) {
    let model = &words.diagnosis.model;
    let proof = words.fault(suspect).map(|fault| &fault.proved_by);
    let place = model.checks.iter().position(|check| Some(&check.check) == proof);
    if let Some(place) = place.filter(|place| look.open_checks.contains(place)) {
        add(Event::Again(place), format!("Do its proof as the next step: {}", title(words, place)));
    }
    add(Event::Not(suspect), format!("Its proof says no: not {}", fault(words, suspect)));
}

fn title<'a>(words: &WalkWords<'a>, check: usize) -> &'a str {
    words.check(check).map_or("", |check| check.common.title.as_str())
}

fn fault<'a>(words: &WalkWords<'a>, suspect: usize) -> &'a str {
    words.fault(suspect).map_or("", |fault| fault.common.title.as_str())
}

/// An outcome as it is offered: what is seen, and the band's range.
fn finding(words: &WalkWords, check: &Check, place: usize, outcome: usize) -> String {
    let seen = words.seen(place, outcome);
    let Some(Seen::Band(id)) = check.outcomes.get(outcome).map(|outcome| &outcome.seen) else { return seen.to_owned() };
    let measured = check.measures.as_ref().and_then(|name| words.handbook.entry(name));
    let Some(Entry::Measurement(measurement)) = measured else { return seen.to_owned() };
    let band = measurement.bands.iter().find(|band| band.id == *id);
    band.map_or_else(|| seen.to_owned(), |band| format!("{seen}: {} ({})", band_range(band, measurement), band.severity.words()))
}

/// What is told after an answer, before the next screen.
pub(super) fn noted(words: &WalkWords, event: Event) -> String {
    match event {
        Event::Found { check: place, outcome } => {
            let Some(check) = words.check(place) else { return String::new() };
            let means = check.outcomes.get(outcome).map_or_else(String::new, |outcome| words.handbook.plain(&outcome.means));
            let guard = words.diagnosis.model.checks.get(place).is_some_and(|check| check.guard);
            format!("{} {means}\n", if guard && outcome > 0 { "Not safe to go on." } else { "Noted." })
        }
        Event::Later(_) => "Put off. Nothing is ruled out by that.\n".into(),
        Event::Odd(_) => "Set aside. Nothing is ruled out by it. Check the meter on a known source, its leads and its range, the place\n\
                          and the stage of the sequence; then do the check once more. A reading that looks unsafe is not odd: stop and ask.\n"
            .into(),
        Event::Again(_) | Event::Not(_) | Event::Maybe(_) => String::new(),
    }
}

/// A whole screen.
pub(super) fn screen(words: &WalkWords, look: &Look, history: &[Event], choices: &[Choice]) -> String {
    let mut text = String::new();
    match &look.next {
        Next::Do(step) => question(&mut text, words, step),
        Next::Named { suspect, probability, others } => {
            let _ = writeln!(
                text,
                "Found: {}, {} by the handbook's figures, if only one thing is wrong.",
                fault(words, *suspect),
                percent(*probability)
            );
            if !others.is_empty() {
                let _ = writeln!(text, "Still possible: {}.", words.odds(others));
            }
            ending(&mut text, words, *suspect);
            let closing = words.closing_tests(history, Some(*suspect));
            let titles: Vec<&str> = closing.iter().filter_map(|name| words.handbook.title(name)).collect();
            if !titles.is_empty() {
                let _ = writeln!(text, "Closing tests: {}.", titles.join("; "));
            }
        }
        Next::Open { suspects, .. } => {
            let _ = writeln!(text, "No check that can be done now tells more. Prove each in turn, the likeliest first.");
            for odds in suspects {
                let _ = writeln!(text, "\n{}, {}", fault(words, odds.suspect), percent(odds.probability));
                ending(&mut text, words, odds.suspect);
            }
        }
        Next::Contradiction { events } => contradiction(&mut text, words, history, events),
    }
    text.push('\n');
    for (number, choice) in choices.iter().enumerate() {
        let _ = writeln!(text, "  {}  {}", number + 1, choice.says);
    }
    let more = if matches!(look.next, Next::Do(_)) { "r NUMBER (a reading), later (cannot do this now), odd (odd reading), " } else { "" };
    let _ = writeln!(text, "  {more}back, restart, note, quit");
    if matches!(look.next, Next::Do(_)) {
        let _ = writeln!(text, "\nStill possible: {}.", words.odds(&look.odds));
    }
    text.push_str("The appliance's rating plate and instructions, local codes and licensed practice come first.");
    text
}

fn question(text: &mut String, words: &WalkWords, step: &Step) {
    let Some(check) = words.check(step.check) else { return };
    let _ = writeln!(text, "{}\n", check.common.title.to_uppercase());
    for note in hazards(words, check) {
        let _ = writeln!(text, "{}: {}. {}", note.signal.word(), note.common.title, note.common.summary);
    }
    let here = step.from == check.state;
    let to = check.state.words();
    let _ = match here {
        true => writeln!(text, "\nThe appliance stays {to}."),
        false => writeln!(text, "\nBring the appliance to {to}. Now: {}. {} min.", step.from.words(), minutes(step.change_minutes)),
    };
    let way = words.handbook.book.state_changes.iter().find(|change| change.from == step.from && change.to == check.state);
    if let Some(note) = way.and_then(|change| change.note.as_ref()).filter(|_| !here) {
        let _ = writeln!(text, "{note}.");
    }
    text.push('\n');
    for (number, step) in check.steps.iter().enumerate() {
        let _ = writeln!(text, "{}. {}", number + 1, words.handbook.plain(step));
    }
    let _ = writeln!(text, "\n{}", why(words, step));
}

fn hazards<'a>(words: &WalkWords<'a>, check: &Check) -> Vec<&'a SafetyNote> {
    let mut notes: Vec<&SafetyNote> = check
        .safety
        .iter()
        .filter_map(|name| match words.handbook.entry(name) {
            Some(Entry::Safety(note)) => Some(note),
            _ => None,
        })
        .collect();
    notes.sort_by_key(|note| note.signal);
    notes
}

fn why(words: &WalkWords, step: &Step) -> String {
    let mut said = String::from("Why this next: ");
    if step.toward != step.check {
        let guard = words.diagnosis.model.checks.get(step.check).is_some_and(|check| check.guard);
        let _ = write!(said, "It {} {}. ", if guard { "makes the work safe for:" } else { "must come before:" }, title(words, step.toward));
    }
    said.push_str(match step.reason {
        Reason::Planned { .. } => "It is the next step of the computed order, the safe one with the fewest minutes to be expected.",
        Reason::Chosen => "Off the computed order; of all checks that can be done now it tells the most for its minutes.",
        Reason::Asked => "You asked for it.",
    });
    if step.ends >= 0.005 {
        let _ = write!(said, " It ends the search with a chance of {}.", percent(step.ends));
    }
    let _ = write!(said, " It tells as much as {:.2} of an even yes-or-no question, in {} min.", step.bits, minutes(step.way_minutes));
    if let Reason::Planned { left_minutes } = step.reason {
        let _ = write!(said, " About {} min from here to the end.", minutes(left_minutes));
    }
    said
}

fn ending(text: &mut String, words: &WalkWords, suspect: usize) {
    let Some(fault) = words.fault(suspect) else { return };
    let _ = writeln!(text, "Prove it first: {}", words.handbook.title(&fault.proved_by).unwrap_or(""));
    let task = fault.mend.task.as_ref().and_then(|task| words.handbook.title(task));
    let remedy = || fault.mend.remedy.as_ref().map_or_else(String::new, |remedy| words.handbook.plain(remedy));
    let _ = writeln!(text, "Mend it: {}", task.map_or_else(remedy, str::to_owned));
}

fn contradiction(text: &mut String, words: &WalkWords, history: &[Event], events: &[usize]) {
    let alone = events.len() == 1;
    text.push_str(if alone {
        "This finding fits none of the suspects. Look at it once more; if it stays, it is a finding of its own,\nor the symptom is another one.\n"
    } else {
        "These answers do not fit together. One of them is not right, or more than one thing is wrong,\nor the fault is none of this symptom's list.\n"
    });
    for event in events.iter().filter_map(|&place| history.get(place)) {
        let _ = writeln!(text, "- {}", words.line(*event, &BTreeMap::new()));
        if let (true, Event::Found { check, outcome }) = (alone, *event) {
            let outcome = words.check(check).and_then(|check| check.outcomes.get(outcome));
            let points: Vec<&str> =
                outcome.iter().flat_map(|outcome| &outcome.keeps).filter_map(|name| words.handbook.title(name)).collect();
            if !points.is_empty() {
                let _ = writeln!(text, "  It points to: {}.", points.join(", "));
            }
        }
    }
    text.push_str("If every answer stands, stop here, leave the appliance safe, and ask the lead.\n");
}

/// Whole minutes from ten on.
fn minutes(value: f64) -> String {
    if value >= 10.0 { format!("{}", value.round()) } else { format!("{}", (value * 10.0).round() / 10.0) }
}

/// Where a history leads, for other programs.
pub(super) fn as_json(words: &WalkWords, history: &[Event], readings: &BTreeMap<String, Reading>, look: &Look) -> String {
    let model = &words.diagnosis.model;
    let id = |check: usize| model.checks.get(check).map(|check| check.check.id.clone());
    let suspect = |place: usize| model.suspects.get(place).map(|suspect| suspect.fault.id.clone());
    let odds = |odds: &[Odds]| -> Vec<Value> {
        odds.iter()
            .map(|one| json!({ "fault": suspect(one.suspect), "title": fault(words, one.suspect), "chance": one.probability }))
            .collect()
    };
    let next = match &look.next {
        Next::Do(step) => {
            let (reason, left) = match step.reason {
                Reason::Planned { left_minutes } => ("planned", Some(left_minutes)),
                Reason::Chosen => ("chosen", None),
                Reason::Asked => ("asked", None),
            };
            json!({
                "kind": "do",
                "check": id(step.check),
                "title": title(words, step.check),
                "for": id(step.toward),
                "state": words.check(step.check).map(|check| check.state.name()),
                "from": step.from.name(),
                "change_minutes": step.change_minutes,
                "minutes": step.minutes,
                "bits": step.bits,
                "ends": step.ends,
                "reason": reason,
                "left_minutes": left,
            })
        }
        Next::Named { suspect: place, probability, others } => {
            let entry = words.fault(*place);
            json!({
                "kind": "named",
                "fault": suspect(*place),
                "title": fault(words, *place),
                "chance": probability,
                "others": odds(others),
                "proof": entry.map(|fault| fault.proved_by.to_string()),
                "task": entry.and_then(|fault| fault.mend.task.as_ref()).map(ToString::to_string),
                "closing": words.closing_tests(history, Some(*place)).iter().map(ToString::to_string).collect::<Vec<_>>(),
            })
        }
        Next::Open { suspects, if_done } => {
            json!({ "kind": "open", "suspects": odds(suspects), "if_done": if_done.iter().map(|&check| id(check)).collect::<Vec<_>>() })
        }
        Next::Contradiction { events } => {
            let texts: Vec<String> = events.iter().filter_map(|&place| history.get(place)).map(|event| event.write(model)).collect();
            json!({ "kind": "contradiction", "events": texts })
        }
    };
    let answers: Vec<Value> =
        choices(words, look, history).iter().map(|choice| json!({ "event": choice.event.write(model), "says": choice.says })).collect();
    let aside: Vec<Value> =
        look.aside.iter().map(|one| json!({ "check": id(one.check), "odd": one.odd, "can_be_asked": one.open })).collect();
    let state: State = look.state;
    let all = json!({
        "symptom": words.symptom.common.id,
        "history": history.iter().map(|event| event.write(model)).collect::<Vec<_>>(),
        "state": state.name(),
        "minutes": look.minutes,
        "possible": odds(&look.odds),
        "aside": aside,
        "next": next,
        "answers": answers,
        "note": words.note(history, readings, look),
    });
    format!("{all:#}\n")
}
