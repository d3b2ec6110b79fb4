//! The demo's items against its entries, looked up again by another way than the items were made.

use bluecone::formula::{GROUP, Given, InputKind};
use bluecone::handbook::{Cell, Entry, Kind, SafetyRule};
use bluecone::practice::{Answer, Item, Variant};

use super::{demo, topic};

/// The number in "…a reading of 3.4 V…".
pub(super) fn reading(question: &str) -> f64 {
    let (_, rest) = question.rsplit_once(" reading of ").expect("a reading");
    let number = rest.split(['\u{a0}', ' ', '?']).next().expect("a number");
    number.replace('\u{2212}', "-").replace(GROUP, "").parse().unwrap_or_else(|_| panic!("a number in {question}"))
}

fn options(variant: &Variant) -> (&str, Vec<&str>) {
    let Answer::Choice { options, right } = &variant.answer else { panic!("a choice in {}", variant.question) };
    let wrong = options.iter().enumerate().filter(|(at, _)| at != right).map(|(_, option)| option.text.as_str()).collect();
    (&options[*right].text, wrong)
}

fn each(id: &str, mut test: impl FnMut(&Item, &Variant)) {
    for item in &topic(&demo().1, id).items {
        item.variants.iter().for_each(|variant| test(item, variant));
    }
}

#[test]
fn a_reading_lies_in_the_right_band_and_in_no_wrong_one() {
    let handbook = &demo().0;
    each("bands", |item, variant| {
        let Some(Entry::Measurement(measurement)) = handbook.entry(&item.entry) else { panic!("{}", item.id) };
        let (right, wrong) = options(variant);
        if item.id.ends_with("/which-reading") {
            let label = variant.question.split(['\u{201c}', '\u{201d}']).nth(1).expect("a label");
            let called = |text: &str| measurement.band(reading(&format!("a reading of {text}"))).map(|band| band.label.as_str());
            assert_eq!(called(right), Some(label), "{}", variant.question);
            assert!(wrong.iter().all(|text| called(text) != Some(label)), "{}", variant.question);
        } else {
            let band = measurement.band(reading(&variant.question)).expect("a band");
            if item.id.ends_with("/how-grave") {
                assert!(right.starts_with(band.severity.words()), "{}", variant.question);
            } else {
                assert_eq!(band.label, right, "{}", variant.question);
                assert!(wrong.iter().all(|label| *label != band.label));
            }
        }
    });
}

#[test]
fn a_sum_comes_out_from_what_its_question_tells() {
    let handbook = &demo().0;
    let mut worked = 0;
    each("sums", |item, variant| {
        let Some(Entry::Calculator(calculator)) = handbook.entry(&item.entry) else { panic!("{}", item.id) };
        let (told, _) = variant.question.split_once(" Work out: ").expect("what to work out");
        let told =
            told.strip_prefix(&format!("{}. ", calculator.common.title)).and_then(|told| told.strip_suffix('.')).expect("what is given");
        let mut given = Given::new();
        for part in told.split("; ") {
            let input = calculator
                .program
                .inputs
                .iter()
                .find(|input| part.starts_with(&format!("{}: ", input.title)))
                .unwrap_or_else(|| panic!("no input for {part}"));
            let value = &part[input.title.len() + 2..];
            match &input.kind {
                InputKind::Number { .. } => given.set(&input.id, value),
                InputKind::Text { choices, .. } => {
                    given.set(&input.id, &choices.iter().find(|choice| choice.title == value).expect("a choice").id)
                }
            }
        }
        // The question tells everything but the unknown, or nothing that hangs on it.
        if let Some(solve) = &calculator.program.solve {
            let id = |place: &usize| &calculator.program.inputs[*place].id;
            let unknown = solve.unknowns.iter().find(|place| given.get(id(place)).is_none()).expect("an unknown");
            given.set(id(&solve.choice), id(unknown));
        }
        let step = item.id.split('/').nth(2).expect("a step");
        let result = calculator.program.work(&given);
        let step = result.step(step).expect("the step");
        match &variant.answer {
            Answer::Choice { .. } => assert_eq!(options(variant).0, step.shown, "{}", variant.question),
            Answer::Number { value, worked, .. } => {
                assert_eq!(Some(*value), step.number, "{}", variant.question);
                assert!(step.shown.starts_with(worked.as_str()), "{worked} {}", step.shown);
            }
            Answer::Order { .. } => panic!("an order in {}", item.id),
        }
        worked += 1;
    });
    assert!(worked >= 100, "{worked}");
}

