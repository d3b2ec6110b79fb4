//! The order as the symptom's page shows it.

use std::collections::BTreeSet;

use bluecone::diagnosis::{Node, diagnoses};
use bluecone::pages::{Address, Extras, draw};
use bluecone::theme::Theme;

use super::*;

/// Each symptom's id, its section of the page, and the whole page's size in bytes.
fn sections(limits: &Limits) -> Vec<(String, String, usize)> {
    let handbook = handbook();
    let extras = Extras { diagnoses: diagnoses(handbook, limits), ..Extras::default() };
    let files = draw(handbook, &Theme::built_in(), &extras).expect("the theme draws");
    let one = |symptom: &bluecone::handbook::Symptom| {
        let id = &symptom.common.id;
        let address = Address::entry(&Name::new(Kind::Symptom, id));
        let file = files.iter().find(|file| file.path == address.path()).expect("a page");
        let html = std::str::from_utf8(&file.bytes).expect("text");
        let from = html.find("<section class=\"diagnosis\"").unwrap_or_else(|| panic!("{id}: no order on the page"));
        let section = &html[from..from + html[from..].find("</section>").expect("an end")];
        (id.clone(), section.to_owned(), file.bytes.len())
    };
    handbook.symptoms.iter().map(one).collect()
}

fn between<'a>(text: &'a str, start: &str, end: char) -> Vec<&'a str> {
    text.match_indices(start).filter_map(|(at, _)| text[at + start.len()..].split(end).next()).collect()
}

#[test]
fn every_page_draws_its_whole_order() {
    let computed = diagnoses(handbook(), &Limits::default());
    for (id, section, size) in sections(&Limits::default()) {
        assert!(size < 160_000, "{id}: {size} bytes");
        let nodes = &computed[&Name::new(Kind::Symptom, &id)].policy.nodes;
        let asked = nodes.iter().filter(|node| matches!(node, Node::Ask(_))).count();
        let drawn = section.matches("<li id=\"step-").count();
        println!("{id}: {asked} steps, {drawn} drawn, {size} bytes");
        assert!(drawn <= asked && drawn >= asked.min(18), "{id}: {drawn} of {asked}");
        assert!(!section.contains("id=\"rest\""), "{id}: a list for lines without a step, though none leads to none");
    }
}

#[test]
fn every_step_leads_on() {
    check_lines(sections(&Limits::default()));
    // An order that is written out in part only: lines lead to the list of what is left.
    let short = sections(&Limits { situations: 20, steps: 6, ..Limits::default() });
    let listed = short.iter().filter(|(_, section, _)| section.contains("id=\"rest\"")).count();
    assert!(listed > 5, "{listed}");
    check_lines(short);
}

fn check_lines(sections: Vec<(String, String, usize)>) {
    for (id, section, _) in sections {
        let steps: BTreeSet<&str> = between(&section, "<li id=\"step-", '"').into_iter().collect();
        let jumps: BTreeSet<&str> = between(&section, "href=\"#step-", '"').into_iter().collect();
        assert!(jumps.is_subset(&steps), "{id}: {jumps:?} lead beyond {steps:?}");
        let reached: BTreeSet<&str> = jumps.into_iter().chain(["1"]).collect();
        assert_eq!(reached, steps, "{id}: steps that nothing leads to");
        assert!(!section.contains("<script") && !section.contains("style="), "{id}");
        assert!(
            section.contains("the appliance's instructions and the person on site decide")
                || section.contains("the appliance&#x27;s instructions"),
            "{id}"
        );
        // Every line of a step says where it leads.
        let empty =
            between(&section, "<span class=\"plan-next\">", '<').into_iter().zip(between(&section, "<span class=\"plan-next\">", '\n'));
        for (words, whole) in empty {
            assert!(!words.trim().is_empty() || whole.contains("<a "), "{id}: a line leads nowhere: {whole}");
        }
        let symptom = handbook().symptoms.iter().find(|symptom| symptom.common.id == id).expect("the symptom");
        let rest: BTreeSet<&str> = between(&section, "<li id=\"rest-", '"').into_iter().collect();
        let named: BTreeSet<&str> = between(&section, "href=\"#rest-", '"').into_iter().collect();
        assert_eq!(named, rest, "{id}: the list for lines without a step holds what they name, and nothing else");
        assert_eq!(section.matches("<a href=\"#rest\">").count(), section.matches("Left: ").count(), "{id}");
        assert_eq!(section.matches("Mend: ").count(), symptom.suspects.len(), "{id}");
    }
}

#[test]
fn the_sums_on_the_page_are_those_of_the_policy() {
    let computed = diagnoses(handbook(), &Limits::default());
    for (id, section, _) in sections(&Limits::default()) {
        let policy = &computed[&Name::new(Kind::Symptom, &id)].policy;
        let figures = between(&section, "<b class=\"figure\">", '<');
        let written = policy.written_minutes.expect("few enough cases");
        assert_eq!(figures[..2], [format!("{:.0}", policy.expected_minutes), format!("{written:.0}")], "{id}");
        assert!(section.contains("no safe order is quicker"), "{id}");
    }
}
