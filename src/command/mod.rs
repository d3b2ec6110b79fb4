//! The command line: one file a command. Only here is anything printed.

mod find;
mod phases;
mod press;
mod proof;
mod report;
mod reweigh;
mod rows;
mod sarif;
mod walk;
mod walk_words;
mod work;

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use crate::Proofed;
use crate::diagnostic::nearest;
use crate::handbook::Handbook;

/// How a command ended, as exit codes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    Done = 0,
    /// The handbook has problems.
    Problems = 1,
    /// The call was wrong.
    WrongCall = 2,
    /// The machine failed: disk, permissions.
    MachineFailed = 3,
}

/// Turns one folder of entries into an offline service handbook.
#[derive(Debug, Parser)]
#[command(
    name = "bluecone",
    version,
    max_term_width = 100,
    subcommand_required = true,
    arg_required_else_help = true,
    after_help = "\
Examples:
  bluecone proof                          check the handbook in ./content and show what is wrong
  bluecone press                          turn ./content into ./site, then open site/index.html
  bluecone press shop-book --to out       another handbook, another folder
  bluecone find no glow                   look something up
  bluecone work flame-current pin_voltage='5 V'
  bluecone walk igniter-stays-dark        walk through a symptom's checks
  bluecone reweigh calls.csv              weigh the faults by past calls

Exit codes: 0 done, 1 the handbook has problems, 2 the call was wrong, 3 the machine failed."
)]
struct Call {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Press(press::Press),
    Proof(proof::Proof),
    Find(find::Find),
    Work(work::Work),
    Walk(walk::Walk),
    Reweigh(reweigh::Reweigh),
}

/// Reads the arguments, runs the command and gives the exit status.
pub fn run() -> ExitCode {
    let ending = match Call::parse().command {
        Command::Press(call) => press::run(&call),
        Command::Proof(call) => proof::run(&call),
        Command::Find(call) => find::run(&call),
        Command::Work(call) => work::run(&call),
        Command::Walk(call) => walk::run(&call),
        Command::Reweigh(call) => reweigh::run(&call),
    };
    ExitCode::from(ending as u8)
}

/// Prints the answer to standard output. A reader that has gone away is not an error; a full disk is, for the answer is lost.
fn say(text: &str) -> Ending {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            complain(&format!("cannot write the answer: {error}"));
            Ending::MachineFailed
        }
        _ => Ending::Done,
    }
}

/// `1 entry`, `2 entries`.
fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `; did you mean …?` if one of the known names is near the wrong one, otherwise nothing.
fn meant<'a>(wrong: &str, known: impl IntoIterator<Item = &'a str>) -> String {
    nearest(wrong, known).map_or_else(String::new, |near| format!("; did you mean `{near}`?"))
}

/// [`meant`], or all of them if none is near.
fn one_of(wrong: &str, known: &[&str]) -> String {
    let near = meant(wrong, known.iter().copied());
    if near.is_empty() && !known.is_empty() { format!("; it may be {}", known.join(", ")) } else { near }
}

/// What a reader typed, to be repeated in one line: at most 60 characters, control characters as escapes.
fn short(typed: &str) -> String {
    const MOST: usize = 60;
    let mut line = String::new();
    for sign in typed.chars().take(MOST) {
        if sign.is_control() { line.extend(sign.escape_default()) } else { line.push(sign) }
    }
    if typed.chars().nth(MOST).is_some() {
        line.push('…');
    }
    line
}

/// Prints to standard error.
fn complain(text: &str) {
    let mut out = std::io::stderr().lock();
    let _ = writeln!(out, "bluecone: {text}");
}

/// Reads and checks a handbook; if the folder cannot be read, that is said and the ending is given.
fn proofed(book: &Path) -> Result<Proofed, Ending> {
    must_be_folder(book)?;
    crate::proof(book).map_err(|error| {
        complain(&format!("cannot read {}: {error}", book.display()));
        Ending::MachineFailed
    })
}

/// The same for a command that needs a whole handbook: problems are shown.
fn whole_handbook(book: &Path) -> Result<Handbook, Ending> {
    let proofed = proofed(book)?;
    match proofed.handbook {
        Some(handbook) => Ok(handbook),
        None => {
            report::show(&proofed.diagnostics, &proofed.sources);
            Err(Ending::Problems)
        }
    }
}

/// A folder given by name must be there; a wrong name is a wrong call, not a problem of the handbook.
fn must_be_folder(book: &Path) -> Result<(), Ending> {
    if book.is_dir() {
        let above = book.canonicalize().ok().and_then(|whole| whole.parent().map(Path::to_owned));
        let is_part = !book.join("handbook.yaml").exists() && above.is_some_and(|above| above.join("handbook.yaml").is_file());
        if !is_part {
            return Ok(());
        }
        complain(&format!("{} is only a part of a handbook; name the folder above it, which holds `handbook.yaml`", book.display()));
        return Err(Ending::WrongCall);
    }
    if book.is_file() {
        // The folder of the whole handbook, should one be above; an entry's own folder would be the next mistake.
        let whole = book.ancestors().skip(1).find(|folder| folder.join("handbook.yaml").is_file());
        let folder = whole.or(book.parent()).filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        complain(&format!("{} is a file; name the handbook's folder, here `{}`", book.display(), folder.display()));
    } else {
        complain(&format!("there is no folder {}; name the handbook's folder, such as `content`", book.display()));
    }
    Err(Ending::WrongCall)
}

fn default_book() -> PathBuf {
    PathBuf::from("content")
}

fn error_is_terminal() -> bool {
    std::io::stderr().is_terminal()
}
