//! The demo's own calculators: what the terminal works and what the page works are the same.

use bluecone::formula::{Given, Value, javascript};
use serde_json::{Value as Json, json};

use crate::formula::agreement::{agree_on, as_a_page_gives, random_inputs};

pub fn demo() -> bluecone::handbook::Handbook {
    let proofed = bluecone::proof(std::path::Path::new("content")).expect("the demo handbook can be read");
    proofed.handbook.expect("the demo handbook has no error")
}

const CASES: usize = 10_000;

/// To the bit, exponentials, logarithms and powers too; on two threads, since it is the longest of all tests.
#[test]
fn every_calculator_of_the_demo_agrees_with_its_script() {
    let demo = demo();
    let (even, odd): (Vec<_>, Vec<_>) = demo.calculators.iter().enumerate().partition(|(at, _)| at % 2 == 0);
    std::thread::scope(|scope| {
        for half in [even, odd] {
            scope.spawn(move || half.into_iter().for_each(|(_, calculator)| agree_on(&calculator.program, CASES)));
        }
    });
}

/// What a page loads for one calculator alone, before compression; its tables are files that calculators share.
#[test]
fn every_script_of_the_demo_is_small() {
    let demo = demo();
    assert!(demo.calculators.len() > 20);
    for calculator in &demo.calculators {
        let script = javascript(&calculator.common.id, &calculator.program);
        assert!(script.len() < 3_000, "{}: {}\n{script}", calculator.common.id, script.len());
        // Readable: as many lines as there is to say, none of them long enough to be called packed.
        assert!(script.lines().count() > calculator.program.steps.len() && script.lines().all(|line| line.len() < 360), "{script}");
    }
}

/// So many sums of each calculator are worked in a browser too; `tests/browser/sums.mjs` reads them.
const IN_BROWSER: usize = 100;

#[test]
fn sample_for_the_browser() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/sums-sample");
    std::fs::create_dir_all(&folder).unwrap();
    for calculator in &demo().calculators {
        let program = &calculator.program;
        let sample: Vec<Json> = random_inputs(program, IN_BROWSER)
            .into_iter()
            .map(|given| {
                let worked = program.work(&given.iter().fold(Given::new(), |all, (name, text)| all.with(name, text)));
                // Numbers as text, shortest digits that read back to the same bits.
                let steps = worked.steps.iter().map(|step| {
                    let value = match &step.value {
                        Ok(Value::Number(number)) => json!(number.to_string()),
                        Ok(Value::Truth(truth)) => json!(truth),
                        Ok(Value::Text(text)) => json!(text),
                        Err(_) => Json::Null,
                    };
                    json!({ "id": step.id, "value": value, "shown": step.shown, "says": step.value.as_ref().err().map(|why| &why.says), "working": step.numbers })
                });
                let verdicts = worked.verdicts.iter().map(|verdict| verdict.band.as_ref().ok().copied());
                json!({
                    "given": as_a_page_gives(program, &given),
                    "steps": steps.collect::<Vec<_>>(),
                    "verdicts": verdicts.collect::<Vec<_>>(),
                })
            })
            .collect();
        assert!(sample.iter().any(|sum| sum["steps"].as_array().unwrap().iter().any(|step| !step["value"].is_null())));
        std::fs::write(folder.join(format!("{}.json", calculator.common.id)), serde_json::to_string(&sample).unwrap()).unwrap();
    }
}
