//! Cases as text: what is written above `--`, what is said about it below.
//!
//! `RENEW_CASES=1` writes what is said into the files; read the difference before it is committed.

use bluecone::diagnostic::{Diagnostic, Problems};
use bluecone::formula::*;
use bluecone::source::{Inset, Source, SourceId, Sources, Span};

use super::reader;

/// Begins a case.
const MARK: &str = "#### ";

/// Runs every case of a file through `say`.
fn check(file: &str, say: impl Fn(&str) -> String) {
    let path = format!("{}/tests/formula/cases/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap();
    let mut written = String::new();
    let mut cases = 0;
    for case in text.split(MARK).skip(1) {
        let (title, body) = case.split_once('\n').unwrap();
        let input = body.split("\n--\n").next().unwrap().trim_end();
        written += &format!("{MARK}{title}\n{input}\n--\n{}\n\n", say(input).trim_end());
        cases += 1;
    }
    assert!(cases > 5, "{file} has lost its cases");
    let written = format!("{}\n", written.trim_end());
    if std::env::var_os("RENEW_CASES").is_some() {
        std::fs::write(&path, written).unwrap();
        return;
    }
    for (expected, found) in text.split(MARK).zip(written.split(MARK)) {
        assert_eq!(expected.trim_end(), found.trim_end(), "in {file}");
    }
    assert_eq!(text.trim_end(), written.trim_end());
}

/// The names that single formulas may use.
fn scope() -> Scope {
    let names = [
        ("volts", "V"),
        ("amps", "A"),
        ("reading", "uA"),
        ("room", "[degF]"),
        ("rise", "[degR]"),
        ("length", "[ft_i]"),
        ("area", "m2"),
        ("pause", "s"),
    ];
    let mut scope = Scope::default();
    for (place, (name, unit)) in names.iter().enumerate() {
        scope.name(*name, place, Type::of_unit(&Unit::parse(unit).unwrap()));
    }
    scope.name("count", 20, Type::PLAIN);
    scope.name("ready", 21, Type::Truth);
    scope.name("wiring", 22, Type::Text { choices: vec!["appliance".into(), "field".into()] });
    scope.later("result");
    scope.column("a60", 0, Type::of_unit(&Unit::parse("A").unwrap()));
    scope
}

#[test]
fn formulas_are_read_and_checked() {
    check("formulas.txt", |text| {
        let mut problems = Problems::default();
        let inset = Inset::plain(SourceId(0), text, 0);
        match compile(&inset, &scope(), &mut problems) {
            Some(formula) => {
                assert!(!problems.has_errors() || !problems.is_empty());
                let kind = formula.kind.to_string();
                problems.sorted().iter().map(|problem| caret(text, problem)).collect::<String>() + &kind
            }
            None => {
                assert!(problems.has_errors(), "`{text}` is refused without a word");
                problems.sorted().iter().map(|problem| caret(text, problem)).collect()
            }
        }
    });
}

/// The problem under the columns that it means.
fn caret(text: &str, problem: &Diagnostic) -> String {
    let line = |span: Span, words: &str| {
        let column = |byte: u32| text.get(..byte as usize).unwrap_or(text).chars().count();
        let (start, end) = (column(span.start), column(span.end));
        format!("{}{} {words}\n", " ".repeat(start), "^".repeat((end - start).max(1)))
    };
    let mut said = if text.len() > 200 {
        format!("{}..{} {}: {}\n", problem.span.start, problem.span.end, problem.code.name(), problem.message)
    } else {
        line(problem.span, &format!("{}: {}", problem.code.name(), problem.message))
    };
    for (span, words) in &problem.also {
        said += &line(*span, words);
    }
    for hint in &problem.hints {
        said += &format!("= {hint}\n");
    }
    said
}

#[test]
fn drafts_are_checked() {
    let tables = reader::tables();
    check("drafts.txt", |text| {
        let (draft, sources) = reader::draft("case.yaml", text);
        let mut problems = Problems::default();
        let program = Program::build(&draft, &tables, &mut problems);
        assert_eq!(program.is_none(), problems.has_errors());
        if problems.is_empty() {
            return "sound".into();
        }
        problems.sorted().iter().map(|problem| placed(&sources, problem)).collect()
    });
}

fn placed(sources: &Sources, problem: &Diagnostic) -> String {
    let place = |span: Span| {
        let (line, column) = sources.get(span.source).map(|source: &Source| source.line_column(span.start)).unwrap();
        format!("{line}:{column} `{}`", sources.slice(span))
    };
    let mut said = format!("{} {}: {}\n", place(problem.span), problem.code.name(), problem.message);
    for (span, words) in &problem.also {
        said += &format!("  {} {words}\n", place(*span));
    }
    for hint in &problem.hints {
        said += &format!("  = {hint}\n");
    }
    said
}
