//! The order as the symptom's page shows it.

use std::collections::BTreeSet;

use bluecone::diagnosis::{Node, Policy, alike, diagnoses};
use bluecone::manuscript::read_texts;
use bluecone::pages::{Address, Extras, draw};
use bluecone::proof::proof;
use bluecone::theme::Theme;

use super::*;

/// Each symptom's id, its section of the page, and the whole page's size in bytes.
fn sections(handbook: &Handbook, limits: &Limits) -> Vec<(String, String, usize)> {
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

/// Steps that say something of their own, among those to which steps lead that at least this part of the calls comes by.
fn met_by(policy: &Policy, least: f64) -> usize {
    let reached = policy.reached();
    let stands = alike(policy, &BTreeSet::new());
    let (mut met, mut open) = (BTreeSet::from([0]), vec![0]);
    while let Some(place) = open.pop() {
        let asked = policy.nodes[place].branches().iter().map(|branch| branch.node);
        let asked = asked.filter(|&next| matches!(policy.nodes[next], Node::Ask(_)) && reached[next] >= least);
        open.extend(asked.filter(|&next| met.insert(next)));
    }
    met.into_iter().map(|place| stands[place]).collect::<BTreeSet<_>>().len()
}

#[test]
fn a_page_draws_a_short_order_whole_and_of_a_long_one_what_one_call_in_a_thousand_meets() {
    let computed = diagnoses(handbook(), &Limits::default());
    let (mut whole, mut cut) = (0, 0);
    for (id, section, size) in sections(handbook(), &Limits::default()) {
        let policy = &computed[&Name::new(Kind::Symptom, &id)].policy;
        let asked = policy.nodes.iter().filter(|node| matches!(node, Node::Ask(_))).count();
        let drawn = section.matches("<li id=\"step-").count();
        println!("{id}: {asked} steps, {drawn} drawn, {size} bytes");
        assert!(size < 300_000, "{id}: {size} bytes");
        assert!(drawn <= asked && drawn >= asked.min(18), "{id}: {drawn} of {asked}");
        // As many as a page draws, less a few to which nothing leads that is drawn.
        assert!(drawn >= met_by(policy, 0.001) || drawn >= 140, "{id}: {drawn} of {}", met_by(policy, 0.001));
        if section.contains("id=\"rest\"") {
            cut += 1;
            assert!(asked > 60, "{id}: a list for lines without a step, though the order is short");
        } else {
            whole += 1;
            assert!(drawn >= met_by(policy, 0.0), "{id}: {drawn} of {}", met_by(policy, 0.0));
        }
    }
    assert!(whole >= 1 && cut >= 1, "both kinds are met: {whole} whole, {cut} cut");
}

#[test]
fn every_step_leads_on() {
    check_lines(handbook(), sections(handbook(), &Limits::default()));
    // An order that is written out in part only: lines lead to the list of what is left.
    let short = sections(handbook(), &Limits { situations: 20, steps: 6, ..Limits::default() });
    let listed = short.iter().filter(|(_, section, _)| section.contains("id=\"rest\"")).count();
    assert!(listed > 5, "{listed}");
    check_lines(handbook(), short);
}

fn check_lines(handbook: &Handbook, sections: Vec<(String, String, usize)>) {
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
        let symptom = handbook.symptoms.iter().find(|symptom| symptom.common.id == id).expect("the symptom");
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
    for (id, section, _) in sections(handbook(), &Limits::default()) {
        let policy = &computed[&Name::new(Kind::Symptom, &id)].policy;
        let figures = between(&section, "<b class=\"figure\">", '<');
        let written = policy.written_minutes.expect("few enough cases");
        assert_eq!(figures[..2], [format!("{:.0}", policy.expected_minutes), format!("{written:.0}")], "{id}");
        assert!(section.contains("no safe order is quicker"), "{id}");
    }
}

/// A symptom whose checks are all unsure, so that hardly two of its many steps say the same.
fn unsure(n_faults: usize, n_checks: usize) -> Handbook {
    let mut random = Random(5);
    let common = |title: &str| format!("title: {title}\nsummary: Made up to be long.\n");
    let mut files = vec![(
        "handbook.yaml".to_owned(),
        "title: Long\nshop: Quarry Lane Heating\nedition: First\nbook-id: long\nlanguage: en\nunits: us\n\
         caution: The appliance's instructions come first.\nstages: [{id: run, title: Run, normal: It burns.}]\n"
            .to_owned(),
    )];
    let mut symptom = common("Long") + "stage: run\nseen: Nothing.\nfaults:\n";
    for fault in 0..n_faults {
        symptom += &format!("  - {{fault: fault:f-{fault}, weight: {}, basis: judgement}}\n", 5 + random.below(20));
        let proved = format!("part: Part\ncause: Wear.\nsigns: None.\nremedy: Mend it.\nproved-by: check:c-{}\n", fault % n_checks);
        files.push((format!("faults/f-{fault}.yaml"), common(&format!("Fault {fault}")) + &proved));
    }
    let checks: Vec<String> = (0..n_checks).map(|check| format!("check:c-{check}")).collect();
    symptom += &format!("checks: [{}]\n", checks.join(", "));
    for check in 0..n_checks {
        let mut text = common(&format!("Check {check}"))
            + &format!("state: powered\ntouches: []\nminutes: {}\nsteps: [Look.]\noutcomes:\n", 2 + random.below(9));
        let mut left = vec![1.0; n_faults];
        for outcome in 0..2 {
            let mut chance = |left: &mut f64| {
                let chance = *left * (5 + random.below(90)) as f64 / 100.0;
                *left -= chance;
                chance
            };
            let likely: Vec<String> =
                left.iter_mut().enumerate().map(|(fault, left)| format!("fault:f-{fault}: {:.3}", chance(left))).collect();
            text +=
                &format!("  - {{id: o-{outcome}, seen: Seen {outcome}., means: It says something., likely: {{{}}}}}\n", likely.join(", "));
        }
        text += "  - {id: other, seen: Neither., means: It says something.}\n";
        files.push((format!("checks/c-{check}.yaml"), text));
    }
    files.push(("symptoms/long.yaml".to_owned(), symptom));
    let book = read_texts(files);
    let (handbook, problems) = proof(&book.manuscript, book.problems);
    handbook.unwrap_or_else(|| panic!("{:?}", problems.sorted().first()))
}

#[test]
fn a_page_draws_at_most_150_steps_and_lists_the_rest() {
    let long = unsure(5, 6);
    let limits = Limits::default();
    let asked = |name: &str| {
        let policy = &diagnoses(&long, &limits)[&Name::new(Kind::Symptom, name)].policy;
        assert!(!policy.nodes.iter().any(|node| matches!(node, Node::Onward { .. })), "the order itself is whole");
        policy.nodes.iter().filter(|node| matches!(node, Node::Ask(_))).count()
    };
    assert!(asked("long") > 300, "{} steps", asked("long"));
    let drawn = sections(&long, &limits);
    let (_, section, size) = &drawn[0];
    assert_eq!(section.matches("<li id=\"step-").count(), 150);
    assert!(section.contains("id=\"rest\"") && section.contains("Left: "), "no list for lines without a step");
    assert!(*size < 200_000, "{size} bytes");
    println!("{} steps, 150 drawn, {size} bytes", asked("long"));
    check_lines(&long, drawn);
}
