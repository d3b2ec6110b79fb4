//! A quick-connect tab, its conductor and the stripped end, drawn to one scale.
//!
//! `browser/terminal.js` draws the same, sign for sign, when the inputs change; a test holds the two together.

use std::fmt::Write;

use super::lanes::n;
use super::sum::millimetres;
use crate::formula::{Result, Value, escape};

const WIDTH: f64 = 340.0;
const HEIGHT: f64 = 312.0;
/// The middles of the upper and the lower row of parts.
const UPPER: f64 = 66.0;
const LOWER: f64 = 206.0;
/// Below each row the names of its parts, and below these the measures: side by side they would run into each other.
const LINE: f64 = 15.0;
const UPPER_NAMES: f64 = 144.0;
const LOWER_NAMES: f64 = 264.0;

/// The most room that a part has, in units of the drawing.
const TAB_ROOM: f64 = 120.0;
const COPPER_ROOM: f64 = 40.0;
const STRIP_ROOM: f64 = 150.0;

/// The bar by which the drawing can be measured, in units of the drawing, and the millimetres that it can stand for. The least
/// that makes room for all parts is taken, so that the usual ones are drawn alike whatever is typed.
const BAR: f64 = 60.0;
const BARS: [f64; 12] = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0, 20_000.0];
/// Longer parts, in metres, are not drawn.
const LONGEST: f64 = 10.0;
/// Signs of a sleeve's name that fit beside the strip's.
const MOST_SIGNS: usize = 14;

/// Lengths in metres; `None` where the sum has no value.
#[derive(Debug, Default, Clone)]
pub struct Measures {
    pub tab_width: Option<f64>,
    pub tab_thickness: Option<f64>,
    pub conductor: Option<f64>,
    pub strip: Option<f64>,
    pub sleeve: Option<String>,
}

impl Measures {
    pub fn of(parts: &[(String, Result<Value>)]) -> Self {
        let value = |name: &str| parts.iter().find(|(part, _)| part == name).and_then(|(_, value)| value.as_ref().ok());
        let length = |name: &str| match value(name) {
            Some(Value::Number(metres)) => Some(*metres),
            _ => None,
        };
        let sleeve = match value("sleeve") {
            Some(Value::Text(text)) => Some(text.clone()),
            _ => None,
        };
        Self {
            tab_width: length("tab-width"),
            tab_thickness: length("tab-thickness"),
            conductor: length("conductor-diameter"),
            strip: length("strip"),
            sleeve,
        }
    }
}

/// The drawing to scale as SVG; a measure without a value, or of a length that no part has, is left out.
pub fn svg(measures: &Measures) -> String {
    let drawable = |length: Option<f64>| length.filter(|metres| (0.0..=LONGEST).contains(metres));
    let measures = Measures {
        tab_width: drawable(measures.tab_width),
        tab_thickness: drawable(measures.tab_thickness),
        conductor: drawable(measures.conductor),
        strip: drawable(measures.strip),
        sleeve: measures.sleeve.clone(),
    };
    let mut out = format!(
        "<svg class=\"terminal\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">",
        n(WIDTH),
        n(HEIGHT),
        escape(&words(&measures))
    );
    let bar = bar(&measures);
    let scaled = |metres: f64| metres * 1000.0 * (BAR / bar);
    if let Some(metres) = measures.tab_width {
        // The far end is left open: how long a tab stands out is not known here.
        let width = scaled(metres);
        let top = UPPER - width / 2.0;
        let corner = (width / 4.0).min(8.0);
        let _ = write!(
            out,
            "<path class=\"t-metal\" d=\"M20 {} H100 L112 {} V{} L100 {} H20 Z\"/>",
            n(top),
            n(top + corner),
            n(top + width - corner),
            n(top + width)
        );
        name(&mut out, "tab", metres, 20.0, UPPER_NAMES);
    }
    if let (Some(metres), Some(_)) = (measures.tab_thickness, measures.tab_width) {
        let thick = scaled(metres);
        let _ = write!(out, "<rect class=\"t-metal\" x=\"128\" y=\"{}\" width=\"80\" height=\"{}\"/>", n(UPPER - thick / 2.0), n(thick));
        name(&mut out, "edge", metres, 128.0, UPPER_NAMES);
    }
    if let Some(metres) = measures.conductor {
        let across = scaled(metres);
        let _ =
            write!(out, "<circle class=\"t-copper\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>", n(236.0 + across / 2.0), n(UPPER), n(across / 2.0));
        name(&mut out, "copper", metres, 236.0, UPPER_NAMES);
        if let Some(metres) = measures.strip {
            draw_strip(&mut out, &measures, across, scaled(metres), metres);
        }
    }
    let _ = write!(out, "<path class=\"t-bar\" d=\"M20 {} v-8 m0 4 h{} m0 -4 v8\"/>", n(HEIGHT - 8.0), n(BAR));
    let _ = write!(
        out,
        "<text class=\"t-figure\" x=\"{}\" y=\"{}\">{} mm, all parts to one scale</text>",
        n(28.0 + BAR),
        n(HEIGHT - 8.0),
        millimetres(bar / 1000.0)
    );
    out.push_str("</svg>");
    out
}

