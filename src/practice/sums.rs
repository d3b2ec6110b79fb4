//! Sums with fresh numbers: the calculators, worked by the evaluator with inputs drawn in their ranges.

use std::collections::BTreeSet;

use rayon::prelude::*;

use super::bands::step as round_step;
use super::build::{WRONG, choice, item};
use super::item::{Answer, Choice, Item, Proof, Variant};
use super::random::Random;
use super::sensible::sensible;
use super::text::{lower, sentence};
use crate::formula::{By, Formula, Given, How, Input, InputKind, Program, Step, Type, Worked, format};
use crate::handbook::{Calculator, Handbook, Kind, Name};

/// Pre-worked variants of each sum.
const VARIANTS: usize = 12;
/// Draws before a sum is given up: some give no result, or too few mistakes that differ.
const DRAWS: usize = 240;
/// Draws among which at least one must serve, or the sum is given up at once.
const PATIENCE: usize = 20;
/// Steps asked of one calculator: the last ones, which rest on the others.
const STEPS: usize = 5;
/// A sum with more inputs is a form to fill in, not a question.
const INPUTS: usize = 6;
/// The same for its working.
const LINES: usize = 4;
/// Results beyond these, in the unit shown, are no numbers to work by hand.
const HANDY: std::ops::Range<f64> = 0.01..1e6;
/// A wrong answer is off by at least this part of the right one, far more than any rounding on the way.
const APART: f64 = 0.06;
/// A typed answer may be off by this part: figures rounded on the way are no mistake.
const ROUNDED: f64 = 0.02;

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let derive = |calculator: &Calculator| {
        let program = &calculator.program;
        let numbers = (0..program.steps.len()).rev().filter(|at| matches!(program.steps[*at].kind, Type::Number { .. }));
        let formulas = numbers.filter(|at| matches!(program.steps[*at].how, How::Formula(_)));
        let pairs = formulas
            .filter_map(|at| Some([sum(handbook, calculator, at, "choice", choose)?, sum(handbook, calculator, at, "typed", typed)?]));
        let mut pairs: Vec<[Item; 2]> = pairs.take(STEPS).collect();
        pairs.reverse();
        pairs.into_iter().flatten().collect::<Vec<_>>()
    };
    // A question cannot hold a whole list of rows.
    let asked = |calculator: &&Calculator| calculator.program.lists.is_empty();
    // Hundreds of draws are worked for each sum, so each calculator takes a core.
    handbook.calculators.par_iter().filter(asked).map(derive).collect::<Vec<_>>().into_iter().flatten().collect()
}

/// One draw: what was given, and what came out.
struct Draw<'a> {
    program: &'a Program,
    /// The place of the step among the steps.
    at: usize,
    given: Given,
    worked: Worked,
    /// The result in the step's unit.
    right: f64,
    /// The steps on the way to it, itself included, in order.
    lines: Vec<usize>,
    /// Places of the inputs that these use.
    told: Vec<usize>,
}

type Ask = fn(&Calculator, &Draw, &mut Random) -> Option<Variant>;

fn sum(handbook: &Handbook, calculator: &Calculator, at: usize, what: &str, ask: Ask) -> Option<Item> {
    let program = &calculator.program;
    let id = format!("sums/{}/{}/{what}", calculator.common.id, program.steps[at].id);
    let mut random = Random::of(&id);
    let mut variants: Vec<Variant> = Vec::new();
    let unknown = unknown(program, at);
    let needed = needs(program, at, unknown);
    let choice = program.solve.as_ref().map(|solve| solve.choice);
    let given_up = |place: usize| unknown == Some(place) || choice == Some(place) || picks(program, &program.inputs[place].id);
    let free: Vec<&Input> = (0..program.inputs.len()).filter(|place| !given_up(*place)).map(|place| &program.inputs[place]).collect();
    let fixed = choice.zip(unknown).map(|(choice, unknown)| (&program.inputs[choice].id, &program.inputs[unknown].id));
    let fixed = fixed.into_iter().fold(Given::new(), |given, (choice, unknown)| given.with(choice, unknown));
    for drawn in 0..DRAWS {
        if drawn >= PATIENCE && variants.len() * PATIENCE < drawn {
            break;
        }
        let given = free.iter().fold(fixed.clone(), |given, input| given.with(&input.id, draw(input, &mut random)));
        let worked = program.work(&given);
        let Some(step) = worked.steps.get(at) else { continue };
        let Some(right) = step.number.filter(|number| HANDY.contains(number)) else { continue };
        // A branch that only hands a figure on is no sum.
        if worked.refused().is_some() || step.shown.contains('×') || step.shown == step.numbers {
            continue;
        }
        let lines = lines(program, at, &needed, &worked);
        let told = told(program, &needed, &lines, &worked);
        let handed_on = told.iter().any(|place| worked.inputs[*place].value == step.value);
        let amounts = told.iter().filter(|place| matches!(program.inputs[**place].kind, InputKind::Number { .. })).count();
        if handed_on || amounts == 0 || told.len() > INPUTS || lines.len() > LINES {
            continue;
        }
        if !sensible(handbook, calculator, at, right, &worked, &told, &lines) {
            continue;
        }
        let Some(variant) = ask(calculator, &Draw { program, at, given, worked, right, lines, told }, &mut random) else { continue };
        if !variants.iter().any(|before| before.question == variant.question) {
            variants.push(variant);
        }
        if variants.len() == VARIANTS {
            break;
        }
    }
    // Fewer, or ones that come out alike, would be learnt by heart instead of worked.
    let results: BTreeSet<String> = variants.iter().map(|variant| result(&variant.answer)).collect();
    if variants.len() < VARIANTS || results.len() < VARIANTS / 2 {
        return None;
    }
    item(handbook, id, Name::new(Kind::Calculator, &calculator.common.id), variants.into_iter().map(Some))
}

