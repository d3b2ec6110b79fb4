//! Works a whole calculator: inputs read, steps in order, verdicts, timeline, drawing.

use super::evaluate::{Result, Value};
use super::format::format;
use super::given::Given;
use super::program::{How, Input, Program, Step};
use super::sentence;
use super::timeline::Segment;
use super::wording;

/// Everything that came out. No number in it is infinite or not a number.
#[derive(Debug, Clone)]
pub struct Worked {
    pub inputs: Vec<WorkedInput>,
    pub steps: Vec<WorkedStep>,
    pub verdicts: Vec<WorkedVerdict>,
    /// The phases, or the sentence why there is no chart; `None` if the calculator has no timeline.
    pub timeline: Option<Result<Vec<Segment>>>,
    /// Name and value of each measure of the drawing; lengths in metres.
    pub drawing: Vec<(String, Result)>,
    /// Names that were given but are no inputs.
    pub unknown: Vec<String>,
}

#[derive(Debug, Clone)]
pub struct WorkedInput {
    pub id: String,
    /// Numbers in SI base units; or the sentence what is wrong with what was typed.
    pub value: Result,
    /// As the working shows it, with the unit; empty without a value.
    pub shown: String,
    /// Whether the input counts with these values of the inputs before it.
    pub counts: bool,
}

#[derive(Debug, Clone)]
pub struct WorkedStep {
    pub id: String,
    pub value: Result,
    /// The number in the step's unit; `None` for truths, texts and without a value.
    pub number: Option<f64>,
    /// As shown, with the unit; empty without a value.
    pub shown: String,
    /// The formula in names, such as `Voltage ÷ Scale`; for a pick, in words.
    pub names: String,
    /// The same with values in the place of names; empty without a value.
    pub numbers: String,
    /// The branch that is taken of an `if` at the top, as in [`StepLabels::lines`](super::StepLabels::lines).
    pub branch: usize,
}

#[derive(Debug, Clone)]
pub struct WorkedVerdict {
    /// The step's name.
    pub on: String,
    /// The position of the band, or the sentence why there is none.
    pub band: Result<usize>,
}

impl WorkedVerdict {
    /// Whether there is something to judge; see [`WorkedStep::counts`].
    pub fn counts(&self) -> bool {
        self.band.as_ref().err().is_none_or(|why| !sentence::is_not_counted(why))
    }
}

impl Program {
    /// Works the calculator with what was given; inputs that were not keep their start.
    pub fn work(&self, given: &Given) -> Worked {
        let mut names: Vec<Result> = Vec::with_capacity(self.inputs.len() + self.steps.len());
        let mut shown: Vec<String> = Vec::new();
        let mut inputs = Vec::new();
        for input in &self.inputs {
            let worked = input.work(given, &names);
            names.push(worked.as_needed(&input.title));
            shown.push(worked.shown.clone());
            inputs.push(worked);
        }
        let mut steps = Vec::new();
        for step in &self.steps {
            let value = match &step.how {
                How::Formula(formula) => formula.work(&names),
                How::Pick(pick) => match self.tables.get(&pick.table) {
                    Some(table) => pick.work(table, &names),
                    None => Err(pick.lack(&pick.table)),
                },
            };
            let value = value.and_then(|value| step.in_unit(&value).map(|_| value));
            let branch = if value.is_ok() { wording::branch(step, &names) } else { 0 };
            let numbers = match wording::lines(self, step).get(branch) {
                Some(line) if value.is_ok() => wording::numbers(line, &shown),
                _ => String::new(),
            };
            let worked = WorkedStep {
                id: step.id.clone(),
                number: value.as_ref().ok().and_then(|value| step.in_unit(value).ok().flatten()),
                shown: value.as_ref().map(|value| step.show(value)).unwrap_or_default(),
                names: wording::names(self, step),
                numbers,
                branch,
                value,
            };
            names.push(worked.as_needed(&step.title));
            shown.push(worked.shown.clone());
            steps.push(worked);
        }
        let verdicts = self.verdicts.iter().map(|verdict| {
            let place = self.inputs.len() + verdict.step;
            let band = names[place].clone().and_then(|value| verdict.bands.choose(&value, &names));
            WorkedVerdict { on: self.name(place).to_owned(), band }
        });
        Worked {
            verdicts: verdicts.collect(),
            timeline: self.timeline.as_ref().map(|timeline| timeline.work(&names)),
            drawing: self
                .drawing
                .iter()
                .flat_map(|drawing| &drawing.parts)
                .map(|(name, formula)| (name.clone(), formula.work(&names)))
                .collect(),
            unknown: given.0.keys().filter(|name| self.input(name).is_none()).cloned().collect(),
            inputs,
            steps,
        }
    }
}

impl Worked {
    pub fn step(&self, id: &str) -> Option<&WorkedStep> {
        self.steps.iter().find(|step| step.id == id)
    }

    /// The first thing that is wrong with what was typed: the input's name and the sentence.
    pub fn refused(&self) -> Option<(&str, &str)> {
        self.inputs.iter().filter(|input| input.counts).find_map(|input| Some((input.id.as_str(), input.value.as_ref().err()?.as_str())))
    }
}

impl WorkedInput {
    /// The value as formulas see it.
    fn as_needed(&self, title: &str) -> Result {
        match &self.value {
            _ if !self.counts => Err(sentence::does_not_count(title)),
            Ok(value) => Ok(value.clone()),
            Err(_) => Err(sentence::needs(title)),
        }
    }
}

impl WorkedStep {
    /// Whether the step has a part in the sum: it has a value, or lacks one for another reason than an input that does not count.
    pub fn counts(&self) -> bool {
        self.value.as_ref().err().is_none_or(|why| !sentence::is_not_counted(why))
    }

    fn as_needed(&self, title: &str) -> Result {
        // What rests on an input that does not count here does not count either, and says so rather than blaming its neighbour.
        self.value.clone().map_err(|why| if sentence::is_not_counted(&why) { why } else { sentence::needs(title) })
    }
}

impl Input {
    fn work(&self, given: &Given, names: &[Result]) -> WorkedInput {
        let counts = self.when.as_ref().is_none_or(|when| when.work(names) == Ok(Value::Truth(true)));
        let read = match given.get(&self.id) {
            Some(text) => self.read(text),
            None => self.read(&self.start_text()),
        };
        let (value, shown) = match read {
            Ok((value, shown)) => (Ok(value), shown),
            Err(sentence) => (Err(sentence), String::new()),
        };
        WorkedInput { id: self.id.clone(), value, shown, counts }
    }
}

impl Step {
    /// A number in the step's unit; `None` for truths and texts.
    fn in_unit(&self, value: &Value) -> Result<Option<f64>> {
        match value {
            Value::Number(base) => {
                let number = self.unit.from_base(*base);
                if number.is_finite() { Ok(Some(number)) } else { Err(sentence::LARGE.into()) }
            }
            _ => Ok(None),
        }
    }

    /// A value of this step as pages show it: rounded, with the unit; `yes` or `no`; the text.
    pub fn show(&self, value: &Value) -> String {
        match value {
            Value::Number(base) => self.unit.with(&format(self.unit.from_base(*base), self.digits)),
            Value::Truth(true) => "yes".into(),
            Value::Truth(false) => "no".into(),
            Value::Text(text) => text.clone(),
        }
    }
}
