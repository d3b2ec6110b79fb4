//! Practice: quizzes that nobody types. Every question, option and explanation comes from the entries, so that a corrected
//! entry corrects its questions too.
//!
//! [`topics`] derives the items, [`check`] proves that each has one right answer, [`script`] packs a topic for the browser and
//! [`printed`] lays it out for a page that is read without a script.

mod bands;
mod build;
mod check;
mod first_check;
mod item;
mod printed;
mod random;
mod safety;
mod script;
mod selection;
mod sensible;
mod sequence;
mod sums;
mod terms;
mod text;
mod wiring;

pub use check::{check, check_all};
pub use item::{Answer, Choice, Item, Proof, Topic, Variant};
pub use printed::{Printed, printed};
pub use script::script;

use rayon::prelude::*;

use crate::handbook::Handbook;

/// A topic before its items are derived: id, title, what it is about, and how.
type Plan = (&'static str, &'static str, &'static str, fn(&Handbook) -> Vec<Item>);

const PLANS: [Plan; 7] = [
    (
        "safety",
        "Safety before action",
        "What must come first, in which state the appliance has to be, and what must end the work.",
        safety::items,
    ),
    (
        "sequence",
        "The ignition sequence",
        "What comes after what: the stages of a start, where a symptom stops, and the steps of a task.",
        sequence::items,
    ),
    (
        "bands",
        "What a reading means",
        "A reading and the band that it lies in. On a real appliance its rating plate and its instructions come before these bands.",
        bands::items,
    ),
    (
        "sums",
        "Sums with fresh numbers",
        "The calculators' sums, worked by hand. Every question has other numbers each time; the working is shown afterwards.",
        sums::items,
    ),
    (
        "wiring",
        "Wire, terminal and crimp tables",
        "Look-ups in the tables of wires and terminals. Each question is about one table alone; a real circuit has to meet every rule at once.",
        wiring::items,
    ),
    (
        "terms",
        "Words of the trade",
        "A definition and its word, a word and its definition, and the other names that people use.",
        terms::items,
    ),
    (
        "first-check",
        "Which check, which fault",
        "Which check comes first, what an outcome leaves possible or rules out, and what proves a fault.",
        first_check::items,
    ),
];

/// The title of a topic, whether or not a handbook yields items for it.
pub fn title(id: &str) -> Option<&'static str> {
    PLANS.iter().find(|plan| plan.0 == id).map(|plan| plan.1)
}

/// The topics for which the handbook yields items, in the order in which they are learnt.
///
/// Of a large handbook a fixed number of entries of each kind is asked about, so that the time does not grow by the square.
pub fn topics(handbook: &Handbook) -> Vec<Topic> {
    let part = selection::part_of(handbook);
    let handbook = part.as_ref().unwrap_or(handbook);
    let derive = |(id, title, about, items): &Plan| Topic { id, title, about, items: items(handbook) };
    let mut topics: Vec<Topic> = PLANS.par_iter().map(derive).collect();
    topics.retain(|topic| !topic.items.is_empty());
    topics
}
