//! `bluecone proof`: all problems in one run, in order, for people and for programs.

use std::collections::BTreeSet;

use jsonschema::Draft;
use serde_json::Value;

use super::shop::{Run, Shop};

/// A handbook with several problems in several files.
fn troubled() -> Shop {
    let shop = Shop::new();
    shop.edit("content/faults/igniter-open.yaml", "task:replace-igniter", "task:replace-ignitor");
    shop.edit("content/checks/prove-dead.yaml", "minutes: 6", "minutes: six");
    shop.edit("content/checks/prove-dead.yaml", "state: isolated\n", "");
    shop.edit("content/tables/tabs.yaml", "  - ['middle', 0.187]", "  - ['middle', 0.300]");
    shop.edit("content/calculators/wire-drop.yaml", "2 * current * resistance", "2 * current + resistance");
    shop.edit("content/terms/hot-surface-igniter.yaml", "summary:", "sumary:");
    shop
}

/// The places `file:line:column` in the order shown.
fn places(run: &Run) -> Vec<(String, usize, usize)> {
    let place = |line: &str| {
        let mut parts = line.trim_start().strip_prefix("--> ")?.rsplitn(3, ':');
        let column = parts.next()?.parse().ok()?;
        let line = parts.next()?.parse().ok()?;
        Some((parts.next()?.to_owned(), line, column))
    };
    run.error.lines().filter_map(place).collect()
}

#[test]
fn a_sound_handbook_is_counted_and_ends_with_0() {
    let shop = Shop::new();
    let run = shop.run(&["proof"]);
    assert_eq!(run.status, 0, "{run:?}");
    assert_eq!(run.error, "", "the small handbook has no warnings");
    assert!(run.out.contains("15 entries") && run.out.contains("1 worked example "), "{run:?}");
    assert_eq!(shop.names("."), ["content"], "proof writes nothing");
}

#[test]
fn all_problems_come_in_one_run_sorted_by_file_and_place() {
    let shop = troubled();
    let run = shop.run(&["proof"]);
    assert_eq!(run.status, 1, "{run:?}");
    assert_eq!(run.out, "");
    for code in ["broken-link", "wrong-type", "unsorted-table", "unit-mismatch", "unknown-field", "missing-field"] {
        assert!(run.error.contains(code), "{code} is missing in {}", run.error);
    }
    let places = places(&run);
    let mut sorted = places.clone();
    sorted.sort();
    assert_eq!(places, sorted);
    let files: BTreeSet<&str> = places.iter().map(|(file, _, _)| file.as_str()).collect();
    assert_eq!(files.len(), 5, "{files:?}");
    assert!(files.contains("content/faults/igniter-open.yaml"), "paths are as the caller wrote them: {files:?}");
    assert!(run.error.contains("task:replace-igniter"), "the nearest known name is a hint");
}

#[test]
fn the_place_is_exact_and_the_excerpt_shows_it() {
    let shop = Shop::new();
    shop.edit("content/calculators/wire-drop.yaml", "2 * current * resistance", "2 * current + resistance");
    let run = shop.run(&["proof"]);
    let text = std::fs::read_to_string(shop.path("content/calculators/wire-drop.yaml")).expect("the file");
    let (index, line) = text.lines().enumerate().find(|(_, line)| line.contains("2 * current +")).expect("the line");
    let column = line.find('+').expect("the operator") + 1;
    let expected = format!("content/calculators/wire-drop.yaml:{}:{column}", index + 1);
    assert!(run.error.contains(&expected), "{expected} is not in {}", run.error);
    assert!(run.error.contains(line.trim_end()), "{}", run.error);
}

#[test]
fn warnings_alone_end_with_0() {
    let shop = Shop::new();
    shop.write("content/checks/notes.txt", "not an entry");
    let run = shop.run(&["proof"]);
    assert_eq!(run.status, 0, "{run:?}");
    assert!(run.error.contains("stray-file") && run.error.contains("1 warning"), "{run:?}");
}

