//! How numbers are shown and read.

use bluecone::formula::{Digits, Given, Unit, format};

use super::agreement::{program, worked_by_script};

#[test]
fn numbers_are_rounded_as_by_hand() {
    let figures = [
        (0.0, "0"),
        (-0.0, "0"),
        (0.5, "0.5"),
        (0.1 + 0.2, "0.3"),
        (2.675, "2.68"),
        (-2.675, "−2.68"),
        (1234.0, "1230"),
        (12345.0, "12\u{202f}300"),
        (99999.0, "100\u{202f}000"),
        (999.5, "1000"),
        (0.0009995, "0.001"),
        (1.5e-7, "1.5\u{a0}×\u{a0}10⁻⁷"),
        (1.234e18, "1.23\u{a0}×\u{a0}10¹⁸"),
        (f64::MAX, "1.8\u{a0}×\u{a0}10³⁰⁸"),
        (5e-324, "5\u{a0}×\u{a0}10⁻³²⁴"),
    ];
    for (number, shown) in figures {
        assert_eq!(format(number, Digits::default()), shown, "{number:e}");
    }
    let decimals = [
        (2.675, 2, "2.68"),
        (1.005, 2, "1.01"),
        (0.125, 2, "0.13"),
        (2.5, 0, "3"),
        (0.5, 0, "1"),
        (0.4999, 0, "0"),
        (-0.004, 2, "0.00"),
        (-0.005, 2, "−0.01"),
        (9.999, 2, "10.00"),
        (12345.678, 1, "12\u{202f}345.7"),
        (0.0, 3, "0.000"),
        (1e-9, 2, "0.00"),
    ];
    for (number, digits, shown) in decimals {
        assert_eq!(format(number, Digits::Decimals(digits)), shown, "{number:e}");
    }
}

#[test]
fn what_is_typed_is_read_or_refused_in_plain_words() {
    let program = program("flame-current");
    let cases = [
        ("5 V", "5\u{a0}V"),
        ("5", "5\u{a0}V"),
        (" 0.5V ", "0.5\u{a0}V"),
        (".5", "0.5\u{a0}V"),
        ("500 mV", "500\u{a0}mV"),
        ("5e-1", "0.5\u{a0}V"),
        ("+5", "5\u{a0}V"),
        ("0,5", "Write numbers without commas: a point for decimals, as in 0.5."),
        ("1,000 mV", "Write numbers without commas: a point for decimals, as in 0.5."),
        ("", "Enter a number."),
        ("five", "“five” is not a number."),
        ("5 A", "“A” is not a unit for this; use V or mV."),
        ("5 bananas", "“bananas” is not a unit for this; use V or mV."),
        ("21", "Enter a value from 0\u{a0}V to 20\u{a0}V."),
        ("−1", "Enter a value from 0\u{a0}V to 20\u{a0}V."),
        ("25000 mV", "Enter a value from 0\u{a0}mV to 20\u{202f}000\u{a0}mV."),
        ("1e999", "The number is too large to work with."),
        ("2,5 V", "Write numbers without commas: a point for decimals, as in 0.5."),
        (",5 V", "Write numbers without commas: a point for decimals, as in 0.5."),
        ("1.000,5", "Write numbers without commas: a point for decimals, as in 0.5."),
        ("1 000", "Write the number without spaces: 1000."),
        ("1\u{a0}000\u{a0}000 mV", "Write the number without spaces: 1000000."),
        ("+12 000.5 mV", "Write the number without spaces: +12000.5."),
        ("1 000 5", "Write the number without spaces: 1000."),
        ("1\u{202f}000 mV", "1000\u{a0}mV"),
        ("1 0000", "“1 0000” is not a number."),
        ("5 5", "“5 5” is not a number."),
        ("1/2 V", "Write fractions with a point, as in 0.5 or 1.75."),
        ("1 3/4", "Write fractions with a point, as in 0.5 or 1.75."),
        ("0x10 V", "“0x10 V” is not a number."),
        ("-0XfV", "“-0XfV” is not a number."),
        ("0x V", "“x V” is not a unit for this; use V or mV."),
        ("1.2.3 V", "“1.2.3 V” is not a number."),
        ("5 1/min", "“1/min” is not a unit for this; use V or mV."),
        ("5 1000.V", "“1000.V” is not a unit for this; use V or mV."),
        ("12 3456.V", "“3456.V” is not a unit for this; use V or mV."),
        ("12 0001.V", "“0001.V” is not a unit for this; use V or mV."),
        ("5 1000.[Btu_IT]/h", "“1000.[Btu_IT]/h” is not a unit for this; use V or mV."),
        ("1 000.V", "Write the number without spaces: 1000."),
        ("5 1000.", "“5 1000.” is not a number."),
        ("5 1000.5 V", "“5 1000.5 V” is not a number."),
        ("5 1000 V", "“5 1000 V” is not a number."),
        ("5 F", "“F” is not a unit for this; use V or mV."),
        ("1e-400", "The number is too small to be told from zero."),
        ("1e-310 mV", "The number is too small to be told from zero."),
        ("0e-400", "0\u{a0}V"),
        ("0.0", "0\u{a0}V"),
    ];
    let given: Vec<_> = cases.iter().map(|(text, _)| vec![("pin_voltage".to_owned(), (*text).to_owned())]).collect();
    for ((text, expected), script) in cases.iter().zip(worked_by_script(&program, &given)) {
        let said = &script["inputs"][1]["says"];
        assert_eq!(if said == "" { &script["inputs"][1]["shown"] } else { said }, expected, "{text:?} in the page");
    }
    for (text, expected) in cases {
        let worked = program.work(&Given::new().with("pin_voltage", text));
        let input = &worked.inputs[1];
        match &input.value {
            Ok(_) => assert_eq!(input.shown, expected, "{text:?}"),
            Err(why) => assert_eq!(why.says, expected, "{text:?}"),
        }
    }
    let worked = program.work(&Given::new().with("pin_voltage", "five"));
    assert_eq!(worked.refused(), Some(("pin_voltage".into(), "“five” is not a number.")));
    assert_eq!(worked.steps[0].value, Err("It needs “Voltage at the test pins”, which has no value.".into()));
}

