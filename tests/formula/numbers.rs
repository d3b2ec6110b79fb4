//! How numbers are shown and read.

use bluecone::formula::{Digits, Given, format};

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
