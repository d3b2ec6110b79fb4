//! Whole calculators against results worked by hand, and what the reader sees of the working.

use bluecone::diagnostic::{Code, Problems};
use bluecone::formula::*;
use bluecone::source::{Inset, SourceId};

use super::agreement::{lack, program, why, worked_by_script};
use super::reader;

fn given(pairs: &[(&str, &str)]) -> Given {
    pairs.iter().fold(Given::new(), |given, (name, text)| given.with(*name, *text))
}

fn build(text: &str) -> Program {
    let (draft, _) = reader::draft("built.yaml", text);
    let mut problems = Problems::default();
    Program::build(&draft, &reader::tables(), &mut problems).unwrap_or_else(|| panic!("{problems:#?}"))
}

#[test]
fn rows_are_picked_as_by_hand() {
    let program = program("conductor");
    let shown = |room: &str, load: &str, step: &str| {
        let worked = program.work(&given(&[("room", room), ("load", load)]));
        let step = worked.step(step).unwrap();
        step.value.as_ref().map(|_| step.shown.clone()).unwrap_or_else(|why| why.says.clone())
    };
    let cases = [
        // In proportion: 25 °C lies midway between 1.1 and 1.0; a row itself is exact; outside there is nothing.
        ("25 °C", "1", "factor", "1.050"),
        ("40 °C", "1", "factor", "0.800"),
        ("104 °F", "1", "factor", "0.800"),
        ("5 °C", "1", "factor", "“Ambient correction” gives no figure here."),
        ("61 °C", "1", "factor", "“Ambient correction” gives no figure here."),
        ("45 °C", "1", "factor", "“Ambient correction” gives no figure here."),
        // Next row up: 31 °C is taken as 40 °C; the table's top is the end.
        ("31 °C", "1", "factor_next", "0.8"),
        ("86 °F", "1", "factor_next", "1"),
        ("5 °C", "1", "factor_next", "1.2"),
        ("61 °C", "1", "factor_next", "Hotter than the table goes."),
        // First row that carries the load: 18 AWG has no figure and is passed over; equal is enough.
        ("30 °C", "15", "conductor", "14 AWG"),
        ("30 °C", "15.01", "conductor", "12 AWG"),
        ("40 °C", "16", "conductor", "12 AWG"),
        ("30 °C", "56", "conductor", "No conductor of the table carries this."),
        ("30 °C", "56", "area", "It needs “Smallest conductor”, which has no value."),
        ("61 °C", "1", "conductor", "It needs “Correction, next row up”, which has no value."),
    ];
    for (room, load, step, expected) in cases {
        assert_eq!(shown(room, load, step), expected, "{step} at {room}, {load} A");
    }
    let site = |gauge: &str| program.work(&given(&[("gauge", gauge)])).step("on_site").unwrap().value.clone();
    assert_eq!(site("14 AWG"), Ok(Value::Number(15.0)));
    // An empty cell and a row that is not there: the author's sentence.
    assert_eq!(site("18 AWG"), Err("The table has no such gauge.".into()));
    assert_eq!(site("4 AWG"), Err("The table has no such gauge.".into()));
}

#[test]
fn edges_belong_to_the_upper_band() {
    let program = program("flame-current");
    let band = |volts: &str| program.work(&given(&[("pin_voltage", volts), ("minimum", "0.7")])).verdicts[0].band.clone();
    assert_eq!(band("0.69"), Ok(0));
    assert_eq!(band("0.7"), Ok(1));
    assert_eq!(band("700 mV"), Ok(1));
    assert_eq!(band("1.39"), Ok(1));
    assert_eq!(band("1.4"), Ok(2));
    assert_eq!(band("x"), Err("It needs “Flame current”, which has no value.".into()));
}

#[test]
fn inputs_count_only_where_they_are_asked_for() {
    let program = program("flame-current");
    let worked = program.work(&given(&[("method", "series"), ("pin_voltage", "nonsense"), ("meter_current", "3")]));
    assert_eq!(worked.step("current").unwrap().shown, "3.00\u{a0}µA");
    assert_eq!(worked.refused(), None);
    assert_eq!(worked.inputs.iter().map(|input| input.counts).collect::<Vec<_>>(), [true, false, false, true, true, true]);
    assert_eq!(program.work(&given(&[("volts", "3")])).unknown, ["volts"]);
}

