//! Works a whole calculator: inputs read, the unknown solved, rows, steps in order, verdicts, timeline, drawing.

use super::aggregate::ListValues;
use super::evaluate::{Result, Value, World, alike_within, below};
use super::format::format;
use super::given::Given;
use super::program::{How, Input, InputKind, Program, RowList, Solve, Step};
use super::sentence::{self, Lack};
use super::timeline::Segment;
use super::unit::Unit;
use super::wording;

/// Both sides of a solved formula may differ by this part of the larger: more than rounding on the way leaves behind.
const SOLVED: f64 = 1e-6;

/// Everything that came out. No number in it is infinite or not a number.
#[derive(Debug, Clone)]
pub struct Worked {
    pub inputs: Vec<WorkedInput>,
    /// One for each of the program's lists.
    pub lists: Vec<WorkedList>,
    pub steps: Vec<WorkedStep>,
    pub verdicts: Vec<WorkedVerdict>,
    /// The phases, or the sentence why there is no chart; `None` if the calculator has no timeline.
    pub timeline: Option<Result<Vec<Segment>>>,
    /// Name and value of each measure of the drawing; lengths in metres.
    pub drawing: Vec<(String, Result)>,
    /// Names that were given but are no inputs or lists.
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

/// A list of rows.
#[derive(Debug, Clone)]
pub struct WorkedList {
    pub id: String,
    pub rows: Vec<WorkedRow>,
    /// What is wrong with the list as a whole: too few rows, too many, or a text that is no list.
    pub says: Option<String>,
}

#[derive(Debug, Clone)]
pub struct WorkedRow {
    /// What it is called, such as `Load 2: Gas valve`.
    pub title: String,
    /// One for each of the list's fields.
    pub inputs: Vec<WorkedInput>,
    pub steps: Vec<WorkedStep>,
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
    /// What [`Piece::Made`](super::Piece::Made) of the line came to, one after the other.
    pub made: Vec<String>,
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
        self.band.as_ref().err().is_none_or(|why| !why.idle)
    }
}

/// Inputs, rows and steps with the values that formulas see.
pub(super) struct Run {
    names: Vec<Result>,
    rows: Vec<Result<ListValues>>,
    pub(super) inputs: Vec<WorkedInput>,
    lists: Vec<WorkedList>,
    pub(super) steps: Vec<WorkedStep>,
}

impl Run {
    pub(super) fn world(&self) -> World<'_> {
        World { names: &self.names, lists: &self.rows, ..World::default() }
    }
}

impl Program {
    /// Works the calculator with what was given; inputs that were not keep their start.
    pub fn work(&self, given: &Given) -> Worked {
        self.worked(self.run(given, true), given)
    }

    /// As [`work`](Self::work), with values only: neither results nor the working in words, which are most of the effort.
    pub fn work_values(&self, given: &Given) -> Worked {
        self.worked(self.run(given, false), given)
    }

    fn worked(&self, run: Run, given: &Given) -> Worked {
        let world = run.world();
        let verdicts = self.verdicts.iter().map(|verdict| {
            // What was worked out stands in its input's place too, and is judged also where it was given.
            let place = self.steps[verdict.step].solves.unwrap_or(self.inputs.len() + verdict.step);
            let band = run.names[place].clone().and_then(|value| verdict.bands.choose(&value, &world));
            WorkedVerdict { on: self.name(place).to_owned(), band }
        });
        Worked {
            verdicts: verdicts.collect(),
            timeline: self.timeline.as_ref().map(|timeline| timeline.work(&world)),
            drawing: self
                .drawing
                .iter()
                .flat_map(|drawing| &drawing.parts)
                .map(|(name, formula)| (name.clone(), formula.work(&world)))
                .collect(),
            unknown: given.0.keys().filter(|name| self.input(name).is_none() && self.list(name).is_none()).cloned().collect(),
            inputs: run.inputs,
            lists: run.lists,
            steps: run.steps,
        }
    }

