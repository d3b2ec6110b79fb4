//! The guide's page on a sum of one's own, done as it says: its files written, its changes made, its commands run with
//! the real program, and what they print compared with what the page prints.
//!
//! `RENEW_CASES=1` writes what they print into the page, where it does not fit; read the difference.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::proof::folder::package;

const PAGE: &str = "content/guide/22-shops-own-sum.md";
/// Stands on the page for what differs between versions.
const ANYTHING: char = '…';

/// What a reader does at one fenced block.
enum Deed {
    Write { path: String, text: String },
    Change { path: String, lines: Vec<String> },
    Run(Vec<Call>),
}

struct Call {
    /// Of the page, from 1.
    line: usize,
    command: String,
    prints: String,
}

/// Puts what the commands printed behind their lines, the last one first so that the lines before it stay in place.
fn renew(differing: &[(Call, String)]) {
    let text = fs::read_to_string(package(PAGE)).unwrap();
    let mut lines: Vec<&str> = text.lines().collect();
    for (call, printed) in differing.iter().rev() {
        let old = call.prints.lines().count();
        lines.splice(call.line..call.line + old, printed.trim_end().lines());
    }
    fs::write(package(PAGE), lines.join("\n") + "\n").unwrap();
}

fn deeds() -> Vec<Deed> {
    let text = fs::read_to_string(package(PAGE)).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let mut deeds = Vec::new();
    let mut at = 0;
    while at < lines.len() {
        let Some(language) = lines[at].strip_prefix("```") else {
            at += 1;
            continue;
        };
        let start = at + 1;
        let end = start + lines[start..].iter().position(|line| *line == "```").expect("the block is closed");
        let block = &lines[start..end];
        deeds.push(match language {
            "yaml" => {
                let path = block[0].strip_prefix("# ").expect("the block begins with its path").to_owned();
                Deed::Write { path, text: block.join("\n") + "\n" }
            }
            "diff" => {
                let path = block[0].strip_prefix("--- ").expect("the change begins with its path").to_owned();
                Deed::Change { path, lines: block[1..].iter().map(|line| (*line).to_owned()).collect() }
            }
            "console" => Deed::Run(calls(block, start + 1)),
            other => panic!("{PAGE}:{start}: nobody knows what to do with a block of {other:?}"),
        });
        at = end + 1;
    }
    deeds
}

fn calls(block: &[&str], first_line: usize) -> Vec<Call> {
    let mut calls: Vec<Call> = Vec::new();
    for (at, line) in block.iter().enumerate() {
        match line.strip_prefix("$ ") {
            Some(command) => calls.push(Call { line: first_line + at, command: command.to_owned(), prints: String::new() }),
            None => {
                let call = calls.last_mut().expect("a command stands before what it prints");
                call.prints += line;
                call.prints.push('\n');
            }
        }
    }
    calls
}

/// Makes a change as an editor of text would: the lines that stay or go must stand in the file once, one after the other.
fn change(text: &str, lines: &[String]) -> String {
    let side = |sign: char| -> String {
        let kept = lines.iter().filter(|line| line.starts_with(' ') || line.starts_with(sign));
        kept.map(|line| format!("{}\n", &line[1..])).collect()
    };
    let before: Vec<_> = lines.iter().filter(|line| !line.starts_with('+')).map(|line| &line[1..]).collect();
    let before = before.join("\n") + "\n";
    assert_eq!(before, side('-'), "a line begins with ` `, `-` or `+`");
    assert_eq!(text.matches(&before).count(), 1, "the file holds these lines once:\n{before}\n{text}");
    text.replace(&before, &side('+'))
}

/// Both without the spaces at the ends of lines, which an editor may take away.
fn plain(text: &str) -> String {
    text.trim_end().lines().map(|line| format!("{}\n", line.trim_end())).collect()
}

fn fits(pattern: &str, text: &str) -> bool {
    let mut pieces = pattern.split(ANYTHING);
    let Some(mut rest) = text.strip_prefix(pieces.next().unwrap_or("")) else { return false };
    let pieces: Vec<&str> = pieces.collect();
    let Some((last, middle)) = pieces.split_last() else { return rest.is_empty() };
    for piece in middle {
        match rest.find(piece) {
            Some(at) => rest = &rest[at + piece.len()..],
            None => return false,
        }
    }
    rest.ends_with(last)
}

fn run(command: &str, folder: &Path) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_bluecone")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let output = Command::new("sh").args(["-c", &format!("{command} 2>&1")]).current_dir(folder).env("PATH", path).output().unwrap();
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_page_on_a_sum_of_ones_own_does_what_it_says() {
    let folder = tempfile::tempdir().unwrap();
    let (mut files, mut changes, mut commands) = (0, 0, 0);
    let mut differing = Vec::new();
    for deed in deeds() {
        match deed {
            Deed::Write { path, text } => {
                let path = folder.path().join(path);
                fs::create_dir_all(path.parent().unwrap()).unwrap();
                fs::write(path, text).unwrap();
                files += 1;
            }
            Deed::Change { path, lines } => {
                let path = folder.path().join(path);
                let text = fs::read_to_string(&path).unwrap();
                fs::write(path, change(&text, &lines)).unwrap();
                changes += 1;
            }
            Deed::Run(calls) => {
                for call in calls {
                    let printed = plain(&run(&call.command, folder.path()));
                    commands += 1;
                    if !fits(&plain(&call.prints), &printed) {
                        differing.push((call, printed));
                    }
                }
            }
        }
    }
    if std::env::var_os("RENEW_CASES").is_some() {
        renew(&differing);
    }
    let wrong: String = differing.iter().map(|(call, printed)| format!("{PAGE}:{}: $ {}\n{printed}\n", call.line, call.command)).collect();
    assert!(wrong.is_empty(), "these commands print something else than the page says:\n{wrong}");
    assert!(files == 3 && changes >= 2 && commands >= 6, "{files} files, {changes} changes, {commands} commands");
    let page = fs::read_to_string(folder.path().join("camp-site/calculators/propane-hours.html")).unwrap();
    assert!(page.contains("Hours of propane left") && page.contains("Is it time to order?"));
}

#[test]
fn dots_stand_for_anything_and_nothing_else_does() {
    assert!(fits("a … c", "a b c") && fits("…", "") && fits("a…b…c", "a1b2c") && fits("same", "same"));
    assert!(!fits("a … c", "a b d") && !fits("same", "same again") && !fits("a…b…c", "a1c2b") && !fits("x…", "ax"));
}