/// The code of MBH is a thousand Btu/h with a point between, which is no part of the number.
#[test]
fn a_unit_that_begins_with_a_figure_is_read() {
    let program = program("heat-rate");
    let cases = [
        ("5 MBH", "5\u{a0}MBH"),
        ("5 1000.[Btu_IT]/h", "5\u{a0}MBH"),
        ("0.5  1000.[Btu_IT]/h", "0.5\u{a0}MBH"),
        ("12 34.[Btu_IT]/h", "“34.[Btu_IT]/h” is not a unit for this; use Btu/h or kW or MBH."),
        ("5 1000.0[Btu_IT]/h", "“5 1000.0[Btu_IT]/h” is not a number."),
        ("5 000.[Btu_IT]/h", "“000.[Btu_IT]/h” is not a unit for this; use Btu/h or kW or MBH."),
        ("5 000.V", "Write the number without spaces: 5000."),
        ("5 100.[cft_i]", "“100.[cft_i]” is not a unit for this; use Btu/h or kW or MBH."),
        ("1 000 100.[cft_i]", "Write the number without spaces: 1000."),
    ];
    let given = |text: &str| vec![("find".to_owned(), "time".to_owned()), ("rate".to_owned(), text.to_owned())];
    let scripts = worked_by_script(&program, &cases.map(|(text, _)| given(text)));
    let at = program.inputs.iter().position(|input| input.id == "rate").unwrap();
    for ((text, expected), script) in cases.iter().zip(&scripts) {
        let says = &script["inputs"][at]["says"];
        assert_eq!(if says == "" { &script["inputs"][at]["shown"] } else { says }, expected, "{text:?} in the page");
        let worked = program.work(&Given::new().with("find", "time").with("rate", *text));
        let input = &worked.inputs[at];
        assert_eq!(input.value.as_ref().map_or_else(|why| why.says.as_str(), |_| &input.shown), *expected, "{text:?}");
    }
}

/// The code of ccf begins with three figures, as a group of a number does.
#[test]
fn a_hundred_cubic_feet_are_no_thousands() {
    let program = program("heat-rate");
    let cases = [
        ("5 ccf", "5\u{a0}ccf"),
        ("5 100.[cft_i]", "5\u{a0}ccf"),
        ("5 100", "Write the number without spaces: 5100."),
        ("5 100 ft³", "Write the number without spaces: 5100."),
        ("1 000 100.[cft_i]", "Write the number without spaces: 1000."),
    ];
    let scripts = worked_by_script(&program, &cases.map(|(text, _)| vec![("volume".to_owned(), text.to_owned())]));
    for ((text, expected), script) in cases.iter().zip(&scripts) {
        let says = &script["inputs"][1]["says"];
        assert_eq!(if says == "" { &script["inputs"][1]["shown"] } else { says }, expected, "{text:?} in the page");
        let input = &program.work(&Given::new().with("volume", *text)).inputs[1];
        assert_eq!(input.value.as_ref().map_or_else(|why| why.says.as_str(), |_| &input.shown), *expected, "{text:?}");
    }
}

/// A unit of one has no sign; where it is offered beside others, it is called none.
#[test]
fn a_plain_number_is_shown_alone() {
    let one = Unit::parse("1").unwrap();
    assert_eq!((one.clone(), one.ucum(), one.shown(), one.with("0.056")), (Unit::one(), "1", "", "0.056".to_owned()));
    let program = program("heat-rate");
    let given = vec![("efficiency".to_owned(), "80 V".to_owned())];
    let says = "“V” is not a unit for this; use % or none.";
    assert_eq!(worked_by_script(&program, std::slice::from_ref(&given))[0]["inputs"][5]["says"], says);
    assert_eq!(program.work(&Given::new().with("efficiency", "80 V")).inputs[5].value.as_ref().map_err(|why| why.says.as_str()), Err(says));
}
