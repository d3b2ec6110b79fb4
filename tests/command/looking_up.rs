//! `bluecone find` and `bluecone work`.

use serde_json::Value;

use super::shop::{Run, Shop};

fn json(run: &Run) -> Value {
    assert_eq!(run.status, 0, "{run:?}");
    serde_json::from_str(&run.out).expect("JSON")
}

fn first_title(run: &Run) -> String {
    json(run)["hits"][0]["title"].as_str().unwrap_or_default().to_owned()
}

#[test]
fn find_takes_words_synonyms_beginnings_and_slips() {
    let shop = Shop::new();
    let find = |words: &str| first_title(&shop.run(&["find", words, "--json"]));
    assert_eq!(find("igniter stays dark"), "Igniter stays dark");
    assert_eq!(find("no glow"), "Igniter stays dark", "another name of the entry");
    assert_eq!(find("glow bar"), "Hot-surface igniter", "a term's synonym");
    assert_eq!(find("quick-con"), "Quick-connect tabs", "the beginning of a word");
    assert!(
        find("resistanse").contains("resistance") || find("resistanse").contains("Resistance"),
        "a slip of the finger: {}",
        find("resistanse")
    );
}

#[test]
fn find_prints_title_kind_and_address_and_respects_the_limit() {
    let shop = Shop::new();
    let run = shop.run(&["find", "igniter", "--limit", "2"]);
    assert_eq!(run.status, 0, "{run:?}");
    assert_eq!(run.out.lines().filter(|line| line.contains(" [")).count(), 2, "{run:?}");
    assert!(run.out.contains(".html"), "{run:?}");
    let found = json(&shop.run(&["find", "igniter", "--limit", "2", "--json"]));
    assert_eq!(found["hits"].as_array().map(Vec::len), Some(2));
    assert!(found["total"].as_u64() > Some(2));
    shop.press();
    for hit in found["hits"].as_array().expect("hits") {
        let address = hit["address"].as_str().expect("an address");
        assert!(shop.path("site").join(address).is_file(), "{address} is not a page of the site");
    }
}

#[test]
fn find_says_when_there_is_nothing() {
    let shop = Shop::new();
    let run = shop.run(&["find", "zzzzqqqq"]);
    assert_eq!(run.status, 0, "{run:?}");
    assert!(run.out.contains("nothing found"), "{run:?}");
    let long = shop.run(&["find", &"zq".repeat(50_000)]);
    assert!(long.status == 0 && long.out.contains("zqzq…`") && long.out.len() < 200, "{long:?}");
    assert!(!shop.run(&["find", "zzqq\u{1b}[31m"]).out.contains('\u{1b}'));
    for words in ["\"", "(((", "title:", "*", "a AND", "é\u{301}", "\u{0}x"] {
        if words.contains('\u{0}') {
            continue;
        }
        let run = shop.run(&["find", words]);
        assert_eq!(run.status, 0, "{words:?}: {run:?}");
    }
}

#[test]
fn work_lists_calculators_and_works_one() {
    let shop = Shop::new();
    assert!(shop.run(&["work"]).out.contains("wire-drop"));
    let run = shop.run(&["work", "wire-drop", "current=8 A"]);
    assert_eq!(run.status, 0, "{run:?}");
    assert!(run.out.contains("8") && run.out.contains("Too much is lost") && run.out.contains("check:supply-voltage"), "{run:?}");
    let answer = json(&shop.run(&["work", "wire-drop", "current=8 A", "--json"]));
    assert_eq!(answer["steps"][0]["id"], "drop");
    assert_eq!(answer["steps"][0]["value"].as_f64(), Some(8.0));
    assert_eq!(answer["verdicts"][0]["severity"], "act");
}

const DAMPERS: &str = r#"
title: Dampers of a zone
summary: How long dampers take, one after the other.
inputs:
  - {id: rest, title: Rest, unit: s, from: 0, to: 60, start: 5}
rows:
  - id: dampers
    title: Dampers
    row: Damper
    called: kind
    most: 4
    fields:
      - {id: kind, title: Kind, choices: [{id: slow_one, title: Slow one}, {id: quick, title: Quick}], start: slow_one}
      - {id: stroke, title: Stroke, unit: s, from: 0, to: 300, start: 90}
    steps:
      - {id: slow, title: Slow, formula: 'stroke > 100 [s]'}
      - {id: half, title: Half a stroke, unit: s, when: 'stroke > 50 [s]', formula: stroke / 2}
    start: [{}, {stroke: 30 s, kind: quick}]