    /// `words`: whether steps put their working in words.
    pub(super) fn run(&self, given: &Given, words: bool) -> Run {
        let bare = World { wordless: !words, ..World::default() };
        let mut names: Vec<Result> = Vec::with_capacity(self.inputs.len() + self.steps.len());
        let mut shown: Vec<String> = Vec::new();
        let mut inputs: Vec<WorkedInput> = Vec::new();
        for input in &self.inputs {
            let worked = input.work(given.get(&input.id), &World { names: &names, ..bare }, words);
            names.push(worked.as_needed(&input.title));
            shown.push(worked.shown.clone());
            inputs.push(worked);
        }
        let mut steps = Vec::new();
        let solved = self.solve.as_ref().map_or(0, |solve| solve.unknowns.len());
        if let Some(solve) = &self.solve {
            for (step, place) in self.steps.iter().zip(&solve.unknowns) {
                if inputs[*place].counts {
                    let named = if words { wording::names(self, None, step) } else { String::new() };
                    steps.push(WorkedStep::none(step, sentence::does_not_count(&step.title), named));
                    continue;
                }
                let worked = self.solve(solve, step, *place, words, &mut names, &mut shown);
                // The working of other steps shows it in the input's place.
                inputs[*place].shown = worked.shown.clone();
                steps.push(worked);
            }
        }
        for (step, worked) in self.steps.iter().zip(&steps) {
            names.push(worked.as_needed(&step.title));
            shown.push(worked.shown.clone());
        }
        let (mut lists, mut rows) = (Vec::new(), Vec::new());
        for list in &self.lists {
            let worked = list.work(self, given.get(&list.id), &World { names: &names, ..bare }, &shown);
            rows.push(list.values(&worked));
            lists.push(worked);
        }
        for step in self.steps.iter().skip(solved) {
            let world = World { names: &names, lists: &rows, ..bare };
            let worked = step.work(self, None, &world, &shown, &[]);
            names.push(worked.as_needed(&step.title));
            shown.push(worked.shown.clone());
            steps.push(worked);
        }
        Run { names, rows, inputs, lists, steps }
    }

    /// Works an unknown out of the others and puts it in its input's place.
    fn solve(&self, solve: &Solve, step: &Step, place: usize, words: bool, names: &mut [Result], shown: &mut [String]) -> WorkedStep {
        let mut worked = step.work(self, None, &World { names, wordless: !words, ..World::default() }, shown, &[]);
        if let Some(end) = worked.value.as_ref().ok().and_then(|value| self.inputs[place].end_near(value)) {
            worked = worked.with(step, end, words);
        }
        if let Ok(value) = &worked.value {
            names[place] = Ok(value.clone());
            let [left, right] = solve.sides.each_ref().map(|side| side.number(&World { names, ..World::default() }));
            let fits = matches!((left, right), (Ok(left), Ok(right)) if alike_within(left, right, SOLVED));
            let why = if fits { self.inputs[place].refuses(step, value) } else { Some(sentence::nothing_fits(&step.title)) };
            if let Some(why) = why {
                worked = WorkedStep::none(step, why.into(), worked.names);
            }
        }
        names[place] = worked.as_needed(&step.title);
        shown[place] = worked.shown.clone();
        worked
    }

    /// Sets the unknown to the one quantity that was not given, if just one was not.
    ///
    /// # Errors
    /// A plain sentence if the unknown was given too.
    pub fn complete(&self, given: &mut Given) -> std::result::Result<(), String> {
        let Some(solve) = &self.solve else { return Ok(()) };
        let choice = &self.inputs[solve.choice];
        let missing: Vec<usize> = solve.unknowns.iter().copied().filter(|place| given.get(&self.inputs[*place].id).is_none()).collect();
        match (given.get(&choice.id), missing.as_slice()) {
            (None, [unknown]) => given.set(&choice.id, &self.inputs[*unknown].id),
            (None, []) => return Err(sentence::all_given(&choice.id)),
            (Some(unknown), _) if solve.unknowns.iter().any(|place| self.inputs[*place].id == unknown) && given.get(unknown).is_some() => {
                return Err(sentence::unknown_given(unknown));
            }
            _ => {}
        }
        Ok(())
    }
}

impl Worked {
    pub fn step(&self, id: &str) -> Option<&WorkedStep> {
        self.steps.iter().find(|step| step.id == id)
    }

    /// The first thing that is wrong with what was typed: where, and the sentence.
    pub fn refused(&self) -> Option<(String, &str)> {
        let wrong = |input: &WorkedInput| input.value.as_ref().err().filter(|_| input.counts).cloned();
        let own = self
            .inputs
            .iter()
            .filter(|input| input.counts)
            .find_map(|input| Some((input.id.clone(), input.value.as_ref().err()?.says.as_str())));
        own.or_else(|| self.lists.iter().find_map(|list| Some((list.id.clone(), list.says.as_deref()?)))).or_else(|| {
            let rows = self.lists.iter().flat_map(|list| list.rows.iter().enumerate().map(move |(at, row)| (list, at, row)));
            rows.flat_map(|(list, at, row)| row.inputs.iter().map(move |input| (list, at, input)))
                .filter(|(_, _, input)| wrong(input).is_some())
                .find_map(|(list, at, input)| {
                    Some((std::format!("{} row {} {}", list.id, at + 1, input.id), input.value.as_ref().err()?.says.as_str()))
                })
        })
    }
}

impl WorkedInput {
    /// The value as formulas see it.
    pub(super) fn as_needed(&self, title: &str) -> Result {
        match &self.value {
            _ if !self.counts => Err(sentence::does_not_count(title)),
            Ok(value) => Ok(value.clone()),
            Err(_) => Err(sentence::needs(title).into()),
        }
    }
}

impl WorkedStep {
    fn none(step: &Step, why: Lack, names: String) -> Self {
        Self {
            id: step.id.clone(),
            value: Err(why),
            number: None,
            shown: String::new(),
            names,
            numbers: String::new(),
            made: Vec::new(),
            branch: 0,
        }
    }

