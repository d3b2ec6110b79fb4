//! `bluecone walk`.

use serde_json::Value;

use super::shop::{Run, Shop};

const SYMPTOM: &str = "igniter-stays-dark";

fn json(run: &Run) -> Value {
    assert_eq!(run.status, 0, "{run:?}");
    serde_json::from_str(&run.out).expect("JSON")
}

/// A walk with answers from a pipe.
fn piped(shop: &Shop, answers: &str) -> Run {
    shop.shell(&format!("printf '%b' '{answers}' | \"$BLUECONE\" walk {SYMPTOM}"))
}

#[test]
fn a_piped_walk_prints_the_note_and_nothing_else() {
    let shop = Shop::new();
    let run = piped(&shop, "1\\n");
    assert_eq!((run.status, run.error.as_str()), (0, ""), "{run:?}");
    let lines: Vec<&str> = run.out.lines().collect();
    assert_eq!(lines[..3], ["Service note", "Symptom: Igniter stays dark.", "Done, in this order:"], "{run:?}");
    assert_eq!(lines[3], "- Measure the supply under load: Below the plate.");
    assert!(lines[4].starts_with("Found: Supply voltage low, 100\u{a0}% "), "{run:?}");
    assert!(lines.last().is_some_and(|line| line.ends_with("The appliance's instructions and rating plate decide.")), "{run:?}");
    assert!(!run.out.contains('>'), "no prompt: {run:?}");
}

#[test]
fn answers_can_be_put_off_set_aside_taken_back_and_ended() {
    let shop = Shop::new();
    for (answers, holds) in [
        ("", "Nothing done yet."),
        ("quit\\n1\\n", "Nothing done yet."),
        ("1\\nback\\n", "Nothing done yet."),
        ("later\\n", "- Measure the supply under load: could not be done."),
        ("skip\\n1\\nr 300\\n", "Found: Igniter element open"),
        ("odd\\n", "- Measure the supply under load: odd reading, set aside."),
        ("\\n  2  \\nnote\\n", "Found: Igniter element open"),
        // Named, then its proof asked for, which begins with the proof that the circuit is dead.
        ("2\\n1\\n1\\nr 300\\n", "Reading: 300\u{a0}Ω"),
    ] {
        let run = piped(&shop, answers);
        assert_eq!(run.status, 0, "{answers}: {run:?}");
        assert!(run.out.contains(holds), "{answers}: {run:?}");
    }
}

#[test]
fn a_wrong_answer_from_a_pipe_names_its_line() {
    let shop = Shop::new();
    for (answers, words) in [
        ("7\\n", "line 1 of the answers: expected a number from 1 to 2"),
        ("later\\nnonsense\\n", "line 2 of the answers: expected a number"),
        ("0\\n", "line 1 of the answers"),
        ("-1\\n", "line 1 of the answers"),
        ("99999999999999999999\\n", "line 1 of the answers"),
        ("r 5\\n", "no measurement"),
        ("back\\n", "this is the beginning"),
        ("later\\n1\\nr many\\n", "expected a number, found `many`"),
        ("later\\n1\\nr NaN\\n", "expected a number"),
        ("later\\n1\\nr -5\\n", "outside the gauge"),
        ("1\\nlater\\n", "back, restart, note or quit, found `later`"),
    ] {
        let run = piped(&shop, answers);
        assert_eq!((run.status, run.out.as_str()), (2, ""), "{answers}: {run:?}");
        assert!(run.error.contains(words), "{answers}: {run:?}");
    }
}

/// `script`, of util-linux, gives the program a terminal.
#[test]
fn on_a_terminal_every_answer_leads_to_the_next_question() {
    let shop = Shop::new();
    let answers = "7\\n2\\nback\\nlater\\nback\\nodd\\nnote\\nquit\\n";
    let typed = format!("printf '{answers}' | script -qec \"$BLUECONE walk {SYMPTOM}\" /dev/null");
    let run = shop.shell(&typed);
    assert_eq!(run.status, 0, "{run:?}");
    let said = run.out.replace('\r', "");
    let mut rest = said.as_str();
    for next in [
        "MEASURE THE SUPPLY UNDER LOAD",
        "Why this next: ",
        "come first.\n> ",
        "expected a number from 1 to 2, r NUMBER, later, odd, back, restart, note or quit, found `7`",
        "Found: Igniter element open",
        "> ",
        "MEASURE THE SUPPLY UNDER LOAD",
        "> ",
        "Put off.",
        "PROVE THE CIRCUIT DEAD",
        "> ",
        "MEASURE THE SUPPLY UNDER LOAD",
        "> Set aside.",
        "PROVE THE CIRCUIT DEAD",
        "> Service note",
        "odd reading, set aside",
        "PROVE THE CIRCUIT DEAD",
        "come first.\n> ",
        "Service note",
    ] {
        let at = rest.find(next).unwrap_or_else(|| panic!("`{next}` does not come in\n{rest}"));
        rest = &rest[at + next.len()..];
    }
    assert!(said.contains('\n') && !said.contains("panicked"), "{said}");
}

/// What a walk on a terminal says, and in which order.
fn on_a_terminal(answers: &str, says: &[&str]) {
    let shop = Shop::new();
    let run = shop.shell(&format!("printf '{answers}' | script -qec \"$BLUECONE walk {SYMPTOM}\" /dev/null"));
    assert_eq!(run.status, 0, "{run:?}");
    let said = run.out.replace('\r', "");
    let mut rest = said.as_str();
    for next in says {
        let at = rest.find(next).unwrap_or_else(|| panic!("`{next}` does not come in\n{rest}\nof\n{said}"));
        rest = &rest[at + next.len()..];
    }
    assert!(!said.contains("panicked"), "{said}");
}