steps:
  - {id: all, title: All strokes, unit: s, formula: sum(stroke in dampers) + rest}
  - {id: kinds, title: Kinds, formula: tally(kind in dampers)}
  - {id: share, title: Share, unit: '%', formula: rest / all}
  - {id: long_rest, title: Long rest, unit: s, when: 'rest > 50 [s]', formula: rest}
result:
  - {step: all}
  - {step: kinds}
  - {step: long_rest}
  - {step: share}
  - {rows: dampers, title: Not slow, unless: slow, shows: [half]}
  - {rows: dampers, title: Slow dampers, where: slow, none: None is slow.}
examples:
  - title: Two
    given: {dampers: [{}, {stroke: 30 s}]}
    expect: {all: 125 s}
    source: {from: source:common-practice}
sources: [{from: source:common-practice}]
"#;

#[test]
fn work_gives_the_result_as_json_in_its_order() {
    let shop = Shop::new();
    shop.write("content/calculators/dampers.yaml", DAMPERS);
    let answer = json(&shop.run(&["work", "dampers", "--json"]));
    let expected = serde_json::json!([
        { "title": "All strokes", "step": "all", "shown": "125\u{a0}s" },
        { "title": "Kinds", "step": "kinds", "shown": "1 × Slow one; 1 × Quick" },
        { "title": "Share", "step": "share", "shown": "4\u{a0}%" },
        { "title": "Not slow", "list": "dampers", "rows": [
            { "title": "Damper 1: Slow one", "results": ["Half a stroke: 45\u{a0}s"] },
            { "title": "Damper 2: Quick", "results": [] },
        ] },
        { "title": "Slow dampers", "list": "dampers", "rows": [], "says": "None is slow." },
    ]);
    assert_eq!(answer["result"], expected);
    let answer = json(&shop.run(&["work", "dampers", "dampers=", "rest=0 s", "--json"]));
    assert_eq!(answer["result"][2], serde_json::json!({ "title": "Share", "step": "share", "no_value": "It divides by zero." }));
    assert!(json(&shop.run(&["work", "wire-drop", "--json"])).get("result").is_none(), "it names no result");
}

const TWO_TRIES: &str = "
title: Two tries
summary: How long two tries take, with a rest between them.
inputs:
  - {id: rest, title: Rest, unit: s, from: 0, to: 60, start: 20}
steps:
  - {id: pause, title: Pause, unit: s, formula: 'rest - 5 [s]'}
timeline:
  title: Two tries
  lanes: [{id: fan, title: Fan}, {id: gas, title: Gas}]
  phases:
    - {title: Purge, lasts: '100 [s]', on: [fan]}
    - repeat: 2
      phases:
        - {title: Try, lasts: '4.5 [s]', on: [fan, gas]}
        - {title: Pause, lasts: pause, between: true}
verdicts:
  - on: pause
    title: Long enough
    bands:
      - {to: '60 [s2] / (rest - 10 [s])', severity: act, says: Short.}
      - {from: '60 [s2] / (rest - 10 [s])', severity: good, says: Long.}
examples:
  - {title: Twenty, expect: {pause: 15 s}, within: 0, source: {from: source:common-practice}}
sources: [{from: source:common-practice}]
";

