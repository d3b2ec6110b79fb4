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
        let inexact = ["k.exp(", "k.ln(", "k.pow("].iter().any(|call| script.contains(call));
        agree_on(&calculator.program, u64::from(inexact), CASES);
    }
}
