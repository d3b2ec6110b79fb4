//! What holds for every page of the site.

use std::collections::BTreeSet;

use super::{fixture, page, site};
use bluecone::handbook::{Entry, Kind};
use bluecone::pages::{Address, Extras, File, draw};
use bluecone::theme::Theme;

fn html(files: &[File]) -> impl Iterator<Item = (&str, &str)> {
    files.iter().filter(|file| file.path.ends_with(".html")).map(|file| (file.path.as_str(), page(files, &file.path)))
}

/// Values of an attribute in a page.
fn values<'a>(text: &'a str, attribute: &str) -> Vec<&'a str> {
    let start = format!(" {attribute}=\"");
    text.split(&start).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

fn resolve(here: &str, link: &str) -> String {
    let mut parts: Vec<&str> = here.split('/').collect();
    parts.pop();
    for part in link.split('/') {
        if part == ".." {
            assert!(parts.pop().is_some(), "{link} in {here} leads out of the site");
        } else {
            parts.push(part);
        }
    }
    parts.join("/")
}

#[test]
fn every_entry_has_its_page() {
    let handbook = fixture::handbook();
    let files = site(&handbook);
    for entry in handbook.entries() {
        let path = format!("{}/{}.html", entry.kind().folder(), entry.common().id);
        assert!(page(&files, &path).contains("<h1>"), "{path}");
    }
    for kind in Kind::ALL {
        page(&files, &format!("{}.html", kind.folder()));
    }
}

#[test]
fn every_link_leads_to_a_file_and_an_anchor() {
    let files = site(&fixture::handbook());
    let paths: BTreeSet<&str> = files.iter().map(|file| file.path.as_str()).collect();
    let mut inside = 0;
    for (here, text) in html(&files) {
        for link in values(text, "href").into_iter().chain(values(text, "action")).chain(values(text, "src")) {
            if link.starts_with("https:") {
                continue;
            }
            let (path, anchor) = link.split_once('#').unwrap_or((link, ""));
            let target = if path.is_empty() { here.to_owned() } else { resolve(here, path) };
            // The search's own script comes from another stage.
            assert!(paths.contains(target.as_str()), "{here}: {link} leads to no file");
            if !anchor.is_empty() {
                assert!(values(page(&files, &target), "id").contains(&anchor), "{here}: {link} leads to no anchor");
            }
            inside += 1;
        }
    }
    assert!(inside > 500, "only {inside} links were looked at");
}

#[test]
fn ids_are_unique_and_headings_go_down_one_step_at_a_time() {
    for (here, text) in html(&site(&fixture::handbook())) {
        let ids = values(text, "id");
        let unique: BTreeSet<_> = ids.iter().collect();
        assert_eq!(ids.len(), unique.len(), "{here}: an id stands twice in {ids:?}");
        let levels: Vec<usize> = text.split("<h").skip(1).filter_map(|rest| rest[..1].parse().ok()).collect();
        assert_eq!(levels.iter().filter(|level| **level == 1).count(), 1, "{here}: one h1");
        assert_eq!(levels[0], 1, "{here}: the h1 comes first");
        assert!(levels.windows(2).all(|pair| pair[1] <= pair[0] + 1), "{here}: {levels:?}");
    }
}

#[test]
fn nothing_needs_what_the_policy_forbids() {
    for (here, text) in html(&site(&fixture::handbook())) {
        assert!(text.contains("default-src 'none'; script-src 'self'; style-src 'self'"), "{here}");
        assert!(!text.contains(" style=\"") && !text.contains("<style") && !text.contains(" onclick"), "{here}: inline style or script");
        assert!(text.split("<script").skip(1).all(|rest| rest.starts_with(" defer src=\"")), "{here}: inline script");
    }
}

