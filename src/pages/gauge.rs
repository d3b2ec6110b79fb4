//! The gauge of a measurement: a linear scale with its bands, drawn as SVG.
//!
//! Bands differ by pattern and number as well as by colour, so that they can be told apart in sunlight, on paper and by a
//! reader who does not see the colours. Lengths are in the drawing's own units; 340 across, so that on a phone 360 pixels
//! wide they are about one pixel each.

use std::fmt::Write;

use super::pen::{figure, quantity, unit};
use crate::formula::escape;
use crate::handbook::{Band, Measurement};

const WIDTH: f64 = 340.0;
/// Room on both sides, so that the figures at the ends are not cut off.
const SIDE: f64 = 16.0;
const BAR_TOP: f64 = 40.0;
const BAR_HEIGHT: f64 = 44.0;
/// Where figures stand under the bar.
const FIGURES: f64 = 116.0;
const HEIGHT: f64 = 126.0;
/// Width of one digit of a figure.
const DIGIT: f64 = 10.4;
/// The width of a letter of the unit.
const LETTER: f64 = 10.0;
const DISC: f64 = 11.0;

/// Draws the gauge; `key` makes its ids unique on the page, `heading` is the id of the element that names it.
pub(super) fn svg(measurement: &Measurement, key: &str) -> String {
    let (from, to) = measurement.scale;
    let at = |value: f64| SIDE + (value - from) / (to - from) * (WIDTH - 2.0 * SIDE);
    let mut out = format!(
        "<svg class=\"gauge\" viewBox=\"0 0 {WIDTH} {HEIGHT}\" role=\"img\" aria-labelledby=\"gauge-title-{key} gauge-text-{key}\" data-gauge=\"{key}\" data-from=\"{from}\" data-to=\"{to}\" data-left=\"{SIDE}\" data-right=\"{right}\" data-unit=\"{unit}\">\n\
         <title id=\"gauge-title-{key}\">{}</title>\n<desc id=\"gauge-text-{key}\">{}</desc>\n",
        escape(&measurement.common.title),
        escape(&words(measurement)),
        key = escape(key),
        right = WIDTH - SIDE,
        unit = escape(unit(&measurement.unit)),
    );
    out.push_str(&patterns(key));
    draw_scale(&mut out, measurement, &at);
    for (number, band) in measurement.bands.iter().enumerate() {
        draw_band(&mut out, band, &said(number, band, measurement), key, &at);
    }
    let _ = writeln!(
        out,
        "<rect class=\"g-frame\" x=\"{}\" y=\"{BAR_TOP}\" width=\"{}\" height=\"{BAR_HEIGHT}\"/>",
        n(SIDE),
        n(WIDTH - 2.0 * SIDE)
    );
    draw_numbers(&mut out, measurement, &at);
    draw_edges(&mut out, measurement, &at);
    out.push_str("<g data-needle=\"\"></g>\n</svg>\n");
    out
}

/// The gauge in words: each band's range, label and severity.
pub(super) fn words(measurement: &Measurement) -> String {
    let (from, to) = measurement.scale;
    let mut text = format!("Scale from {} to {}.", figure(from), quantity(to, &measurement.unit).replace('\u{a0}', " "));
    for (number, band) in measurement.bands.iter().enumerate() {
        let _ = write!(text, " {}.", said(number, band, measurement));
    }
    text
}

/// A band's range as readers see it, such as `10 to 40 Ω` or `200 Ω and above`.
pub fn range(band: &Band, measurement: &Measurement) -> String {
    if band.above {
        format!("{} and above", quantity(band.from, &measurement.unit))
    } else {
        format!("{} to {}", figure(band.from), quantity(band.to, &measurement.unit))
    }
}