#[test]
fn a_link_out_of_the_book_is_an_error_and_is_not_read() {
    let shop = Shop::new();
    shop.write("secret.yaml", "title: Secret recipe\nsummary: Not for the site.\n");
    std::os::unix::fs::symlink(shop.path("secret.yaml"), shop.path("content/terms/secret.yaml")).expect("a link");
    let run = shop.run(&["press"]);
    assert_eq!(run.status, 1, "{run:?}");
    assert!(run.error.contains("outside-book") && run.error.contains("terms/secret.yaml"), "{run:?}");
    assert!(!run.error.contains("Secret recipe"), "the file's text is shown: {run:?}");
    assert!(!shop.path("site").exists());
}

#[test]
fn a_linked_folder_out_of_the_book_is_an_error_too() {
    let shop = Shop::new();
    shop.write("outside/secret.yaml", "title: Secret recipe\nsummary: Not for the site.\n");
    std::os::unix::fs::symlink(shop.path("outside"), shop.path("content/terms/more")).expect("a link");
    let run = shop.run(&["proof"]);
    assert_eq!(run.status, 1, "{run:?}");
    assert!(run.error.contains("outside-book"), "{run:?}");
    assert!(!run.error.contains("Secret recipe"), "{run:?}");
}

#[test]
fn a_folder_without_a_handbook_file_is_a_problem_of_the_handbook() {
    let shop = Shop::new();
    std::fs::create_dir(shop.path("bare")).expect("a folder");
    let run = shop.run(&["proof", "bare"]);
    assert_eq!(run.status, 1, "{run:?}");
    assert!(run.error.contains("no-handbook"), "{run:?}");
}

#[test]
fn piped_output_carries_no_escape_codes() {
    let shop = troubled();
    let sound = Shop::new();
    let runs = [
        shop.run(&["proof"]),
        shop.run(&["press"]),
        shop.run(&["proof", "--format", "sarif"]),
        shop.run(&["no-such-command"]),
        sound.run(&["press"]),
        sound.run(&["find", "glow"]),
        sound.run(&["work", "wire-drop"]),
        sound.run(&["--help"]),
    ];
    for run in runs {
        assert!(!run.out.contains('\u{1b}') && !run.error.contains('\u{1b}'), "{run:?}");
        assert!(!run.out.contains('\r') && !run.error.contains('\r'), "{run:?}");
    }
}

/// Against the OASIS schema as the crate serde-sarif 0.8.0 carries it, unchanged.
#[test]
fn sarif_is_valid_by_the_standards_own_schema() {
    // Its pattern for languages has a stray bracket, which this validator refuses.
    let text = include_str!("sarif-schema-2.1.0.json").replace("[a-zA-Z]{2}]?$", "[a-zA-Z]{2}$");
    let schema: Value = serde_json::from_str(&text).expect("the schema");
    let validator = jsonschema::options().with_draft(Draft::Draft7).build(&schema).expect("a sound schema");
    for shop in [troubled(), Shop::new()] {
        let run = shop.run(&["proof", "--format", "sarif"]);
        let log: Value = serde_json::from_str(&run.out).expect("JSON");
        let errors: Vec<String> = validator.iter_errors(&log).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(errors.is_empty(), "{errors:?}");
    }
    // The schema can say no.
    let mut log: Value = serde_json::from_str(&troubled().run(&["proof", "--format", "sarif"]).out).expect("JSON");
    log["runs"][0]["results"][0]["level"] = Value::from("catastrophic");
    assert!(!validator.is_valid(&log));
}

#[test]
fn sarif_says_the_same_as_the_text() {
    let shop = troubled();
    let text = shop.run(&["proof"]);
    let sarif = shop.run(&["proof", "--format", "sarif"]);
    assert_eq!(sarif.status, 1, "{sarif:?}");
    assert_eq!(sarif.error, "", "{sarif:?}");
    let log: Value = serde_json::from_str(&sarif.out).expect("JSON");
    let run = &log["runs"][0];
    let rules = run["tool"]["driver"]["rules"].as_array().expect("rules");
    let mut from_sarif = Vec::new();
    for result in run["results"].as_array().expect("results") {
        let rule = &rules[result["ruleIndex"].as_u64().expect("an index") as usize];
        assert_eq!(rule["id"], result["ruleId"]);
        let place = &result["locations"][0]["physicalLocation"];
        let number = |name: &str| place["region"][name].as_u64().expect("a number") as usize;
        let uri = place["artifactLocation"]["uri"].as_str().expect("an address").to_owned();
        from_sarif.push((uri, number("startLine"), number("startColumn")));
    }
    assert_eq!(from_sarif, places(&text));
}