    /// The same with another number, in SI base units.
    fn with(self, step: &Step, base: f64, words: bool) -> Self {
        let value = Value::Number(base);
        let shown = if words { step.show(&value) } else { String::new() };
        Self { number: Some(step.unit.from_base(base)), shown, value: Ok(value), ..self }
    }

    /// Whether the step has a part in the sum: it has a value, or lacks one for another reason than an input that does not count.
    pub fn counts(&self) -> bool {
        self.value.as_ref().err().is_none_or(|why| !why.idle)
    }

    pub(super) fn as_needed(&self, title: &str) -> Result {
        // What rests on an input that does not count here does not count either, and says so rather than blaming its neighbour.
        self.value.clone().map_err(|why| if why.idle { why } else { sentence::needs(title).into() })
    }
}

impl Input {
    /// `text`: what was typed, if anything; `words`: whether the value as shown is asked for.
    pub(super) fn work(&self, text: Option<&str>, world: &World, words: bool) -> WorkedInput {
        let counts = self.when.as_ref().is_none_or(|when| when.work(world) == Ok(Value::Truth(true)));
        let read = match text {
            Some(text) => self.read_for(text, words),
            None => self.start(words),
        };
        let (value, shown) = match read {
            Ok((value, shown)) => (Ok(value), shown),
            Err(sentence) => (Err(sentence), String::new()),
        };
        WorkedInput { id: self.id.clone(), value, shown, counts }
    }

    /// The end of the range that a value worked out lies beyond, by no more than rounding on the way leaves behind.
    fn end_near(&self, value: &Value) -> Option<f64> {
        let (InputKind::Number { units, from, to, .. }, Value::Number(base)) = (&self.kind, value) else { return None };
        let main = units.first().cloned().unwrap_or_else(Unit::one);
        let (from, to) = (main.to_base(*from), main.to_base(*to));
        let end = base.max(from).min(to);
        ((base - end).abs() <= 1e-9 * (to - from) && end != *base).then_some(end)
    }

    /// Why a value that was worked out is none for this input.
    fn refuses(&self, step: &Step, value: &Value) -> Option<String> {
        let (InputKind::Number { units, from, to, .. }, Value::Number(base)) = (&self.kind, value) else { return None };
        let main = units.first().cloned().unwrap_or_else(Unit::one);
        let outside = below(*base, main.to_base(*from)) || below(main.to_base(*to), *base);
        let unit = units.iter().find(|unit| unit.shown() == step.unit.shown()).unwrap_or(&main);
        outside.then(|| sentence::comes_outside(&step.show(value), &self.limits(unit)))
    }
}

impl Step {
    /// `list` and `fields`: the list and the shown values of the row that the step belongs to.
    pub(super) fn work(&self, program: &Program, list: Option<&RowList>, world: &World, shown: &[String], fields: &[String]) -> WorkedStep {
        let value = self.counted(world).and_then(|()| match &self.how {
            How::Formula(formula) => formula.work(world),
            How::Pick(pick) => match program.tables.get(&pick.table) {
                Some(table) => pick.work(table, world),
                None => Err(pick.lack(&pick.table)),
            },
        });
        let value = value.and_then(|value| self.in_unit(&value).map(|_| value));
        let (mut branch, mut names, mut numbers, mut made) = (0, String::new(), String::new(), Vec::new());
        if !world.wordless {
            names = wording::names(program, list, self);
            branch = if value.is_ok() { wording::branch(self, world) } else { 0 };
            if let (true, Some(line)) = (value.is_ok(), wording::lines(program, self).get(branch)) {
                (numbers, made) = wording::numbers(line, shown, fields, world);
            }
        }
        WorkedStep {
            id: self.id.clone(),
            number: value.as_ref().ok().and_then(|value| self.in_unit(value).ok().flatten()),
            shown: value.as_ref().ok().filter(|_| !world.wordless).map(|value| self.show(value)).unwrap_or_default(),
            names,
            numbers,
            made,
            branch,
            value,
        }
    }

    /// Whether the step has a part in the sum.
    fn counted(&self, world: &World) -> Result<()> {
        match self.when.as_ref().map(|when| when.work(world)) {
            None | Some(Ok(Value::Truth(true))) => Ok(()),
            Some(Ok(_)) => Err(sentence::not_counted()),
            Some(Err(why)) => Err(why),
        }
    }

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

    /// A value of this step as pages show it: rounded, with the unit; `yes` or `no`; the text, a choice by its title.
    pub fn show(&self, value: &Value) -> String {
        match value {
            Value::Number(base) => self.unit.with(&format(self.unit.from_base(*base), self.digits)),
            Value::Truth(true) => "yes".into(),
            Value::Truth(false) => "no".into(),
            Value::Text(text) => self.titles.show(text),
        }
    }
}
