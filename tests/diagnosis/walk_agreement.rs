//! The walk in Rust and the walk in the browser's script: the same step and the same odds after the same history, whatever is
//! answered, put off, set aside, asked again or denied.

use bluecone::diagnosis::{Diagnosis, Event, Look, Next, Node, Reason, Refusal, Walk, diagnoses};
use bluecone::pages::{Extras, Reading, WalkWords, draw};
use bluecone::theme::Theme;
use rquickjs::{Context, Ctx, Runtime};
use serde_json::Value;

use super::*;

const MODEL: &str = include_str!("../../src/browser/walk-model.js");
const HISTORIES: usize = 300;

pub(super) fn computed() -> &'static BTreeMap<Name, Diagnosis> {
    static COMPUTED: OnceLock<BTreeMap<Name, Diagnosis>> = OnceLock::new();
    COMPUTED.get_or_init(|| diagnoses(handbook(), &Limits::default()))
}

/// The scripts with the symptoms' numbers, by symptom.
pub(super) fn scripts() -> BTreeMap<String, String> {
    let extras = Extras { diagnoses: computed().clone(), ..Extras::default() };
    let files = draw(handbook(), &Theme::built_in(), &extras).expect("the theme draws");
    let one = |file: bluecone::pages::File| {
        let id = file.path.strip_prefix("walk/symptoms/")?.strip_suffix(".js")?.to_owned();
        Some((id, String::from_utf8(file.bytes).expect("text")))
    };
    files.into_iter().filter_map(one).collect()
}

pub(super) fn run(ctx: &Ctx, source: &str) {
    ctx.eval::<(), _>(source.as_bytes().to_vec()).unwrap_or_else(|_| panic!("a script that runs: {:?}", ctx.catch()));
}

pub(super) fn json(ctx: &Ctx, expression: &str) -> Value {
    let text = ctx.eval::<String, _>(format!("JSON.stringify({expression})"));
    serde_json::from_str(&text.unwrap_or_else(|_| panic!("{expression}: {:?}", ctx.catch()))).expect("JSON")
}

/// A history as the script takes it.
pub(super) fn written(diagnosis: &Diagnosis, history: &[Event]) -> Vec<String> {
    history.iter().map(|event| event.write(&diagnosis.model)).collect()
}

/// One more event: mostly what the hidden fault would show at the next step, often something else, at times what cannot be.
fn event(random: &mut Random, diagnosis: &Diagnosis, look: &Look, hidden: usize) -> Event {
    let model = &diagnosis.model;
    let any_check = random.below(model.checks.len());
    let check = match &look.next {
        Next::Do(step) => step.check,
        _ => any_check,
    };
    let any_outcome = random.below(model.checks[check].outcomes.len());
    match random.below(100) {
        0..60 => {
            let under: Vec<f64> = model.checks[check].outcomes.iter().map(|outcome| outcome.likelihood[hidden]).collect();
            let outcome = if model.checks[check].guard { 0 } else { random.place(&under) };
            Event::Found { check, outcome }
        }
        60..72 => Event::Found { check, outcome: any_outcome },
        72..80 => Event::Later(check),
        80..87 => Event::Odd(check),
        87..92 => Event::Again(any_check),
        92..95 => Event::Not(random.below(model.suspects.len())),
        95..97 => Event::Maybe(random.below(model.suspects.len())),
        97 => Event::Odd(any_check),
        _ => Event::Found { check: any_check, outcome: random.below(model.checks[any_check].outcomes.len()) },
    }
}

fn close(a: f64, b: &Value, of: &str, case: &str) {
    let b = b.as_f64().unwrap_or(f64::NAN);
    assert!((a - b).abs() <= 1e-12 * a.abs().max(1.0), "{case}: {of} is {a} in Rust and {b} in the script");
}

