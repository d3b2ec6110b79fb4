//! Problems in the Static Analysis Results Interchange Format, version 2.1.0 (OASIS Standard).

use serde_json::{Value, json};

use crate::diagnostic::{Code, Diagnostic, Severity};
use crate::source::{Sources, Span};

/// The whole log as JSON text.
pub fn text(diagnostics: &[Diagnostic], sources: &Sources) -> String {
    let rules: Vec<Value> = Code::ALL
        .iter()
        .map(|code| {
            let lesson = code.lesson();
            json!({
                "id": code.name(),
                "shortDescription": { "text": lesson.title },
                "fullDescription": { "text": lesson.text },
                "defaultConfiguration": { "level": level(code.severity()) },
            })
        })
        .collect();
    let results: Vec<Value> = diagnostics.iter().map(|diagnostic| result(diagnostic, sources)).collect();
    let log = json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": { "name": "bluecone", "version": env!("CARGO_PKG_VERSION"), "rules": rules } },
            "columnKind": "unicodeCodePoints",
            "results": results,
        }],
    });
    format!("{log:#}\n")
}

fn result(diagnostic: &Diagnostic, sources: &Sources) -> Value {
    let mut message = diagnostic.message.clone();
    for part in std::iter::once(&diagnostic.label).filter(|label| !label.is_empty()).chain(&diagnostic.hints) {
        message.push_str("; ");
        message.push_str(part);
    }
    let related: Vec<Value> = diagnostic
        .also
        .iter()
        .map(|(span, words)| {
            let mut location = location(*span, sources);
            location["message"] = json!({ "text": words });
            location
        })
        .collect();
    json!({
        "ruleId": diagnostic.code.name(),
        "ruleIndex": Code::ALL.iter().position(|code| *code == diagnostic.code),
        "level": level(diagnostic.severity()),
        "message": { "text": message },
        "locations": [location(diagnostic.span, sources)],
        "relatedLocations": related,
    })
}

fn location(span: Span, sources: &Sources) -> Value {
    let Some(source) = sources.get(span.source) else {
        return json!({});
    };
    let (start_line, start_column) = source.line_column(span.start);
    let (end_line, end_column) = source.line_column(span.end);
    json!({
        "physicalLocation": {
            "artifactLocation": { "uri": address(&source.path) },
            "region": { "startLine": start_line, "startColumn": start_column, "endLine": end_line, "endColumn": end_column },
        },
    })
}

/// A path as a relative URI reference: everything but unreserved characters and `/` is percent-encoded.
fn address(path: &str) -> String {
    let mut address = String::with_capacity(path.len());
    for byte in path.bytes() {
        match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' | b'/' => address.push(byte as char),
            _ => address.push_str(&format!("%{byte:02X}")),
        }
    }
    address
}

fn level(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "error",
        Severity::Warning => "warning",
    }
}
