//! The plot of a sum: the curve of a step over an input, the bands of its verdict shaded, what is given marked; drawn as SVG.
//!
//! `browser/plot.js` draws the same plot, sign for sign, when the inputs change; a test holds the two together.

use std::fmt::Write;

use serde::Serialize;

use super::lanes::n;
use crate::formula::{Curve, Digits, Given, PlotLabels, Result as Worked, escape, format as figure};
use crate::handbook::Calculator;

/// In the drawing's own units: about one pixel each on a phone 360 pixels wide.
const WIDTH: f64 = 340.0;
const LEFT: f64 = 52.0;
const RIGHT: f64 = 12.0;
const TOP: f64 = 24.0;
const FIELD: f64 = 180.0;
/// Below the field: figures, then the legend.
const FIGURES: f64 = 22.0;
const LEGEND: f64 = 26.0;
/// Width of one name in the legend.
const NAME: f64 = 80.0;
const SEVERITIES: [(&str, &str); 4] = [("good", "Good"), ("watch", "Watch"), ("act", "Act"), ("stop", "Stop")];
/// So many marks on an axis at most.
const MARKS: [f64; 2] = [5.0, 6.0];
/// About so many points stand in the list below the drawing.
const LISTED: usize = 9;

/// `sum.plot` in the template.
#[derive(Serialize)]
pub(super) struct PlotView {
    title: String,
    of: String,
    over: String,
    from: f64,
    to: f64,
    /// Name of the verdict in the script, and the severity of each of its bands.
    verdict: String,
    bands: String,
    /// Empty if there is nothing to draw.
    svg: String,
    words: String,
    /// What goes across and what goes up, with units: the heads of the list.
    heads: [String; 2],
    points: Vec<PointView>,
}

#[derive(Serialize)]
struct PointView {
    x: String,
    y: String,
    band: &'static str,
}

/// The plot with the starting values.
pub(super) fn view(calculator: &Calculator) -> Option<PlotView> {
    let program = &calculator.program;
    let (plot, labels, curve) = (program.plot.as_ref()?, program.plot_labels()?, program.curve(&Given::new())?);
    let bands: Vec<&'static str> = match plot.verdict {
        Some(verdict) => calculator.verdicts.get(verdict)?.iter().map(|band| band.severity.name()).collect(),
        None => Vec::new(),
    };
    let points = |curve: &Curve| {
        let every = curve.x.len().div_ceil(LISTED).max(1);
        let point = |at: usize| {
            let (x, y) = program.point_shown(curve, at)?;
            let band = program.band_at(curve, at).and_then(|band| bands.get(band));
            Some(PointView { x, y, band: band.map_or("", |severity| word(severity)) })
        };
        (0..curve.x.len()).step_by(every).filter_map(point).collect()
    };
    Some(PlotView {
        of: labels.of[0].clone(),
        over: labels.over[0].clone(),
        from: plot.from,
        to: plot.to,
        bands: bands.join(" "),
        svg: curve.as_ref().map(|curve| svg(&labels, &bands, curve)).unwrap_or_default(),
        words: words(&labels, &curve),
        heads: [with_unit(&labels.over), with_unit(&labels.of)],
        points: curve.as_ref().map(points).unwrap_or_default(),
        verdict: labels.verdict,
        title: labels.title,
    })
}

fn word(severity: &str) -> &'static str {
    SEVERITIES.iter().find(|(name, _)| *name == severity).map_or("", |(_, word)| word)
}

fn with_unit([_, title, unit]: &[String; 3]) -> String {
    if unit.is_empty() { title.clone() } else { format!("{title}, {unit}") }
}

/// What goes up, what goes across, and what is given.
fn words(labels: &PlotLabels, curve: &Worked<Curve>) -> String {
    let axes = format!("Up: {}. Across: {}.", with_unit(&labels.of), with_unit(&labels.over)).replace("..", ".");
    let now = match curve {
        Ok(curve) => match &curve.now {
            Ok((x, y)) => format!("The mark: {x} gives {y}.").replace("..", "."),
            Err(why) => why.says.clone(),
        },
        Err(why) => why.says.clone(),
    };
    format!("{axes} {now}")
}

/// From where to where an axis reaches, and the step between its marks.
struct Axis {
    low: f64,
    high: f64,
    step: f64,
}

impl Axis {
    /// `most` marks at most. `whole`: the ends move outward to marks.
    fn new(low: f64, high: f64, most: f64, whole: bool) -> Self {
        let step = step((high - low) / most);
        if whole { Self { low: (low / step).floor() * step, high: (high / step).ceil() * step, step } } else { Self { low, high, step } }
    }