#[test]
fn on_a_terminal_a_contradiction_is_told_and_leads_back() {
    let says = [
        "> Noted.",
        "Found: Supply voltage low",
        "Its proof says no",
        // The only answer that is left contradicts the denial; each of the two can be taken back.
        "Measure the supply under load",
        "  1  ",
        "  2  ",
        "MEASURE THE SUPPLY UNDER LOAD",
        "Found: Igniter element open",
        "Service note",
    ];
    on_a_terminal("1\\n1\\n1\\n2\\nquit\\n", &says);
}

#[test]
fn on_a_terminal_a_walk_starts_again_reads_a_meter_and_can_be_taken_up() {
    let says = [
        "Found: Supply voltage low",
        "> From the beginning; nothing is noted any more.",
        "MEASURE THE SUPPLY UNDER LOAD",
        "Found: Igniter element open",
        "PROVE THE CIRCUIT DEAD",
        "COLD RESISTANCE",
        "Reading: 300",
        "To go on from here: bluecone walk igniter-stays-dark supply-voltage=right again:igniter-resistance",
    ];
    on_a_terminal("1\\nrestart\\n2\\n1\\n1\\nr 300\\nquit\\n", &says);
    // The end of the input ends the walk; without an answer there is nothing to take up.
    on_a_terminal("", &["MEASURE THE SUPPLY UNDER LOAD", "Service note", "Nothing done yet."]);
}

#[test]
fn json_says_where_a_history_leads() {
    let shop = Shop::new();
    let walk = |events: &[&str]| json(&shop.run(&[&["walk", SYMPTOM], events, &["--json"]].concat()));
    let begin = walk(&[]);
    assert_eq!((begin["next"]["kind"].as_str(), begin["next"]["check"].as_str()), (Some("do"), Some("supply-voltage")), "{begin}");
    assert_eq!(begin["next"]["reason"], "planned");
    let chances: f64 = begin["possible"].as_array().expect("a list").iter().filter_map(|one| one["chance"].as_f64()).sum();
    assert!((chances - 1.0).abs() < 1e-12);
    // Each offered answer can be given.
    for answer in begin["answers"].as_array().expect("answers") {
        assert_eq!(walk(&[answer["event"].as_str().expect("an event")])["next"]["kind"], "named");
    }
    let later = walk(&["later:supply-voltage"]);
    assert_eq!(
        (later["next"]["check"].as_str(), later["next"]["for"].as_str()),
        (Some("prove-dead"), Some("igniter-resistance")),
        "{later}"
    );
    assert_eq!(later["aside"][0]["check"], "supply-voltage");
    // Not proved dead: asked again.
    let live = walk(&["later:supply-voltage", "prove-dead=live"]);
    assert_eq!(live["next"]["check"], "prove-dead", "{live}");
    let clash = walk(&["supply-voltage=low", "not:supply-low"]);
    assert_eq!(clash["next"]["events"], serde_json::json!(["supply-voltage=low", "not:supply-low"]), "{clash}");
    assert_eq!(clash["answers"].as_array().map(Vec::len), Some(2), "each has a way back: {clash}");
    let back = walk(&["supply-voltage=low", "not:supply-low", "again:supply-voltage"]);
    assert_eq!((back["next"]["check"].as_str(), back["next"]["reason"].as_str()), (Some("supply-voltage"), Some("asked")), "{back}");
    let after = walk(&["supply-voltage=low", "not:supply-low", "again:supply-voltage", "supply-voltage=right"]);
    assert_eq!((after["next"]["kind"].as_str(), after["next"]["fault"].as_str()), (Some("named"), Some("igniter-open")), "{after}");
}

#[test]
fn wrong_calls_are_told_with_the_nearest_name() {
    let shop = Shop::new();
    for (arguments, words) in [
        (vec!["walk", "igniter-stays-drak"], "did you mean `igniter-stays-dark`?"),
        (vec!["walk", SYMPTOM, "supply-voltge=low"], "did you mean `supply-voltage`?"),
        (vec!["walk", SYMPTOM, "supply-voltage=high"], "expected an outcome of `supply-voltage`, found `high`"),
        (vec!["walk", SYMPTOM, "supply-voltage=rihgt"], "did you mean `right`?"),
        (vec!["walk", SYMPTOM, "not:nothing"], "expected a fault of this symptom, found `nothing`; it may be igniter-open, "),
        (vec!["walk", SYMPTOM, "nonsense"], "expected check=outcome"),
        (vec!["walk", SYMPTOM, "igniter-resistance=open"], "something must come before that check"),
        (vec!["walk", SYMPTOM, "supply-voltage=low", "supply-voltage=right"], "ask it again first"),
        (vec!["walk", SYMPTOM, "--book", "nowhere"], "there is no folder nowhere"),
    ] {
        let run = shop.run(&arguments);
        assert_eq!((run.status, run.out.as_str()), (2, ""), "{arguments:?}: {run:?}");
        assert!(run.error.contains(words), "{arguments:?}: {run:?}");
    }
    let list = shop.run(&["walk"]);
    assert!(list.status == 0 && list.out.contains("igniter-stays-dark"), "{list:?}");
    let help = shop.run(&["walk", "--help"]);
    assert!(help.status == 0 && help.out.contains("Examples:") && help.out.contains("later:lockout-history --json"), "{help:?}");
}
