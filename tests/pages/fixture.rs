//! A small handbook made by hand, two entries of each kind, so that pages are tested without the stages before them.

use bluecone::formula::{ShownExample, ShownPart, Unit};
use bluecone::handbook::*;

pub fn prose(markdown: &str) -> Prose {
    Prose { markdown: markdown.into(), links: Vec::new() }
}

pub fn name(reference: &str) -> Name {
    Name::parse(reference).unwrap_or_else(|| panic!("not a reference: {reference}"))
}

fn names(references: &[&str]) -> Vec<Name> {
    references.iter().map(|reference| name(reference)).collect()
}

fn words(list: &[&str]) -> Vec<String> {
    list.iter().map(|word| (*word).into()).collect()
}

fn unit(code: &str) -> Unit {
    Unit::parse(code).expect("a unit of the fixture")
}

fn common(id: &str, title: &str, summary: &str) -> Common {
    Common { id: id.into(), title: title.into(), summary: summary.into(), ..Common::default() }
}

fn cite(source: &str, at: Option<&str>, figure: &str) -> Citation {
    Citation { source: name(source), at: at.map(Into::into), figure: Some(figure.into()) }
}

pub fn handbook() -> Handbook {
    Handbook {
        record: None,
        book: book(),
        symptoms: symptoms(),
        faults: faults(),
        checks: checks(),
        measurements: measurements(),
        safety: safety(),
        tasks: tasks(),
        tables: tables(),
        calculators: calculators(),
        terms: terms(),
        sources: sources(),
        courses: courses(),
        guide: guide(),
    }
}

fn book() -> Book {
    let stage = |id: &str, title: &str, normal: &str| Stage { id: id.into(), title: title.into(), normal: prose(normal) };
    Book {
        title: "Quarry Lane Heating service handbook".into(),
        shop: "Quarry Lane Heating".into(),
        edition: "First edition".into(),
        book_id: "quarry-lane-service".into(),
        language: "en".into(),
        invented: true,
        notice: prose(
            "Its calls, readings and people are made up. Figures marked as recalled have not been checked against a printed copy.",
        ),
        caution: prose(
            "Gas, line voltage and flue gas can kill. This handbook does not replace the appliance's instructions, its rating plate, the local \
             code, or a licensed person on site. If you smell gas or a carbon monoxide alarm sounds, leave first and call from outside.",
        ),
        stages: vec![
            stage(
                "call-for-heat",
                "Call for heat",
                "The thermostat, aquastat or pool control closes. About 24 V reaches the call terminal.",
            ),
            stage("pre-purge", "Pre-purge", "The blower comes up to speed and air washes leftover gas out of the burner box."),
            stage("igniter-warm-up", "Igniter warm-up", "Voltage reaches the igniter and it heats to an even orange or yellow-white glow."),
            stage(
                "trial-for-ignition",
                "Trial for ignition",
                "The gas valve opens with a click and gas lights within a second or two, softly.",
            ),
            stage("lockout", "Lockout", "Not part of a good cycle. Find the cause before any reset."),
        ],
        ..Book::default()
    }
}

fn symptoms() -> Vec<Symptom> {
    let suspect = |fault: &str, weight: f64, basis: Basis| Suspect { fault: name(fault), weight, basis };
    vec![
        Symptom {
            common: Common {
                also: words(&["no glow", "ignighter broken", "hot surface wont heat"]),
                body: Some(prose(
                    "**Sound order:** look at the element, then measure its [cold resistance](measurement:igniter-cold-resistance) at its plug.\n\nNever tap it; see <safety:igniter-fragile>.",
                )),
                see: names(&["check:igniter-resistance", "task:replace-igniter", "term:flame-rod"]),
                ..common(
                    "igniter-stays-dark",
                    "Igniter stays dark",
                    "The blower purges normally, yet the igniter never glows and the gas valve never opens.",
                )
            },
            stage: "igniter-warm-up".into(),
            seen: prose(
                "1. The call arrives, the blower runs and the pre-purge ends on time.\n2. In the warm-up time the igniter shows no glow at all.\n3. The control tries again, then goes to lockout.",
            ),
            suspects: vec![
                suspect("fault:lead-damaged", 14.0, Basis::Judgement),
                suspect("fault:igniter-open", 52.0, Basis::CommonPractice),
            ],
            checks: names(&["check:prove-dead", "check:igniter-resistance"]),
            safety: names(&["safety:igniter-fragile", "safety:prove-dead-first"]),
        },
        Symptom {
            common: common("nothing-on-call", "Nothing happens on a call", "The room asks for heat and the appliance does not stir."),
            stage: "call-for-heat".into(),
            seen: prose("No fan, no click, no light on the control."),
            suspects: vec![suspect("fault:lead-damaged", 1.0, Basis::ShopRecord)],
            checks: names(&["check:prove-dead"]),
            safety: Vec::new(),
        },
    ]
}