#[test]
fn every_page_shows_the_caution_and_says_that_the_shop_is_invented() {
    for (here, text) in html(&site(&fixture::handbook())) {
        assert!(text.contains("Gas, line voltage and flue gas can kill."), "{here}");
        assert!(text.contains("rating plate, the local code"), "{here}");
        assert!(text.contains("Quarry Lane Heating is invented."), "{here}");
        assert!(text.contains("First edition"), "{here}");
    }
}

#[test]
fn the_same_handbook_gives_the_same_bytes() {
    assert_eq!(site(&fixture::handbook()), site(&fixture::handbook()));
}

#[test]
fn titles_cannot_carry_html() {
    let mut handbook = fixture::handbook();
    let evil = "<script>alert(1)</script> & \"quotes\" 'single'";
    handbook.book.title = evil.into();
    handbook.checks[0].common.title = evil.into();
    handbook.checks[0].common.also = vec![evil.into()];
    handbook.checks[0].tools = vec![evil.into()];
    handbook.checks[0].steps = vec![fixture::prose(evil)];
    handbook.measurements[1].bands[0].label = evil.into();
    handbook.measurements[1].common.title = evil.into();
    handbook.guide[0].title = evil.into();
    for (here, text) in html(&site(&handbook)) {
        assert!(!text.contains("<script>") && !text.contains("alert(1)</script>"), "{here}");
        assert!(!text.contains("\"quotes\""), "{here}: a quote would end an attribute");
    }
}

#[test]
fn hazards_stand_before_steps_and_the_gravest_first() {
    let files = site(&fixture::handbook());
    let text = page(&files, "checks/igniter-resistance.html");
    let danger = text.find("hazard-danger").expect("the danger is shown");
    let caution = text.find("hazard-caution").expect("the caution is shown");
    let steps = text.find("id=\"steps\"").expect("the steps are shown");
    assert!(danger < caution && caution < steps);
    assert!(text.contains("put on your own lock and tag"), "the controls are shown in full");
}

#[test]
fn many_hazards_keep_every_hazard_in_sight() {
    let mut handbook = fixture::handbook();
    let model = handbook.safety[0].clone();
    for id in ["a", "b", "c", "d"] {
        let mut note = model.clone();
        note.common.id = format!("note-{id}");
        note.hazard = fixture::prose(&format!("Hazard {id}."));
        note.controls = vec![fixture::prose(&format!("Control {id}."))];
        handbook.safety.push(note);
        handbook.checks[1].safety.push(fixture::name(&format!("safety:note-{id}")));
    }
    handbook.safety.sort_by(|a, b| a.common.id.cmp(&b.common.id));
    let files = site(&handbook);
    let text = page(&files, "checks/prove-dead.html");
    let hazards = &text[text.find("id=\"hazards\"").expect("hazards")..text.find("id=\"steps\"").expect("steps")];
    let outside: String = hazards.split("<details>").map(|part| part.split_once("</details>").map_or(part, |(_, rest)| rest)).collect();
    for id in ["a", "b", "c", "d"] {
        assert!(outside.contains(&format!("Hazard {id}.")), "the hazard {id} is folded away");
        assert!(hazards.contains(&format!("Control {id}.")));
    }
    assert_eq!(hazards.matches("<details>").count(), 2, "five boxes, three of them open");
}

#[test]
fn a_symptom_shows_chances_and_states() {
    let files = site(&fixture::handbook());
    let text = page(&files, "symptoms/igniter-stays-dark.html");
    assert!(text.contains("79\u{a0}%") && text.contains("21\u{a0}%"), "52 and 14 of 66");
    assert!(text.find("Igniter element open") < text.find("Igniter lead damaged"), "the likeliest stands first");
    assert!(text.contains("stage 3 of 5"));
}