fn result(answer: &Answer) -> String {
    match answer {
        Answer::Choice { options, right } => options.get(*right).map(|option| option.text.clone()).unwrap_or_default(),
        Answer::Number { worked, .. } => worked.clone(),
        Answer::Order { steps, .. } => steps.concat(),
    }
}

/// A choice between the result and what usual mistakes give.
fn choose(calculator: &Calculator, draw: &Draw, random: &mut Random) -> Option<Variant> {
    let step = &draw.program.steps[draw.at];
    let apart = least_apart(step, draw.right);
    let text = |value: f64| step.unit.with(&format(value, step.digits));
    let option = |value: f64| Choice::new(text(value), Proof::Figure { value, right: draw.right, apart });
    let mut mistakes = mistakes(draw);
    random.shuffle(&mut mistakes);
    // One that skips a whole step teaches more than a misplaced point, so the drawn order is kept only within a kind.
    mistakes.sort_by_key(|(kind, _)| *kind);
    // Each with how far another must be off it.
    let mut wrong: Vec<(f64, f64)> = Vec::new();
    for (_, value) in mistakes {
        let clear = wrong.iter().chain([&(draw.right, apart)]).all(|(other, least)| (value - other).abs() >= least.max(apart));
        if value.is_finite() && value > 0.0 && clear {
            let shown = format(value, step.digits);
            if !shown.contains('×') && shown != "0" {
                wrong.push((value, least_apart(step, value)));
            }
        }
    }
    let right = Choice { text: draw.worked.steps[draw.at].shown.clone(), ..option(draw.right) };
    // With fewer wrong ones than other sums have, guessing would pay.
    let all = wrong.len() >= WRONG;
    choice(random, question(calculator, draw), right, wrong.into_iter().map(|(value, _)| option(value)), working(draw)).filter(|_| all)
}

/// The same, typed.
fn typed(calculator: &Calculator, draw: &Draw, _: &mut Random) -> Option<Variant> {
    let step = &draw.program.steps[draw.at];
    let worked = format(draw.right, step.digits);
    let tolerance = (ROUNDED * draw.right.abs()).max(0.51 * last_digit(&worked));
    let tolerance = format!("{tolerance:.3e}").parse().unwrap_or(tolerance);
    let unit = step.unit.shown().to_owned();
    let ask = if unit.is_empty() { "Type the number.".to_owned() } else { format!("Type the number, in {unit}.") };
    let answer = Answer::Number { unit, value: draw.right, tolerance, worked };
    Some(Variant {
        question: format!("{} {}", question(calculator, draw), sentence(ask.trim_end_matches('.'))),
        answer,
        explanation: working(draw),
    })
}

/// A value of the input as a reader would type it: on a round step, near its start where that is above zero.
fn draw(input: &Input, random: &mut Random) -> String {
    match &input.kind {
        InputKind::Text { choices, .. } => choices[random.below(choices.len())].id.clone(),
        InputKind::Number { units, from, to, start, whole } => {
            let (low, high) = if *start > 0.0 { (from.max(start * 0.5), to.min(start * 2.0)) } else { (*from, from + (to - from) * 0.4) };
            let (mut step, mut decimals) = round_step((high - low) / 12.0);
            if *whole && step < 1.0 {
                (step, decimals) = (1.0, 0);
            }
            let (first, last) = ((low / step).ceil().max(1.0), (high / step).floor());
            let ticks = (last - first).max(0.0) as usize + 1;
            let number = format!("{:.decimals$}", (first + random.below(ticks) as f64) * step);
            units.first().map_or(number.clone(), |unit| format!("{number} {}", unit.shown()))
        }
    }
}

