//! What holds for every item, whatever the handbook.

use std::collections::BTreeSet;

use bluecone::handbook::Term;
use bluecone::practice::{Answer, Item, Proof, Topic, check, check_all, printed, topics};
use proptest::prelude::*;

use super::{common, demo, script_of, small, topic};

#[test]
fn every_item_has_one_right_answer_that_its_explanation_says() {
    assert_eq!(check_all(&demo().1), Vec::<String>::new());
    assert_eq!(check_all(&topics(&small())), Vec::<String>::new());
}

#[test]
fn the_demo_handbook_yields_every_topic_with_plenty_of_items() {
    let counts: Vec<(&str, usize)> = demo().1.iter().map(|topic| (topic.id, topic.items.len())).collect();
    let ids: Vec<&str> = counts.iter().map(|(id, _)| *id).collect();
    assert_eq!(ids, ["safety", "sequence", "bands", "sums", "wiring", "terms", "first-check"]);
    assert!(counts.iter().all(|(_, count)| *count >= 12), "{counts:?}");
    assert!(counts.iter().map(|(_, count)| count).sum::<usize>() >= 150, "{counts:?}");
}

#[test]
fn topics_without_items_are_left_out() {
    let ids: Vec<&str> = topics(&small()).iter().map(|topic| topic.id).collect();
    assert_eq!(ids, ["sequence", "bands", "terms"]);
    assert!(topics(&Default::default()).is_empty());
}

#[test]
fn the_same_handbook_gives_the_same_items_and_bytes() {
    let (handbook, first) = demo();
    let second = topics(handbook);
    assert_eq!(*first, second);
    let bytes = |topics: &[Topic]| topics.iter().map(script_of).collect::<Vec<_>>();
    assert_eq!(bytes(first), bytes(&second));
}

#[test]
fn a_new_entry_leaves_the_ids_of_the_others() {
    let ids =
        |topics: &[Topic]| -> BTreeSet<String> { topics.iter().flat_map(|topic| topic.items.iter().map(|item| item.id.clone())).collect() };
    let mut handbook = small();
    let before = ids(&topics(&handbook));
    handbook.terms.push(Term { common: common("flint", "Flint", "A grey rock with sharp edges from old chalk pits.", &["fire stone"]) });
    let after = ids(&topics(&handbook));
    assert!(before.is_subset(&after), "{:?}", before.difference(&after).collect::<Vec<_>>());
    assert!(after.contains("terms/flint/word"));
}

#[test]
fn a_name_that_two_terms_share_is_not_asked_and_its_holders_are_not_set_against_each_other() {
    let topics = topics(&small());
    for item in &topic(&topics, "terms").items {
        for variant in &item.variants {
            assert!(!variant.question.contains("\u{201c}white rock\u{201d}"), "{}", variant.question);
            let Answer::Choice { options, .. } = &variant.answer else { panic!("a choice") };
            let both = options.iter().filter(|option| ["Chalk", "Dolomite"].contains(&option.text.as_str())).count();
            // They may stand together only as wrong options.
            if item.entry.id == "chalk" || item.entry.id == "dolomite" {
                assert!(both < 2, "{}", variant.question);
            }
        }
    }
}

#[test]
fn the_stage_outside_a_good_cycle_has_no_place_in_its_order() {
    let topics = topics(&small());
    let order = topic(&topics, "sequence").items.iter().filter(|item| !item.id.starts_with("sequence/stops"));
    for item in order {
        for variant in &item.variants {
            match &variant.answer {
                Answer::Choice { options, .. } => assert!(options.iter().all(|option| option.text != "Locked"), "{}", item.id),
                Answer::Order { steps, .. } => assert!(steps.iter().all(|step| step != "Locked") && steps.is_sorted(), "{steps:?}"),
                Answer::Number { .. } => panic!("no number is asked of stages"),
            }
        }
    }
}

#[test]
fn the_right_option_is_not_always_the_longest_and_stands_anywhere() {
    for topic in &demo().1 {
        let (mut longest, mut places, mut all) = (0, BTreeSet::new(), 0);
        for variant in topic.items.iter().flat_map(|item| &item.variants) {
            let Answer::Choice { options, right } = &variant.answer else { continue };
            all += 1;
            places.insert(*right);
            let length = |at: usize| options[at].text.chars().count();
            longest += usize::from((0..options.len()).all(|at| at == *right || length(at) < length(*right)));
        }
        assert!(longest * 2 < all, "{}: the longest is right in {longest} of {all}", topic.id);
        assert!(places.len() >= 4, "{}: right only at {places:?}", topic.id);
    }
}

