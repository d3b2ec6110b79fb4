//! Entries broken at random: proof tells problems, it never panics, and every place that it names is in the file.

use std::sync::LazyLock;

use proptest::prelude::*;

use bluecone::source::{Sources, Span};

use super::folder::{Texts, proved, texts};

static CONTENT: LazyLock<Texts> = LazyLock::new(|| texts("content"));

/// One way to break a text. Numbers are taken modulo what there is.
#[derive(Debug, Clone)]
enum Break {
    DeleteLine(usize),
    DoubleBlock { line: usize, lines: usize },
    SwapLines(usize, usize),
    SwapWords(usize, usize),
    Truncate(usize),
    Insert(usize, &'static str),
    Indent(usize),
}

/// What a keyboard, a careless paste or an attacker puts into a text.
const ODD: &[&str] = &[
    "\t",
    "'",
    "\"",
    "{",
    "}",
    "[",
    "]",
    ":",
    ": ",
    " #",
    "|",
    ">",
    "-",
    "&a ",
    "*a",
    "!",
    "%",
    "@",
    "`",
    "<b>",
    "](javascript:x)",
    "é",
    "\u{2028}",
    "\u{202e}",
    "𝄞",
    "\u{0}",
    "\u{7f}",
    "\r",
    "\u{feff}",
    "\\",
    "\"\\L\\P\\N\\_é\"",
    " / 0",
    "1e400",
    "-1",
    "null",
    "[V]",
    "…",
    "~~~",
    "<!--",
    "&#106;",
];

fn breaks() -> impl Strategy<Value = Break> {
    prop_oneof![
        any::<usize>().prop_map(Break::DeleteLine),
        (any::<usize>(), 1..12usize).prop_map(|(line, lines)| Break::DoubleBlock { line, lines }),
        (any::<usize>(), any::<usize>()).prop_map(|(a, b)| Break::SwapLines(a, b)),
        (any::<usize>(), any::<usize>()).prop_map(|(a, b)| Break::SwapWords(a, b)),
        any::<usize>().prop_map(Break::Truncate),
        (any::<usize>(), 0..ODD.len()).prop_map(|(at, odd)| Break::Insert(at, ODD[odd])),
        any::<usize>().prop_map(Break::Indent),
    ]
}

impl Break {
    fn apply(&self, text: &str) -> String {
        let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
        if lines.is_empty() {
            return String::new();
        }
        let boundary = |at: usize| (at % (text.len() + 1)..=text.len()).find(|at| text.is_char_boundary(*at)).unwrap();
        match *self {
            Break::DeleteLine(line) => {
                lines.remove(line % lines.len());
            }
            Break::DoubleBlock { line, lines: count } => {
                let from = line % lines.len();
                let to = (from + count).min(lines.len());
                let block = lines[from..to].to_vec();
                lines.splice(to..to, block);
            }
            Break::SwapLines(a, b) => {
                let count = lines.len();
                lines.swap(a % count, b % count);
            }
            Break::SwapWords(a, b) => {
                let mut words: Vec<&str> = text.split_inclusive([' ', '\n']).collect();
                let count = words.len();
                words.swap(a % count, b % count);
                return words.concat();
            }
            Break::Truncate(at) => return text[..boundary(at)].to_owned(),
            Break::Insert(at, odd) => {
                let at = boundary(at);
                return format!("{}{odd}{}", &text[..at], &text[at..]);
            }
            Break::Indent(line) => {
                let line = line % lines.len();
                let (before, after) = (lines[..line].concat(), lines[line..].concat());
                return format!("{before}  {after}");
            }
        }
        lines.concat()
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn broken_entries_are_told_of_in_place(changes in prop::collection::vec((any::<prop::sample::Index>(), prop::collection::vec(breaks(), 1..4)), 1..12)) {
        let mut broken = CONTENT.clone();
        let paths: Vec<&String> = CONTENT.keys().collect();
        for (path, breaks) in &changes {
            let path = paths[path.index(paths.len())];
            let text = broken.get_mut(path).unwrap();
            for change in breaks {
                *text = change.apply(text);
            }
        }
        let (_, problems, sources) = proved(&broken);
        for problem in &problems {
            prop_assert!(inside(problem.span, &sources), "{}: {:?} lies outside", problem.in_one_line(&sources), problem.span);
            for (span, words) in &problem.also {
                prop_assert!(inside(*span, &sources), "{}: {span:?} ({words}) lies outside", problem.in_one_line(&sources));
            }
            let texts = problem.hints.iter().chain(problem.also.iter().map(|(_, words)| words)).chain([&problem.message, &problem.label]);
            for text in texts {
                prop_assert!(!text.chars().any(char::is_control), "control characters in {text:?}");
            }
        }
    }
}

/// Whether a place is a stretch of whole characters of its file.
fn inside(span: Span, sources: &Sources) -> bool {
    let Some(source) = sources.get(span.source) else { return false };
    span.start <= span.end && source.text.get(span.start as usize..span.end as usize).is_some()
}