/// What people do wrong, gravest teaching first, with the number that it gives.
fn mistakes(draw: &Draw) -> Vec<(u8, f64)> {
    let (program, step) = (draw.program, &draw.program.steps[draw.at]);
    let mut found = Vec::new();
    // Stopping a step early, or taking a figure of the same unit for the result.
    for (at, other) in draw.worked.steps.iter().enumerate() {
        if at != draw.at && program.steps[at].unit == step.unit && draw.lines.contains(&at) {
            found.extend(other.number.map(|number| (0, number)));
        }
    }
    for (place, input) in program.inputs.iter().enumerate() {
        let (InputKind::Number { units, .. }, true) = (&input.kind, draw.told.contains(&place)) else { continue };
        let Some(typed) = draw.given.get(&input.id).and_then(|text| text.split(' ').next()).and_then(|text| text.parse::<f64>().ok())
        else {
            continue;
        };
        // Dividing where one should multiply, or the other way round.
        if typed > 0.0 && typed != 1.0 {
            found.extend(
                [draw.right * typed * typed, draw.right / typed / typed]
                    .into_iter()
                    .filter(|value| within(*value / draw.right, 25.0))
                    .map(|value| (1, value)),
            );
        }
        // An input taken twice or by half, such as a length counted out but not back.
        for factor in [2.0, 0.5] {
            let unit = units.first().map(|unit| unit.shown().to_owned()).unwrap_or_default();
            let changed = draw.given.clone().with(&input.id, format!("{} {unit}", typed * factor));
            found.extend(program.work_values(&changed).steps.get(draw.at).and_then(|step| step.number).map(|number| (2, number)));
        }
    }
    // A slip of the decimal point, minutes for seconds, the whole thing doubled or halved.
    found.extend([2.0, 0.5].map(|factor| (3, draw.right * factor)));
    if step.unit.ucum() == "s" || step.unit.ucum() == "min" {
        found.extend([60.0, 1.0 / 60.0].map(|factor| (3, draw.right * factor)));
    }
    found.extend([10.0, 0.1].map(|factor| (4, draw.right * factor)));
    // A share above the whole would give itself away.
    let most = if step.unit.ucum() == "%" && draw.right <= 100.0 { 100.0 } else { f64::INFINITY };
    found.retain(|(_, value)| within(value / draw.right, 100.0) && *value < most);
    found
}

fn within(ratio: f64, most: f64) -> bool {
    ratio > 1.0 / most && ratio < most
}

/// Which input is worked out of the others when the step `at` is asked for: its own, if it solves for one; else one that it does
/// not rest on, so that the sum begins with what is given; else the first that can be.
fn unknown(program: &Program, at: usize) -> Option<usize> {
    let solve = program.solve.as_ref()?;
    let apart = || {
        let needed = needs(program, at, None);
        solve.unknowns.iter().find(|place| !needed.contains(place)).or(solve.unknowns.first()).copied()
    };
    program.steps[at].solves.or_else(apart)
}

/// Inputs and steps that a step rests on, by their places, with the inputs that decide whether an input counts. In the place of
/// the unknown stands the step that works it out.
fn needs(program: &Program, at: usize, unknown: Option<usize>) -> BTreeSet<usize> {
    let solved = program.steps.iter().position(|step| unknown.is_some() && step.solves == unknown);
    let named = |name: &str| (0..program.inputs.len() + program.steps.len()).find(|place| program.name(*place) == name);
    let place = |name: &str| match (named(name), solved) {
        (place, Some(solved)) if place == unknown => Some(program.inputs.len() + solved),
        (place, _) => place,
    };
    let mut found = BTreeSet::new();
    let mut open = vec![program.inputs.len() + at];
    while let Some(next) = open.pop() {
        if !found.insert(next) {
            continue;
        }
        let mut used = match (program.inputs.get(next), program.steps.get(next.saturating_sub(program.inputs.len()))) {
            (Some(input), _) => words(&input.when.iter().collect::<Vec<_>>()),
            (None, Some(Step { how: How::Formula(formula), .. })) => words(&[formula]),
            (None, Some(Step { how: How::Pick(pick), .. })) => words(&finders(&pick.by)),
            (None, None) => BTreeSet::new(),
        };
        let step = next.checked_sub(program.inputs.len()).and_then(|step| program.steps.get(step));
        used.extend(words(&step.and_then(|step| step.when.as_ref()).into_iter().collect::<Vec<_>>()));
        open.extend(used.iter().filter_map(|name| place(name)));
    }
    found.remove(&(program.inputs.len() + at));
    found
}

