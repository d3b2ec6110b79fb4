//! The files under `cases/`: each changes the small handbook under `base/` and says which problems proof must then tell.
//!
//! A line `==== path` begins a file that is added to the small handbook or takes the place of one of its files,
//! `==== without path` takes one out, `==== expected` begins the problems. `RENEW_CASES=1` writes what proof gives now into
//! the cases; read the difference before you commit it.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use bluecone::diagnostic::Code;
use bluecone::handbook::MOST_IN_ORDER;

use super::folder::{Texts, package, proved, shown, texts};

#[test]
fn the_small_handbook_has_no_problem() {
    let (handbook, problems, sources) = proved(&texts("tests/proof/base"));
    assert_eq!(shown(&problems, &sources), "");
    assert_eq!(handbook.unwrap().entries().count(), 16);
}

#[test]
fn more_faults_or_checks_than_an_order_takes_are_told() {
    let mut book = texts("tests/proof/base");
    let mut symptom = book["symptoms/igniter-dark.yaml"].clone();
    // Each fault is proved by a check of its own that rules out all others.
    let (mut faults, mut checks) = (String::new(), String::new());
    for at in 0..MOST_IN_ORDER {
        let fault = format!(
            "title: Fault {at}\nsummary: One of many.\npart: part {at}\ncause: Age.\nsigns: Some.\nremedy: Mend it.\nproved-by: check:c{at}\n"
        );
        book.insert(format!("faults/f{at}.yaml"), fault);
        let check = format!(
            "title: Check {at}\nsummary: One of many.\nstate: powered\ntouches: []\nminutes: 1\nsteps: [Look]\noutcomes:\n  - {{id: there, seen: It is there, means: Found., keeps: [fault:f{at}]}}\n  - {{id: gone, seen: It is not, means: Go on., drops: [fault:f{at}]}}\n"
        );
        book.insert(format!("checks/c{at}.yaml"), check);
        faults += &format!("  - {{fault: fault:f{at}, weight: 1, basis: judgement}}\n");
        checks += &format!("check:c{at}, ");
    }
    symptom = symptom.replace("faults:\n", &format!("faults:\n{faults}")).replace("checks: [", &format!("checks: [{checks}"));
    book.insert("symptoms/igniter-dark.yaml".into(), symptom);
    let (handbook, problems, sources) = proved(&book);
    let told: Vec<String> =
        problems.iter().filter(|problem| problem.code == Code::NoOrder).map(|problem| problem.in_one_line(&sources)).collect();
    assert_eq!(told.len(), 2, "{}", shown(&problems, &sources));
    assert!(told[0].contains("at most 64 faults, found 66") && told[1].contains("at most 64 checks, found 66"), "{told:?}");
    assert!(handbook.is_some(), "only a warning");
}

#[test]
fn every_case_gives_its_problems() {
    let base = texts("tests/proof/base");
    let wrong: Vec<String> = paths().iter().filter_map(|path| check(path, &base)).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Codes that only reading, pressing or a theme can give; they have cases elsewhere.
const ELSEWHERE: &[Code] = &[
    Code::NoOrder,
    Code::NotText,
    Code::EmptyFile,
    Code::FileTooLarge,
    Code::YamlSyntax,
    Code::YamlLimit,
    Code::DuplicateField,
    Code::UnknownField,
    Code::BadId,
    Code::StrayFile,
    Code::OutsideBook,
    Code::NoHandbook,
    Code::ThemeTemplate,
    Code::ThemeFile,
];

#[test]
fn every_code_of_proof_and_formula_has_a_case() {
    let told: BTreeSet<String> = paths()
        .iter()
        .flat_map(|path| {
            let text = fs::read_to_string(path).unwrap();
            let expected = text.split_once("==== expected\n").map_or("", |(_, expected)| expected).to_owned();
            let codes = expected.lines().filter(|line| !line.starts_with(' ')).filter_map(|line| line.split(' ').nth(1).map(str::to_owned));
            codes.collect::<Vec<_>>()
        })
        .collect();
    let missing: Vec<&str> =
        Code::ALL.iter().filter(|code| !ELSEWHERE.contains(code)).map(|code| code.name()).filter(|name| !told.contains(*name)).collect();
    assert!(missing.is_empty(), "no case gives {missing:?}");
}

fn paths() -> Vec<PathBuf> {
    let mut paths: Vec<PathBuf> = fs::read_dir(package("tests/proof/cases")).unwrap().map(|item| item.unwrap().path()).collect();
    paths.sort();
    assert!(paths.len() > 10, "the cases are missing");
    paths
}

/// What differs between a case and what proof gives.
fn check(path: &Path, base: &Texts) -> Option<String> {
    let text = fs::read_to_string(path).unwrap();
    let (files, expected) = text.split_once("==== expected\n").unwrap_or((&text, ""));
    let mut texts = base.clone();
    let mut current = String::new();
    for line in files.split_inclusive('\n') {
        match line.strip_prefix("==== ").map(|name| name.trim_end_matches('\n')) {
            Some(name) => match name.strip_prefix("without ") {
                Some(name) => assert!(texts.remove(name).is_some(), "{}: there is no `{name}`", path.display()),
                None => {
                    current = name.to_owned();
                    texts.insert(current.clone(), String::new());
                }
            },
            None => texts.get_mut(&current).expect("a case begins with a path").push_str(line),
        }
    }
    let (handbook, problems, sources) = proved(&texts);
    let errors = problems.iter().any(|problem| problem.severity() == bluecone::diagnostic::Severity::Error);
    assert_eq!(handbook.is_some(), !errors, "{}: a handbook is given if and only if no error stands", path.display());
    let found = shown(&problems, &sources);
    if std::env::var_os("RENEW_CASES").is_some() {
        fs::write(path, format!("{files}==== expected\n{found}")).unwrap();
        return None;
    }
    (found != expected).then(|| format!("{}\n--- expected\n{expected}--- found\n{found}", path.display()))
}
