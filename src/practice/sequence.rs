//! Order: the stages of a start, the stage at which a symptom stops, the steps of checks and tasks.

use super::build::{choice, item, order};
use super::item::{Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{gives_away, listed, opening, quoted, sentence};
use crate::handbook::{Handbook, Kind, Name, Stage};

/// The usual id of the stage that no good cycle reaches; it has no place in the order.
const OUTSIDE: &str = "lockout";
/// How many characters of a step are shown.
const STEP: usize = 110;

pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let mut items = stages(handbook);
    items.extend(symptoms(handbook));
    items.extend(checks(handbook));
    items.extend(tasks(handbook));
    items
}

/// What comes next, what comes before, which stage is described, and the whole order. They lead to the symptom that stops there.
fn stages(handbook: &Handbook) -> Vec<Item> {
    let stages: Vec<&Stage> = handbook.book.stages.iter().filter(|stage| stage.id != OUTSIDE).collect();
    let Some(fallback) = handbook.symptoms.first() else { return Vec::new() };
    let teaches = |stage: &Stage| {
        let symptom = handbook.symptoms.iter().find(|symptom| symptom.stage == stage.id).unwrap_or(fallback);
        Name::new(Kind::Symptom, &symptom.common.id)
    };
    let line = stages.iter().map(|stage| stage.title.as_str()).collect::<Vec<_>>().join(", then ");
    let mut items = Vec::new();
    for (at, stage) in stages.iter().enumerate() {
        let asks = [("next", at.checked_add(1), "What comes next after"), ("before", at.checked_sub(1), "What comes just before")];
        for (what, wanted, ask) in asks {
            let Some(wanted) = wanted.filter(|wanted| *wanted < stages.len()) else { continue };
            let id = format!("sequence/stage-{what}/{}", stage.id);
            let mut random = Random::of(&id);
            let option = |place: usize| Choice::new(&stages[place].title, Proof::Place { at: place, right: wanted });
            let mut wrong: Vec<Choice> = (0..stages.len()).filter(|place| *place != wanted && *place != at).map(option).collect();
            random.shuffle(&mut wrong);
            let question = format!("A good start, stage by stage. {ask} {}?", quoted(&stage.title));
            let because = format!("{}. The order is: {line}.", stages[wanted].title);
            items.extend(item(handbook, id, teaches(stage), [choice(&mut random, question, option(wanted), wrong, because)]));
        }
        let id = format!("sequence/stage-normal/{}", stage.id);
        let mut random = Random::of(&id);
        let normal = handbook.plain(&stage.normal);
        let shown = opening(&normal, 260);
        let option = |other: &Stage| Choice::new(&other.title, Proof::listed(&other.id, &[&stage.id]));
        let mut wrong: Vec<Choice> =
            stages.iter().filter(|other| other.id != stage.id && other.normal != stage.normal).map(|other| option(other)).collect();
        random.shuffle(&mut wrong);
        let given: Vec<&str> = wrong.iter().take(3).map(|option| option.text.as_str()).collect();
        if !gives_away(shown, &stage.title, &given) {
            let question = format!("Which stage of a good start is this? {}", sentence(shown));
            let because = format!("{}. The order is: {line}.", stage.title);
            items.extend(item(handbook, id, teaches(stage), [choice(&mut random, question, option(stage), wrong, because)]));
        }
    }
    let id = "sequence/stages/order".to_owned();
    let mut random = Random::of(&id);
    let mut variants = Vec::new();
    for _ in 0..6 {
        let steps: Vec<String> = random.some(stages.iter().map(|stage| stage.title.clone()).collect(), 5);
        let because = format!("{}. The whole order is: {line}.", steps.join(", then "));
        variants.push(order(&mut random, "Put these stages of a good start in order.".into(), steps, because));
    }
    items.extend(item(handbook, id, Name::new(Kind::Symptom, &fallback.common.id), variants));
    items
}