/// Whichever quantity is the unknown, it is asked for, out of the others and with the working after the answer.
#[test]
fn each_unknown_is_asked_for_out_of_the_others() {
    let handbook = &demo().0;
    let mut asked = 0;
    for calculator in &handbook.calculators {
        let Some(solve) = &calculator.program.solve else { continue };
        for place in &solve.unknowns {
            let unknown = &calculator.program.inputs[*place];
            let id = format!("sums/{}/{}/", calculator.common.id, unknown.id);
            let ways: Vec<&Item> = topic(&demo().1, "sums").items.iter().filter(|item| item.id.starts_with(&id)).collect();
            assert_eq!(ways.len(), 2, "{id}");
            for variant in ways.iter().flat_map(|item| &item.variants) {
                let (told, wanted) = variant.question.split_once(" Work out: ").expect("what to work out");
                assert!(!told.contains(&format!("{}: ", unknown.title)), "{}", variant.question);
                assert!(!told.contains(&calculator.program.inputs[solve.choice].title), "{}", variant.question);
                assert!(wanted.to_lowercase().starts_with(&unknown.title.to_lowercase()), "{}", variant.question);
                assert!(variant.explanation.starts_with(&format!("{} = ", unknown.title)), "{}", variant.explanation);
                asked += 1;
            }
        }
    }
    assert!(asked >= 72, "{asked}");
}

#[test]
fn every_sum_has_twelve_variants_with_numbers_of_their_own() {
    for item in &topic(&demo().1, "sums").items {
        assert_eq!(item.variants.len(), 12, "{}", item.id);
    }
}

#[test]
fn a_table_item_gives_the_figure_of_its_row() {
    let handbook = &demo().0;
    let mut looked = 0;
    each("wiring", |item, variant| {
        let Some(Entry::Table(table)) = handbook.entry(&item.entry) else { panic!("{}", item.id) };
        let parts: Vec<&str> = item.id.split('/').collect();
        let column = table.columns.iter().position(|column| column.id == parts[2]).expect("the column");
        let row_of = |key: &str| {
            table.rows.iter().find(|row| {
                table.key.len() == 1 && matches!(&row[table.key[0]], Cell::Number { written, .. } if key == format!("{written} AWG"))
            })
        };
        if let Some(load) = variant.question.split(" is at least ").nth(1) {
            let load = reading(&format!("a reading of {load}"));
            let figure = |key: &str| match row_of(key).map(|row| &row[column]) {
                Some(Cell::Number { value, .. }) => *value,
                other => panic!("{other:?}"),
            };
            let (right, wrong) = options(variant);
            assert!(figure(right) >= load, "{}", variant.question);
            assert!(wrong.iter().all(|key| figure(key) < load || figure(key) > figure(right)), "{}", variant.question);
            looked += 1;
        } else if let Some(row) =
            variant.question.split(" in the row ").nth(1).and_then(|rest| row_of(rest.split('?').next().unwrap_or_default()))
        {
            let shown = match &row[column] {
                Cell::Number { written, .. } => written.clone(),
                Cell::Text(text) => text.clone(),
                Cell::Empty => panic!("an empty cell in {}", variant.question),
            };
            match &variant.answer {
                Answer::Number { worked, .. } => assert_eq!(*worked, shown),
                _ => assert!(options(variant).0.starts_with(&shown), "{}", variant.question),
            }
            looked += 1;
        }
    });
    assert!(looked >= 60, "{looked}");
}

#[test]
fn no_wrong_term_shares_a_name_or_the_definition() {
    let handbook = &demo().0;
    each("terms", |item, variant| {
        let Some(Entry::Term(term)) = handbook.entry(&item.entry) else { panic!("{}", item.id) };
        let names = |common: &bluecone::handbook::Common| {
            common.also.iter().chain([&common.title]).map(|name| name.to_lowercase()).collect::<Vec<_>>()
        };
        let (right, wrong) = options(variant);
        assert!(right == term.common.title || right.trim_end_matches('.') == term.common.summary.trim_end_matches('.'));
        if !item.id.ends_with("/other-name") {
            assert!(!term.common.summary.to_lowercase().contains(&term.common.title.to_lowercase()), "{}", item.id);
        }
        for text in wrong {
            let other = handbook
                .terms
                .iter()
                .find(|other| other.common.title == text || format!("{}.", other.common.summary.trim_end_matches('.')) == *text)
                .expect("a term");
            assert!(
                names(&other.common).iter().all(|name| !names(&term.common).contains(name)),
                "{} and {}",
                term.common.id,
                other.common.id
            );
            assert_ne!(other.common.summary, term.common.summary);
        }
    });
}

#[test]
fn good_advice_is_never_a_wrong_option() {
    let handbook = &demo().0;
    let general = |rule: &&SafetyRule| rule.touches.is_none() && rule.states.is_empty();
    let always: Vec<&str> = handbook
        .book
        .safety_rules
        .iter()
        .filter(general)
        .flat_map(|rule| &rule.needs_safety)
        .filter_map(|name| handbook.title(name))
        .collect();
    assert!(!always.is_empty());
    each("safety", |item, variant| {
        let (_, wrong) = options(variant);
        let safety = match handbook.entry(&item.entry) {
            Some(Entry::Check(check)) => &check.safety,
            Some(Entry::Task(task)) => &task.safety,
            _ => return,
        };
        let own: Vec<&str> = safety.iter().filter_map(|name| handbook.title(name)).collect();
        for text in wrong {
            assert!(!always.contains(&text) && (!own.contains(&text) || !item.id.starts_with("safety/note")), "{}: {text}", item.id);
        }
    });
}