fn faults() -> Vec<Fault> {
    vec![
        Fault {
            common: common("igniter-open", "Igniter element open", "The element is broken and carries no current."),
            part: "igniter".into(),
            cause: prose("Age, drips of condensate, high supply volts, a knock."),
            signs: prose("The meter shows over-range at the plug."),
            mend: Mend { task: Some(name("task:replace-igniter")), remedy: None },
            proved_by: name("check:igniter-resistance"),
        },
        Fault {
            common: common("lead-damaged", "Igniter lead damaged", "A lead is chafed, burnt or loose in its terminal."),
            part: "wiring".into(),
            cause: prose("Heat, vibration, a terminal that was never crimped well."),
            signs: prose("Brown plastic, a smell, a terminal that slides off."),
            mend: Mend {
                task: None,
                remedy: Some(prose("Cut back to bright copper and fit a new terminal. See <table:quick-connect-tabs>.")),
            },
            proved_by: name("check:igniter-resistance"),
        },
    ]
}

fn checks() -> Vec<Check> {
    let outcome = |id: &str, seen: Seen, means: &str| Outcome {
        id: id.into(),
        seen,
        means: prose(means),
        keeps: Vec::new(),
        drops: Vec::new(),
        likely: Vec::new(),
        next: None,
    };
    vec![
        Check {
            common: Common {
                also: words(&["ohm the igniter"]),
                ..common(
                    "igniter-resistance",
                    "Measure the igniter's cold resistance",
                    "Ohms across the igniter at its plug, cold and dead, tell whether the element is whole.",
                )
            },
            state: State::Isolated,
            touches: vec![Touches::LineVoltage, Touches::HotSurface],
            minutes: 5.0,
            tools: words(&["Multimeter with an ohms range", "Lock and tag"]),
            after: names(&["check:prove-dead"]),
            erased_by: Vec::new(),
            safety: names(&["safety:igniter-fragile", "safety:prove-dead-first"]),
            measures: Some(name("measurement:igniter-cold-resistance")),
            steps: vec![
                prose("Unplug the igniter at its connector. Pull on the **housing**, not on the wires."),
                prose("Touch the leads together and read their own resistance."),
                prose("Measure across the igniter's two pins. Do not touch the element."),
            ],
            outcomes: vec![
                Outcome {
                    keeps: names(&["fault:igniter-open"]),
                    next: Some(name("task:replace-igniter")),
                    ..outcome("open", Seen::Band("open".into()), "The element is broken.")
                },
                Outcome {
                    drops: names(&["fault:igniter-open"]),
                    likely: vec![(name("fault:lead-damaged"), 0.8)],
                    ..outcome("usual", Seen::Band("usual".into()), "The element is whole. Look at the leads next.")
                },
                outcome("unsteady", Seen::Words("The reading jumps when the lead is moved.".into()), "A poor contact at the pins."),
            ],
            usual: Some("usual".into()),
            closing: names(&["check:prove-dead"]),
        },
        Check {
            common: common("prove-dead", "Prove the circuit dead", "Live, dead, live: the meter is proved before and after."),
            state: State::Isolated,
            touches: vec![],
            minutes: 4.0,
            tools: Vec::new(),
            after: Vec::new(),
            erased_by: Vec::new(),
            safety: names(&["safety:prove-dead-first"]),
            measures: None,
            steps: vec![prose("Prove the meter on a known live source."), prose("Test every conductor."), prose("Prove the meter again.")],
            outcomes: vec![
                outcome("dead", Seen::Words("No voltage anywhere, and the meter is proved.".into()), "Work may begin."),
                outcome("live", Seen::Words("Any voltage.".into()), "Stop. Find the second supply."),
            ],
            usual: None,
            closing: Vec::new(),
        },
    ]
}