fn same_odds(odds: &[bluecone::diagnosis::Odds], told: &Value, case: &str) {
    let told = told.as_array().expect("a list");
    assert_eq!(odds.len(), told.len(), "{case}: other suspects are left");
    for (one, told) in odds.iter().zip(told) {
        assert_eq!(Value::from(one.suspect), told["suspect"], "{case}");
        close(one.probability, &told["chance"], "a chance", case);
    }
}

fn same_look(look: &Look, told: &Value, case: &str) {
    assert!(told.get("wrong").is_none(), "{case}: the script refuses it: {told}");
    same_odds(&look.odds, &told["odds"], case);
    close(look.minutes, &told["minutes"], "minutes", case);
    assert_eq!(Value::from(look.state as usize), told["state"], "{case}");
    assert_eq!(Value::from(look.planned), told["planned"], "{case}");
    assert_eq!(Value::from(look.noted.clone()), told["noted"], "{case}");
    let aside: Vec<Value> =
        look.aside.iter().map(|one| serde_json::json!({ "check": one.check, "odd": one.odd, "open": one.open })).collect();
    assert_eq!(Value::from(aside), told["aside"], "{case}");
    let next = &told["next"];
    match &look.next {
        Next::Do(step) => {
            assert_eq!((next["kind"].as_str(), &next["check"]), (Some("do"), &Value::from(step.check)), "{case}: another step: {next}");
            assert_eq!(Value::from(step.toward), next["toward"], "{case}");
            assert_eq!(Value::from(step.from as usize), next["from"], "{case}");
            for (figure, name) in [(step.change_minutes, "change"), (step.minutes, "minutes"), (step.way_minutes, "wayMinutes")] {
                close(figure, &next[name], name, case);
            }
            for (figure, name) in [(step.bits, "bits"), (step.ends, "ends")] {
                assert!((figure - next[name].as_f64().expect("a number")).abs() < 1e-9, "{case}: {name}: {figure}, {}", next[name]);
            }
            let (reason, left) = match step.reason {
                Reason::Planned { left_minutes } => ("planned", left_minutes),
                Reason::Chosen => ("chosen", 0.0),
                Reason::Asked => ("asked", 0.0),
            };
            assert_eq!(next["reason"], reason, "{case}");
            assert!((next["left"].as_f64().expect("minutes") - left).abs() <= 0.051, "{case}: {left} and {}", next["left"]);
        }
        Next::Named { suspect, probability, others } => {
            assert_eq!((next["kind"].as_str(), &next["suspect"]), (Some("named"), &Value::from(*suspect)), "{case}: {next}");
            close(*probability, &next["chance"], "the chance", case);
            same_odds(others, &next["others"], case);
        }
        Next::Open { suspects, if_done } => {
            assert_eq!((next["kind"].as_str(), &next["ifDone"]), (Some("open"), &Value::from(if_done.clone())), "{case}: {next}");
            same_odds(suspects, &next["odds"], case);
        }
        Next::Contradiction { events } => {
            assert_eq!((next["kind"].as_str(), &next["events"]), (Some("contradiction"), &Value::from(events.clone())), "{case}: {next}");
        }
    }
}

fn refusal(why: Refusal) -> &'static str {
    match why {
        Refusal::Unknown => "unknown",
        Refusal::NotYet => "not yet",
        Refusal::Lost => "lost",
        Refusal::Answered => "answered",
    }
}