    fn marks(&self) -> Vec<f64> {
        let (first, last) = ((self.low / self.step - 1e-6).ceil(), (self.high / self.step + 1e-6).floor());
        let count = if last >= first { (last - first) as usize + 1 } else { 0 };
        (0..count).map(|at| (first + at as f64) * self.step).collect()
    }
}

/// 1, 2 or 5 times a power of ten, not below `least`.
fn step(least: f64) -> f64 {
    let mut power = 1.0;
    while power * 10.0 <= least {
        power *= 10.0;
    }
    while power > least {
        power /= 10.0;
    }
    [1.0, 2.0, 5.0].into_iter().map(|times| times * power).find(|step| *step >= least).unwrap_or(10.0 * power)
}

/// The lowest and the highest value that the drawing must hold: the curve, and edges that lie near it.
fn reach(curve: &Curve) -> Option<(f64, f64)> {
    let values = || curve.y.iter().flatten().copied().chain(curve.here.map(|(_, y)| y));
    let (low, high) = values().fold(None, |ends: Option<(f64, f64)>, y| {
        let (low, high) = ends.unwrap_or((y, y));
        Some((if y < low { y } else { low }, if y > high { y } else { high }))
    })?;
    if low == high {
        let room = if low == 0.0 { 1.0 } else { low.abs() * 0.1 };
        return Some((low - room, high + room));
    }
    let near = (high - low) / 4.0;
    let edges = curve.edges.iter().flatten().flatten().filter(|edge| **edge > low - near && **edge < high + near);
    Some(edges.fold((low, high), |(low, high), edge| (if *edge < low { *edge } else { low }, if *edge > high { *edge } else { high })))
}

/// The plot as SVG; empty if no point of the curve has a value. `bands`: the severity of each, one more than the curve has edges.
pub fn svg(labels: &PlotLabels, bands: &[&str], curve: &Curve) -> String {
    let (Some((low, high)), Some((first, last))) = (reach(curve), curve.x.first().zip(curve.x.last())) else { return String::new() };
    if last <= first {
        return String::new();
    }
    let across = Axis::new(*first, *last, MARKS[0], false);
    let up = Axis::new(low, high, MARKS[1], true);
    let x = |value: f64| LEFT + (value - first) / (last - first) * (WIDTH - LEFT - RIGHT);
    let y = |value: f64| {
        let inside = if value < up.low { up.low } else { value };
        let inside = if inside > up.high { up.high } else { inside };
        TOP + (up.high - inside) / (up.high - up.low) * FIELD
    };
    let severities: Vec<_> = SEVERITIES.into_iter().filter(|(name, _)| bands.contains(name)).collect();
    let height = TOP + FIELD + FIGURES + if severities.is_empty() { 0.0 } else { LEGEND };
    let mut out = format!(
        "<svg class=\"plot\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">",
        n(WIDTH),
        n(height),
        escape(&format!("{}. The points stand in the list below.", labels.title))
    );
    out += "<defs><pattern id=\"plot-watch\" class=\"g-pattern\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><circle cx=\"2\" cy=\"2\" r=\"1.1\"/><circle cx=\"6\" cy=\"6\" r=\"1.1\"/></pattern>";
    out += "<pattern id=\"plot-act\" class=\"g-pattern\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><path d=\"M-1 7 7 -1M-1 1 1 -1M5 7 7 5\"/></pattern>";
    out += "<pattern id=\"plot-stop\" class=\"g-pattern\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><path d=\"M-1 7 7 -1M-1 1 1 -1M5 7 7 5M-1 -1 7 7M5 -1 7 1M-1 5 1 7\"/></pattern></defs>";
    let shade = |out: &mut String, severity: &str, shape: &str| {
        let _ = write!(out, "<path class=\"g-{severity}\" d=\"{shape}\"/>");
        if severity != "good" {
            let _ = write!(out, "<path class=\"g-mark\" fill=\"url(#plot-{severity})\" d=\"{shape}\"/>");
        }
    };
    for (band, severity) in bands.iter().enumerate() {
        for shape in shapes(curve, band, bands.len(), &x, &y) {
            shade(&mut out, severity, &shape);
        }
    }
    let (floor, right) = (TOP + FIELD, WIDTH - RIGHT);
    for mark in up.marks() {
        let label = figure(mark, Digits::Significant(6));
        let _ = write!(out, "<path class=\"l-mark\" d=\"M{} {}H{}\"/>", n(LEFT), n(y(mark)), n(right));
        let _ =
            write!(out, "<text class=\"l-figure\" x=\"{}\" y=\"{}\" text-anchor=\"end\">{label}</text>", n(LEFT - 5.0), n(y(mark) + 4.0));
    }
    for mark in across.marks() {
        let (place, label) = (x(mark), figure(mark, Digits::Significant(6)));
        let anchor = if place > right - 14.0 { "end" } else { "middle" };
        let place = if place > right - 14.0 { right + 8.0 } else { place };
        let _ = write!(out, "<path class=\"l-mark\" d=\"M{} {}V{}\"/>", n(x(mark)), n(TOP), n(floor));
        let _ =
            write!(out, "<text class=\"l-figure\" x=\"{}\" y=\"{}\" text-anchor=\"{anchor}\">{label}</text>", n(place), n(floor + 16.0));
    }
    let _ =
        write!(out, "<rect class=\"p-frame\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>", n(LEFT), n(TOP), n(right - LEFT), n(FIELD));
    let _ = write!(
        out,
        "<text class=\"l-figure\" x=\"{}\" y=\"{}\" text-anchor=\"end\">{}</text>",
        n(LEFT - 5.0),
        n(TOP - 10.0),
        escape(&labels.of[2])
    );
    let _ = write!(out, "<text class=\"l-figure\" x=\"{}\" y=\"{}\">{}</text>", n(6.0), n(floor + 16.0), escape(&labels.over[2]));
    let line = path(&curve.x.iter().zip(&curve.y).map(|(at, value)| value.map(|value| (x(*at), y(value)))).collect::<Vec<_>>());
    let _ = write!(out, "<path class=\"p-halo\" d=\"{line}\"/><path class=\"p-curve\" d=\"{line}\"/>");
    if let Some((here, value)) = curve.here {
        let (here, value) = (n(x(here)), n(y(value)));
        let _ = write!(out, "<path class=\"p-lead\" d=\"M{} {value}H{here}V{}\"/>", n(LEFT), n(floor));
        let _ = write!(out, "<circle class=\"p-here\" cx=\"{here}\" cy=\"{value}\" r=\"6\"/>");
    }
    for (at, (severity, word)) in severities.iter().enumerate() {
        let (left, top) = (8.0 + at as f64 * NAME, floor + FIGURES + 4.0);
        shade(&mut out, severity, &format!("M{} {}h18v14h-18z", n(left), n(top)));
        let _ = write!(out, "<rect class=\"p-frame\" x=\"{}\" y=\"{}\" width=\"18\" height=\"14\"/>", n(left), n(top));
        let _ = write!(out, "<text class=\"l-figure\" x=\"{}\" y=\"{}\">{word}</text>", n(left + 24.0), n(top + 12.0));
    }
    out + "</svg>"
}

