//! Stages import one way only, so that nothing unchecked can reach a page.

use std::collections::{BTreeMap, BTreeSet};

use super::texts;

/// Which stages each stage may import. What a stage may import is always earlier in the press; `command` may import everything.
const MAY_IMPORT: &[(&str, &[&str])] = &[
    ("source", &[]),
    ("diagnostic", &["source"]),
    ("theme", &["source", "diagnostic"]),
    ("formula", &["source", "diagnostic"]),
    ("manuscript", &["source", "diagnostic"]),
    ("handbook", &["source", "formula"]),
    ("proof", &["manuscript", "handbook", "formula", "source", "diagnostic"]),
    ("diagnosis", &["handbook", "formula"]),
    ("practice", &["handbook", "formula"]),
    ("search", &["handbook", "formula"]),
    ("pages", &["handbook", "formula", "diagnosis", "practice", "search", "theme"]),
    ("pack", &["handbook", "formula", "diagnosis", "practice", "search", "theme"]),
    ("site", &["pages", "pack"]),
];

/// The stage that a file belongs to: the folder or file below `src`.
fn stage(path: &str) -> &str {
    let below = path.strip_prefix("src/").unwrap_or(path);
    below.split('/').next().unwrap_or(below).trim_end_matches(".rs")
}

/// The code without comments; strings stay, since none names a path of the crate.
fn code(text: &str) -> String {
    text.lines().map(|line| line.split_once("//").map_or(line, |(code, _)| code)).collect::<Vec<_>>().join("\n")
}

/// The first names after every `crate::` of a piece of code, also inside braces.
fn imported(code: &str) -> BTreeSet<String> {
    let name = |text: &str| text.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect::<String>();
    let mut names = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        if code[..at].ends_with(|letter: char| letter.is_alphanumeric() || letter == '_') {
            continue;
        }
        let rest = &code[at + "crate::".len()..];
        let Some(group) = rest.strip_prefix('{') else {
            names.insert(name(rest));
            continue;
        };
        let mut depth = 0;
        let mut begins = true;
        for (at, letter) in group.char_indices() {
            match letter {
                '{' => depth += 1,
                '}' if depth == 0 => break,
                '}' => depth -= 1,
                ',' if depth == 0 => begins = true,
                letter if begins && !letter.is_whitespace() => {
                    names.insert(name(&group[at..]));
                    begins = false;
                }
                _ => {}
            }
        }
    }
    names
}

#[test]
fn the_reader_of_imports_reads_what_it_should() {
    let code = code(
        "use crate::a::B; // crate::no\nuse crate::{c::{D, E}, f, self::g};\nlet x = crate::h::y(); pub(crate) use $crate::i;\nmycrate::j",
    );
    let expected: BTreeSet<String> = ["a", "c", "f", "self", "h", "i"].map(str::to_owned).into();
    assert_eq!(imported(&code), expected);
}

#[test]
fn stages_import_one_way() {
    let table: BTreeMap<&str, &[&str]> = MAY_IMPORT.iter().copied().collect();
    let stages: BTreeSet<&str> = table.keys().copied().chain(["command"]).collect();
    let mut wrong = Vec::new();
    let mut n_imports = 0;
    for (path, text) in texts("src", "rs") {
        let from = stage(&path);
        if ["lib", "main", "command"].contains(&from) {
            continue;
        }
        let Some(allowed) = table.get(from) else {
            wrong.push(format!("{path}: `{from}` is not in the table of stages"));
            continue;
        };
        // What is not a stage is lib.rs itself: its front doors (proof, press) are for the command line only.
        for name in imported(&code(&text)) {
            n_imports += 1;
            if name != from && !allowed.contains(&name.as_str()) {
                let what = if stages.contains(name.as_str()) { "stage" } else { "item of lib.rs" };
                wrong.push(format!("{path}: {from} imports the {what} `{name}`"));
            }
        }
    }
    assert!(n_imports > 50, "only {n_imports} imports were read");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

/// An import that goes round a circle would need two stages that may import each other, so the table itself must have an order.
#[test]
fn the_table_has_no_circle() {
    let mut settled: BTreeSet<&str> = BTreeSet::new();
    let mut left: Vec<_> = MAY_IMPORT.to_vec();
    while !left.is_empty() {
        let before = left.len();
        left.retain(|(stage, imports)| {
            let ready = imports.iter().all(|import| settled.contains(import));
            if ready {
                settled.insert(stage);
            }
            !ready
        });
        assert!(left.len() < before, "a circle among {left:?}");
    }
}

#[test]
fn only_the_command_line_prints() {
    let mut wrong = Vec::new();
    for (path, text) in texts("src", "rs") {
        if stage(&path) == "command" {
            continue;
        }
        for (number, line) in code(&text).lines().enumerate() {
            let prints = ["println!", "print!", "eprintln!", "eprint!", "dbg!", "stdout()", "stderr()", "process::exit"];
            if prints.iter().any(|word| line.contains(word)) {
                wrong.push(format!("{path}:{}: {}", number + 1, line.trim()));
            }
        }
    }
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn no_source_file_is_longer_than_600_lines() {
    let long: Vec<String> = ["rs", "js"]
        .iter()
        .flat_map(|ending| texts("src", ending))
        .filter(|(_, text)| text.lines().count() > 600)
        .map(|(path, text)| format!("{path}: {}", text.lines().count()))
        .collect();
    assert!(long.is_empty(), "{long:?}");
}
