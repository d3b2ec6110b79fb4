//! The curve of a plot: one step worked at values of one input. Drawing it is the pages' part; `browser/plot.js` works the same
//! points.

use super::band::Bands;
use super::evaluate::{Result, Value, below};
use super::format::{Digits, format};
use super::given::Given;
use super::program::{InputKind, Plot, Program};
use super::sentence;
use super::unit::Unit;
use super::work::Run;

/// Stretches between the points of a curve.
const STRETCHES: usize = 64;

/// Points of a curve; where the step has no value, neither has the point.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// In the input's first unit, rising.
    pub x: Vec<f64>,
    /// In the step's unit.
    pub y: Vec<Option<f64>>,
    /// For each edge between bands its place at every point, in the step's unit.
    pub edges: Vec<Vec<Option<f64>>>,
    /// What is given and what comes out.
    pub here: Option<(f64, f64)>,
    /// The same as shown, with their units; or the sentence why there is no such point.
    pub now: Result<(String, String)>,
}

/// What stands along the axes.
#[derive(Debug, Clone, PartialEq)]
pub struct PlotLabels {
    pub title: String,
    /// Step and input by name, title and unit as shown.
    pub of: [String; 3],
    pub over: [String; 3],
    /// What the script calls the verdict; empty without one.
    pub verdict: String,
}

impl Program {
    pub fn plot_labels(&self) -> Option<PlotLabels> {
        let plot = self.plot.as_ref()?;
        let (step, input) = (self.steps.get(plot.of)?, self.inputs.get(plot.over)?);
        let unit = self.plot_unit(plot);
        Some(PlotLabels {
            title: plot.title.clone(),
            of: [step.id.clone(), step.title.clone(), step.unit.shown().to_owned()],
            over: [input.id.clone(), input.title.clone(), unit.shown().to_owned()],
            verdict: plot.verdict.map(|at| self.verdict_key(at)).unwrap_or_default(),
        })
    }

    /// The curve with what is given; or the sentence why there is none. `None` if the calculator has no plot.
    pub fn curve(&self, given: &Given) -> Option<Result<Curve>> {
        let plot = self.plot.as_ref()?;
        let input = self.inputs.get(plot.over)?;
        let InputKind::Number { whole, .. } = &input.kind else { return None };
        let unit = self.plot_unit(plot);
        let run = self.run(given, true);
        if !run.inputs[plot.over].counts {
            return Some(Err(sentence::does_not_count(&input.title)));
        }
        let step = &run.steps[plot.of];
        let x = match &run.inputs[plot.over].value {
            Ok(Value::Number(base)) => Ok(unit.from_base(*base)),
            Ok(_) => Err(sentence::LARGE.into()),
            Err(_) => Err(sentence::needs(&input.title).into()),
        };
        let here = x.and_then(|x| step.number.map(|y| (x, y)).ok_or_else(|| step.value.as_ref().err().cloned().unwrap_or_default()));
        let now = here.clone().map(|_| (run.inputs[plot.over].shown.clone(), step.shown.clone()));
        let (mut from, mut to) = (plot.from, plot.to);
        if let Ok((x, _)) = here {
            (from, to) = (if x < from { x } else { from }, if x > to { x } else { to });
        }
        let edges = plot.verdict.map_or(0, |verdict| self.verdicts[verdict].bands.count() - 1);
        let mut curve = Curve { x: Vec::new(), y: Vec::new(), edges: vec![Vec::new(); edges], here: here.ok(), now };
        let mut given = given.clone();
        for at in 0..=STRETCHES {
            let mut x = from + (to - from) * at as f64 / STRETCHES as f64;
            if *whole {
                x = (x + 0.5).floor();
            }
            if curve.x.last() == Some(&x) {
                continue;
            }
            given.set(&input.id, x.to_string());
            let run = self.run(&given, false);
            curve.x.push(x);
            curve.y.push(run.steps[plot.of].number);
            self.edges(plot, &run, &mut curve.edges);
        }
        Some(Ok(curve))
    }

    /// The band that a value of the curve lies in at the point `at`; `None` if an edge below it has no place there.
    pub fn band_at(&self, curve: &Curve, at: usize) -> Option<usize> {
        let y = curve.y[at]?;
        for (band, edge) in curve.edges.iter().enumerate() {
            if below(y, edge[at]?) {
                return Some(band);
            }
        }
        Some(curve.edges.len())
    }

    /// A point of the curve as its list shows it.
    pub fn point_shown(&self, curve: &Curve, at: usize) -> Option<(String, String)> {
        let plot = self.plot.as_ref()?;
        let step = self.steps.get(plot.of)?;
        let x = self.plot_unit(plot).with(&format(curve.x[at], Digits::Significant(4)));
        Some((x, curve.y[at].map(|y| step.unit.with(&format(y, step.digits))).unwrap_or_default()))
    }

    fn plot_unit(&self, plot: &Plot) -> Unit {
        match self.inputs.get(plot.over).map(|input| &input.kind) {
            Some(InputKind::Number { units, .. }) => units.first().cloned().unwrap_or_else(Unit::one),
            _ => Unit::one(),
        }
    }

    fn edges(&self, plot: &Plot, run: &Run, edges: &mut [Vec<Option<f64>>]) {
        let Some(Bands::Number { edges: formulas }) = plot.verdict.map(|verdict| &self.verdicts[verdict].bands) else { return };
        let unit = &self.steps[plot.of].unit;
        // A verdict takes the first band whose upper edge is above the value. So where an edge lies below one before it, its band is
        // empty, and the next one begins at the higher edge.
        let mut highest = f64::NEG_INFINITY;
        for (edge, points) in formulas.iter().zip(edges) {
            let place = edge.number(&run.world()).ok().map(|base| unit.from_base(base)).filter(|place| place.is_finite());
            highest = place.map_or(highest, |place| if place > highest { place } else { highest });
            points.push(place.map(|_| highest));
        }
    }
}
