//! The demo's own calculators: what the terminal works and what the page works are the same.

use bluecone::formula::javascript;

use crate::formula::agreement::agree_on;

fn demo() -> bluecone::handbook::Handbook {
    let proofed = bluecone::proof(std::path::Path::new("content")).expect("the demo handbook can be read");
    proofed.handbook.expect("the demo handbook has no error")
}

const CASES: usize = 2_000;

#[test]
fn every_calculator_of_the_demo_agrees_with_its_script() {
    for calculator in &demo().calculators {
        let script = javascript("sum", &calculator.program);
        // Engines may differ in the last place of these three, and in no other operation.
        let inexact = [" exp(", " ln(", " pow("].iter().any(|call| script.contains(call));
        agree_on(&calculator.program, u64::from(inexact), CASES);
    }
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