#[test]
fn rust_and_the_script_agree_on_thousands_of_histories() {
    let runtime = Runtime::new().expect("a runtime");
    let context = Context::full(&runtime).expect("a context");
    let scripts = scripts();
    assert_eq!(scripts.len(), handbook().symptoms.len());
    let mut random = Random(11);
    // How often each thing was met: planned, chosen, asked, named, open, contradiction, refused.
    let mut met = [0usize; 7];
    context.with(|ctx| {
        run(&ctx, MODEL);
        scripts.values().for_each(|script| run(&ctx, script));
        for (name, diagnosis) in computed() {
            let walk = Walk::new(diagnosis);
            let chances: Vec<f64> = diagnosis.model.suspects.iter().map(|suspect| suspect.chance).collect();
            for _ in 0..HISTORIES {
                let hidden = random.place(&chances);
                let mut history: Vec<Event> = Vec::new();
                let mut look = walk.look(&history).expect("the beginning");
                for _ in 0..1 + random.below(14) {
                    let event = event(&mut random, diagnosis, &look, hidden);
                    history.push(event);
                    let texts = written(diagnosis, &history);
                    let case = format!("{} after {texts:?}", name.id);
                    let told = json(&ctx, &format!("blueconeWalk.look(blueconeWalks[{:?}], {})", name.id, serde_json::json!(texts)));
                    match walk.look(&history) {
                        Ok(now) => {
                            same_look(&now, &told, &case);
                            look = now;
                        }
                        Err(wrong) => {
                            assert_eq!(
                                (Value::from(wrong.place), Value::from(refusal(wrong.why))),
                                (told["wrong"].clone(), told["why"].clone()),
                                "{case}"
                            );
                            met[6] += 1;
                            history.pop();
                        }
                    }
                    let kind = match &look.next {
                        Next::Do(step) => match step.reason {
                            Reason::Planned { .. } => 0,
                            Reason::Chosen => 1,
                            Reason::Asked => 2,
                        },
                        Next::Named { .. } => 3,
                        Next::Open { .. } => 4,
                        Next::Contradiction { .. } => 5,
                    };
                    met[kind] += 1;
                }
            }
        }
    });
    println!("planned, chosen, asked, named, open, contradiction, refused: {met:?}");
    assert!(met.iter().all(|times| *times > 100), "some things hardly come up: {met:?}");
}

/// The service note is the same in the terminal and on the page, letter by letter.
#[test]
fn rust_and_the_script_write_the_same_note() {
    let runtime = Runtime::new().expect("a runtime");
    let context = Context::full(&runtime).expect("a context");
    let mut random = Random(12);
    let mut notes = std::collections::BTreeSet::new();
    context.with(|ctx| {
        run(&ctx, MODEL);
        run(&ctx, include_str!("../../src/browser/walk-note.js"));
        scripts().values().for_each(|script| run(&ctx, script));
        for symptom in &handbook().symptoms {
            let diagnosis = &computed()[&Name::new(Kind::Symptom, &symptom.common.id)];
            let words = WalkWords { handbook: handbook(), symptom, diagnosis };
            let walk = Walk::new(diagnosis);
            for _ in 0..30 {
                let (mut history, hidden) = (Vec::new(), random.below(diagnosis.model.suspects.len()));
                for _ in 0..random.below(12) {
                    let look = walk.look(&history).expect("an allowed history");
                    history.push(event(&mut random, diagnosis, &look, hidden));
                    if walk.look(&history).is_err() {
                        history.pop();
                    }
                }
                let look = walk.look(&history).expect("an allowed history");
                let mut readings = BTreeMap::new();
                if let Some(check) = words.check(random.below(diagnosis.model.checks.len())) {
                    let unit = ["Ω", ""][random.below(2)].to_owned();
                    readings.insert(check.common.id.clone(), Reading { value: "12.5".into(), unit, of: "A quantity".into() });
                }
                let ours = words.note(&history, &readings, &look);
                let given: serde_json::Map<String, Value> = readings
                    .iter()
                    .map(|(id, reading)| {
                        (id.clone(), serde_json::json!({ "value": reading.value, "unit": reading.unit, "of": reading.of }))
                    })
                    .collect();
                let texts = serde_json::json!(written(diagnosis, &history));
                let theirs = json(
                    &ctx,
                    &format!(
                        "blueconeWalkNote.write(blueconeWalks[{0:?}], {texts}, {1}, blueconeWalk.look(blueconeWalks[{0:?}], {texts}))",
                        symptom.common.id,
                        Value::from(given)
                    ),
                );
                assert_eq!(Some(ours.as_str()), theirs.as_str(), "{} after {texts}", symptom.common.id);
                notes.insert(ours);
            }
        }
    });
    let any = |words: &str| notes.iter().any(|note| note.contains(words));
    for words in
        ["Found: ", "Not told apart: ", "do not fit together", "could not be done", "set aside", "ruled out by its proof", "Reading: 12.5"]
    {
        assert!(any(words), "no note says “{words}”");
    }
}