fn measurements() -> Vec<Measurement> {
    let band = |id: &str, from: f64, to: f64, label: &str, severity: Severity, means: &str| Band {
        id: id.into(),
        from,
        to,
        above: false,
        label: label.into(),
        severity,
        means: prose(means),
    };
    vec![
        Measurement {
            common: Common {
                also: words(&["flame signal", "microamps"]),
                sources: vec![cite("source:recalled", None, "minimums from 0.15 to 1.5 µA across controls")],
                ..common(
                    "flame-current",
                    "Flame current",
                    "The direct current in microamps that the flame passes from the sensor to the burner and ground.",
                )
            },
            quantity: "current".into(),
            unit: unit("uA"),
            scale: (0.0, 15.0),
            state: State::Firing,
            touches: vec![Touches::LineVoltage, Touches::Combustion],
            safety: names(&["safety:prove-dead-first"]),
            place: prose("In series with the one sense lead, between the flame sensor and the control's sense terminal."),
            how: prose(
                "Isolate and prove dead before you open the lead. Power up, let the burner light, and read once the flame is steady.",
            ),
            meter: prose(
                "**DC microamps** (not milliamps), jacks set for the microamp input, in series.\n\n```meterlog\n08:12 flame lit, 2.4 µA DC\n08:15 steady, 2.6 µA # hot\n08:20 blower on, OL\n```",
            ),
            bands: vec![
                band("none", 0.0, 0.15, "No usable signal", Severity::Stop, "Below every minimum that we know of."),
                band(
                    "weak",
                    0.15,
                    1.5,
                    "At or below the minimum of many controls",
                    Severity::Act,
                    "Minimums between 0.15 and 1.5 µA are in use, so the control's label decides.",
                ),
                band("fair", 1.5, 1.8, "Above the usual minimums, little to spare", Severity::Watch, "It should run today."),
                band("usual", 1.8, 10.0, "Usual", Severity::Good, "Compare with the control's own figure and record it."),
                Band {
                    above: true,
                    ..band("high", 10.0, 15.0, "Higher than usual", Severity::Watch, "Check the meter's function and range.")
                },
            ],
        },
        Measurement {
            common: Common {
                sources: vec![cite("source:common-practice", None, "40 to 90 Ω for silicon carbide")],
                ..common("igniter-cold-resistance", "Igniter cold resistance", "Ohms across a cold silicon carbide igniter.")
            },
            quantity: "resistance".into(),
            unit: unit("Ohm"),
            scale: (0.0, 400.0),
            state: State::Isolated,
            touches: vec![Touches::LineVoltage],
            safety: names(&["safety:prove-dead-first", "safety:igniter-fragile"]),
            place: prose("Across the two pins of the igniter's plug."),
            how: prose("Cold: at least ten minutes after the last glow."),
            meter: prose("Ohms, lowest range that shows 400 Ω."),
            bands: vec![
                band("shorted", 0.0, 10.0, "Short or wrong part", Severity::Act, "Wrong part, or a short."),
                band("usual", 10.0, 200.0, "Usual", Severity::Good, "The element is whole."),
                Band { above: true, ..band("open", 200.0, 400.0, "Open", Severity::Act, "The element is broken.") },
            ],
        },
    ]
}

fn safety() -> Vec<SafetyNote> {
    vec![
        SafetyNote {
            common: Common {
                sources: vec![cite("source:recalled", None, "handling of igniters")],
                ..common("igniter-fragile", "The igniter breaks at a knock", "Silicon carbide is brittle; hold it by its base only.")
            },
            signal: Signal::Caution,
            hazard: prose("The element breaks at a small knock and its edges cut."),
            controls: vec![prose("Hold it by the ceramic base."), prose("Wear cut-resistant gloves.")],
            when: prose("Whenever the igniter is in reach."),
        },
        SafetyNote {
            common: Common {
                also: words(&["LOTO", "zero energy"]),
                sources: vec![cite("source:osha-1910-147", Some("(d)(1) to (d)(6)"), "order of the lockout steps")],
                ..common(
                    "prove-dead-first",
                    "Prove it dead before you touch",
                    "Lock the power off, then show with a proved meter that every conductor is dead.",
                )
            },
            signal: Signal::Danger,
            hazard: prose(
                "A switch can be mislabelled and a disconnect can break only one leg of two. Hands go onto bare metal because someone believed the power was off.",
            ),
            controls: vec![
                prose("Open the disconnect and put on your own lock and tag."),
                prose("Prove the meter on a known live source, test every conductor, prove the meter again."),
            ],
            when: prose("Before any hands-on work near line-voltage parts."),
        },
    ]
}