#[test]
fn work_tells_the_phases_of_a_timeline() {
    let shop = Shop::new();
    shop.write("content/calculators/two-tries.yaml", TWO_TRIES);
    let out = shop.run(&["work", "two-tries"]).out;
    let phases = "
Two tries
      0 s to 100 s      Purge  Fan
    100 s to 104.5 s    Try    Fan, Gas
  104.5 s to 119.5 s    Pause  nothing on
  119.5 s to 2 min 4 s  Try    Fan, Gas
";
    assert!(out.contains(phases), "{out}");
    let timeline = &json(&shop.run(&["work", "two-tries", "--json"]))["timeline"];
    assert_eq!(timeline["phases"][1], serde_json::json!({ "title": "Try", "from": 100.0, "to": 104.5, "on": ["fan", "gas"] }));
    assert_eq!(timeline["phases"].as_array().map(Vec::len), Some(4));
    assert!(out.contains("\nVerdict\n  Long enough: Good\n"), "{out}");
    let out = shop.run(&["work", "two-tries", "rest=10 s"]).out;
    assert!(out.contains("\nVerdict\n  Long enough: no value: It divides by zero.\n"), "{out}");
    let verdict = &json(&shop.run(&["work", "two-tries", "rest=10 s", "--json"]))["verdicts"][0];
    assert_eq!(*verdict, serde_json::json!({ "on": "pause", "title": "Long enough", "no_value": "It divides by zero." }));
    let short = json(&shop.run(&["work", "two-tries", "rest=2 s", "--json"]));
    assert!(short["timeline"]["no_value"].is_string() && short["timeline"]["phases"] == serde_json::json!([]), "{short}");
}

#[test]
fn a_row_with_nothing_to_show_is_its_title() {
    let shop = Shop::new();
    shop.write("content/calculators/dampers.yaml", DAMPERS);
    let out = shop.run(&["work", "dampers"]).out;
    let (_, result) = out.split_once("\nResult\n").expect("a result");
    assert!(result.contains("      Damper 1: Slow one: Half a stroke: 45\u{a0}s\n      Damper 2: Quick\n"), "{out}");
    assert!(out.lines().all(|line| line.trim_end() == line), "{out}");
}

#[test]
fn work_takes_units_of_the_same_dimension() {
    let shop = Shop::new();
    let value = |given: &str| json(&shop.run(&["work", "wire-drop", given, "--json"]))["steps"][0]["value"].as_f64();
    assert_eq!(value("current=8"), Some(8.0));
    assert_eq!(value("current=8000 mA"), Some(8.0));
    assert_eq!(value("resistance=500 mOhm"), Some(4.0));
}

#[test]
fn work_meets_bad_input_with_a_plain_sentence() {
    let shop = Shop::new();
    for value in
        ["", " ", "many", "-3", "1e9", "1e400", "99", "nan", "inf", "-inf", "1,5,", "5 V", "5 parsec", "0x10", "--", "5 A 5 A", "٣"]
    {
        let run = shop.run(&["work", "wire-drop", &format!("current={value}")]);
        assert_eq!(run.status, 2, "{value:?}: {run:?}");
        assert_eq!(run.out, "", "{value:?}: {run:?}");
        assert!(run.error.starts_with("bluecone: ") && run.error.len() > 20, "{value:?}: {run:?}");
        assert!(!run.error.contains("panicked"), "{value:?}: {run:?}");
    }
}

#[test]
fn work_tells_of_names_and_numbers_that_are_not_meant_so() {
    let shop = Shop::new();
    let cases = [
        ("=5", "found `=5` without a name"),
        (" = 5", "without a name"),
        ("curr=5", "has no input `curr`; did you mean `current`?"),
        ("curent=5", "did you mean `current`?"),
        ("cur=5", "has no input `cur`; it has"),
        ("current=2,5 A", "Write numbers without commas"),
        ("current=1 000", "Write the number without spaces: 1000."),
        ("current=0x10 A", "“0x10 A” is not a number."),
        ("current=1e-400", "The number is too small to be told from zero."),
    ];
    for (given, words) in cases {
        let run = shop.run(&["work", "wire-drop", given]);
        assert!(run.status == 2 && run.error.contains(words), "{given}: {run:?}");
    }
    let long = shop.run(&["work", "wire-drop", &format!("{}=1", "x".repeat(100_000))]);
    assert!(long.status == 2 && long.error.len() < 400, "{}", long.error.len());
}

#[test]
fn a_problem_in_the_handbook_is_shown_by_find_and_work() {
    let shop = Shop::new();
    shop.edit("content/calculators/wire-drop.yaml", "drop: 4 V", "drop: 5 V");
    for call in [&["find", "glow"][..], &["work", "wire-drop"]] {
        let run = shop.run(call);
        assert_eq!(run.status, 1, "{run:?}");
        assert!(run.error.contains("example-fails"), "{run:?}");
        assert_eq!(run.out, "");
    }
}