#[test]
fn paper_shows_every_question_with_its_answer() {
    for topic in &demo().1 {
        let sheet = printed(topic);
        assert_eq!(sheet.len(), topic.items.len());
        for (question, item) in sheet.iter().zip(&topic.items) {
            assert_eq!((&question.id, &question.entry), (&item.id, &item.entry));
            match question.kind {
                "choice" => assert!(question.options.contains(&question.answer[0]) && question.answer.len() == 1),
                "order" => {
                    let sorted = |list: &[String]| list.iter().cloned().collect::<BTreeSet<_>>();
                    assert_eq!(sorted(&question.options), sorted(&question.answer));
                    assert_ne!(question.options, question.answer);
                }
                "number" => assert!(question.options.is_empty() && question.answer[0].ends_with(question.unit.as_str())),
                other => panic!("an unknown kind {other}"),
            }
        }
    }
}

/// An item that is sound, with a choice.
fn sound() -> Item {
    let topics = topics(&small());
    let item = topic(&topics, "bands").items[0].clone();
    assert_eq!(check(&item), Vec::<String>::new());
    item
}

#[test]
fn the_check_finds_what_is_wrong_with_an_item() {
    type Spoil = fn(&mut Item);
    let spoils: [(&str, Spoil); 7] = [
        ("expected at least one variant", |item| item.variants.clear()),
        ("plain words", |item| item.variants[0].question = "See [this](term:x)?".into()),
        ("does not say the right answer", |item| item.variants[0].explanation = "Because.".into()),
        ("read the same", |item| with_options(item, |options| options[1].text = format!(" {}", options[0].text.to_uppercase()))),
        ("alone to be right", |item| {
            with_options(item, |options| options.iter_mut().for_each(|option| option.proof = Proof::Place { at: 0, right: 0 }))
        }),
        ("three to six options", |item| with_options(item, |options| options.truncate(2))),
        ("ask the same", |item| item.variants = vec![item.variants[0].clone(), item.variants[0].clone()]),
    ];
    for (expected, spoil) in spoils {
        let mut item = sound();
        spoil(&mut item);
        let problems = check(&item);
        assert!(problems.iter().any(|problem| problem.contains(expected)), "{expected}: {problems:?}");
    }
}

fn with_options(item: &mut Item, spoil: fn(&mut Vec<bluecone::practice::Choice>)) {
    if let Answer::Choice { options, .. } = &mut item.variants[0].answer {
        spoil(options);
    }
}

#[test]
fn the_check_finds_ids_used_twice_and_orders_shown_solved() {
    let mut topics = topics(&small());
    let copy = topics[1].items[0].clone();
    topics[1].items.push(copy);
    assert!(check_all(&topics).iter().any(|problem| problem.contains("used twice")));
    let mut item = topics[0].items.iter().find(|item| item.id == "sequence/stages/order").expect("an order").clone();
    if let Answer::Order { shown, .. } = &mut item.variants[0].answer {
        shown.sort_unstable();
    }
    assert!(check(&item).iter().any(|problem| problem.contains("out of order")));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Whatever the edges, a reading that is asked lies well inside its band, also as it is written.
    #[test]
    fn readings_lie_well_inside_their_bands(edge in -1000.0..1000.0f64, widths in proptest::collection::vec(0.001..1000.0f64, 4)) {
        let mut handbook = small();
        let bands = &mut handbook.measurements[0].bands;
        let mut from = edge;
        for (band, width) in bands.iter_mut().zip(widths) {
            (band.from, band.to) = (from, from + width);
            from = band.to;
        }
        handbook.measurements[0].scale = (edge, from);
        let bands = handbook.measurements[0].bands.clone();
        let topics = topics(&handbook);
        prop_assert_eq!(check_all(&topics), Vec::<String>::new());
        for item in &topic(&topics, "bands").items {
            let Some(band) = bands.iter().find(|band| item.id.ends_with(&format!("/{}", band.id))) else { continue };
            for variant in &item.variants {
                let reading = super::data::reading(&variant.question);
                let margin = 0.15 * (band.to - band.from);
                prop_assert!(reading > band.from + margin && reading < band.to - margin, "{} in {} to {}", variant.question, band.from, band.to);
            }
        }
    }
}
