//! The phases of a timeline in what `bluecone work` prints.

use serde_json::{Value, json};

use crate::formula::{Result, Segment, Timeline};
use crate::pages::clock;

/// A line for each phase: from when to when, its title, and the lanes that are on.
pub(super) fn as_text(timeline: &Timeline, worked: &Result<Vec<Segment>>) -> String {
    let mut text = format!("\n{}\n", timeline.title);
    let phases = match worked {
        Ok(phases) if phases.is_empty() => {
            text.push_str("  no phase\n");
            return text;
        }
        Ok(phases) => phases,
        Err(why) => {
            text.push_str(&format!("  no value: {why}\n"));
            return text;
        }
    };
    let lines: Vec<[String; 3]> = phases.iter().map(|phase| [clock(phase.start), clock(phase.end), phase.title.clone()]).collect();
    let wide: Vec<usize> = (0..3).map(|column| lines.iter().map(|line| line[column].chars().count()).max().unwrap_or(0)).collect();
    for (phase, [from, to, title]) in phases.iter().zip(&lines) {
        let on: Vec<&str> = phase.on.iter().filter_map(|lane| timeline.lanes.get(*lane)).map(|lane| lane.title.as_str()).collect();
        let on = if on.is_empty() { "nothing on".to_owned() } else { on.join(", ") };
        text.push_str(&format!("  {from:>0$} to {to:<1$}  {title:<2$}  {on}\n", wide[0], wide[1], wide[2]));
    }
    text
}

pub(super) fn as_json(timeline: &Timeline, worked: &Result<Vec<Segment>>) -> Value {
    let on =
        |phase: &Segment| -> Value { phase.on.iter().filter_map(|lane| timeline.lanes.get(*lane)).map(|lane| lane.id.clone()).collect() };
    let phase = |phase: &Segment| json!({ "title": phase.title, "from": phase.start, "to": phase.end, "on": on(phase) });
    match worked {
        Ok(phases) => json!({ "title": timeline.title, "phases": phases.iter().map(phase).collect::<Vec<_>>() }),
        Err(why) => json!({ "title": timeline.title, "phases": [], "no_value": why.says }),
    }
}