#[test]
fn an_outcome_item_follows_what_the_outcome_keeps_and_drops() {
    let handbook = &demo().0;
    let mut looked = 0;
    each("first-check", |item, variant| {
        let parts: Vec<&str> = item.id.split('/').collect();
        let (right, wrong) = options(variant);
        let fault = |title: &str| {
            handbook
                .faults
                .iter()
                .find(|fault| fault.common.title == title)
                .map(|fault| bluecone::handbook::Name::new(Kind::Fault, &fault.common.id))
        };
        if parts[1] == "outcome" {
            let Some(Entry::Check(check)) = handbook.entry(&item.entry) else { panic!("{}", item.id) };
            let outcome = check.outcomes.iter().find(|outcome| outcome.id == parts[3]).expect("the outcome");
            let right = fault(right).expect("a fault");
            let wrong: Vec<_> = wrong.into_iter().map(|title| fault(title).expect("a fault")).collect();
            if outcome.keeps.is_empty() {
                assert!(outcome.drops.contains(&right));
                assert!(
                    wrong.iter().all(|name| outcome.likely.iter().any(|(fault, _)| fault == name) && !outcome.drops.contains(name)),
                    "{}",
                    item.id
                );
            } else {
                assert!(outcome.keeps.contains(&right) && wrong.iter().all(|name| !outcome.keeps.contains(name)), "{}", item.id);
            }
            looked += 1;
        }
    });
    assert!(looked >= 60, "{looked}");
}

#[test]
fn a_unit_stands_among_units_and_other_words_among_others() {
    let units = ["inches-of-water", "megohm", "microamp", "volt-amp"];
    let handbook = &demo().0;
    each("terms", |item, variant| {
        let (_, wrong) = options(variant);
        for text in wrong {
            let mut terms = handbook.terms.iter();
            let other =
                terms.find(|other| other.common.title == text || other.common.summary.trim_end_matches('.') == text.trim_end_matches('.'));
            let other = other.expect("a term").common.id.as_str();
            assert_eq!(units.contains(&other), units.contains(&item.entry.id.as_str()), "{}: {other}", item.id);
        }
    });
}

#[test]
fn an_abbreviation_of_the_word_is_not_asked() {
    each("terms", |_, variant| {
        for short in ["VA", "V.A.", "in wc", "in w.c.", "WC", "HSI"] {
            assert!(!variant.question.contains(&format!("\u{201c}{short}\u{201d}")), "{}", variant.question);
        }
    });
}

/// A flame current that a straight line gives is a reading: none is asked below what the bands call a reading that may stay.
#[test]
fn an_extrapolated_reading_stays_where_readings_lie() {
    let handbook = &demo().0;
    let Some(bluecone::handbook::Entry::Measurement(measurement)) =
        handbook.entry(&bluecone::handbook::Name::new(Kind::Measurement, "flame-current-reading"))
    else {
        panic!("the measurement")
    };
    let (mut asked, mut all) = (0, 0);
    each("sums", |item, variant| {
        all += 1;
        if let Answer::Choice { options, .. } = &variant.answer {
            assert_eq!(options.len(), 4, "{}", variant.question);
        }
        assert!(!variant.explanation.contains("− −"), "{}", variant.explanation);
        if let ("sums/flame-current-trend/at_next_visit/typed", Answer::Number { value, .. }) = (item.id.as_str(), &variant.answer) {
            let band = measurement.band(*value).expect("a band");
            assert!(band.severity <= bluecone::handbook::Severity::Watch, "{value}: {}", variant.question);
            asked += 1;
        }
    });
    assert!(asked == 12 && all > 2_000, "{asked} {all}");
}

/// On the way to a state the ones before it are passed through; the question asks for the furthest.
#[test]
fn a_state_is_asked_for_as_the_furthest() {
    let mut asked = 0;
    each("safety", |item, variant| {
        if item.id.starts_with("safety/state/") {
            assert!(variant.question.contains("how far is the appliance started, at the most"), "{}", variant.question);
            let (right, _) = options(variant);
            assert_eq!(variant.explanation.contains("only passed through"), right.starts_with("Gas on") || right == "Firing");
            asked += 1;
        }
    });
    assert!(asked > 10, "{asked}");
}

#[test]
fn the_highest_band_is_said_to_have_no_upper_end() {
    let mut open = 0;
    each("bands", |_, variant| {
        assert!(!variant.explanation.contains("up, over"), "{}", variant.explanation);
        open += usize::from(variant.explanation.contains(" and everything above it. "));
    });
    assert!(open > 20, "{open}");
}