#[test]
fn what_has_no_value_says_why() {
    let text = "
inputs:
  - {id: x, title: The number, from: -1000, to: 1000, start: 0}
steps:
  - {id: quotient, title: Quotient, formula: 1 / x}
  - {id: root, title: Root, formula: sqrt(x)}
  - {id: logarithm, title: Logarithm, formula: ln(x)}
  - {id: power, title: Power, formula: x ^ 0.5 * x ^ -0.5}
  - {id: large, title: Large, formula: exp(x)}
  - {id: hidden, title: Hidden, formula: 'if exp(x) * exp(x) > 2 then 1 else 2'}
  - {id: step, title: Step, formula: 'round_up(5, x)'}
  - {id: after, title: After, formula: large + 1}
  - {id: lazy, title: Lazy, formula: 'if x == 0 then 7 else quotient'}
";
    let program = build(text);
    let says = |x: &str, step: &str| {
        let worked = program.work(&given(&[("x", x)]));
        let script = &worked_by_script(&program, &[vec![("x".into(), x.into())]])[0];
        for (step, found) in worked.steps.iter().zip(script["steps"].as_array().unwrap()) {
            assert_eq!(why(found), lack(&step.value), "{} at {x}", step.id);
        }
        worked.step(step).unwrap().value.clone().unwrap_err().says
    };
    assert_eq!(says("0", "quotient"), "It divides by zero.");
    assert_eq!(says("-1", "root"), "It takes the square root of a negative number.");
    assert_eq!(says("0", "logarithm"), "It takes the logarithm of zero or of a negative number.");
    assert_eq!(says("-1", "power"), "It raises zero or a negative number to a power that has no value.");
    assert_eq!(says("1000", "large"), "The number is too large to work with.");
    assert_eq!(says("1000", "hidden"), "The number is too large to work with.");
    assert_eq!(says("0", "step"), "It rounds to a step that is not above zero.");
    assert_eq!(says("1000", "after"), "It needs “Large”, which has no value.");
    assert_eq!(program.work(&given(&[("x", "0")])).step("lazy").unwrap().value, Ok(Value::Number(7.0)));
}

#[test]
fn comparison_overlooks_what_conversion_leaves() {
    // In binary 3 × 0.7 falls short of 2.1, 0.1 + 0.2 is more than 0.3, and 1.1 ÷ 0.1 is more than 11.
    let text = "
inputs:
  - {id: x, title: X, from: 0, to: 100, start: 3}
steps:
  - {id: carries, title: Carries, formula: x * 0.7 >= 2.1}
  - {id: short, title: Short, formula: x * 0.7 < 2.1}
  - {id: over, title: Over, formula: x / 30 + 0.2 > 0.3}
  - {id: within, title: Within, formula: x / 30 + 0.2 <= 0.3}
  - {id: same, title: Same, formula: x / 30 + 0.2 == 0.3}
  - {id: other, title: Other, formula: x / 30 + 0.2 != 0.3}
  - {id: up, title: Up, formula: 'round_up(x * 1.1 / 3, 0.1)'}
  - {id: down, title: Down, formula: 'round_down(x * 0.7, 2.1)'}
verdicts:
  - {on: up, title: Edge, bands: [{to: 0.1 * 11, says: a}, {from: 0.1 * 11, says: b}]}
";
    let program = build(text);
    let worked = program.work(&Given::new());
    let script = &worked_by_script(&program, &[Vec::new()])[0];
    let expected = ["yes", "no", "no", "yes", "yes", "no", "1.1", "2.1"];
    for ((step, found), expected) in worked.steps.iter().zip(script["steps"].as_array().unwrap()).zip(expected) {
        assert_eq!((step.shown.as_str(), found["shown"].as_str().unwrap()), (expected, expected), "{}", step.id);
    }
    assert_eq!(worked.verdicts[0].band, Ok(1));
    assert_eq!(script["verdicts"][0]["value"], "#1");
}

#[test]
fn phases_stand_end_to_end() {
    let program = program("retry-budget");
    let worked =
        program.work(&given(&[("prepurge", "30 s"), ("interpurge", "15 s"), ("warmup", "20 s"), ("trial", "7 s"), ("trials", "2")]));
    let segments = worked.timeline.unwrap().unwrap();
    let line: Vec<String> =
        segments.iter().map(|segment| format!("{} {}-{} {:?}", segment.title, segment.start, segment.end, segment.on)).collect();
    assert_eq!(
        line,
        [
            "Pre-purge 0-30 [0]",
            "Warm-up 30-50 [0, 1]",
            "Trial 50-57 [0, 1, 2]",
            "Inter-purge 57-72 [0]",
            "Warm-up 72-92 [0, 1]",
            "Trial 92-99 [0, 1, 2]",
        ]
    );
}

