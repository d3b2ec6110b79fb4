//! The evaluator and the emitted script, side by side on the same inputs.

use bluecone::diagnostic::Problems;
use bluecone::formula::*;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use rquickjs::{Context, Runtime};

use super::reader;

const CASES: usize = 10_000;

pub fn program(name: &str) -> Program {
    let path = format!("{}/tests/formula/programs/{name}.yaml", env!("CARGO_MANIFEST_DIR"));
    let (draft, sources) = reader::draft(name, &std::fs::read_to_string(path).unwrap());
    let mut problems = Problems::default();
    let program = Program::build(&draft, &reader::tables(), &mut problems);
    let said: Vec<String> = problems
        .iter()
        .map(|problem| format!("{} {} at `{}`", problem.code.name(), problem.message, sources.slice(problem.span)))
        .collect();
    program.unwrap_or_else(|| panic!("{name}: {said:#?}"))
}

/// Runs scripts in a fresh engine and gives what the last one returns.
pub fn run(scripts: &[String]) -> String {
    let runtime = Runtime::new().unwrap();
    let context = Context::full(&runtime).unwrap();
    context.with(|context| {
        let mut last = String::new();
        for script in scripts {
            let found: rquickjs::Result<rquickjs::Value> = context.eval(script.as_str());
            match found {
                Ok(value) => last = value.as_string().map(|text| text.to_string().unwrap()).unwrap_or_default(),
                Err(_) => {
                    let thrown = context.catch();
                    let error = thrown.as_exception().map(|error| format!("{:?} {:?}", error.message(), error.stack()));
                    panic!("{error:?} in {}", &script[..script.len().min(3000)]);
                }
            }
        }
        last
    })
}

/// Numbers go as text, so that no reader of JSON stands between the bits.
const WORK: &str = r##"
(function () {
  const exact = (key, value) => (typeof value === "number" ? "#" + String(value) : value);
  return given.map((one) => {
    const worked = bluecone.sums.work("sum", labels, one);
    const made = labels.steps.map(({ lines }) => lines.map((line) => line.filter(({ made }) => made).map(({ made }) => bluecone.sumMade("sum", made))));
    return JSON.stringify({ ...worked, made }, exact);
  }).join("\n");
})()
"##;

/// Every field of a page, those of rows too: what is given, and the start of all others.
pub fn as_a_page_gives(program: &Program, given: &[(String, String)]) -> serde_json::Map<String, serde_json::Value> {
    let start = program.inputs.iter().map(|input| (input.id.clone(), input.start_text().into()));
    let mut all: serde_json::Map<_, _> = start.collect();
    all.extend(given.iter().map(|(name, text)| (name.clone(), text.as_str().into())));
    for list in &program.lists {
        let text = given.iter().find(|(name, _)| *name == list.id).map(|(_, text)| text);
        let rows = text.map_or(list.start.clone(), |text| list.read(text).unwrap());
        let row = |row: &Vec<Option<String>>| -> serde_json::Value {
            let text = |(field, text): (&Input, &Option<String>)| text.clone().unwrap_or_else(|| field.start_text());
            list.fields.iter().zip(row).map(|pair| (pair.0.id.clone(), text(pair).into())).collect::<serde_json::Map<_, _>>().into()
        };
        all.insert(list.id.clone(), rows.iter().map(row).collect());
    }
    all
}

/// What a page loads for a sum, and `labels` and `given` beside it.
pub fn page_scripts(program: &Program, given: &[Vec<(String, String)>]) -> Vec<String> {
    let objects: Vec<_> = given.iter().map(|given| as_a_page_gives(program, given)).collect();
    let mut scripts: Vec<String> = run_time(program).iter().map(|part| part.text.to_owned()).collect();
    scripts.extend(table_columns(program).into_iter().map(|(id, columns)| table_javascript(&program.tables[id], &columns)));
    scripts.push(javascript("sum", program));
    // In a page the labels are read from its elements.
    scripts.push(format!("const labels = {};", serde_json::to_string(&program.labels()).unwrap()));
    scripts.push(format!("const given = {};", serde_json::to_string(&objects).unwrap()));
    scripts
}

