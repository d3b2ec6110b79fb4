//! Random formulas against the parser and the typing: token soup, known formulas with changes, deep nesting. No panic, a place inside
//! the text for every problem, and never more than 50 ms for each kilobyte (and as much for shorter texts).
//!
//! `BLUECONE_FUZZ_SECONDS` is how long; two seconds without it.

use std::time::{Duration, Instant};

use bluecone::diagnostic::Problems;
use bluecone::formula::*;
use bluecone::source::{Inset, SourceId};

use super::agreement::program;
use super::reader;

const WORDS: &[&str] = &[
    "volts",
    "room",
    "count",
    "loads",
    "draw",
    "(",
    ")",
    "[",
    "]",
    "[V]",
    "[degF]",
    "[[in_i'H2O]]",
    "5",
    "0.5",
    "1e3",
    "1e308",
    "+",
    "-",
    "*",
    "/",
    "^",
    "<",
    "<=",
    "==",
    "!=",
    "and",
    "or",
    "not",
    "if",
    "then",
    "else",
    "min",
    "max",
    "sqrt",
    "exp",
    "ln",
    "abs",
    "round_up",
    "sum",
    "first_failing",
    "tally",
    "in",
    "where",
    ",",
    "\"",
    "\"a\"",
    " ",
    "µ",
    "°F",
    "true",
    "false",
    "\n",
    "=",
    "[%]",
];

/// Splitmix: the same cases for the same seed.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e3779b97f4a7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58476d1ce4e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d049bb133111eb);
        ((mixed ^ (mixed >> 31)) % limit.max(1) as u64) as usize
    }

    fn word(&mut self) -> &'static str {
        WORDS[self.below(WORDS.len())]
    }
}

fn soup(dice: &mut Dice) -> String {
    let glue = ["", " "][dice.below(2)];
    (0..dice.below(400)).map(|_| dice.word()).collect::<Vec<_>>().join(glue)
}

fn changed(dice: &mut Dice, known: &[String]) -> String {
    let mut letters: Vec<char> = known[dice.below(known.len())].chars().collect();
    for _ in 0..=dice.below(6) {
        let at = dice.below(letters.len() + 1);
        match dice.below(3) {
            0 if at < letters.len() => drop(letters.remove(at)),
            1 => letters.splice(at..at, dice.word().chars()).for_each(drop),
            _ => {
                let other: Vec<char> = known[dice.below(known.len())].chars().collect();
                let from = dice.below(other.len());
                letters.splice(at.min(letters.len()).., other[from..].iter().copied()).for_each(drop);
            }
        }
    }
    letters.into_iter().take(20_000).collect()
}

fn nested(dice: &mut Dice) -> String {
    let pieces = ["(", "-", "not ", "if true then ", "min(1, ", "2 ^ ", "sum(draw in loads where ", "[", "1 + (", "sqrt(", "if (", "- -"];
    let (first, second) = (pieces[dice.below(pieces.len())], pieces[dice.below(pieces.len())]);
    let times = dice.below(3000);
    format!("{}1{}", format!("{first}{second}").repeat(times), ")".repeat(dice.below(times + 1)))
}

fn time(text: &str, scope: &Scope) -> Duration {
    let started = Instant::now();
    let _ = compile(&Inset::plain(SourceId(0), text, 0), scope, &mut Problems::default());
    started.elapsed()
}

#[test]
fn no_formula_makes_it_panic_or_wait() {
    let seconds = std::env::var("BLUECONE_FUZZ_SECONDS").ok().and_then(|text| text.parse().ok()).unwrap_or(2);
    let known: Vec<String> = ["flame-current", "conductor", "retry-budget", "transformer-budget", "heat-rate"]
        .iter()
        .flat_map(|name| {
            let program = program(name);
            let formulas: Vec<String> = program
                .all_steps()
                .filter_map(|step| match &step.how {
                    How::Formula(formula) => Some(formula.text.clone()),
                    How::Pick(_) => None,
                })
                .collect();
            formulas
        })
        .collect();
    let plain = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/formula/programs/transformer-budget.yaml")).unwrap();
    let tables = reader::tables();
    let mut scope = Scope::default();
    for (place, (name, unit)) in [("volts", "V"), ("room", "[degF]"), ("draw", "W")].iter().enumerate() {
        scope.name(*name, place, Type::of_unit(&Unit::parse(unit).unwrap()));
    }
    scope.name("count", 3, Type::PLAIN);
    let mut dice = Dice(1);
    let (mut cases, mut sound, mut slowest) = (0u64, 0u64, Duration::ZERO);
    let end = Instant::now() + Duration::from_secs(seconds);
    while Instant::now() < end {
        let text = match dice.below(8) {
            0 => nested(&mut dice),
            1..=3 => soup(&mut dice),
            _ => changed(&mut dice, &known),
        };
        let mut problems = Problems::default();
        let formula = compile(&Inset::plain(SourceId(0), &text, 0), &scope, &mut problems);
        // Other programs can hold the machine: the quickest of three counts.
        let took = (0..3).map(|_| time(&text, &scope)).min().unwrap_or_default();
        sound += u64::from(formula.is_some());
        assert!(formula.is_some() || problems.has_errors(), "{text:?} is refused without a word");
        for problem in problems.iter() {
            assert!(text.get(problem.span.start as usize..problem.span.end as usize).is_some(), "{text:?}: {:?}", problem.span);
        }
        let most = Duration::from_millis(50 * (text.len() as u64 / 1024).max(1));
        assert!(took <= most, "{took:?} for {} bytes: {:?}", text.len(), &text[..text.len().min(300)]);
        slowest = slowest.max(took);
        cases += 1;
        // A whole calculator, one formula changed in place: lists, solved formulas and picks are typed too.
        if cases % 50 == 0 {
            let wrong = changed(&mut dice, &known).replace(['\'', '\n', '"'], " ");
            let text = plain.replacen("sum(draw in loads)", &format!("'{wrong}'"), 1);
            let (draft, _) = reader::draft("fuzz", &text);
            let mut problems = Problems::default();
            let built = Program::build(&draft, &tables, &mut problems);
            assert_eq!(built.is_none(), problems.has_errors(), "{wrong}");
        }
    }
    println!("{cases} formulas, {sound} of them sound, the slowest took {slowest:?}");
    assert!(cases > 500 && sound > 0, "{cases} cases, {sound} sound");
}