#[test]
fn a_timeline_is_bounded() {
    let text = "
inputs:
  - {id: times, title: Times, from: -1, to: 1000000, start: 1}
timeline:
  title: Line
  lanes: [{id: gas, title: Gas}]
  phases:
    - repeat: times
      phases:
        - {title: On, lasts: '1 [s]', on: [gas]}
        - repeat: times
          phases: [{title: Rest, lasts: times * 1 [s], on: [], between: true}]
";
    let program = build(&text.replace("times * 1 [s]", "'times * 1 [s]'"));
    let timeline = |times: &str| program.work(&given(&[("times", times)])).timeline.unwrap();
    assert_eq!(timeline("3").unwrap().len(), 3 + 3 * 2);
    assert_eq!(timeline("0"), Ok(Vec::new()));
    assert_eq!(timeline("1000000"), Err("The timeline has more than 500 phases, too many to draw.".into()));
    assert_eq!(timeline("2.5"), Err("The number of repeats must be a whole number, zero or more.".into()));
    assert_eq!(timeline("-1"), Err("The number of repeats must be a whole number, zero or more.".into()));
}

#[test]
fn the_working_is_shown_in_names_and_in_numbers() {
    let program = program("flame-current");
    let worked = program.work(&given(&[("pin_voltage", "0.5 V")]));
    let current = worked.step("current").unwrap();
    assert_eq!(
        current.names,
        "if How it was measured = “Test pins on the control” then Voltage at the test pins ÷ Scale of the test pins, else Reading of the meter"
    );
    assert_eq!(current.numbers, "0.5\u{a0}V ÷ 1\u{a0}V/µA");
    assert_eq!(current.shown, "0.50\u{a0}µA");
    assert_eq!(worked.step("margin").unwrap().numbers, "(0.50\u{a0}µA − 0.5\u{a0}µA) ÷ 0.5\u{a0}µA");
    let noise = worked.step("noise").unwrap();
    assert!(noise.numbers.contains("− (−(0.5\u{a0}µA)²)"), "{}", noise.numbers);
    let margin = program.steps.iter().find(|step| step.id == "margin").unwrap();
    assert_eq!(
        program.mathml(margin).unwrap(),
        "<math display=\"block\"><mrow><mtext>Margin over the minimum</mtext><mo>=</mo><mfrac><mrow><mtext>Flame current</mtext><mo>−</mo>\
         <mtext>Minimum on the control&#39;s label</mtext></mrow><mrow><mtext>Minimum on the control&#39;s label</mtext></mrow></mfrac></mrow></math>"
    );
}

#[test]
fn mathml_is_balanced_and_escaped() {
    for name in ["flame-current", "conductor", "retry-budget"] {
        let program = program(name);
        for step in &program.steps {
            program.mathml(step).iter().for_each(|math| balanced(math));
        }
    }
    let program = build(
        "inputs:\n  - {id: a, title: '<b>&\"x\"</b>', from: 0, to: 9, start: 1}\nsteps:\n  - {id: b, title: '</math><script>', formula: 'if a < 2 and not (a == 3) then -a ^ 2 else abs(a) ^ a / (a + 1)'}\n",
    );
    let math = program.mathml(&program.steps[0]).unwrap();
    balanced(&math);
    assert!(math.contains("&lt;b&gt;&amp;&quot;x&quot;&lt;/b&gt;") && !math.contains("<script"), "{math}");
    assert!(math.contains("<mo>&lt;</mo>"));
    let script = javascript("</script>", &program);
    assert!(!script.contains('<'), "{script}");
}

/// Every element is closed in its turn, and only elements of MathML Core stand in it.
fn balanced(math: &str) {
    let mut open = Vec::new();
    for tag in math.split('<').skip(1) {
        let name = tag.split(['>', ' ']).next().unwrap();
        match name.strip_prefix('/') {
            Some(name) => assert_eq!(open.pop(), Some(name), "{math}"),
            None => {
                assert!(
                    ["math", "mrow", "mtext", "mo", "mn", "mi", "mfrac", "msup", "msqrt", "mtable", "mtr", "mtd"].contains(&name),
                    "{name}"
                );
                open.push(name);
            }
        }
    }
    assert!(open.is_empty(), "{math}");
}

#[test]
fn places_lead_through_the_inset() {
    // `'load > "x"'` folded over two lines in the file: the second stretch begins at byte 140 there.
    let inset = Inset::pieced(SourceId(3), "load + volts", vec![(0, 100), (7, 140)], 145);
    let mut scope = Scope::default();
    scope.name("load", 0, Type::of_unit(&Unit::parse("A").unwrap()));
    let mut problems = Problems::default();
    assert!(compile(&inset, &scope, &mut problems).is_none());
    let problem = problems.iter().next().unwrap();
    assert_eq!((problem.code, problem.span.start, problem.span.end, problem.span.source), (Code::UnknownName, 140, 145, SourceId(3)));
}