#[test]
fn a_symptom_shows_each_check_after_what_must_come_first() {
    let mut handbook = fixture::handbook();
    let symptom = handbook.symptoms.iter_mut().find(|symptom| symptom.common.id == "igniter-stays-dark").unwrap();
    symptom.checks = vec![fixture::name("check:igniter-resistance")];
    let files = site(&handbook);
    let text = page(&files, "symptoms/igniter-stays-dark.html");
    let list = &text[text.find("Checks, in order").unwrap()..text.find("id=\"suspects\"").unwrap()];
    let place = |href: &str| list.find(href).unwrap_or_else(|| panic!("no {href}"));
    assert!(place("prove-dead.html") < place("igniter-resistance.html"), "the proof of dead is listed though the symptom leaves it out");
    assert!(list.contains("<b class=\"figure\">9</b> minutes"), "5 and 4");
}

#[test]
fn a_link_to_a_heading_leads_to_it_on_a_page_of_several_texts() {
    let mut handbook = fixture::handbook();
    let term = handbook.terms.first_mut().unwrap();
    term.common.body = Some(fixture::prose("See [its age](#its-age).\n\n## Its age\n"));
    let address = format!("terms/{}.html", term.common.id);
    let files = site(&handbook);
    let text = page(&files, &address);
    assert!(text.contains("<a href=\"#body-its-age\">") && text.contains("id=\"body-its-age\""), "{text}");
}

#[test]
fn outcomes_show_band_means_and_next() {
    let files = site(&fixture::handbook());
    let text = page(&files, "checks/igniter-resistance.html");
    assert!(text.contains("200\u{a0}Ω and above"));
    for words in ["Only these stay possible", "Ruled out", "80\u{a0}%", "The reading jumps when the lead is moved."] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn a_gauge_has_its_words_and_does_not_lean_on_colour() {
    let files = site(&fixture::handbook());
    let text = page(&files, "measurements/flame-current.html");
    assert!(text.contains("<desc id=\"gauge-text-flame-current\">Scale from 0 to 15 µA. 1. 0 to 0.15 µA: No usable signal (stop)."));
    for pattern in ["url(#watch-flame-current)", "url(#act-flame-current)", "url(#stop-flame-current)"] {
        assert!(text.contains(pattern), "{pattern}");
    }
}

#[test]
fn users_of_an_entry_are_named_on_its_page() {
    let mut extras = Extras::default();
    extras.uses.push((fixture::name("calculator:ohms-law"), fixture::name("table:conductor-ampacity")));
    let files = draw(&fixture::handbook(), &Theme::built_in(), &extras).expect("the theme draws");
    assert!(page(&files, "faults/igniter-open.html").split("Used by").nth(1).is_some_and(|rest| rest.contains("Igniter stays dark")));
    assert!(page(&files, "tables/conductor-ampacity.html").split("Used by").nth(1).is_some_and(|rest| rest.contains("Ohm&#")));
}

#[test]
fn scripts_of_other_stages_are_loaded_by_every_page() {
    let extras = Extras { scripts: vec![Address::script("search.js")], ..Extras::default() };
    let files = draw(&fixture::handbook(), &Theme::built_in(), &extras).expect("the theme draws");
    assert!(html(&files).all(|(_, text)| text.contains("scripts/search.js")));
    assert!(page(&files, "calculators/ohms-law.html").contains("src=\"../scripts/sums.js\""));
    assert!(!page(&files, "terms/flame-rod.html").contains("sums.js"));
    assert!(page(&files, "terms/flame-rod.html").contains("data-root=\"../\""));
}

#[test]
fn addresses_are_relative() {
    let entry = |entry: Entry| Address::entry(&entry.name());
    let handbook = fixture::handbook();
    let check = entry(Entry::Check(&handbook.checks[0]));
    let task = entry(Entry::Task(&handbook.tasks[0]));
    assert_eq!(task.from(&check), "../tasks/replace-control.html");
    assert_eq!(check.from(&check), "igniter-resistance.html");
    assert_eq!(check.from(&Address::home()), "checks/igniter-resistance.html");
    assert_eq!(Address::home().from(&check), "../index.html");
    assert_eq!(Address::at("a/b/c.html").from(&Address::at("a/d/e.html")), "../b/c.html");
    assert_eq!((check.root().as_str(), Address::home().root().as_str()), ("../", ""));
}

/// Middles and texts of a gauge's marks of a class, in order.
fn marks<'a>(text: &'a str, class: &str) -> Vec<(f64, &'a str)> {
    let start = format!("<text class=\"{class}\" x=\"");
    let one = |rest: &'a str| {
        let (x, rest) = rest.split_once('"').expect("a place");
        let words = rest.split_once('>').and_then(|(_, rest)| rest.split_once('<')).expect("a text").0;
        (x.parse().expect("a number"), words)
    };
    text.split(&start).skip(1).map(one).collect()
}