pub fn worked_by_script(program: &Program, given: &[Vec<(String, String)>]) -> Vec<serde_json::Value> {
    let mut scripts = page_scripts(program, given);
    scripts.push(include_str!("../../src/browser/sum-rows.js").to_owned());
    scripts.push(WORK.to_owned());
    let answer = run(&scripts);
    answer.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

/// The working of each step as a page puts it together: the words of the branch that the script took, and the values that it shows.
pub fn workings(labels: &Labels, script: &serde_json::Value) -> Vec<String> {
    let all = |part: &str| script[part].as_array().unwrap().clone();
    let shown: Vec<String> = all("inputs").iter().chain(&all("steps")).map(|one| one["shown"].as_str().unwrap().to_owned()).collect();
    let steps = all("steps");
    let working = |((step, labels), made): ((&serde_json::Value, &StepLabels), &serde_json::Value)| {
        if step["value"].is_null() {
            return String::new();
        }
        let branch: usize = step["branch"].as_str().unwrap().trim_start_matches('#').parse().unwrap();
        let mut made = made[branch].as_array().unwrap().iter().map(|text| text.as_str().unwrap().to_owned());
        let word = |piece: &Piece| match piece {
            Piece::Made { .. } => made.next().unwrap(),
            Piece::Words(words) => words.clone(),
            Piece::Name(place) => shown[*place].clone(),
            Piece::Field { .. } => panic!("no row is at hand"),
        };
        labels.lines[branch].iter().map(word).collect()
    };
    steps.iter().zip(&labels.steps).zip(&all("made")).map(working).collect()
}

/// Numbers over the whole range of an input, its ends, near-by round ones, now and then a text that is refused.
fn texts(input: &Input) -> BoxedStrategy<String> {
    match &input.kind {
        InputKind::Text { choices, .. } => {
            let ids: Vec<String> = choices.iter().map(|choice| choice.id.clone()).chain(["nonsense".to_owned()]).collect();
            let weights: Vec<(u32, BoxedStrategy<String>)> =
                ids.iter().enumerate().map(|(at, id)| (if at == choices.len() { 1 } else { 20 }, Just(id.clone()).boxed())).collect();
            prop::strategy::Union::new_weighted(weights).boxed()
        }
        InputKind::Number { units, from, to, whole, .. } => {
            let (from, to, whole) = (*from, *to, *whole);
            let units = units.clone();
            let number = prop_oneof![8 => 0.0..=1.0f64, 1 => Just(0.0), 1 => Just(1.0), 4 => (0..=20u8).prop_map(|part| f64::from(part) / 20.0), 3 => (0.0..=12.0f64).prop_map(|power| 10f64.powf(-power))];
            let text = (number, 0..units.len(), any::<bool>()).prop_map(move |(part, unit, coarse)| {
                let mut number = from + (to - from) * part;
                if whole || coarse {
                    number = number.round();
                }
                if unit == 0 {
                    return number.to_string();
                }
                let other = &units[unit];
                let written = if coarse { other.shown() } else { other.ucum() };
                format!("{} {written}", other.from_base(units[0].to_base(number)))
            });
            let odd = prop::sample::select(vec![
                "",
                "x",
                "1,5",
                "1e999",
                "-1e300",
                "7 furlongs",
                "1.5.2",
                "−0",
                "1\u{202f}2",
                "5.",
                "1 000",
                "1 1/2",
                "0x1f",
                ",5",
                "1e-400",
                "5 5",
                "5 5.V",
                "12 0001.V",
                "1 000.V",
                "5 1000.",
                "5 2/s",
                "1 000 100.[cft_i]",
                "1 000.[cft_i]",
            ]);
            prop_oneof![40 => text, 1 => odd.prop_map(str::to_owned)].boxed()
        }
    }
}

/// Why a part has no value, as the script tells it: the sentence, empty if it has one, and whether it has no part in the sum.
pub fn why(found: &serde_json::Value) -> (String, bool) {
    (found["says"].as_str().unwrap().to_owned(), found["idle"].as_bool().unwrap())
}

/// The same as the evaluator tells it.
pub fn lack<T>(worked: &Result<T>) -> (String, bool) {
    worked.as_ref().err().map_or_else(Default::default, |lack| (lack.says.clone(), lack.idle))
}

pub fn same_value(found: &serde_json::Value, expected: Option<&Value>) -> bool {
    match (found, expected) {
        (serde_json::Value::Null, None) => true,
        (serde_json::Value::Bool(found), Some(Value::Truth(expected))) => found == expected,
        (serde_json::Value::String(found), Some(Value::Text(expected))) => found == expected,
        (serde_json::Value::String(found), Some(Value::Number(expected))) => {
            // Written by `String`, which writes minus zero as zero; as a value they are one.
            found.strip_prefix('#').is_some_and(|found| found.parse::<f64>().unwrap() == *expected)
        }
        _ => false,
    }
}

fn agree(name: &str) {
    agree_on(&program(name), CASES);
}

/// Rows as texts, field by field.
type Rows = Vec<Vec<Option<String>>>;

/// The same sets of random inputs in every run. Of four, one is new, and three are the one before with a field or a row changed, as
/// by a reader at the page: the script keeps what does not hang on the change.
pub fn random_inputs(program: &Program, cases: usize) -> Vec<Vec<(String, String)>> {
    let mut runner = TestRunner::new_with_rng(Config::default(), TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let strategy: Vec<BoxedStrategy<String>> = program.inputs.iter().map(texts).collect();
    let mut given: (Vec<String>, Vec<Rows>) = Default::default();
    let named = |(texts, lists): &(Vec<String>, Vec<Rows>)| {
        let inputs = program.inputs.iter().zip(texts).map(|(input, text)| (input.id.clone(), text.clone()));
        inputs.chain(program.lists.iter().zip(lists).map(|(list, rows)| (list.id.clone(), list.write(rows)))).collect()
    };
    (0..cases)
        .map(|case| {
            let texts = strategy.new_tree(&mut runner).unwrap().current();
            let lists: Vec<Rows> = program.lists.iter().map(|list| random_rows(list, &mut runner)).collect();
            let new = (texts, lists);
            given = if case % 4 == 0 { new } else { changed(&given, new, &mut runner) };
            named(&given)
        })
        .collect()
}

fn random_rows(list: &RowList, runner: &mut TestRunner) -> Rows {
    let strategy: Vec<BoxedStrategy<String>> = list.fields.iter().map(texts_in_rows).collect();
    // Mostly few rows: what they hold matters more than how many there are.
    let fewest = list.least.saturating_sub(1);
    let count = prop_oneof![15 => fewest..=(list.least + 4).min(list.most), 1 => fewest..=list.most + 1];
    let count = count.new_tree(runner).unwrap().current();
    (0..count)
        .map(|_| strategy.new_tree(runner).unwrap().current().into_iter().map(|text| Some(text).filter(|text| text != "-")).collect())
        .collect()
}

/// The old one with one input, one field of a row, or one row from the new one.
fn changed(old: &(Vec<String>, Vec<Rows>), new: (Vec<String>, Vec<Rows>), runner: &mut TestRunner) -> (Vec<String>, Vec<Rows>) {
    let mut pick = |below: usize| (0..below).new_tree(runner).unwrap().current();
    let (mut texts, mut lists) = old.clone();
    let place = pick(texts.len() + 3 * lists.len());
    if place < texts.len() {
        texts[place].clone_from(&new.0[place]);
        return (texts, lists);
    }
    let list = (place - texts.len()) / 3;
    let (rows, others) = (&mut lists[list], &new.1[list]);
    match (pick(4), rows.len(), others.first()) {
        (0, 1.., _) => {
            let gone = pick(rows.len());
            rows.remove(gone);
        }
        (1, _, Some(row)) => rows.push(row.clone()),
        (_, 1.., Some(row)) => {
            let (at, field) = (pick(rows.len()), pick(row.len()));
            rows[at][field].clone_from(&row[field]);
        }
        _ => rows.clone_from(others),
    }
    (texts, lists)
}

/// The same in a row: no signs that part rows and fields, and now and then nothing.
fn texts_in_rows(field: &Input) -> BoxedStrategy<String> {
    let plain = texts(field).prop_map(|text| if text.contains([',', ';', '=']) { "x".to_owned() } else { text });
    prop_oneof![12 => plain, 1 => Just("-".to_owned())].boxed()
}

/// Works `cases` sets of inputs on both sides; panics where they differ.
pub fn agree_on(program: &Program, cases: usize) {
    let given = random_inputs(program, cases);
    let script = worked_by_script(program, &given);
    assert_eq!(script.len(), cases);
    let labels = program.labels();
    let (mut values, mut lacking, mut charts) = (0, 0, 0);
    for (given, script) in given.iter().zip(&script) {
        let asked = given.iter().fold(Given::new(), |all, (name, text)| all.with(name, text));
        let worked = program.work(&asked);
        for (input, found) in worked.inputs.iter().zip(script["inputs"].as_array().unwrap()) {
            assert!(same_value(&found["value"], input.value.as_ref().ok()), "{given:?}\n{input:?}\n{found}");
            assert_eq!(
                (found["shown"].as_str().unwrap(), found["counts"].as_bool().unwrap()),
                (input.shown.as_str(), input.counts),
                "{given:?}"
            );
            assert_eq!(found["says"], says(&input.value), "{given:?}");
        }
        let workings = workings(&labels, script);
        for ((step, found), working) in worked.steps.iter().zip(script["steps"].as_array().unwrap()).zip(workings) {
            if let Ok(Value::Number(number)) = step.value {
                assert!(number.is_finite(), "{given:?} {step:?}");
            }
            assert!(same_value(&found["value"], step.value.as_ref().ok()), "{given:?}\n{step:?}\n{found}");
            assert_eq!(found["shown"], step.shown, "{given:?}");
            assert_eq!(working, step.numbers, "{given:?}");
            assert_eq!(why(found), lack(&step.value), "{given:?}");
            if step.value.is_ok() { values += 1 } else { lacking += 1 }
        }
        for (verdict, found) in worked.verdicts.iter().zip(script["verdicts"].as_array().unwrap()) {
            let band = verdict.band.as_ref().ok().map(|band| Value::Number(*band as f64));
            assert!(same_value(&found["value"], band.as_ref()), "{given:?}\n{verdict:?}\n{found}");
            assert_eq!(why(found), lack(&verdict.band));
        }
        match &worked.timeline {
            None => assert!(script["timeline"].is_null()),
            Some(Err(lack)) => assert_eq!(why(&script["timeline"]), (lack.says.clone(), lack.idle)),
            Some(Ok(segments)) => {
                charts += 1;
                let found = script["timeline"]["value"].as_array().unwrap();
                assert_eq!(segments.len(), found.len());
                for (segment, found) in segments.iter().zip(found) {
                    assert_eq!(found["title"], segment.title);
                    assert!(same_value(&found["start"], Some(&Value::Number(segment.start))));
                    assert!(same_value(&found["end"], Some(&Value::Number(segment.end))));
                    assert_eq!(found["on"].as_array().unwrap().len(), segment.on.len());
                }
            }
        }
        for (list, found) in worked.lists.iter().zip(script["lists"].as_array().unwrap()) {
            assert_eq!(found["says"], list.says.as_deref().unwrap_or_default(), "{given:?}");
            let rows = found["rows"].as_array().unwrap();
            assert_eq!(list.rows.len(), rows.len());
            for (row, found) in list.rows.iter().zip(rows) {
                assert_eq!(found["title"], row.title, "{given:?}");
                for (input, found) in row.inputs.iter().zip(found["inputs"].as_array().unwrap()) {
                    assert!(same_value(&found["value"], input.value.as_ref().ok()), "{given:?}\n{input:?}\n{found}");
                    assert_eq!((found["says"].clone(), found["counts"].clone()), (says(&input.value).into(), input.counts.into()));
                }
                for (step, found) in row.steps.iter().zip(found["steps"].as_array().unwrap()) {
                    assert!(same_value(&found["value"], step.value.as_ref().ok()), "{given:?}\n{step:?}\n{found}");
                    assert_eq!(found["shown"], step.shown, "{given:?}");
                    assert_eq!(why(found), lack(&step.value), "{given:?}");
                    if step.value.is_ok() { values += 1 } else { lacking += 1 }
                }
            }
        }
        for ((name, value), found) in worked.drawing.iter().zip(script["drawing"].as_array().unwrap()) {
            assert_eq!(found["name"], *name);
            assert!(same_value(&found["value"], value.as_ref().ok()), "{given:?}\n{value:?}\n{found}");
        }
    }
    // Agreement about nothing would be no agreement.
    assert!(values > cases && lacking > cases / 100, "{values} values, {lacking} without");
    assert!(program.timeline.is_none() || charts > cases / 4, "{charts} charts");
}

#[test]
fn flame_current_agrees_to_the_bit() {
    agree("flame-current");
}

#[test]
fn conductor_picks_agree_to_the_bit() {
    agree("conductor");
}

#[test]
fn rows_agree_to_the_bit() {
    agree("transformer-budget");
}

#[test]
fn what_is_solved_agrees_to_the_bit() {
    agree("heat-rate");
}

/// It uses exponentials and powers, which both sides make of plain arithmetic.
#[test]
fn retry_budget_agrees_to_the_bit() {
    agree("retry-budget");
}

#[test]
fn numbers_are_shown_alike() {
    let mut runner = TestRunner::new_with_rng(Config::default(), TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let numbers = prop_oneof![
        any::<f64>().prop_filter("finite", |number| number.is_finite()),
        -1e6..1e6f64,
        (any::<i32>(), 0..9i32).prop_map(|(number, decimals)| f64::from(number) / 10f64.powi(decimals)),
        (0..2000i32).prop_map(|number| f64::from(number) * 0.005),
    ];
    let strategy = (numbers, 0..12u8);
    let cases: Vec<(f64, u8)> = (0..20_000).map(|_| strategy.new_tree(&mut runner).unwrap().current()).collect();
    let list: Vec<String> = cases.iter().map(|(number, digits)| format!("[{number:?}, {digits}]")).collect();
    let script = format!(
        "[{}].map(([number, digits]) => bluecone.sums.format(number, digits < 10 ? digits : undefined)).join('\\n')",
        list.join(", ")
    );
    let answer = run(&[SUMS.text.to_owned(), script]);
    let mut lines = 0;
    for ((number, digits), found) in cases.iter().zip(answer.split('\n')) {
        let digits = if *digits < 10 { Digits::Decimals(*digits) } else { Digits::default() };
        assert_eq!(found, format(*number, digits), "{number:?} {digits:?}");
        lines += 1;
    }
    assert_eq!(lines, 20_000);
}

/// Each part alone, and the part that every calculator needs is the largest.
#[test]
fn the_run_time_is_small() {
    assert!(SUMS.text.len() < 12_000, "{}", SUMS.text.len());
    assert!(ROWS.text.len() < 4_500 && SOLVE.text.len() < 2_000, "{}", ROWS.text.len());
    assert!(PICKS.text.len() + POWERS.text.len() + TIMELINE.text.len() < 7_500);
}
