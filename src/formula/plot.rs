//! Points for a curve: one step worked at values of one input over its whole range. Drawing them is the pages' part.

use super::evaluate::Result;
use super::given::Given;
use super::program::{InputKind, Plot, Program};
use super::sentence;
use super::unit::Unit;
use super::{Bands, work::Run};

/// Stretches between the points of a curve.
const STRETCHES: usize = 80;

/// Points of a curve; where the step has no value, neither has the point.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// In the input's first unit, rising.
    pub x: Vec<f64>,
    /// In the step's unit.
    pub y: Vec<Option<f64>>,
    /// For each edge between bands its place at every point, in the step's unit.
    pub edges: Vec<Vec<Option<f64>>>,
    /// What was given and what came out.
    pub here: Option<(f64, f64)>,
}

impl Program {
    /// The curve with what was given; or the sentence why there is none. `None` if the calculator has no plot.
    pub fn curve(&self, given: &Given) -> Option<Result<Curve>> {
        let plot = self.plot.as_ref()?;
        let input = self.inputs.get(plot.over)?;
        let InputKind::Number { units, from, to, whole, .. } = &input.kind else { return None };
        let unit = units.first().cloned().unwrap_or_else(Unit::one);
        let now = self.run(given, None, false);
        if !now.inputs[plot.over].counts {
            return Some(Err(sentence::does_not_count(&input.title)));
        }
        let mut curve = Curve { x: Vec::new(), y: Vec::new(), edges: vec![Vec::new(); self.edges(plot)], here: None };
        for at in 0..=STRETCHES {
            let mut x = from + (to - from) * at as f64 / STRETCHES as f64;
            if *whole {
                x = (x + 0.5).floor();
            }
            if curve.x.last() == Some(&x) {
                continue;
            }
            let run = self.run(given, Some((plot.over, unit.to_base(x))), false);
            curve.x.push(x);
            curve.y.push(run.steps[plot.of].number);
            self.edge_points(plot, &run, &mut curve.edges);
        }
        if let (Ok(super::Value::Number(base)), Some(number)) = (&now.inputs[plot.over].value, now.steps[plot.of].number) {
            curve.here = Some((unit.from_base(*base), number));
        }
        Some(Ok(curve))
    }

    fn edges(&self, plot: &Plot) -> usize {
        plot.verdict.map_or(0, |verdict| self.verdicts[verdict].bands.count() - 1)
    }

    fn edge_points(&self, plot: &Plot, run: &Run, edges: &mut [Vec<Option<f64>>]) {
        let Some(Bands::Number { edges: formulas }) = plot.verdict.map(|verdict| &self.verdicts[verdict].bands) else { return };
        let unit = &self.steps[plot.of].unit;
        for (edge, points) in formulas.iter().zip(edges) {
            let place = edge.number(&run.world()).ok().map(|base| unit.from_base(base)).filter(|place| place.is_finite());
            points.push(place);
        }
    }
}
