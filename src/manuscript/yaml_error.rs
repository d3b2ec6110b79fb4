//! The YAML parser's complaints in our own words.

use serde_yaml::granit_parser::{ErrorKind, ScanError};

use crate::diagnostic::{Code, Diagnostic};
use crate::source::{SourceId, Span};

use super::kind::Kind as EntryKind;

/// Nesting beyond the limit.
pub fn too_deep(source: SourceId, at: usize, limit: usize) -> Diagnostic {
    Diagnostic::new(Code::YamlLimit, Span::new(source, at, at), format!("lists and maps are nested deeper than {limit} levels"))
        .hint("no entry nests deeper than ten levels; look for brackets that are not closed")
}

/// A syntax error as a diagnostic at its place, the parser's message as its label.
pub fn explain(source: SourceId, file: &str, error: &ScanError) -> Diagnostic {
    use ErrorKind as Kind;
    let at = error.marker().byte_offset().unwrap_or(0).min(file.len());
    if matches!(error.kind(), Kind::RecursionLimitExceeded) {
        return too_deep(source, at, super::yaml::limits().max_depth).label(error.info());
    }
    let tabs = matches!(error.kind(), Kind::TabInPlainScalar | Kind::TabNotAllowed | Kind::TabInBlockIndentation | Kind::TabInIndentation);
    if let Some(tab) = tab_in_indentation(file, at, tabs) {
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, tab, tab + 1), "expected spaces in the indentation, found a tab")
            .label(error.info())
            .hint("put two spaces in place of the tab; most editors can be set to do so for YAML");
    }
    if let Some((space, length)) = odd_space_in_indentation(file, at) {
        return Diagnostic::new(
            Code::YamlSyntax,
            Span::new(source, space, space + length),
            "expected spaces in the indentation, found a no-break or another special space",
        )
        .label(error.info())
        .hint("it looks like a space and came with copied text; type ordinary spaces in its place");
    }
    if let Some((quote, length)) = curly_quote(file, at) {
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, quote, quote + length), "expected a straight quote, found a curly one")
            .label(error.info())
            .hint("write `'`; to YAML a curly quote is a letter like any other, and word processors put it in by themselves");
    }
    if let Some(dash) = dash_without_space(file, at) {
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, dash, dash + 1), "expected a space after the `-` of a list item")
            .label(error.info())
            .hint("write `- ` before each item; put text that begins with a minus sign in quotes");
    }
    if matches!(
        error.kind(),
        Kind::MappingValueNotAllowed
            | Kind::InvalidColonPlacement
            | Kind::ExpectedFlowSequenceSeparator
            | Kind::ExpectedFlowMappingSeparator
            | Kind::BlockEntryInFlowCollection
    ) && let Some(bracket) = open_bracket_above(file, at)
    {
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, bracket, bracket + 1), "expected a bracket that closes this one")
            .label(error.info())
            .hint(
                "close it on the same line, or put text that holds a bracket, a brace or ` #` in quotes: ` #` begins a note to yourself",
            );
    }
    if file[at..].starts_with(',') && file[..at].trim_end().ends_with([',', '[', '{']) {
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, at, at + 1), "expected a value before this comma, found none")
            .label(error.info())
            .hint("write `null` for a cell without a figure, or take the comma out");
    }
    let quotes = matches!(error.kind(), Kind::InvalidTrailingSingleQuotedScalar | Kind::InvalidTrailingDoubleQuotedScalar);
    if let Some(quote) = open_quote_above(file, at).filter(|_| quotes) {
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, quote, quote + 1), "expected a quote that closes this one")
            .label(error.info())
            .hint("close it at the end of its text, on the same line");
    }
    if let Some(dash) = dash_too_many(file, at).filter(|_| matches!(error.kind(), Kind::ExpectedBlockSequenceEntry)) {
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, dash, dash + 1), "expected a field, found a `-` before it")
            .label(error.info())
            .hint("take the `- ` out: the fields below it have none");
    }
    let colon = matches!(error.kind(), Kind::MappingValueNotAllowed | Kind::InvalidColonPlacement);
    if let Some(hint) = mended_value(file, at).filter(|_| quotes || colon) {
        let message = if quotes { "expected the end of the value after its closing quote" } else { "expected no second `: ` here" };
        return Diagnostic::new(Code::YamlSyntax, Span::new(source, at, at), message).label(error.info()).hint(hint);
    }
    let (message, hint) = match error.kind() {
        Kind::MappingValueNotAllowed | Kind::InvalidColonPlacement => {
            ("expected no second `: ` here", "put text that holds `: ` in quotes; or check the indentation of this line and the one above")
        }
        Kind::UnclosedQuotedScalar => ("expected a closing quote, found the end of the file", "close the quote"),
        Kind::UnknownAnchor => {
            ("expected the name of an anchor after `*`, found one that is not defined above", "put text that begins with `*` in quotes")
        }
        Kind::UnexpectedCharacter { .. } => {
            ("expected a value, found a character that no plain text may begin with or hold", "put the text in quotes")
        }
        Kind::UnexpectedEofFlowSequence | Kind::ExpectedFlowSequenceSeparator => {
            ("expected `,` or `]` in the list", "close the list with `]`; put text that holds a bracket, a brace or `: ` in quotes")
        }
        Kind::UnexpectedEofFlowMapping | Kind::UnexpectedEofImplicitFlowMapping | Kind::ExpectedFlowMappingSeparator => {
            ("expected `,` or `}` in the map", "close the map with `}`; put text that holds a bracket, a brace or `: ` in quotes")
        }
        Kind::UnclosedFlowCollection { .. } => {
            ("expected a closing bracket, found the end of the file", "close the bracket that opens here")
        }
        Kind::MisplacedFlowCollectionEnd | Kind::MismatchedFlowCollectionEnd { .. } => {
            ("expected another closing bracket or none", "pair the brackets, or put text that holds one in quotes")
        }
        Kind::PlainScalarStartsWithDashFlowIndicator => {
            ("expected a value, found a dash alone", "write `null` for a cell without a figure, or put the dash in quotes")
        }
        Kind::SimpleKeyExpected | Kind::InvalidSimpleKey => {
            ("expected `: ` after the name of a field", "put a colon and a space after the name; an item of a list begins with `- `")
        }
        Kind::ExpectedBlockMappingKey | Kind::ExpectedBlockSequenceEntry | Kind::InvalidIndentation => {
            ("expected a field or a list item at the indentation of the ones above", "line this up with the ones above")
        }
        Kind::BlockSequenceEntryNotAllowed => (
            "expected a value, found the dash of a list item",
            "begin each item on a line of its own; take the `- ` out where a single value stands",
        ),
        Kind::ExpectedDocumentStart => {
            ("expected a field at the indentation of the first one", "begin every field of the entry at the start of its line")
        }
        Kind::InvalidBlockScalarIndent | Kind::InvalidBlockScalarHeader => {
            ("expected the lines of the text below `|` or `>`, indented alike", "indent every line of the text alike")
        }
        Kind::UnknownQuotedScalarEscape | Kind::InvalidQuotedScalarHexEscape | Kind::InvalidUnicodeEscape => {
            ("expected a known escape after `\\`", "use single quotes, in which `\\` is an ordinary character")
        }
        Kind::InvalidTrailingSingleQuotedScalar => (
            "expected the end of the value after its closing quote",
            "inside single quotes write an apostrophe twice, as in 'it isn''t'; or leave the quotes out",
        ),
        Kind::InvalidTrailingDoubleQuotedScalar => (
            "expected the end of the value after its closing quote",
            "put the whole value in single quotes, as in '\"Ready\" is lit', or leave the quotes out",
        ),
        _ => ("expected valid YAML", "see the words at the mark"),
    };
    Diagnostic::new(Code::YamlSyntax, Span::new(source, at, at), message).label(error.info()).hint(hint)
}

