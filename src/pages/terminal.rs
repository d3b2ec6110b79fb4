//! A quick-connect tab, its conductor and the stripped end, drawn to one scale.
//!
//! `browser/terminal.js` draws the same, sign for sign, when the inputs change; a test holds the two together.

use std::fmt::Write;

use super::lanes::n;
use super::sum::millimetres;
use crate::formula::{Result, Value, escape};

/// Units of the drawing for one millimetre.
const SCALE: f64 = 12.0;
const WIDTH: f64 = 340.0;
const HEIGHT: f64 = 250.0;

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

/// The drawing to scale as SVG; a measure without a value is left out.
pub fn svg(measures: &Measures) -> String {
    let mut out = format!(
        "<svg class=\"terminal\" viewBox=\"0 0 {} {}\" role=\"img\" aria-label=\"{}\">",
        n(WIDTH),
        n(HEIGHT),
        escape(&words(measures))
    );
    let tab = measures.tab_width.map(|width| width * 1000.0 * SCALE);
    if let (Some(width), Some(metres)) = (tab, measures.tab_width) {
        // The far end is left open: how long a tab stands out is not known here.
        let top = 60.0 - width / 2.0;
        let _ = write!(
            out,
            "<path class=\"t-metal\" d=\"M20 {} H100 L112 {} V{} L100 {} H20 Z\"/>",
            n(top),
            n(top + 8.0),
            n(top + width - 8.0),
            n(top + width)
        );
        let _ = write!(out, "<text class=\"t-figure\" x=\"20\" y=\"124\">tab {} mm</text>", millimetres(metres));
    }
    if let (Some(metres), Some(_)) = (measures.tab_thickness, tab) {
        let thick = metres * 1000.0 * SCALE;
        let _ = write!(out, "<rect class=\"t-metal\" x=\"122\" y=\"{}\" width=\"80\" height=\"{}\"/>", n(60.0 - thick / 2.0), n(thick));
        let _ = write!(out, "<text class=\"t-figure\" x=\"122\" y=\"124\">edge {} mm</text>", millimetres(metres));
    }
    if let Some(metres) = measures.conductor {
        let across = metres * 1000.0 * SCALE;
        let _ = write!(out, "<circle class=\"t-copper\" cx=\"300\" cy=\"60\" r=\"{}\"/>", n(across / 2.0));
        let _ = write!(out, "<text class=\"t-figure\" x=\"334\" y=\"124\" text-anchor=\"end\">copper {} mm</text>", millimetres(metres));
        draw_strip(&mut out, measures, across);
    }
    // A bar of 5 mm, by which the drawing can be measured.
    let _ = write!(out, "<path class=\"t-bar\" d=\"M20 {} v-8 m0 4 h{} m0 -4 v8\"/>", n(HEIGHT - 8.0), n(5.0 * SCALE));
    let _ = write!(
        out,
        "<text class=\"t-figure\" x=\"{}\" y=\"{}\">5 mm, all parts to one scale</text>",
        n(28.0 + 5.0 * SCALE),
        n(HEIGHT - 8.0)
    );
    out.push_str("</svg>");
    out
}

/// The stripped end in the terminal's sleeve.
fn draw_strip(out: &mut String, measures: &Measures, across: f64) {
    let Some(metres) = measures.strip else { return };
    let long = metres * 1000.0 * SCALE;
    let _ = write!(out, "<rect class=\"t-cover\" x=\"20\" y=\"{}\" width=\"60\" height=\"{}\"/>", n(176.0 - across), n(across * 2.0));
    let _ =
        write!(out, "<rect class=\"t-copper\" x=\"80\" y=\"{}\" width=\"{}\" height=\"{}\"/>", n(176.0 - across / 2.0), n(long), n(across));
    let _ = write!(out, "<text class=\"t-figure\" x=\"80\" y=\"222\">strip {} mm</text>", millimetres(metres));
    if let Some(sleeve) = &measures.sleeve {
        let x = (80.0 + long + 20.0).min(250.0);
        let _ =
            write!(out, "<rect class=\"t-sleeve t-sleeve-{}\" x=\"{}\" y=\"160\" width=\"70\" height=\"32\" rx=\"6\"/>", key(sleeve), n(x));
        let _ = write!(out, "<text class=\"t-figure\" x=\"{}\" y=\"222\">{} sleeve</text>", n(x), escape(sleeve));
    }
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
    format!("Drawing to scale: {}.", parts.join(", "))
}
