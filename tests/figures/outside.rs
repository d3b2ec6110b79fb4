//! Every known unit against two libraries that know nothing of Bluecone; `outside/make.sh` says how their numbers were got.

use std::fs;

use bluecone::formula::{Unit, known_units};

use crate::proof::folder::package;

/// Units that pint defines otherwise, with the part by which it may lie from ours and from UCUM.
///
/// UCUM makes the metre of mercury 133.322 kPa; with the conventional density of 13 595.1 kg/m³ it is 133.322387415 kPa.
/// UCUM's thermochemical Btu is rounded to 1054.35 J. Pint's therm is rounded to 105 505 600 J; ours is 100 000 Btu (IT).
const DIFFERENT: &[(&str, f64)] = &[("m[Hg]", 3e-6), ("[in_i'Hg]", 3e-6), ("[Btu_th]", 3e-7), ("[therm]", 2e-7)];

/// As near as two libraries come that round in another order.
const NEAREST: f64 = 1e-12;

/// The unit by its code; by itself `F` or `C` is not taken, only a spelling of theirs.
fn read(code: &str, spellings: &[&str]) -> Unit {
    let unit = std::iter::once(&code).chain(spellings).find_map(|text| Unit::parse(text).ok()).unwrap();
    assert_eq!(unit.ucum(), code);
    unit
}

#[test]
fn units_agree_with_other_libraries() {
    let text = fs::read_to_string(package("tests/figures/outside/reference.tsv")).unwrap();
    let rows: Vec<Vec<&str>> = text.lines().filter(|line| !line.starts_with('#')).map(|line| line.split('\t').collect()).collect();
    let mut wrong = Vec::new();
    for (code, _, spellings) in known_units() {
        let rows: Vec<_> = rows.iter().filter(|row| row[0] == code).collect();
        if rows.is_empty() {
            wrong.push(format!("`{code}` stands in no row; add it to units.tsv and run make.sh"));
        }
        for row in rows {
            let unit = read(code, &spellings);
            let number: f64 = row[1].parse().unwrap();
            let ours = unit.to_base(number);
            let base = Unit::parse(row[2]).unwrap();
            if unit.dimension() != base.dimension() || base.to_base(1.0) != 1.0 {
                wrong.push(format!("`{code}` is {}, not {}", unit.dimension(), row[2]));
            }
            let theirs: Vec<(usize, f64)> = (3..5).filter(|at| row[*at] != "-").map(|at| (at, row[at].parse().unwrap())).collect();
            if theirs.is_empty() {
                wrong.push(format!("`{code}` is known to neither library"));
            }
            for (at, theirs) in theirs {
                let different = DIFFERENT.iter().find(|(name, _)| *name == code && at == 4).map_or(NEAREST, |(_, most)| *most);
                let apart = ((ours - theirs) / theirs).abs();
                if apart > different {
                    wrong.push(format!(
                        "{number} {code} is {ours} {}, by {} {theirs}: {apart:e} apart",
                        row[2],
                        ["ucum-lhc", "pint"][at - 3]
                    ));
                }
            }
            let back = unit.from_base(ours);
            if (back - number).abs() > 1e-10 {
                wrong.push(format!("{number} {code} comes back as {back}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_spelling_of_a_unit_is_that_unit() {
    for (code, shown, spellings) in known_units() {
        let unit = read(code, &spellings);
        // What pages show need not be a spelling, but if it is one, it must be this unit's.
        let shown = Unit::parse(shown).ok().map(|_| shown);
        for spelling in spellings.into_iter().chain(shown) {
            let spelled = Unit::parse(spelling).unwrap_or_else(|error| panic!("`{spelling}` of `{code}`: {error:?}"));
            assert_eq!(spelled.conversion(), unit.conversion(), "`{spelling}` of `{code}`");
            assert_eq!(spelled.dimension(), unit.dimension(), "`{spelling}` of `{code}`");
            assert_eq!(spelled.is_point(), unit.is_point(), "`{spelling}` of `{code}`");
        }
    }
}