/// The millimetres that the bar stands for.
fn bar(measures: &Measures) -> f64 {
    let fits = |length: Option<f64>, room: f64, bar: f64| length.is_none_or(|metres| metres * 1000.0 * (BAR / bar) <= room);
    let all_fit = |bar: f64| {
        fits(measures.tab_width, TAB_ROOM, bar)
            && fits(measures.tab_thickness, TAB_ROOM, bar)
            && fits(measures.conductor, COPPER_ROOM, bar)
            && fits(measures.strip, STRIP_ROOM, bar)
    };
    BARS.into_iter().find(|bar| all_fit(*bar)).unwrap_or(BARS[BARS.len() - 1])
}

/// What a part is and, below it, how long.
fn name(out: &mut String, part: &str, metres: f64, x: f64, y: f64) {
    let _ = write!(out, "<text class=\"t-figure\" x=\"{}\" y=\"{}\">{part}</text>", n(x), n(y));
    let _ = write!(out, "<text class=\"t-figure\" x=\"{}\" y=\"{}\">{} mm</text>", n(x), n(y + LINE), millimetres(metres));
}

/// The stripped end beside the terminal's sleeve.
fn draw_strip(out: &mut String, measures: &Measures, across: f64, long: f64, metres: f64) {
    let _ = write!(out, "<rect class=\"t-cover\" x=\"20\" y=\"{}\" width=\"60\" height=\"{}\"/>", n(LOWER - across), n(across * 2.0));
    let _ =
        write!(out, "<rect class=\"t-copper\" x=\"80\" y=\"{}\" width=\"{}\" height=\"{}\"/>", n(LOWER - across / 2.0), n(long), n(across));
    name(out, "strip", metres, 80.0, LOWER_NAMES);
    if let Some(sleeve) = &measures.sleeve {
        let _ = write!(
            out,
            "<rect class=\"t-sleeve t-sleeve-{}\" x=\"250\" y=\"{}\" width=\"70\" height=\"32\" rx=\"6\"/>",
            key(sleeve),
            n(LOWER - 16.0)
        );
        for (text, y) in [(short(sleeve).as_str(), LOWER_NAMES), ("sleeve", LOWER_NAMES + LINE)] {
            let _ = write!(out, "<text class=\"t-figure\" x=\"320\" y=\"{}\" text-anchor=\"end\">{}</text>", n(y), escape(text));
        }
    }
}

/// The name, or its beginning where it is too long for its place.
fn short(sleeve: &str) -> String {
    if sleeve.chars().count() <= MOST_SIGNS {
        return sleeve.to_owned();
    }
    sleeve.chars().take(MOST_SIGNS - 1).chain(['…']).collect()
}

/// A colour's word as a class.
fn key(sleeve: &str) -> String {
    sleeve.chars().filter(char::is_ascii_lowercase).collect()
}

fn words(measures: &Measures) -> String {
    let mut parts = Vec::new();
    let mut length = |name: &str, metres: Option<f64>| {
        if let Some(metres) = metres {
            parts.push(format!("{name} {} millimetres", millimetres(metres)));
        }
    };
    length("tab width", measures.tab_width);
    length("tab thickness", measures.tab_thickness);
    length("conductor diameter", measures.conductor);
    length("strip length", measures.strip);
    if let Some(sleeve) = &measures.sleeve {
        parts.push(format!("sleeve {sleeve}"));
    }
    if parts.is_empty() {
        return "Drawing to scale: nothing to draw.".to_owned();
    }
    format!("Drawing to scale: {}.", parts.join(", "))
}
