//! The drawings of a sum: what the press draws and what the page draws again are the same, sign for sign.

use bluecone::formula::{SUMS, Segment};
use bluecone::pages::{Measures, lane_chart, terminal_drawing};
use proptest::prelude::*;
use rquickjs::{Context, Runtime};

/// Asks the page's script for a drawing.
fn ask(expression: &str) -> String {
    thread_local! {
        static PAGE: Context = {
            let context = Context::full(&Runtime::new().unwrap()).unwrap();
            context.with(|page| {
                page.eval::<(), _>(SUMS.text).unwrap();
                page.eval::<(), _>(include_str!("../../src/browser/lanes.js")).unwrap();
                page.eval::<(), _>(include_str!("../../src/browser/terminal.js")).unwrap();
            });
            context
        };
    }
    PAGE.with(|context| context.with(|page| page.eval::<String, _>(expression).unwrap()))
}

fn segments() -> impl Strategy<Value = Vec<Segment>> {
    let lasts = prop_oneof![Just(0.0), 0.01..40.0, (1u32..4000).prop_map(f64::from), 100.0..1e6];
    prop::collection::vec((lasts, prop::collection::btree_set(0usize..4, 0..4)), 0..20).prop_map(|phases| {
        let mut now = 0.0;
        let lay = |(lasts, on): (f64, std::collections::BTreeSet<usize>)| {
            let start = now;
            now += lasts;
            Segment { title: "Phase".into(), start, end: now, on: on.into_iter().collect() }
        };
        phases.into_iter().map(lay).collect()
    })
}

/// Mostly what such a part has, else whatever an author's formula may give.
fn length(usual: std::ops::Range<f64>) -> impl Strategy<Value = Option<f64>> {
    let odd = prop_oneof![Just(0.0), Just(-0.0), Just(-0.004), Just(10.0), Just(1e-12), Just(1e9), 0.0..12.0, -1.0..0.1];
    prop::option::weighted(0.8, prop_oneof![4 => usual, 1 => odd])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1_000))]

    #[test]
    fn lane_charts_are_drawn_alike(segments in segments()) {
        let lanes: Vec<String> = ["Blower", "Igniter", "Gas <valve> & \"cock\"", "Flame's"].map(String::from).to_vec();
        let here = lane_chart("A call that fails", &lanes, &segments);
        let data: Vec<_> = segments
            .iter()
            .map(|segment| serde_json::json!({ "title": segment.title, "start": segment.start, "end": segment.end, "on": segment.on }))
            .collect();
        let there = ask(&format!(
            "bluecone.lanes.chart('A call that fails', {}, {})",
            serde_json::json!(lanes),
            serde_json::json!(data)
        ));
        prop_assert_eq!(here, there);
    }

    #[test]
    fn terminals_are_drawn_alike(
        tab_width in length(0.001..0.013),
        tab_thickness in length(0.0001..0.002),
        conductor in length(0.0002..0.012),
        strip in length(0.002..0.02),
        sleeve in prop::option::of(prop_oneof![
            Just("red"), Just("blue"), Just("yellow"), Just("<none>"), Just("high temperature, no colour"), Just("14 signs é 𝄞 '\"")
        ]),
    ) {
        let here = terminal_drawing(&Measures { tab_width, tab_thickness, conductor, strip, sleeve: sleeve.map(String::from) });
        let mut measures = serde_json::Map::new();
        let lengths = [("tabWidth", tab_width), ("tabThickness", tab_thickness), ("conductor", conductor), ("strip", strip)];
        for (name, length) in lengths {
            measures.extend(length.map(|length| (name.to_owned(), serde_json::json!(length))));
        }
        measures.extend(sleeve.map(|sleeve| ("sleeve".to_owned(), serde_json::json!(sleeve))));
        let there = ask(&format!("bluecone.terminal({})", serde_json::Value::Object(measures)));
        prop_assert_eq!(here, there);
    }
}

#[test]
fn a_lane_is_drawn_where_it_is_on() {
    let segment = |start, end, on: &[usize]| Segment { title: "Phase".into(), start, end, on: on.to_vec() };
    let lanes = ["Blower".to_owned(), "Gas".to_owned()];
    let chart = lane_chart("Call", &lanes, &[segment(0.0, 30.0, &[0]), segment(30.0, 40.0, &[0, 1])]);
    // Two stretches of the blower touch and are one; the gas takes the last quarter of 320 units.
    assert_eq!(chart.matches("l-on-0").count(), 1);
    assert!(chart.contains("<rect class=\"l-on l-on-1\" x=\"250\" y=\"64\" width=\"80\" height=\"20\"/>"), "{chart}");
    assert!(lane_chart("Call", &lanes, &[]).is_empty());
}

#[test]
fn a_length_that_no_part_has_is_left_out() {
    let measures = |metres| Measures { tab_width: Some(0.00635), conductor: Some(0.001), strip: Some(metres), ..Measures::default() };
    let usual = terminal_drawing(&measures(0.006));
    assert!(usual.contains(">strip<") && usual.contains(">6 mm<") && usual.contains(">5 mm, all parts"), "{usual}");
    // 13 mm do not fit at the usual scale; the copper is drawn half as large with it.
    let long = terminal_drawing(&measures(0.013));
    assert!(long.contains(">10 mm, all parts") && usual.contains("r=\"6\"") && long.contains("r=\"3\""), "{long}");
    for metres in [-0.006, 10.1, f64::INFINITY, f64::NAN] {
        let left_out = terminal_drawing(&measures(metres));
        assert!(!left_out.contains("strip") && left_out.contains(">tab<"), "{left_out}");
    }
    assert!(terminal_drawing(&Measures::default()).contains("nothing to draw"));
}
