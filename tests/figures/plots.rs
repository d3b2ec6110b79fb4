//! The demo's plots: what the press draws and what the page draws again are the same, sign for sign.

use bluecone::formula::Given;
use bluecone::pages::plot_drawing;
use serde_json::json;

use crate::formula::agreement::{page_scripts, random_inputs, run};

/// So many sets of inputs for each plot; a plot works some sixty sums.
const CASES: usize = 40;

#[test]
fn plots_of_the_demo_are_drawn_alike() {
    let demo = super::agreement::demo();
    let plotted: Vec<_> = demo.calculators.iter().filter(|calculator| calculator.program.plot.is_some()).collect();
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
