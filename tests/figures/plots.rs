//! The demo's plots: what the press draws and what the page draws again are the same, sign for sign.

use bluecone::formula::Given;
use bluecone::handbook::Handbook;
use bluecone::pages::plot_drawing;
use serde_json::json;

use crate::formula::agreement::{page_scripts, random_inputs, run};
use crate::proof::folder::{proved, shown, texts};

/// A verdict whose edges pass each other where the target is small.
const CROSSING: &str = "
title: Crossing edges
summary: Moving edges of a verdict that pass each other.
inputs:
  - {id: x, title: Reading, from: -20, to: 20, start: -1}
  - {id: target, title: Target, from: 0, to: 40, start: 10}
steps:
  - {id: y, title: Superheat, formula: x * 1}
verdicts:
  - on: y
    title: Superheat
    bands:
      - {to: 0, severity: stop, says: Liquid comes back.}
      - {from: 0, to: target - 5, severity: act, says: Low.}
      - {from: target - 5, to: target + 5, severity: good, says: Usual.}
      - {from: target + 5, severity: act, says: High.}
plot: {title: Superheat, of: y, over: x}
examples:
  - {title: Six, given: {x: 6}, expect: {y: 6}, within: 0, source: {from: source:common-practice}}
  - {title: One, given: {x: 1}, expect: {y: 1}, within: 0, source: {from: source:common-practice}}
  - {title: Two, given: {x: 2}, expect: {y: 2}, within: 0, source: {from: source:common-practice}}
sources: [{from: source:common-practice}]
";

fn crossing() -> Handbook {
    let mut book = texts("tests/proof/base");
    book.insert("calculators/crossing-edges.yaml".into(), CROSSING.into());
    let (handbook, problems, sources) = proved(&book);
    handbook.unwrap_or_else(|| panic!("{}", shown(&problems, &sources)))
}

#[test]
fn a_plot_shades_as_the_verdict_decides() {
    let handbook = crossing();
    let program = &handbook.calculators.iter().find(|calculator| calculator.common.id == "crossing-edges").unwrap().program;
    let mut met = std::collections::BTreeSet::new();
    for target in ["0", "1.5", "2", "4", "10", "40"] {
        let given = Given::new().with("target", target);
        let curve = program.curve(&given).unwrap().unwrap();
        for (at, x) in curve.x.iter().enumerate() {
            let verdict = program.work(&given.clone().with("x", x.to_string())).verdicts[0].band.clone().unwrap();
            assert_eq!(program.band_at(&curve, at), Some(verdict), "target {target}, reading {x}");
            // The band's shade reaches from the edge below to the edge above.
            let edge = |place: Option<usize>, end| place.map_or(end, |place| curve.edges[place][at].unwrap());
            let (below, above) = (edge(verdict.checked_sub(1), f64::NEG_INFINITY), edge((verdict < 3).then_some(verdict), f64::INFINITY));
            let y = curve.y[at].unwrap();
            assert!(below <= y + 1e-9 && y <= above + 1e-9, "target {target}, reading {x}: {y} is not from {below} to {above}");
            met.insert(verdict);
        }
    }
    assert_eq!(met.len(), 4, "every band is met");
}

/// So many sets of inputs for each plot; a plot works some sixty sums.
const CASES: usize = 40;

#[test]
fn plots_of_the_demo_are_drawn_alike() {
    let (demo, crossing) = (super::agreement::demo(), crossing());
    let plotted: Vec<_> =
        demo.calculators.iter().chain(&crossing.calculators).filter(|calculator| calculator.program.plot.is_some()).collect();
    assert!(plotted.len() >= 8, "{} plots", plotted.len());
    let (mut drawn, mut marked) = (0, 0);
    for calculator in plotted {
        let program = &calculator.program;
        let (plot, labels) = (program.plot.as_ref().unwrap(), program.plot_labels().unwrap());
        let bands = plot.verdict.map_or(&[][..], |verdict| &calculator.verdicts[verdict][..]);
        let bands: Vec<&str> = bands.iter().map(|band| band.severity.name()).collect();
        let mut given = random_inputs(program, CASES);
        given.push(Vec::new());
        let spec = json!({ "of": labels.of[0], "over": labels.over[0], "from": plot.from, "to": plot.to, "verdict": labels.verdict });
        let named = json!({ "title": labels.title, "of": labels.of, "over": labels.over });
        let mut scripts = page_scripts(program, &given);
        scripts.push(include_str!("../../src/browser/plot.js").to_owned());
        scripts.push(format!(
            "given.map((one) => {{ const curve = bluecone.plot.curve('sum', labels, one, {spec}); \
             return typeof curve === 'string' ? curve : bluecone.plot.svg({named}, {}, curve) + curve.now; }}).join('\\n')",
            json!(bands)
        ));
        let there = run(&scripts);
        let there: Vec<&str> = there.split('\n').collect();
        assert_eq!(there.len(), given.len());
        for (given, there) in given.iter().zip(there) {
            let asked = given.iter().fold(Given::new(), |all, (name, text)| all.with(name, text));
            let here = match program.curve(&asked).unwrap() {
                Err(why) => why.says,
                Ok(curve) => {
                    let picture = plot_drawing(&labels, &bands, &curve);
                    drawn += usize::from(!picture.is_empty());
                    marked += usize::from(curve.here.is_some());
                    let now = curve.now.map(|(x, y)| format!("The mark: {x} gives {y}.").replace("..", "."));
                    picture + &now.unwrap_or_else(|why| why.says)
                }
            };
            assert_eq!(here, there, "{}: {given:?}", calculator.common.id);
        }
        // With the starting values the page shows a curve with its mark.
        let curve = program.curve(&Given::new()).unwrap().unwrap();
        assert!(curve.here.is_some() && curve.y.iter().flatten().count() > 20, "{}: {curve:?}", calculator.common.id);
    }
    assert!(drawn > 200 && marked > 100, "{drawn} drawn, {marked} with a mark");
}