/// The first space in the indentation of the line with the error, or of the line above it, that is not YAML's; and its length.
fn odd_space_in_indentation(file: &str, at: usize) -> Option<(usize, usize)> {
    let line_start = |at: usize| file.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |newline| newline + 1);
    let this = line_start(at);
    [this, line_start(this.saturating_sub(1))].into_iter().find_map(|start| {
        let indentation = file.get(start..)?.char_indices().take_while(|(_, sign)| sign.is_whitespace() && *sign != '\n');
        let (column, sign) = indentation.into_iter().find(|(_, sign)| !matches!(sign, ' ' | '\t' | '\r'))?;
        Some((start + column, sign.len_utf8()))
    })
}

/// A curly quote that begins a value on the line of an error, before it; and its length.
fn curly_quote(file: &str, at: usize) -> Option<(usize, usize)> {
    let start = file.get(..at)?.rfind('\n').map_or(0, |newline| newline + 1);
    let before = file.get(start..at)?;
    let begins = |place: usize| before[..place].trim_end().ends_with([':', '[', '{', ',', '-']);
    let curly = |sign: char| matches!(sign, '‘' | '’' | '“' | '”' | '„' | '‚');
    let (place, sign) = before.char_indices().filter(|(_, sign)| curly(*sign)).find(|(place, _)| begins(*place))?;
    Some((start + place, sign.len_utf8()))
}