/// Where a band lies, a shape for each stretch in which both its edges have a place.
fn shapes(curve: &Curve, band: usize, bands: usize, x: &impl Fn(f64) -> f64, y: &impl Fn(f64) -> f64) -> Vec<String> {
    let edge = |edge: Option<usize>, at: usize, end: f64| match edge {
        Some(edge) => curve.edges.get(edge).and_then(|edge| edge[at]).map(y),
        None => Some(end),
    };
    let (below, above) = (band.checked_sub(1), (band + 1 < bands).then_some(band));
    let (mut shapes, mut over, mut under) = (Vec::new(), Vec::new(), Vec::new());
    for at in 0..=curve.x.len() {
        let place = curve.x.get(at).map(|value| x(*value));
        let ends = place.and_then(|place| Some((place, edge(below, at, TOP + FIELD)?, edge(above, at, TOP)?)));
        if let Some((place, low, high)) = ends {
            // Where edges cross, the lower band has what lies below both.
            over.push((place, if high > low { low } else { high }));
            under.push((place, low));
            continue;
        }
        if over.len() > 1 && over.iter().zip(&under).any(|(a, b)| a.1 != b.1) {
            under.reverse();
            let outline: Vec<Option<(f64, f64)>> = straight(&over).into_iter().chain(straight(&under)).map(Some).collect();
            shapes.push(path(&outline) + "z");
        }
        over.clear();
        under.clear();
    }
    shapes
}

/// Without the points in the middle of level stretches.
fn straight(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let level = |at: usize| at > 0 && at + 1 < points.len() && points[at - 1].1 == points[at].1 && points[at + 1].1 == points[at].1;
    (0..points.len()).filter(|at| !level(*at)).map(|at| points[at]).collect()
}

/// A line through the points; where one is missing it is broken.
fn path(points: &[Option<(f64, f64)>]) -> String {
    let mut line = String::new();
    let mut drawn = false;
    for point in points {
        if let Some((x, y)) = point {
            let _ = write!(line, "{}{} {}", if drawn { 'L' } else { 'M' }, n(*x), n(*y));
        }
        drawn = point.is_some();
    }
    line
}