/// Whether a plain number only finds rows in tables, such as a wire size: of those, most numbers do not exist.
fn picks(program: &Program, id: &str) -> bool {
    let plain = program
        .input(id)
        .is_some_and(|input| matches!(&input.kind, InputKind::Number { units, .. } if units.iter().all(|unit| unit.shown().is_empty())));
    plain && program.steps.iter().any(|step| matches!(&step.how, How::Pick(pick) if words(&finders(&pick.by)).contains(id)))
}

/// The steps that the result came from: with the method chosen, others play no part. A step is on the way if what it gave stands in
/// the working of one that is.
fn lines(program: &Program, at: usize, needed: &BTreeSet<usize>, worked: &Worked) -> Vec<usize> {
    let mut lines = vec![at];
    for earlier in (0..at).rev().filter(|earlier| needed.contains(&(program.inputs.len() + earlier))) {
        let shown = worked.steps[earlier].shown.as_str();
        if !shown.is_empty() && lines.iter().any(|later| worked.steps[*later].numbers.contains(shown)) {
            lines.insert(0, earlier);
        }
    }
    lines
}

/// The inputs whose numbers stand in these lines, and every choice on which the way of working rests.
fn told(program: &Program, needed: &BTreeSet<usize>, lines: &[usize], worked: &Worked) -> Vec<usize> {
    let stands = |place: usize| match &program.inputs[place].kind {
        InputKind::Text { .. } => true,
        InputKind::Number { .. } => lines.iter().any(|line| worked.steps[*line].numbers.contains(worked.inputs[place].shown.as_str())),
    };
    // What is asked for says which one is the unknown.
    let chosen = program.solve.as_ref().map(|solve| solve.choice);
    let asked = |place: &usize| needed.contains(place) && worked.inputs[*place].counts && stands(*place) && chosen != Some(*place);
    (0..program.inputs.len()).filter(asked).collect()
}

/// "Flame current. Voltage at the test pins: 2.4 V; scale: 1 V/µA. Work out: flame current."
fn question(calculator: &Calculator, draw: &Draw) -> String {
    let given: Vec<String> =
        draw.told.iter().map(|place| format!("{}: {}", draw.program.inputs[*place].title, draw.worked.inputs[*place].shown)).collect();
    let title = lower(&draw.program.steps[draw.at].title);
    format!("{}. {} Work out: {}", calculator.common.title, sentence(&given.join("; ")), sentence(&title))
}

/// Every step on the way, in names and in numbers.
fn working(draw: &Draw) -> String {
    let line = |at: &usize| {
        let (step, worked) = (&draw.program.steps[*at], &draw.worked.steps[*at]);
        let through = if worked.numbers == worked.shown { String::new() } else { format!(" = {}", worked.numbers) };
        sentence(&format!("{}{through} = {}", step.title, worked.shown))
    };
    draw.lines.iter().map(line).collect::<Vec<_>>().join(" ")
}

/// The formulas by which a pick finds its row.
fn finders(by: &By) -> Vec<&Formula> {
    match by {
        By::First { holds, .. } => vec![holds],
        By::Where(keys) => keys.iter().map(|(_, formula)| formula).collect(),
        By::At { value, .. } => vec![value],
    }
}

/// Every word of the formulas, names among them.
fn words(formulas: &[&Formula]) -> BTreeSet<String> {
    let words = formulas.iter().flat_map(|formula| formula.text.split(|sign: char| !sign.is_ascii_alphanumeric() && sign != '_'));
    words.map(str::to_owned).collect()
}

/// How far a number must be off to be wrong: well beyond the digits shown.
fn least_apart(step: &Step, right: f64) -> f64 {
    (APART * right.abs()).max(3.0 * last_digit(&format(right, step.digits)))
}

/// The worth of the last digit shown.
fn last_digit(shown: &str) -> f64 {
    match shown.split_once('.') {
        Some((_, decimals)) => 10f64.powi(-(decimals.len() as i32)),
        None => 1.0,
    }
}