/// The dash of a list item on the line of an error, if its text follows without a space.
fn dash_without_space(file: &str, at: usize) -> Option<usize> {
    let start = file.get(..at)?.rfind('\n').map_or(0, |newline| newline + 1);
    let line = file.get(start..)?.lines().next()?;
    let dash = line.len() - line.trim_start().len();
    let text = line[dash..].strip_prefix('-')?;
    text.starts_with(|sign: char| sign.is_alphabetic()).then_some(start + dash)
}

/// The bracket that one of the few lines above an error opens and none of them closes, if the line with the error begins no further
/// in: a list or map that is meant to go on is indented.
fn open_bracket_above(file: &str, at: usize) -> Option<usize> {
    const LINES: usize = 4;
    let before = file.get(..at)?;
    let line = before.rfind('\n')?;
    let start = before[..line].rmatch_indices('\n').nth(LINES - 1).map_or(0, |(newline, _)| newline + 1);
    let mut open = Vec::new();
    let mut quote = None;
    let mut note = false;
    let mut last = ' ';
    for (place, sign) in before[start..line].char_indices() {
        match (quote, sign) {
            (_, '\n') => (quote, note) = (None, false),
            (None, _) if note => {}
            (None, '#') if last == ' ' => note = true,
            (Some(mark), _) => quote = (sign != mark).then_some(mark),
            (None, '"' | '\'') if " [{,:".contains(last) => quote = Some(sign),
            (None, '[' | '{') if " [{,:".contains(last) => open.push(start + place),
            (None, ']' | '}') => drop(open.pop()),
            _ => {}
        }
        last = if sign == '\n' { ' ' } else { sign };
    }
    let bracket = open.pop()?;
    let indent = |at: usize| {
        let start = file[..at].rfind('\n').map_or(0, |newline| newline + 1);
        file[start..].bytes().take_while(|byte| *byte == b' ').count()
    };
    (indent(at) <= indent(bracket)).then_some(bracket)
}

/// The first tab in the indentation of the line with the error or of the line above it; if the error is about a tab, of
/// any line from there on, for then its place may be the start of the text that the tab stands in.
fn tab_in_indentation(file: &str, at: usize, onwards: bool) -> Option<usize> {
    let line_start = |at: usize| file.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |newline| newline + 1);
    let mut start = line_start(line_start(at).saturating_sub(1));
    for line in file.get(start..)?.split_inclusive('\n') {
        if start > at && !onwards {
            break;
        }
        let indentation = line.bytes().take_while(|byte| matches!(byte, b' ' | b'\t'));
        if let Some((column, _)) = indentation.enumerate().find(|(_, byte)| *byte == b'\t') {
            return Some(start + column);
        }
        start += line.len();
    }
    None
}