fn patterns(key: &str) -> String {
    let key = escape(key);
    // Good is plain; the others grow denser as they grow graver.
    format!(
        "<defs>\
         <pattern id=\"watch-{key}\" class=\"g-pattern\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><circle cx=\"2\" cy=\"2\" r=\"1.1\"/><circle cx=\"6\" cy=\"6\" r=\"1.1\"/></pattern>\
         <pattern id=\"act-{key}\" class=\"g-pattern\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><path d=\"M-1 7 7 -1M-1 1 1 -1M5 7 7 5\"/></pattern>\
         <pattern id=\"stop-{key}\" class=\"g-pattern\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\"><path d=\"M-1 7 7 -1M-1 1 1 -1M5 7 7 5M-1 -1 7 7M5 -1 7 1M-1 5 1 7\"/></pattern>\
         </defs>\n"
    )
}

/// A band in words: number, range, label, severity.
fn said(number: usize, band: &Band, measurement: &Measurement) -> String {
    // Ordinary spaces: readers of the drawing as XML do not know the name by which HTML writes a space that holds together.
    let range = range(band, measurement).replace('\u{a0}', " ");
    format!("{}. {range}: {} ({})", number + 1, band.label, band.severity.words().to_lowercase())
}

fn draw_band(out: &mut String, band: &Band, said: &str, key: &str, at: &impl Fn(f64) -> f64) {
    let (left, right) = (at(band.from), at(band.to));
    let name = band.severity.name();
    let place = format!("x=\"{}\" y=\"{BAR_TOP}\" width=\"{}\" height=\"{BAR_HEIGHT}\"", n(left), n(right - left));
    let above = if band.above { " data-above=\"\"" } else { "" };
    let _ = writeln!(
        out,
        "<rect class=\"g-band g-{name}\" data-stretch=\"{}\" data-from=\"{}\" data-to=\"{}\"{above} data-words=\"{}\" {place}/>",
        escape(&band.id),
        band.from,
        band.to,
        escape(said)
    );
    if name != "good" {
        let _ = writeln!(out, "<rect class=\"g-mark g-mark-{name}\" fill=\"url(#{name}-{})\" {place}/>", escape(key));
    }
    if band.above {
        let middle = BAR_TOP + BAR_HEIGHT / 2.0;
        let _ = writeln!(out, "<path class=\"g-above\" d=\"M{} {}l8 8 -8 8\"/>", n(right + 3.0), n(middle - 8.0));
    }
}

/// The bands' numbers above the bar, each in a disc with a line to its band. The unit stands at the right end of the same row.
fn draw_numbers(out: &mut String, measurement: &Measurement, at: &impl Fn(f64) -> f64) {
    let bands = &measurement.bands;
    let wanted: Vec<(f64, f64)> = bands.iter().map(|band| (at((band.from + band.to) / 2.0), DISC + 2.0)).collect();
    let unit_width = unit(&measurement.unit).chars().map(|sign| if sign.is_alphanumeric() { LETTER } else { LETTER / 2.0 }).sum::<f64>();
    for (number, ((middle, _), place)) in wanted.iter().zip(spread(&wanted, WIDTH - unit_width)).enumerate() {
        let band = &bands[number];
        let _ = writeln!(
            out,
            "<path class=\"g-lead\" d=\"M{} {BAR_TOP}L{} {}\"/><circle class=\"g-disc g-disc-{}\" cx=\"{}\" cy=\"15\" r=\"{DISC}\"/><text class=\"g-number\" x=\"{}\" y=\"20\">{}</text>",
            n(*middle),
            n(place),
            n(15.0 + DISC),
            band.severity.name(),
            n(place),
            n(place),
            number + 1
        );
    }
}

