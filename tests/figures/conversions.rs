//! Units against published conversions.

use std::fs;

use serde::Deserialize;

use bluecone::formula::Unit;

use super::Report;
use super::published::{Tolerance, quantity};
use crate::proof::folder::package;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Conversion {
    from: String,
    to: String,
    gives: f64,
    within: Tolerance,
    source: String,
}

#[test]
fn published_conversions_come_out() {
    let text = fs::read_to_string(package("tests/figures/units.yaml")).unwrap();
    let conversions: Vec<Conversion> = serde_yaml::from_str(&text).unwrap();
    let mut report = Report::default();
    for conversion in &conversions {
        let (number, from) = quantity(&conversion.from);
        let (from, to) = (from.unwrap(), Unit::parse(&conversion.to).unwrap());
        assert!(from.fits(&to), "{} is not {}", conversion.from, conversion.to);
        let got = to.from_base(from.to_base(number));
        let what = format!("{} in {}", conversion.from, conversion.to);
        report.number("unit", &conversion.source, &what, got, conversion.gives, conversion.within.within());
    }
    println!("{}", report.table());
    assert!(conversions.len() > 25);
    assert_eq!(report.disagreements(), "");
}
