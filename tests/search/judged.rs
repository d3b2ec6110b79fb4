//! How well the search serves a technician: two sets of queries with the entries that should come first, over the demo handbook.
//!
//! `cargo test --test suite judged -- --nocapture` prints the figures. They are held against `floors.yaml`, which only rises:
//! `RAISE_FLOORS=1` lifts each floor to what was measured and lowers none.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use bluecone::handbook::{Handbook, Name};
use bluecone::pages::Address;
use bluecone::search::{Finder, documents, synonyms};
use serde::{Deserialize, Serialize};

use super::read;

/// How many results a technician looks at.
const FIRST: usize = 10;
/// Floors are kept in thousandths, rounded down.
const THOUSANDTHS: f64 = 1000.0;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Class {
    class: String,
    what: String,
    queries: Vec<Judged>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Judged {
    query: String,
    /// Any of these may stand first.
    best: Vec<String>,
    /// Belong among the first ten, as `best` does.
    #[serde(default)]
    also: Vec<String>,
    why: String,
    #[serde(default)]
    held: bool,
}

/// Mean reciprocal rank of the first of the best, and mean share of the wanted entries among the first ten.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Figures {
    reciprocal_rank: f64,
    recall_at_ten: f64,
}

/// What one query came to; `rank` counts from 1.
struct Outcome {
    rank: Option<usize>,
    recall: f64,
    first: String,
}

type Floors = BTreeMap<String, Figures>;

/// The sets: what stands before their classes' names in the floors, and the file.
const SETS: [(&str, &str); 2] = [("", "judged.yaml"), ("later ", "judged-later.yaml")];

fn classes(file: &str) -> Vec<Class> {
    serde_yaml::from_str(&read(file)).unwrap()
}

fn floors_path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/search/floors.yaml")
}

fn demo() -> Handbook {
    let proofed = bluecone::proof(&Path::new(env!("CARGO_MANIFEST_DIR")).join("content")).unwrap();
    proofed.handbook.expect("the demo handbook has an error")
}

fn address(name: &Name) -> String {
    Address::entry(name).path().to_owned()
}

fn address_of(reference: &str) -> String {
    address(&Name::parse(reference).unwrap_or_else(|| panic!("{reference} is not a reference")))
}

fn outcome(finder: &Finder, judged: &Judged) -> Outcome {
    let found = finder.find(&judged.query, 1_000).unwrap();
    let best: BTreeSet<String> = judged.best.iter().map(|name| address_of(name)).collect();
    let wanted: BTreeSet<String> = judged.best.iter().chain(&judged.also).map(|name| address_of(name)).collect();
    let rank = found.hits.iter().position(|hit| best.contains(&hit.address)).map(|at| at + 1);
    let n_shown = found.hits.iter().take(FIRST).filter(|hit| wanted.contains(&hit.address)).count();
    let first = found.hits.first().map_or_else(|| "nothing".to_owned(), |hit| hit.address.clone());
    Outcome { rank, recall: n_shown as f64 / wanted.len().min(FIRST) as f64, first }
}

fn figures<'a>(outcomes: impl Iterator<Item = &'a Outcome>) -> Figures {
    let (mut n, mut reciprocal_rank, mut recall) = (0.0, 0.0, 0.0);
    for outcome in outcomes {
        n += 1.0;
        reciprocal_rank += outcome.rank.map_or(0.0, |rank| 1.0 / rank as f64);
        recall += outcome.recall;
    }
    Figures { reciprocal_rank: reciprocal_rank / n, recall_at_ten: recall / n }
}

fn floored(figures: Figures) -> Figures {
    // A sum of halves and thirds may end a last bit below what it stands for.
    let floor = |figure: f64| (figure * THOUSANDTHS + 1e-6).floor() / THOUSANDTHS;
    Figures { reciprocal_rank: floor(figures.reciprocal_rank), recall_at_ten: floor(figures.recall_at_ten) }
}

/// What is wrong with the measured figures; nothing if they keep to the floors.
fn below(measured: &Floors, floors: &Floors) -> Vec<String> {
    let mut wrong = Vec::new();
    for (class, figures) in measured {
        let Some(floor) = floors.get(class) else {
            wrong.push(format!("{class}: no floor; RAISE_FLOORS=1 writes it"));
            continue;
        };
        let figures = floored(*figures);
        if figures.reciprocal_rank < floor.reciprocal_rank {
            wrong.push(format!("{class}: mean reciprocal rank {:.3}, floor {:.3}", figures.reciprocal_rank, floor.reciprocal_rank));
        }
        if figures.recall_at_ten < floor.recall_at_ten {
            wrong.push(format!("{class}: recall at ten {:.3}, floor {:.3}", figures.recall_at_ten, floor.recall_at_ten));
        }
    }
    wrong.extend(floors.keys().filter(|class| !measured.contains_key(*class)).map(|class| format!("{class}: a floor without queries")));
    wrong
}

/// The floors lifted to what was measured; none is lowered.
fn raised(measured: &Floors, floors: &Floors) -> Floors {
    let mut raised = floors.clone();
    for (class, figures) in measured {
        let figures = floored(*figures);
        let floor = raised.entry(class.clone()).or_insert(figures);
        floor.reciprocal_rank = floor.reciprocal_rank.max(figures.reciprocal_rank);
        floor.recall_at_ten = floor.recall_at_ten.max(figures.recall_at_ten);
    }
    raised
}

fn written(floors: &Floors) -> String {
    let mut text = String::from(
        "# What the judged queries must at least come to, by class; `held` are those that are never tuned on, of all classes. Of the\n\
         # second set, `later` stands before the class.\n\
         # Only rises: RAISE_FLOORS=1 lifts each floor to what was measured.\n\n",
    );
    for (class, figures) in floors {
        text.push_str(&format!(
            "{class}: {{reciprocal_rank: {:.3}, recall_at_ten: {:.3}}}\n",
            figures.reciprocal_rank, figures.recall_at_ten
        ));
    }
    text
}

