//! Which results of a drawn sum a technician could meet: figures that no appliance shows teach nothing.

use crate::formula::{How, Input, InputKind, Program, Type, Unit, Worked};
use crate::handbook::{Calculator, Entry, Handbook, Severity};

/// What is left of a difference must be at least this part of the larger figure: of two that are nearly alike, rounding decides.
const LEFT: f64 = 0.2;

/// Whether the result of the step `at`, `right` in the step's unit, makes sense. `told` are the places of the inputs in the question,
/// `lines` those of the steps on the way, the step itself last.
pub(super) fn sensible(
    handbook: &Handbook,
    calculator: &Calculator,
    at: usize,
    right: f64,
    worked: &Worked,
    told: &[usize],
    lines: &[usize],
) -> bool {
    let program = &calculator.program;
    let step = &program.steps[at];
    let told: Vec<(&Input, f64)> = told.iter().filter_map(|place| in_unit(program, worked, *place, &step.unit)).collect();
    let difference = matches!(&step.how, How::Formula(formula) if formula.text.contains(" - "));
    let left = !difference || told.iter().all(|(_, figure)| right >= LEFT * figure);
    // A fall that is a rise, or a margin below nothing: the page says so, but a question about it is a riddle.
    let signs = lines.iter().all(|line| worked.steps[*line].number.is_none_or(|number| number >= 0.0) || is_point(program, *line));
    let usual = usual(handbook, calculator, &step.unit);
    // Whether the step gives such a reading at all is seen from what it is worked from.
    let reading = told.iter().any(|(input, _)| {
        let start = if let InputKind::Number { start, units, .. } = &input.kind {
            units.first().map(|unit| step.unit.from_base(unit.to_base(*start)))
        } else {
            None
        };
        usual.is_some_and(|(from, to)| start.is_some_and(|start| (from..=to).contains(&start)))
    });
    left && signs && (!reading || usual.is_some_and(|(from, to)| (from..=to).contains(&right)))
}

/// An input and its figure in a unit, if it was given in one alike.
fn in_unit<'a>(program: &'a Program, worked: &Worked, place: usize, unit: &Unit) -> Option<(&'a Input, f64)> {
    let input = &program.inputs[place];
    let InputKind::Number { units, .. } = &input.kind else { return None };
    let alike = units.first().is_some_and(|first| first == unit);
    let Ok(crate::formula::Value::Number(base)) = &worked.inputs[place].value else { return None };
    alike.then(|| (input, unit.from_base(*base)))
}

/// A temperature on a scale may well be below zero.
fn is_point(program: &Program, step: usize) -> bool {
    matches!(program.steps[step].kind, Type::Number { point: true, .. })
}

/// From the lowest to the highest reading that asks for no mending, over the bands of all measurements in this unit that the
/// calculator links to.
fn usual(handbook: &Handbook, calculator: &Calculator, unit: &Unit) -> Option<(f64, f64)> {
    let linked = calculator.common.see.iter().chain(&calculator.next);
    let measurements = linked.filter_map(|name| match handbook.entry(name) {
        Some(Entry::Measurement(measurement)) if measurement.unit == *unit => Some(measurement),
        _ => None,
    });
    let bands =
        measurements.flat_map(|measurement| &measurement.bands).filter(|band| matches!(band.severity, Severity::Good | Severity::Watch));
    bands.map(|band| (band.from, band.to)).reduce(|all, band| (all.0.min(band.0), all.1.max(band.1)))
}