/// The script reads what Rust writes, and neither reads anything else.
#[test]
fn events_are_read_as_they_are_written() {
    for diagnosis in computed().values() {
        let model = &diagnosis.model;
        let mut events: Vec<Event> = (0..model.suspects.len()).flat_map(|suspect| [Event::Not(suspect), Event::Maybe(suspect)]).collect();
        for (check, of) in model.checks.iter().enumerate() {
            events.extend([Event::Later(check), Event::Odd(check), Event::Again(check)]);
            events.extend((0..of.outcomes.len()).map(|outcome| Event::Found { check, outcome }));
        }
        for event in events {
            assert_eq!(Event::read(model, &event.write(model)), Ok(event));
        }
        for wrong in ["", "=", "later:", "later:nothing", "prove-dead", "prove-dead=", "prove-dead=nothing", "not:prove-dead", "x:y=z"] {
            assert!(Event::read(model, wrong).is_err(), "{wrong:?}");
        }
    }
}

/// On the policy the walk says what the policy says.
#[test]
fn along_the_policy_every_figure_is_the_policys() {
    for (name, diagnosis) in computed() {
        let walk = Walk::new(diagnosis);
        let mut open: Vec<(usize, Vec<Event>)> = vec![(0, Vec::new())];
        let mut n_asks = 0;
        while let Some((node, history)) = open.pop() {
            let case = format!("{} after {:?}", name.id, written(diagnosis, &history));
            let look = walk.look(&history).unwrap_or_else(|wrong| panic!("{case}: {wrong:?}"));
            match &diagnosis.policy.nodes[node] {
                Node::Ask(ask) => {
                    n_asks += 1;
                    let Next::Do(step) = &look.next else { panic!("{case}: {:?}", look.next) };
                    assert!(matches!(step.reason, Reason::Planned { left_minutes } if left_minutes == ask.left_minutes), "{case}");
                    assert!(ask.suspects.iter().all(|odds| {
                        look.odds.iter().any(|one| one.suspect == odds.suspect && (one.probability - odds.probability).abs() < 1e-12)
                    }));
                    // Guards are asked one at a time; with them done the step is the check itself.
                    let mut history = history.clone();
                    for &guard in &ask.again {
                        let before = walk.look(&history).expect("a step");
                        let Next::Do(step) = &before.next else { panic!("{case}") };
                        assert!(step.check == guard && step.toward == ask.check, "{case}: {step:?}");
                        history.push(Event::Found { check: guard, outcome: 0 });
                    }
                    let Next::Do(step) = walk.look(&history).expect("a step").next else { panic!("{case}") };
                    assert_eq!(step.check, ask.check, "{case}");
                    if step.toward == step.check {
                        assert!((step.bits - ask.bits).abs() < 1e-9 && (step.ends - ask.ends).abs() < 1e-9, "{case}: {step:?} {ask:?}");
                    }
                    for branch in &ask.branches {
                        let mut history = history.clone();
                        history.push(Event::Found { check: ask.check, outcome: branch.outcomes[0] });
                        open.push((branch.node, history));
                    }
                }
                Node::Found { suspect, probability, .. } => {
                    let Next::Named { suspect: named, probability: chance, .. } = look.next else { panic!("{case}: {:?}", look.next) };
                    assert!(named == *suspect && (chance - probability).abs() < 1e-12, "{case}");
                }
                Node::Open { .. } => assert!(matches!(look.next, Next::Open { ref if_done, .. } if if_done.is_empty()), "{case}"),
                Node::Onward { .. } => panic!("{case}: the demo's policies are exact"),
            }
        }
        assert!(n_asks > 3, "{}", name.id);
    }
}
