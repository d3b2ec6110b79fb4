//! Practice: items derived from the demo handbook and from a small one, and the script that asks them.

use std::path::Path;
use std::sync::OnceLock;

use bluecone::formula::Unit;
use bluecone::handbook::{Band, Book, Common, Handbook, Measurement, Prose, Severity, Stage, State, Symptom, Term};
use bluecone::pages::Address;
use bluecone::practice::{Topic, script, topics};

mod browser;
mod data;
mod items;

/// The demo handbook and what practice makes of it.
fn demo() -> &'static (Handbook, Vec<Topic>) {
    static DEMO: OnceLock<(Handbook, Vec<Topic>)> = OnceLock::new();
    DEMO.get_or_init(|| {
        let proofed = bluecone::proof(Path::new("content")).expect("the demo handbook can be read");
        let handbook = proofed.handbook.unwrap_or_else(|| panic!("the demo handbook has problems: {:?}", proofed.diagnostics.first()));
        let topics = topics(&handbook);
        (handbook, topics)
    })
}

fn topic<'a>(topics: &'a [Topic], id: &str) -> &'a Topic {
    topics.iter().find(|topic| topic.id == id).unwrap_or_else(|| panic!("no topic {id}"))
}

/// The topic's script, with entries where the site has them.
fn script_of(topic: &Topic) -> String {
    script(topic, &|name| Address::entry(name).path().to_owned())
}

fn prose(markdown: &str) -> Prose {
    Prose { markdown: markdown.to_owned(), links: Vec::new() }
}

fn common(id: &str, title: &str, summary: &str, also: &[&str]) -> Common {
    Common {
        id: id.into(),
        title: title.into(),
        summary: summary.into(),
        also: also.iter().map(|&name| name.into()).collect(),
        ..Common::default()
    }
}

/// A handbook of one measurement, four stages, one symptom and five terms.
fn small() -> Handbook {
    let band = |id: &str, from: f64, to: f64, above: bool, label: &str, severity| Band {
        id: id.into(),
        from,
        to,
        above,
        label: label.into(),
        severity,
        means: prose("Compare with the *plate*, see [this](term:amber)."),
    };
    let measurement = Measurement {
        common: common("coil-volts", "Coil volts", "The voltage across the coil.", &[]),
        quantity: "voltage".into(),
        unit: Unit::parse("V").expect("a unit"),
        scale: (-1.0, 30.0),
        state: State::Powered,
        touches: Vec::new(),
        safety: Vec::new(),
        place: prose("At the coil."),
        how: prose("Read."),
        meter: prose("Volts."),
        bands: vec![
            band("under", -1.0, 0.0, false, "Below zero", Severity::Act),
            band("none", 0.0, 0.3, false, "None", Severity::Act),
            band("low", 0.3, 20.4, false, "Low", Severity::Watch),
            band("good", 20.4, 30.0, true, "Usual", Severity::Good),
        ],
    };
    let stage = |id: &str, title: &str| Stage { id: id.into(), title: title.into(), normal: prose("All is well.") };
    let term = |id: &str, title: &str, summary: &str, also: &[&str]| Term { common: common(id, title, summary, also) };
    Handbook {
        book: Book {
            title: "Small".into(),
            book_id: "small".into(),
            stages: vec![stage("a", "Alpha"), stage("b", "Bravo"), stage("c", "Charlie"), stage("d", "Delta"), stage("lockout", "Locked")],
            ..Book::default()
        },
        symptoms: vec![Symptom {
            common: common("still", "Nothing moves", "It stands still.", &[]),
            stage: "b".into(),
            seen: prose("1. Still."),
            suspects: Vec::new(),
            checks: Vec::new(),
            safety: Vec::new(),
        }],
        measurements: vec![measurement],
        terms: vec![
            term("amber", "Amber", "A yellow resin that is found on beaches of the north.", &["yellow stone"]),
            term("basalt", "Basalt", "A black rock that came out of the ground as lava.", &["lava rock"]),
            term("chalk", "Chalk", "A soft white rock made of the shells of small animals.", &["white rock"]),
            term("dolomite", "Dolomite", "A pale rock like limestone, with magnesium in it.", &["pale rock", "white rock"]),
            term("emery", "Emery", "A dark hard grain that is used for grinding of metal.", &["grinding grain"]),
        ],
        ..Handbook::default()
    }
}
