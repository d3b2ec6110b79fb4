//! Problems as people read them in a terminal.

use std::io::IsTerminal;
use std::io::Write;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};

use super::count;
use crate::diagnostic::{Diagnostic, Severity};
use crate::source::{Source, Sources, Span};

/// Shows all problems on standard error, in colour on a terminal, and how many there are.
pub fn show(diagnostics: &[Diagnostic], sources: &Sources) {
    if diagnostics.is_empty() {
        return;
    }
    let error = std::io::stderr();
    let renderer = if error.is_terminal() && std::env::var_os("NO_COLOR").is_none() { Renderer::styled() } else { Renderer::plain() };
    let mut text = String::new();
    for diagnostic in diagnostics {
        text.push_str(&draw(diagnostic, sources, &renderer));
        text.push_str("\n\n");
    }
    text.push_str(&how_many(diagnostics));
    text.push('\n');
    let mut out = error.lock();
    let _ = out.write_all(text.as_bytes()).and_then(|()| out.flush());
}

/// One problem: severity and code, message, place, excerpt with caret, hints.
pub fn draw(diagnostic: &Diagnostic, sources: &Sources, renderer: &Renderer) -> String {
    let level = match diagnostic.severity() {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = level.primary_title(diagnostic.message.as_str()).id(diagnostic.code.name());
    let mut group = Group::with_title(title);
    if let Some(source) = sources.get(diagnostic.span.source) {
        let primary = AnnotationKind::Primary.span(range(source, diagnostic.span)).label(diagnostic.label.as_str());
        group = if source.text.is_empty() {
            group.element(Origin::path(source.path.as_str()))
        } else {
            let here = diagnostic.also.iter().filter(|(span, _)| span.source == diagnostic.span.source);
            let others = here.map(|(span, words)| AnnotationKind::Context.span(range(source, *span)).label(words.as_str()));
            group.element(Snippet::source(source.text.as_str()).path(source.path.as_str()).annotation(primary).annotations(others))
        };
        for (span, words) in diagnostic.also.iter().filter(|(span, _)| span.source != diagnostic.span.source) {
            let Some(other) = sources.get(span.source).filter(|other| !other.text.is_empty()) else { continue };
            let annotation = AnnotationKind::Context.span(range(other, *span)).label(words.as_str());
            group = group.element(Snippet::source(other.text.as_str()).path(other.path.as_str()).annotation(annotation));
        }
    }
    for hint in &diagnostic.hints {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    renderer.render(&[group])
}

/// The span within the text, moved onto character boundaries should it lie off them.
fn range(source: &Source, span: Span) -> std::ops::Range<usize> {
    let text = source.text.as_str();
    let mut start = (span.start as usize).min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = (span.end as usize).clamp(start, text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    start..end
}

fn how_many(diagnostics: &[Diagnostic]) -> String {
    let n_errors = diagnostics.iter().filter(|diagnostic| diagnostic.severity() == Severity::Error).count();
    let n_warnings = diagnostics.len() - n_errors;
    let (errors, warnings) = (count(n_errors, "error", "errors"), count(n_warnings, "warning", "warnings"));
    match (n_errors, n_warnings) {
        (_, 0) => errors,
        (0, _) => warnings,
        _ => format!("{errors} and {warnings}"),
    }
}