#[test]
fn figures_of_a_gauge_keep_apart_and_inside_even_when_bands_are_narrow() {
    let mut handbook = fixture::handbook();
    let cases: [&[f64]; 5] = [
        &[0.0, 0.15, 1.5, 1.8, 10.0, 15.0],
        &[0.0, 0.01, 0.02, 0.03, 100.0],
        &[0.0, 99.9, 99.95, 100.0],
        &[-5.0, -4.99, 0.0, 0.005, 5.0],
        &[0.0, 25_000.0, 100_000.0],
    ];
    for edges in cases {
        let measurement = &mut handbook.measurements[0];
        let model = measurement.bands[0].clone();
        measurement.scale = (edges[0], edges[edges.len() - 1]);
        let band = |pair: &[f64]| bluecone::handbook::Band { id: format!("b{}", pair[0]), from: pair[0], to: pair[1], ..model.clone() };
        measurement.bands = edges.windows(2).map(band).collect();
        let files = site(&handbook);
        let text = page(&files, "measurements/flame-current.html");
        for (class, digit) in [("g-figure", 8.5), ("g-number", 22.0)] {
            let marks = marks(text, class);
            let half = |words: &str| {
                if class == "g-number" { digit / 2.0 } else { words.chars().filter(char::is_ascii_digit).count() as f64 * digit / 2.0 }
            };
            assert_eq!(marks.len(), if class == "g-figure" { edges.len() } else { edges.len() - 1 }, "{marks:?}");
            for pair in marks.windows(2) {
                let gap = pair[1].0 - pair[0].0;
                assert!(gap >= half(pair[0].1) + half(pair[1].1), "{class} {edges:?}: {pair:?} overlap");
            }
            for (x, words) in &marks {
                assert!(x - half(words) >= 0.0 && x + half(words) <= 340.0, "{class} {edges:?}: {words} at {x}");
            }
        }
    }
    let files = site(&handbook);
    let shown: Vec<_> = marks(page(&files, "measurements/flame-current.html"), "g-figure").into_iter().map(|mark| mark.1).collect();
    assert_eq!(shown, ["0", "25,000", "100,000"]);
}

#[test]
fn two_entries_and_a_guide_page_named_index_do_not_lose_a_list() {
    let mut handbook = fixture::handbook();
    handbook.terms[0].common.id = "index".into();
    handbook.guide[0].id = "index".into();
    let files = site(&handbook);
    let paths: BTreeSet<_> = files.iter().map(|file| &file.path).collect();
    assert_eq!(paths.len(), files.len(), "an address is taken twice");
    assert!(page(&files, "terms.html").contains("terms/index.html"));
}

/// An example is told in titles, what is given before what is expected.
#[test]
fn a_worked_example_says_what_is_given_and_what_is_expected() {
    let files = site(&fixture::handbook());
    let text = page(&files, "calculators/ohms-law.html");
    let example = text.split("<details class=\"example\">").nth(1).and_then(|rest| rest.split("</details>").next()).expect("an example");
    let places: Vec<_> =
        [">Given<", "<dt>Pin voltage</dt><dd>0.5 V</dd>", ">Expected<", "<dt>Flame current</dt><dd>0.5 µA</dd>", "Within 0.1 %."]
            .map(|piece| example.find(piece).unwrap_or_else(|| panic!("no {piece} in {example}")))
            .to_vec();
    assert!(places.is_sorted(), "{example}");
}