/// Measures and prints the classes of one set.
fn measure(finder: &Finder, set: &str, file: &str, measured: &mut Floors) {
    let classes = classes(file);
    let mut every: Vec<(&Judged, Outcome)> = Vec::new();
    let mut misses = String::new();
    println!("\n{:<18} {:>7}   open: MRR  recall@10   held: MRR  recall@10", format!("{set}class"), "queries");
    let row = |name: &str, outcomes: &[(&Judged, Outcome)]| {
        let of = |held: bool| figures(outcomes.iter().filter(|(judged, _)| judged.held == held).map(|(_, outcome)| outcome));
        let (open, held) = (of(false), of(true));
        println!(
            "{name:<18} {:>7}       {:.3}      {:.3}       {:.3}      {:.3}",
            outcomes.len(),
            open.reciprocal_rank,
            open.recall_at_ten,
            held.reciprocal_rank,
            held.recall_at_ten
        );
    };
    for class in &classes {
        let outcomes: Vec<(&Judged, Outcome)> = class.queries.iter().map(|judged| (judged, outcome(finder, judged))).collect();
        row(&class.class, &outcomes);
        measured.insert(format!("{set}{}", class.class), figures(outcomes.iter().map(|(_, outcome)| outcome)));
        // Held queries are counted, not shown.
        for (judged, outcome) in outcomes.iter().filter(|(judged, outcome)| !judged.held && outcome.rank != Some(1)) {
            let rank = outcome.rank.map_or_else(|| "not found".to_owned(), |rank| format!("at {rank}"));
            misses.push_str(&format!("  {}: {} is {rank}, first is {}\n", judged.query, judged.best[0], outcome.first));
        }
        every.extend(outcomes);
    }
    row("all", &every);
    measured.insert(format!("{set}all"), figures(every.iter().map(|(_, outcome)| outcome)));
    measured.insert(format!("{set}held"), figures(every.iter().filter(|(judged, _)| judged.held).map(|(_, outcome)| outcome)));
    println!("\nopen queries whose first result is none of the best:\n{misses}");
}

#[test]
fn judged_queries_keep_to_the_floors() {
    let handbook = demo();
    let finder = Finder::new(&documents(&handbook, &address), &synonyms(&handbook)).unwrap();
    let mut measured = Floors::new();
    for (set, file) in SETS {
        measure(&finder, set, file, &mut measured);
    }

    let mut floors: Floors = serde_yaml::from_str(&read("floors.yaml")).unwrap();
    let raised = raised(&measured, &floors);
    if raised != floors && std::env::var_os("RAISE_FLOORS").is_some() {
        std::fs::write(floors_path(), written(&raised)).unwrap();
        floors = raised;
    } else if raised != floors {
        println!("floors can be raised: RAISE_FLOORS=1 writes\n{}", written(&raised));
    }
    let wrong = below(&measured, &floors);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn judged_queries_are_whole() {
    let handbook = demo();
    let known: BTreeSet<String> = documents(&handbook, &address).into_iter().map(|document| document.address).collect();
    let classes: Vec<Class> = SETS.iter().flat_map(|(_, file)| classes(file)).collect();
    let mut seen = BTreeSet::new();
    let (mut n_queries, mut n_held) = (0, 0);
    for class in &classes {
        assert!(class.queries.len() >= 6, "{}: {}", class.class, class.queries.len());
        assert!(!class.what.is_empty() && !["all", "held"].contains(&class.class.as_str()), "{}", class.class);
        for judged in &class.queries {
            n_queries += 1;
            n_held += usize::from(judged.held);
            assert!(seen.insert(&judged.query), "{} stands twice", judged.query);
            assert!(!judged.best.is_empty() && !judged.why.is_empty(), "{}", judged.query);
            let wanted: Vec<&String> = judged.best.iter().chain(&judged.also).collect();
            assert!(wanted.len() <= FIRST, "{}: more than {FIRST} entries", judged.query);
            for name in &wanted {
                assert!(known.contains(&address_of(name)), "{}: the handbook has no {name}", judged.query);
                assert_eq!(wanted.iter().filter(|other| other == &name).count(), 1, "{}: {name} stands twice", judged.query);
            }
        }
    }
    assert!(n_queries >= 150, "{n_queries} queries");
    assert!((n_queries * 3 / 10..=n_queries * 4 / 10).contains(&n_held), "{n_held} of {n_queries} are held");
}

#[test]
fn floors_catch_what_falls_and_only_rise() {
    let of = |reciprocal_rank, recall_at_ten| Floors::from([("typo".to_owned(), Figures { reciprocal_rank, recall_at_ten })]);
    let floors = of(0.75, 0.5);
    assert!(below(&of(0.75, 0.5), &floors).is_empty());
    assert_eq!(below(&of(0.7499, 0.5), &floors).len(), 1);
    assert_eq!(below(&of(0.9, 0.4), &floors).len(), 1);
    assert_eq!(below(&Floors::new(), &floors).len(), 1, "a class that lost its queries");
    assert_eq!(below(&of(0.75, 0.5), &Floors::new()).len(), 1, "a class without a floor");
    assert_eq!(raised(&of(0.81239, 0.1), &floors), of(0.812, 0.5));
    assert_eq!(raised(&of(1.0 / 3.0 + 2.0 / 3.0, 1.0), &floors), of(1.0, 1.0));
    let reread: Floors = serde_yaml::from_str(&written(&floors)).unwrap();
    assert_eq!(reread, floors);
}
