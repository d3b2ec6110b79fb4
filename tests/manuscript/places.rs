//! Every byte of a scalar's text knows where it stands in the file, whatever the YAML style.

use bluecone::diagnostic::Problems;
use bluecone::manuscript::{Node, NodeKind, parse_yaml};
use bluecone::source::{Inset, SourceId};
use proptest::prelude::*;

fn parse(text: &str) -> Node {
    let mut problems = Problems::default();
    let node = parse_yaml(SourceId(0), text, &mut problems);
    node.unwrap_or_else(|| panic!("{text:?}: {:?}", problems.sorted()))
}

/// The inset of the value of the first key.
fn value(text: &str) -> Inset {
    match parse(text).kind {
        NodeKind::Map(mut entries) => entries.remove(0).1.inset,
        other => panic!("{other:?}"),
    }
}

fn place(inset: &Inset, at: usize) -> usize {
    inset.span(at..at + 1).start as usize
}

/// Bytes that stand as they are: the file has the same byte at the place. Others stand for a break or an escape.
fn assert_bytes_match(file: &str, inset: &Inset) {
    let mut last = None;
    for (at, byte) in inset.text.bytes().enumerate() {
        let outer = place(inset, at);
        let there = file.as_bytes().get(outer).copied();
        let folded = matches!(byte, b' ' | b'\n') && matches!(there, Some(b'\n' | b'\r') | None);
        assert!(there == Some(byte) || folded, "byte {at} of {:?} maps to {outer} in {file:?}", inset.text);
        assert!(last < Some(outer), "places must rise: {at} of {:?} in {file:?}", inset.text);
        last = Some(outer);
    }
}

#[test]
fn every_style_keeps_its_places() {
    let files = [
        ("k: a b\n", "a b"),
        ("k: load * 2   # words\n", "load * 2"),
        ("k: a\n  b\n\n  c é d\n", "a b\nc é d"),
        ("k: ' a\n\n   b '\n", " a\nb "),
        ("k: \"a  \n   b\n\n  c\"\n", "a b\nc"),
        ("k: |\n  one\n\n   two\n  é three\nl: 1\n", "one\n\n two\né three\n"),
        ("k: |-\n\n  \n    one\n  \n    two\n\n", "\n\none\n\ntwo"),
        ("k: |+\n  one\n\n\nl: 1\n", "one\n\n\n"),
        ("k: |2\n    one\n  two\n", "  one\ntwo\n"),
        ("k: >\n  one\n  two\n\n  three\n    more\n    more\n\n  end\n\n\n", "one two\nthree\n  more\n  more\n\nend\n"),
        ("k: >-\n\n\n  one\n\n\n\n  two  \n  three\n", "\n\none\n\n\ntwo   three"),
        ("k: |\r\n  one\r\n  two\r\n", "one\ntwo\n"),
        ("k: >\r\n  one\r\n  two\r\n\r\n  three\r\n", "one two\nthree\n"),
        ("k: |\n  the file ends here", "the file ends here\n"),
        ("k: 12.50\n", "12.50"),
        ("\u{feff}k: after a mark\n", "after a mark"),
    ];
    for (file, text) in files {
        let inset = value(file);
        assert_eq!(inset.text, text, "{file:?}");
        assert_bytes_match(file, &inset);
    }
}

#[test]
fn escapes_map_to_their_backslash() {
    let file = r#"k: "a\tb\u00e9c\x41d\U0001F525e\\f\"g""#.to_owned() + "\n";
    let inset = value(&file);
    assert_eq!(inset.text, "a\tb\u{e9}cAd\u{1f525}e\\f\"g");
    for letter in ["a", "b", "c", "d", "e", "f", "g"] {
        let outer = place(&inset, inset.text.find(letter).unwrap());
        assert_eq!(&file[outer..=outer], letter);
    }
    for (inner, escape) in
        [("\t", r"\t"), ("\u{e9}", r"\u00e9"), ("A", r"\x41"), ("\u{1f525}", r"\U0001F525"), ("\\", r"\\"), ("\"", "\\\"")]
    {
        let outer = place(&inset, inset.text.find(inner).unwrap());
        assert!(file[outer..].starts_with(escape), "{inner:?} maps to {outer}");
    }
    let long = "k: \"a\\Lé\"\n"; // two bytes in the file stand for three in the text
    let inset = value(long);
    assert_eq!(inset.text, "a\u{2028}é");
    assert_eq!((inset.span(1..4).start, inset.span(1..4).end), (5, 7));
    assert_eq!((inset.span(4..6).start, inset.span(4..6).end), (7, 9));
    let single = "k: 'it''s so'\n";
    let inset = value(single);
    assert_eq!(inset.text, "it's so");
    assert_eq!(place(&inset, 2), 6, "the quote maps to the first of the two");
    assert_eq!(place(&inset, 3), 8, "what follows is one byte further on");
}

#[test]
fn nodes_stand_where_they_are_written() {
    let file = "a: [1, {b: two}]\nc:\n  - d: 'x'\n    e:\n  - |\n    text\n";
    let NodeKind::Map(entries) = parse(file).kind else { panic!() };
    let slice = |span: bluecone::source::Span| &file[span.start as usize..span.end as usize];
    assert_eq!(slice(entries[0].0.span), "a");
    assert_eq!(slice(entries[0].1.span), "[1, {b: two}]");
    assert_eq!(slice(entries[1].1.span), "- d: 'x'\n    e:\n  - |\n    text\n");
    let NodeKind::List(items) = &entries[1].1.kind else { panic!() };
    assert_eq!(slice(items[0].span), "d: 'x'\n    e");
    assert_eq!(slice(items[1].span), "text\n");
    let NodeKind::Map(inner) = &items[0].kind else { panic!() };
    assert_eq!(slice(inner[0].1.span), "'x'");
    assert!(matches!(inner[1].1.kind, NodeKind::Null));
}

