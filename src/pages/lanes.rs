//! The lane chart of a sequence: what is on when, one lane a part, drawn as SVG.
//!
//! `browser/lanes.js` draws the same chart, sign for sign, when the inputs change; a test holds the two together.

use std::fmt::Write;

use serde::Serialize;

use crate::formula::{PhaseLabels, Result as Worked, Segment, Timeline, escape, says};

/// Across, in the drawing's own units: about one pixel each on a phone 360 pixels wide.
const WIDTH: f64 = 340.0;
const SIDE: f64 = 10.0;
const LANE: f64 = 46.0;
/// Height of the title above a lane's bar.
const TITLE: f64 = 18.0;
const BAR: f64 = 20.0;
const AXIS: f64 = 26.0;
/// Seconds between the marks of the axis; the first that gives at most [`MOST_MARKS`].
const STEPS: [f64; 20] = [
    0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1800.0, 3600.0, 7200.0, 14400.0, 28800.0, 86400.0, 604800.0,
    2592000.0,
];
const MOST_MARKS: f64 = 6.0;

/// `sum.chart` in the template.
#[derive(Serialize)]
pub(super) struct ChartView {
    title: String,
    lanes: Vec<String>,
    /// Empty if there is nothing to draw; then `says` tells why.
    svg: String,
    says: String,
    phases: Vec<PhaseView>,
    /// Each phase as it is written, for the script: title, and positions of lanes.
    written: Vec<WrittenView>,
}

#[derive(Serialize)]
struct WrittenView {
    title: String,
    on: String,
}

#[derive(Serialize)]
struct PhaseView {
    title: String,
    from: String,
    to: String,
    on: String,
}

pub(super) fn view(timeline: &Timeline, written: &[PhaseLabels], worked: &Worked<Vec<Segment>>) -> ChartView {
    let lanes: Vec<String> = timeline.lanes.iter().map(|lane| lane.title.clone()).collect();
    let segments = worked.as_deref().unwrap_or_default();
    let phases = segments.iter().map(|segment| PhaseView {
        title: segment.title.clone(),
        from: clock(segment.start),
        to: clock(segment.end),
        on: segment.on.iter().filter_map(|lane| lanes.get(*lane)).cloned().collect::<Vec<_>>().join(", "),
    });
    let written = written
        .iter()
        .map(|phase| WrittenView { title: phase.title.clone(), on: phase.on.iter().map(usize::to_string).collect::<Vec<_>>().join(" ") });
    let written = written.collect();
    ChartView {
        written,
        title: timeline.title.clone(),
        svg: svg(&timeline.title, &lanes, segments),
        says: says(worked),
        phases: phases.collect(),
        lanes,
    }
}

/// The lane chart as SVG; empty if no time passes. Segments are in seconds, in order, and name lanes by position.
pub fn svg(title: &str, lanes: &[String], segments: &[Segment]) -> String {
    let end = segments.last().map_or(0.0, |segment| segment.end);
    if end <= 0.0 {
        return String::new();
    }
    let at = |second: f64| SIDE + second / end * (WIDTH - 2.0 * SIDE);
    let height = lanes.len() as f64 * LANE + AXIS;
    let mut out = format!(
        "<svg class=\"lanes\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">",
        n(WIDTH),
        n(height),
        escape(&format!("{title}: {} in all. The phases stand in the list below.", clock(end)))
    );
    if end >= 120.0 {
        let words = if end < 7200.0 { "min:s" } else { "h:min" };
        let (x, y) = (n(WIDTH - SIDE), n(TITLE - 5.0));
        let _ = write!(out, "<text class=\"l-figure\" x=\"{x}\" y=\"{y}\" text-anchor=\"end\">{words}</text>");
    }
    let marks = marks(end);
    for mark in &marks {
        let x = n(at(*mark));
        let _ = write!(out, "<path class=\"l-mark\" d=\"M{x} {} V{}\"/>", n(TITLE), n(height - AXIS + 4.0));
    }
    for (lane, title) in lanes.iter().enumerate() {
        let top = lane as f64 * LANE;
        let _ = write!(out, "<text class=\"l-title\" x=\"{}\" y=\"{}\">{}</text>", n(SIDE), n(top + TITLE - 5.0), escape(title));
        let _ = write!(
            out,
            "<rect class=\"l-bed\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
            n(SIDE),
            n(top + TITLE),
            n(WIDTH - 2.0 * SIDE),
            n(BAR)
        );
        for (from, to) in stretches(segments, lane) {
            let width = (at(to) - at(from)).max(1.0);
            let _ = write!(
                out,
                "<rect class=\"l-on l-on-{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
                lane % 4,
                n(at(from)),
                n(top + TITLE),
                n(width),
                n(BAR)
            );
        }
    }
    for mark in &marks {
        let x = at(*mark);
        let anchor = if x > WIDTH - 30.0 {
            "end"
        } else if x < 30.0 {
            "start"
        } else {
            "middle"
        };
        let _ = write!(
            out,
            "<text class=\"l-figure\" x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\">{}</text>",
            n(x),
            n(height - 6.0),
            mark_label(*mark, end)
        );
    }
    out.push_str("</svg>");
    out
}

/// Where a lane is on; stretches that touch are one.
fn stretches(segments: &[Segment], lane: usize) -> Vec<(f64, f64)> {
    let mut stretches: Vec<(f64, f64)> = Vec::new();
    for segment in segments.iter().filter(|segment| segment.on.contains(&lane) && segment.end > segment.start) {
        match stretches.last_mut() {
            Some(last) if last.1 == segment.start => last.1 = segment.end,
            _ => stretches.push((segment.start, segment.end)),
        }
    }
    stretches
}

fn marks(end: f64) -> Vec<f64> {
    let step = STEPS.into_iter().find(|step| end / step <= MOST_MARKS).unwrap_or(end);
    let count = (end / step).floor() as usize;
    (0..=count).map(|mark| mark as f64 * step).collect()
}

/// The label of a mark on an axis that reaches to `end`: `30 s`, `2:30` in minutes and seconds, `1:30` in hours and minutes; the
/// chart's corner says which.
fn mark_label(second: f64, end: f64) -> String {
    if end < 120.0 {
        return clock(second);
    }
    let unit = if end < 7200.0 { 60.0 } else { 3600.0 };
    let rest = ((second % unit) * 60.0 / unit).round();
    format!("{}:{}{}", n((second / unit).floor()), if rest < 10.0 { "0" } else { "" }, n(rest))
}

/// Seconds as readers see them: `7 s`, `2 min 51 s`, `1 h 05 min`.
pub fn clock(seconds: f64) -> String {
    let tenths = (seconds * 10.0).round() / 10.0;
    if tenths < 120.0 {
        return format!("{} s", n(tenths));
    }
    let whole = seconds.round();
    let (hours, minutes, rest) = ((whole / 3600.0).floor(), (whole / 60.0).floor() % 60.0, whole % 60.0);
    match (hours > 0.0, rest > 0.0) {
        (false, false) => format!("{} min", n(minutes)),
        (false, true) => format!("{} min {} s", n(minutes), n(rest)),
        (true, false) => format!("{} h {} min", n(hours), n(minutes)),
        (true, true) => format!("{} h {} min {} s", n(hours), n(minutes), n(rest)),
    }
}

/// A coordinate with at most two decimals, in its shortest form.
pub(super) fn n(number: f64) -> String {
    let hundredths = (number * 100.0 + 0.5).floor() / 100.0;
    hundredths.to_string()
}
