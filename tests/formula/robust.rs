//! Random and hostile texts: an answer always, never a panic, never more than linear time.

use std::time::Instant;

use bluecone::diagnostic::Problems;
use bluecone::formula::{Scope, Type, Unit, compile};
use bluecone::source::{Inset, SourceId};
use proptest::prelude::*;

fn scope() -> Scope {
    let mut scope = Scope::default();
    scope.name("volts", 0, Type::of_unit(&Unit::parse("V").unwrap()));
    scope.name("room", 1, Type::of_unit(&Unit::parse("Cel").unwrap()));
    scope
}

/// Compiles, and holds every place to the text.
fn try_formula(text: &str) {
    let mut problems = Problems::default();
    let compiled = compile(&Inset::plain(SourceId(0), text, 0), &scope(), &mut problems);
    assert!(compiled.is_some() || problems.has_errors());
    for problem in problems.iter() {
        let (start, end) = (problem.span.start as usize, problem.span.end as usize);
        assert!(text.get(start..end).is_some(), "{text:?}: {start}..{end}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn any_text_is_answered(text in any::<String>()) {
        try_formula(&text);
        let _ = Unit::parse(&text);
    }

    #[test]
    fn any_row_of_tokens_is_answered(parts in prop::collection::vec(prop::sample::select(vec![
        "volts", "room", "(", ")", "[", "]", "[V]", "[degF]", "5", "0.5", "1e3", "+", "-", "*", "/", "^", "<", "==", "and", "or", "not", "if", "then",
        "else", "min", "sqrt", "round_up", ",", "\"", "\"a\"", " ", "µ", "°F", "true",
    ]), 0..30)) {
        try_formula(&parts.join(" "));
        try_formula(&parts.concat());
        let _ = Unit::parse(&parts.concat());
    }
}

#[test]
fn long_texts_end_soon() {
    let started = Instant::now();
    for piece in ["(", "-", "not ", "1 + ", "if true then ", "min(", "2 ^ ", "\"a\" == ", "5 [V] * ", "[", "1 [[", "volts ", "1 < "] {
        try_formula(&piece.repeat(100_000 / piece.len()));
        try_formula(&format!("{}1", piece.repeat(7_000 / piece.len())));
    }
    assert!(started.elapsed().as_secs() < 10, "{:?}", started.elapsed());
}