fn tasks() -> Vec<Task> {
    let step = |action: &str, why: Option<&str>, state: Option<State>, used: &[&str]| Step {
        action: prose(action),
        why: why.map(prose),
        state,
        used: names(used),
    };
    vec![
        Task {
            common: common("replace-control", "Replace an ignition control", "Swap a control for one with another layout, wire by wire."),
            state: State::Isolated,
            touches: vec![Touches::LineVoltage, Touches::GasTrain, Touches::Combustion],
            minutes: 90.0,
            tools: words(&["Multimeter", "Camera", "Crimp tool"]),
            parts: words(&["Control that suits the appliance"]),
            safety: names(&["safety:prove-dead-first", "safety:igniter-fragile"]),
            steps: vec![
                step(
                    "Photograph every wire and write the list.\n\n```wiring\n# old control\nW1   L1 -> IGN control L1   black      18 AWG  1/4 in tab   # hot\nW2   24V C -> COM           blue       18 AWG  3/16 in tab\nW3   sense rod -> FS        orange     16 AWG  push-on      # high-temperature lead\n```",
                    Some("A wire that is moved from memory is moved wrong."),
                    None,
                    &["check:prove-dead", "table:quick-connect-tabs"],
                ),
                step("Move each wire and strike it off the list.", None, None, &[]),
                step(
                    "Power up with the gas cock shut.",
                    Some("A wrong wire shows before gas can flow."),
                    Some(State::Powered),
                    &["measurement:flame-current"],
                ),
            ],
            closing: names(&["check:prove-dead", "check:igniter-resistance"]),
            record: words(&["Flame current", "Igniter cold resistance", "Control timings set"]),
        },
        Task {
            common: common("replace-igniter", "Replace the igniter", "Fit a new igniter of the same kind and prove it."),
            state: State::Isolated,
            touches: vec![Touches::LineVoltage],
            minutes: 30.0,
            tools: Vec::new(),
            parts: Vec::new(),
            safety: names(&["safety:prove-dead-first"]),
            steps: vec![step("Undo one screw and draw it out by its base.", None, None, &["check:igniter-resistance"])],
            closing: Vec::new(),
            record: Vec::new(),
        },
    ]
}

fn tables() -> Vec<Table> {
    let number = |value: f64, written: &str| Cell::Number { value, written: written.into() };
    let column = |id: &str, title: &str, unit: Option<Unit>, text: bool| Column { id: id.into(), title: title.into(), unit, text };
    vec![
        Table {
            common: Common {
                sources: vec![cite("source:nec-2023", Some("Table 310.16"), "ampacities at 30 °C")],
                ..common("conductor-ampacity", "Ampacity of copper conductors", "Amperes that a copper conductor may carry, by insulation.")
            },
            columns: vec![
                column("awg", "Size (AWG)", None, true),
                column("area_cmil", "Area (circular mils)", None, false),
                column("a60", "60 °C", Some(unit("A")), false),
                column("a75", "75 °C", Some(unit("A")), false),
                column("a90", "90 °C", Some(unit("A")), false),
            ],
            key: vec![0],
            order: Some(1),
            rows: vec![
                vec![Cell::Text("18".into()), number(1620.0, "1620"), Cell::Empty, Cell::Empty, number(14.0, "14")],
                vec![Cell::Text("14".into()), number(4110.0, "4110"), number(15.0, "15"), number(20.0, "20"), number(25.0, "25")],
            ],
            notes: Some(prose("The smallest terminal rating decides.\n\n| a | b |\n|---|--:|\n| 1 | 2 |")),
        },
        Table {
            common: Common {
                sources: vec![cite("source:recalled", None, "12 AWG")],
                ..common("quick-connect-tabs", "Quick-connect tabs and test currents", "Tab sizes met on controls and valves.")
            },
            columns: vec![column("tab", "Tab", Some(unit("[in_i]")), false), column("amps", "Test current", Some(unit("A")), false)],
            key: vec![0],
            order: None,
            rows: vec![vec![number(0.11, "0.110"), number(2.0, "2")], vec![number(0.187, "0.187"), number(3.0, "3")]],
            notes: None,
        },
    ]
}