/// Where does the sequence stop?
fn symptoms(handbook: &Handbook) -> Vec<Item> {
    let stages = &handbook.book.stages;
    let ask = |symptom: &crate::handbook::Symptom| {
        let id = format!("sequence/stops/{}", symptom.common.id);
        let mut random = Random::of(&id);
        let stage = stages.iter().find(|stage| stage.id == symptom.stage)?;
        let option = |other: &Stage| Choice::new(&other.title, Proof::listed(&other.id, &[&symptom.stage]));
        let mut wrong: Vec<Choice> = stages.iter().filter(|other| other.id != stage.id).map(option).collect();
        random.shuffle(&mut wrong);
        let story = format!("{}. {}", symptom.common.title, sentence(&symptom.common.summary));
        let given: Vec<&str> = wrong.iter().take(3).map(|option| option.text.as_str()).collect();
        if gives_away(&story, &stage.title, &given) {
            return None;
        }
        let question = format!("{story} To which stage of the sequence does this belong?");
        let normal = handbook.plain(&stage.normal);
        let because = format!("It belongs to {}. About that stage: {}", quoted(&stage.title), sentence(opening(&normal, 260)));
        item(handbook, id, Name::new(Kind::Symptom, &symptom.common.id), [choice(&mut random, question, option(stage), wrong, because)])
    };
    handbook.symptoms.iter().filter_map(ask).collect()
}

/// Which step comes first? The last is no use: it is often "write it down".
fn checks(handbook: &Handbook) -> Vec<Item> {
    let ask = |check: &crate::handbook::Check| {
        let id = format!("sequence/first-step/{}", check.common.id);
        let mut random = Random::of(&id);
        let steps: Vec<String> = check.steps.iter().map(|step| short(&handbook.plain(step))).collect();
        let option = |place: usize| Choice::new(&steps[place], Proof::Place { at: place, right: 0 });
        // The second step could often change places with the first; later ones build on it.
        let wrong = random.some((2..steps.len()).map(option).collect(), 3);
        let first = steps.first()?;
        let question = format!("{}: which of these steps does the entry put first?", check.common.title);
        let because = format!("{} The entry gives all {} steps in order.", sentence(first), steps.len());
        item(handbook, id, Name::new(Kind::Check, &check.common.id), [choice(&mut random, question, option(0), wrong, because)])
    };
    handbook.checks.iter().filter_map(ask).collect()
}

/// Four steps of a task, well apart, to be put in order.
fn tasks(handbook: &Handbook) -> Vec<Item> {
    let ask = |task: &crate::handbook::Task| {
        let id = format!("sequence/task-steps/{}", task.common.id);
        let mut random = Random::of(&id);
        let steps: Vec<String> = task.steps.iter().map(|step| short(&handbook.plain(&step.action))).collect();
        let variants: Vec<Option<Variant>> = (0..2)
            .map(|_| {
                let mut places = Vec::new();
                let quarter = steps.len() as f64 / 4.0;
                for part in 0..4 {
                    let (from, to) = ((part as f64 * quarter).ceil() as usize, ((part + 1) as f64 * quarter).ceil() as usize);
                    let at = from + random.below(to.saturating_sub(from));
                    // Neighbours may be a matter of taste, so one step is always left out between.
                    if places.last().is_none_or(|last| at > last + 1) && at < steps.len() {
                        places.push(at);
                    }
                }
                let picked: Vec<String> = places.iter().map(|at| steps[*at].clone()).collect();
                let because = format!("In order: {} These are steps {} of {}.", picked.join(" Then: "), join(&places), steps.len());
                let question = format!("{}: put these steps in order.", task.common.title);
                order(&mut random, question, picked, because)
            })
            .collect();
        item(handbook, id, Name::new(Kind::Task, &task.common.id), variants)
    };
    handbook.tasks.iter().filter_map(ask).collect()
}

fn short(step: &str) -> String {
    sentence(opening(step, STEP))
}

fn join(places: &[usize]) -> String {
    listed(&places.iter().map(|place| (place + 1).to_string()).collect::<Vec<_>>())
}
