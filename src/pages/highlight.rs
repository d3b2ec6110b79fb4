//! Highlighted code in prose, as classes and never as inline styles.
//!
//! The grammars are our own, in `syntaxes/`: no general collection knows wiring lists and meter logs, or marks references in
//! entries. They are read once, and only if a handbook has a code block at all.

use std::sync::LazyLock;

use syntect::parsing::{ParseState, ScopeStack, ScopeStackOp, SyntaxDefinition, SyntaxReference, SyntaxSet, SyntaxSetBuilder};

use crate::formula::{escape, push_escaped};

/// Languages that a fence may name, each with its grammar and the words that a reader is given for it.
const LANGUAGES: [(&str, &str, &str); 3] = [
    ("wiring", "Wiring list", include_str!("syntaxes/wiring.sublime-syntax")),
    ("meterlog", "Meter log", include_str!("syntaxes/meterlog.sublime-syntax")),
    ("yaml", "YAML", include_str!("syntaxes/yaml.sublime-syntax")),
];

/// Beginnings of scopes and the class that a theme colours. The first that fits counts.
const CLASSES: [(&str, &str); 9] = [
    ("comment", "c-note"),
    ("entity.name", "c-name"),
    ("variable", "c-place"),
    ("constant.numeric", "c-figure"),
    ("constant.other.colour", "c-colour"),
    ("constant", "c-word"),
    ("string", "c-text"),
    ("keyword", "c-mark"),
    ("support", "c-part"),
];

static GRAMMARS: LazyLock<SyntaxSet> = LazyLock::new(|| {
    let mut builder = SyntaxSetBuilder::new();
    for (name, _, grammar) in LANGUAGES {
        // A grammar that cannot be read leaves its language plain; a test reads all of them.
        if let Ok(syntax) = SyntaxDefinition::load_from_str(grammar, true, Some(name)) {
            builder.add(syntax);
        }
    }
    builder.build()
});

/// A code block as HTML. A language that is not known is shown plain.
pub(super) fn block(language: &str, code: &str) -> String {
    let known = LANGUAGES.iter().find(|(name, ..)| *name == language);
    let syntax = GRAMMARS.find_syntax_by_token(language);
    let inside = syntax.and_then(|syntax| lines(syntax, code)).unwrap_or_else(|| escape(code));
    let label = known.map_or("Code", |(_, words, _)| words);
    let class = known.map_or("plain", |(name, ..)| name);
    format!(
        "<div class=\"code code-{class}\" role=\"group\" aria-label=\"{label}\" tabindex=\"0\"><p class=\"code-label\" aria-hidden=\"true\">{label}</p><pre><code>{inside}</code></pre></div>\n"
    )
}

/// `None` if the grammar fails on the text.
fn lines(syntax: &SyntaxReference, code: &str) -> Option<String> {
    let mut state = ParseState::new(syntax);
    let mut stack = ScopeStack::new();
    // For each open scope, whether it opened an element.
    let mut open: Vec<bool> = Vec::new();
    let mut out = String::with_capacity(code.len() * 2);
    for line in code.split_inclusive('\n') {
        let mut at = 0;
        for (place, change) in state.parse_line(line, &GRAMMARS).ok()? {
            push_escaped(&mut out, line.get(at..place)?);
            at = place;
            follow(&change, &mut stack, &mut open, &mut out)?;
        }
        push_escaped(&mut out, line.get(at..)?);
    }
    while let Some(opened) = open.pop() {
        out.push_str(if opened { "</span>" } else { "" });
    }
    Some(out)
}

fn follow(change: &ScopeStackOp, stack: &mut ScopeStack, open: &mut Vec<bool>, out: &mut String) -> Option<()> {
    use syntect::parsing::BasicScopeStackOp::{Pop, Push};
    let step = |basic: syntect::parsing::BasicScopeStackOp, _: &[_]| match basic {
        Push(scope) => {
            let name = scope.build_string();
            let class = CLASSES.iter().find(|(start, _)| name.starts_with(start));
            if let Some((_, class)) = class {
                out.push_str("<span class=\"");
                out.push_str(class);
                out.push_str("\">");
            }
            open.push(class.is_some());
        }
        Pop => {
            if open.pop() == Some(true) {
                out.push_str("</span>");
            }
        }
    };
    stack.apply_with_hook(change, step).ok()
}
