//! The demo's own calculators: what the terminal works and what the page works are the same.

use bluecone::formula::javascript;

use crate::formula::agreement::agree_on;

fn demo() -> bluecone::handbook::Handbook {
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