/// Figures under the bar at the bands' edges and the scale's ends, each with a line from the place it names.
fn draw_edges(out: &mut String, measurement: &Measurement, at: &impl Fn(f64) -> f64) {
    let mut edges: Vec<f64> = measurement.bands.iter().map(|band| band.from).collect();
    edges.extend(measurement.bands.last().map(|band| band.to));
    let shown: Vec<String> = edges.iter().map(|edge| figure(*edge)).collect();
    let half =
        |text: &String| text.chars().map(|letter| if letter.is_ascii_digit() { DIGIT } else { DIGIT / 2.0 }).sum::<f64>() / 2.0 + 3.0;
    let wanted: Vec<(f64, f64)> = edges.iter().zip(&shown).map(|(edge, text)| (at(*edge), half(text))).collect();
    let bottom = BAR_TOP + BAR_HEIGHT;
    for (((edge, _), place), text) in wanted.iter().zip(spread(&wanted, WIDTH)).zip(&shown) {
        let _ = writeln!(
            out,
            "<path class=\"g-lead\" d=\"M{} {}v6L{} {}\"/><text class=\"g-figure\" x=\"{}\" y=\"{FIGURES}\">{text}</text>",
            n(*edge),
            n(bottom),
            n(place),
            n(FIGURES - 14.0),
            n(place)
        );
    }
}

/// Fine division marks along the top of the bar, so that the scale reads as a scale.
fn draw_scale(out: &mut String, measurement: &Measurement, at: &impl Fn(f64) -> f64) {
    let (from, to) = measurement.scale;
    let step = division(to - from);
    let mut path = String::new();
    let first = (from / step).ceil() as i64;
    let last = (to / step).floor() as i64;
    for mark in first..=last {
        let _ = write!(path, "M{} {}v-{}", n(at(mark as f64 * step)), n(BAR_TOP), if mark % 5 == 0 { 6 } else { 3 });
    }
    let _ = writeln!(out, "<path class=\"g-divide\" d=\"{path}\"/>");
    let _ = writeln!(out, "<text class=\"g-unit\" x=\"{}\" y=\"12\">{}</text>", n(WIDTH), escape(unit(&measurement.unit)));
}

/// A division of 1, 2 or 5 times a power of ten, of which at most 50 cover the span.
fn division(span: f64) -> f64 {
    let least = span / 50.0;
    let power = 10f64.powi(least.log10().floor() as i32);
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|factor| factor * power).find(|step| *step >= least).unwrap_or(10.0 * power)
}

/// Moves marks apart as little as possible: each has the place where it wants to be and half its width. They come in rising
/// order, keep it, and stay inside the width as long as there is room.
fn spread(wanted: &[(f64, f64)], width: f64) -> Vec<f64> {
    // Groups of marks that touch: the sum of their ends' wishes, how many there are, the width used so far.
    struct Group {
        first: usize,
        wishes: f64,
        count: f64,
        start: f64,
        width: f64,
    }
    let mut groups: Vec<Group> = Vec::new();
    for (at, (place, half)) in wanted.iter().enumerate() {
        let mut group = Group { first: at, wishes: place - half, count: 1.0, start: place - half, width: 2.0 * half };
        group.start = group.start.clamp(0.0, (width - group.width).max(0.0));
        while let Some(before) = groups.last() {
            if before.start + before.width <= group.start {
                break;
            }
            // Every mark wishes the joined group's start to be where the mark itself would then stand right.
            group.wishes = before.wishes + group.wishes - before.width * group.count;
            group.count += before.count;
            group.width += before.width;
            group.first = before.first;
            group.start = (group.wishes / group.count).clamp(0.0, (width - group.width).max(0.0));
            groups.pop();
        }
        groups.push(group);
    }
    let mut places = Vec::with_capacity(wanted.len());
    for (at, group) in groups.iter().enumerate() {
        let end = groups.get(at + 1).map_or(wanted.len(), |next| next.first);
        let mut left = group.start;
        for (_, half) in &wanted[group.first..end] {
            places.push(left + half);
            left += 2.0 * half;
        }
    }
    places
}

/// A length with at most one decimal, without a trailing `.0`.
fn n(length: f64) -> String {
    let tenths = (length * 10.0).round() / 10.0;
    format!("{}", if tenths == 0.0 { 0.0 } else { tenths })
}