/// A dash above the error, at its indentation, before the first of several fields: at the beginning of the file, or behind the dash
/// of an item. Elsewhere another item may be meant to begin at the error.
fn dash_too_many(file: &str, at: usize) -> Option<usize> {
    let start = file[..at].rfind('\n')? + 1;
    let column = at - start;
    let lines = file[..start].split_inclusive('\n').rev();
    let mut begin = start;
    for line in lines {
        begin -= line.len();
        match line.get(column..).filter(|_| line[..column].bytes().all(|byte| matches!(byte, b' ' | b'-'))) {
            Some(rest) if rest.starts_with("- ") => return (column == 0 || line[..column].contains('-')).then_some(begin + column),
            // A line of the item, an empty one or a note.
            Some(rest) if rest.starts_with([' ', '#', '\n', '\r']) => {}
            None if line.trim().is_empty() => {}
            _ => return None,
        }
    }
    None
}

/// A quote that opens a value on a line above the error and does not close there: it closed at the next quote that came.
fn open_quote_above(file: &str, at: usize) -> Option<usize> {
    const FAR: usize = 200;
    let start = file[..at].rfind('\n')?;
    let mut end = start;
    for line in file[..start].rsplit('\n').take(FAR) {
        let begin = end - line.len();
        let value = line.split_once(": ").map_or(line.trim_start().strip_prefix("- "), |(_, value)| Some(value)).map(str::trim_start);
        if let Some(value) = value
            && let Some(quote) = value.chars().next().filter(|sign| matches!(sign, '\'' | '"'))
            && !value[1..].contains(quote)
        {
            return Some(begin + line.len() - value.len());
        }
        end = begin.checked_sub(1)?;
    }
    None
}

/// Fields that hold formulas, in which texts have quotes of their own.
const FORMULAS: [&str; 7] = ["when", "formula", "first", "from", "to", "lasts", "repeat"];

/// What to write in a line whose value YAML cannot read, where that can be known: a truth with quotes in quotes, a truth with a
/// colon for `==`, a reference with a space after its colon.
fn mended_value(file: &str, at: usize) -> Option<String> {
    let start = file[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let line = file[start..].lines().next()?.trim();
    let (key, value) = line.strip_prefix("- ").unwrap_or(line).split_once(": ")?;
    let value = value.trim();
    if let Some((kind, id)) = value.split_once(": ")
        && EntryKind::ALL.iter().any(|known| known.name() == kind)
    {
        return Some(format!("write the reference without a space after its colon: `{key}: {kind}:{}`", id.trim()));
    }
    if !FORMULAS.contains(&key) {
        let named = key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-');
        let plain = named && value.contains(": ") && !value.starts_with(['\'', '"', '[', '{', '|', '>']) && !value.contains(" #");
        return plain.then(|| format!("put text that holds `: ` in quotes: `{key}: '{}'`", value.replace('\'', "''")));
    }
    let name = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_');
    let formula = match value.split_once(": ") {
        Some((left, right)) if name(left) => format!("{left} == \"{}\"", right.trim().trim_matches(['\'', '"'])),
        _ if value.contains("==") || value.contains("!=") => {
            let quote = value.chars().next().filter(|sign| matches!(sign, '\'' | '"'))?;
            let inner = value[1..].strip_suffix(quote);
            // With the closing quote in the middle of a word the first one was meant to stand around the whole.
            let around = value[1..].split_once(quote).is_some_and(|(_, rest)| rest.starts_with(char::is_alphanumeric));
            inner.filter(|_| around).unwrap_or(value).replace('\'', "\"")
        }
        _ => return None,
    };
    Some(format!("write the whole in single quotes, and texts in double ones: `{key}: '{formula}'`"))
}