#[test]
fn plain_scalars_follow_the_core_schema() {
    let number = |text: &str| match parse(text).kind {
        NodeKind::Number(number) => Some(number),
        _ => None,
    };
    for (text, value) in
        [("0", 0.0), ("-3", -3.0), ("+.5", 0.5), ("5.", 5.0), ("1.5e-3", 0.0015), ("0x1F", 31.0), ("0o17", 15.0), ("007", 7.0)]
    {
        assert_eq!(number(text), Some(value), "{text}");
    }
    for text in ["1/0", "1_000", "e5", ".", "-", "inf", ".inf", ".nan", "1e999", "0x", "0b1", "1.2.3", "--1", "5 V", "'5'", "\"5\""] {
        assert_eq!(number(text), None, "{text}");
    }
    assert!(matches!(parse("yes").kind, NodeKind::Text));
    assert!(matches!(parse("True").kind, NodeKind::Bool(true)));
    assert!(matches!(parse("~").kind, NodeKind::Null));
}

/// Words that occur once each, joined by breaks, blank lines and escapes of a style.
fn scalar() -> impl Strategy<Value = String> {
    let style =
        prop_oneof![Just("plain"), Just("single"), Just("double"), Just("|"), Just("|-"), Just("|+"), Just(">"), Just(">-"), Just(">+")];
    let joint = 0usize..12;
    (style, proptest::collection::vec(joint, 1..12), 1usize..4, any::<bool>()).prop_map(|(style, joints, indent, crlf)| {
        let margin = " ".repeat(indent);
        let block = style.starts_with(['|', '>']);
        let mut text = match style {
            "plain" => "k: ".to_owned(),
            "single" => "k: '".to_owned(),
            "double" => "k: \"".to_owned(),
            block => format!("k: {block}\n{margin}"),
        };
        text.push_str("w0é");
        for (at, joint) in joints.iter().enumerate() {
            let between = match (joint, style) {
                (0..=2, _) => " ".to_owned(),
                (3..=4, _) => format!("\n{margin}"),
                (5, _) => format!("\n\n{margin}"),
                (6, _) => format!("\n\n \n{margin}"),
                (7, _) => "   ".to_owned(),
                (8, "single") => "''".to_owned(),
                (8, "double") => "\\t".to_owned(),
                (9, "double") => format!(" \\\n{margin}"),
                (10, "double") => "\\u00e9\\x41\\\"".to_owned(),
                (11, "double") => format!("\\\n\n\n{margin}"),
                (8, _) if block => format!("\n{margin}  "),
                (9, _) if block => format!("  \n{margin}"),
                (10, _) if block => format!("\n{margin}   \n{margin}"),
                _ => " x ".to_owned(),
            };
            text.push_str(&between);
            text.push_str(&format!("w{}é", at + 1));
        }
        text.push_str(match style {
            "single" => "'\n",
            "double" => "\"\n",
            _ => "\n\n",
        });
        text.push_str("last: 1\n");
        if crlf { text.replace('\n', "\r\n") } else { text }
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn words_keep_their_places(file in scalar()) {
        let inset = value(&file);
        let mut count = 0;
        while let Some(inner) = inset.text.find(&format!("w{count}é")) {
            let outer = file.find(&format!("w{count}é")).unwrap();
            let word = format!("w{count}é").len();
            prop_assert_eq!(inset.span(inner..inner + word), bluecone::source::Span::new(SourceId(0), outer, outer + word), "{:?}", file);
            count += 1;
        }
        prop_assert!(count >= 2, "no word but the first in {:?}", inset.text);
        prop_assert!(file.find(&format!("w{count}é")).is_none(), "a word was lost");
    }

    #[test]
    fn other_styles_keep_every_byte(file in scalar().prop_filter("escapes stand for other bytes", |file| !file.contains(['\\', '\'']))) {
        assert_bytes_match(&file, &value(&file));
    }

    /// Whatever the text: no panic, and every place lies inside the file on the border of a character.
    #[test]
    fn any_text_is_read_or_refused(text in "([a-c:\\-\\[\\]{},|>'\"\\\\#&*!%@ \t\r\n é0-9.~?]|: |\n  |- ){0,40}") {
        let mut problems = Problems::default();
        if let Some(node) = parse_yaml(SourceId(0), &text, &mut problems) {
            inside(&node, &text);
        } else {
            prop_assert!(problems.has_errors());
        }
        for problem in problems.sorted() {
            prop_assert!(text.is_char_boundary(problem.span.start as usize), "{text:?} {problem:?}");
        }
    }
}

fn inside(node: &Node, text: &str) {
    assert!(text.get(node.span.start as usize..node.span.end as usize).is_some(), "{node:?} in {text:?}");
    for (at, c) in node.inset.text.char_indices() {
        let span = node.inset.span(at..at + c.len_utf8());
        assert!(text.get(span.start as usize..span.end as usize).is_some(), "{c:?} at {span:?} in {text:?}");
    }
    match &node.kind {
        NodeKind::List(items) => items.iter().for_each(|item| inside(item, text)),
        NodeKind::Map(entries) => entries.iter().for_each(|(_, item)| inside(item, text)),
        _ => {}
    }
}