fn calculators() -> Vec<Calculator> {
    let calculator = |common: Common| Calculator {
        common,
        program: Default::default(),
        inputs: Vec::new(),
        lists: Vec::new(),
        steps: Vec::new(),
        verdicts: Vec::new(),
        examples: vec![WorkedExample {
            title: "Half a volt on a 1 V per microamp control".into(),
            shown: ShownExample {
                given: vec![ShownPart { title: "Pin voltage".into(), value: "0.5 V".into(), rows: Vec::new() }],
                expect: vec![ShownPart { title: "Flame current".into(), value: "0.5 µA".into(), rows: Vec::new() }],
                within: "0.1 %".into(),
            },
            source: cite("source:recalled", None, "scale of the test pins"),
        }],
        disagree: vec![Disagreement {
            figure: "18 AWG".into(),
            value: "7 A".into(),
            rule: "overcurrent protection of small conductors".into(),
            source: cite("source:nec-2023", Some("240.4(D)"), "18 AWG"),
        }],
        next: names(&["measurement:flame-current"]),
    };
    vec![
        calculator(common("flame-current-from-volts", "Flame current from volts", "Turns volts at the test pins into microamps.")),
        calculator(common("ohms-law", "Ohm's law", "Volts, ohms and amperes.")),
    ]
}

fn terms() -> Vec<Term> {
    vec![
        Term {
            common: Common {
                also: words(&["sensor", "sense rod"]),
                ..common("flame-rod", "Flame rod", "A metal rod in the flame through which the control sees flame current.")
            },
        },
        Term { common: common("pre-purge", "Pre-purge", "Air blown through before the trial, to wash out leftover gas.") },
    ]
}

fn sources() -> Vec<SourceEntry> {
    let source = |common: Common, kind: SourceKind| SourceEntry { common, kind, publisher: None, edition: None, note: None };
    vec![
        source(common("common-practice", "Common practice", "What the trade does."), SourceKind::CommonPractice),
        SourceEntry {
            publisher: Some("National Fire Protection Association".into()),
            edition: Some("2023".into()),
            note: Some(prose("The [agency's page](https://www.nfpa.org/) gives the edition.")),
            ..source(common("nec-2023", "NFPA 70, National Electrical Code, 2023 edition", "Wiring rules."), SourceKind::Standard)
        },
        source(common("osha-1910-147", "29 CFR 1910.147", "Control of hazardous energy."), SourceKind::Standard),
        source(common("recalled", "Recalled", "Written from memory."), SourceKind::Recalled),
    ]
}

fn courses() -> Vec<Course> {
    let module = |title: &str, lessons: &[&str]| Module {
        title: title.into(),
        goal: prose("Can make an appliance safe and say why."),
        lessons: names(lessons),
        quiz: Some(Quiz { items: 8, topics: words(&["safety", "bands"]) }),
        sign_off: words(&["Proves a circuit dead with a live-dead-live check.", "Names the stage at which an appliance stops."]),
    };
    vec![
        Course {
            common: common("first-month", "First month on the van", "What an apprentice learns first."),
            modules: vec![
                module("Safe first", &["safety:prove-dead-first", "term:flame-rod"]),
                module("The sequence", &["symptom:igniter-stays-dark"]),
            ],
        },
        Course {
            common: common("second-month", "Second month", "Readings."),
            modules: vec![module("Meters", &["measurement:flame-current"])],
        },
    ]
}

fn guide() -> Vec<GuidePage> {
    let page = |id: &str, title: &str, text: &str| GuidePage { id: id.into(), title: title.into(), text: prose(text) };
    vec![
        page(
            "first-entry",
            "Your first entry",
            "One file is one entry.\n\n# The fields\n\nSee [the checks](guide:checks#outcomes).\n\n```yaml\ntitle: Igniter open # short\nminutes: 5\nmend: task:replace-igniter\nalso: ['no glow', \"dead\"]\n```",
        ),
        page("checks", "Writing a check", "# Outcomes\n\nAt least two.\n\n### Bands\n\nName the band."),
    ]
}
