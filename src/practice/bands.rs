//! A reading and what it means: bands of the measurements.

use super::build::{choice, item, ranked};
use super::item::{Choice, Item, Proof, Variant};
use super::random::Random;
use super::text::{fixed, gives_away, number, opening, quoted, sentence, with_unit};
use crate::handbook::{Band, Handbook, Kind, Measurement, Name, Severity};

/// Readings asked of one band.
const READINGS: usize = 3;

/// One item for every band's label, one a measurement for its readings, one for how grave they are.
pub(super) fn items(handbook: &Handbook) -> Vec<Item> {
    let mut items = Vec::new();
    for measurement in &handbook.measurements {
        let name = Name::new(Kind::Measurement, &measurement.common.id);
        for band in &measurement.bands {
            let id = format!("bands/{}/{}", name.id, band.id);
            let mut random = Random::of(&id);
            let variants = (0..READINGS).map(|_| label(handbook, measurement, band, &mut random));
            items.extend(item(handbook, id, name.clone(), variants.collect::<Vec<_>>()));
        }
        for (what, ask) in [("which-reading", which_reading as Ask), ("how-grave", how_grave)] {
            let id = format!("bands/{}/{what}", name.id);
            let mut random = Random::of(&id);
            let variants: Vec<_> = measurement.bands.iter().map(|band| ask(handbook, measurement, band, &mut random)).collect();
            items.extend(item(handbook, id, name.clone(), variants));
        }
    }
    items
}

type Ask = fn(&Handbook, &Measurement, &Band, &mut Random) -> Option<Variant>;

/// "The reading is 3.4 V: what does the handbook call that?"
fn label(handbook: &Handbook, measurement: &Measurement, band: &Band, random: &mut Random) -> Option<Variant> {
    let (reading, shown) = reading(measurement, band, random);
    let mut wrong: Vec<Choice> = measurement
        .bands
        .iter()
        .filter(|other| other.id != band.id)
        .map(|other| Choice::new(&other.label, within(reading, other)))
        .collect();
    random.shuffle(&mut wrong);
    // With few bands of its own, labels of measurements in the same unit help, as far as the reading does not lie in them either.
    let mut borrowed: Vec<Choice> = Vec::new();
    if wrong.len() < 2 {
        let siblings =
            handbook.measurements.iter().filter(|other| other.common.id != measurement.common.id && other.unit == measurement.unit);
        borrowed = siblings.flat_map(|other| &other.bands).map(|other| Choice::new(&other.label, within(reading, other))).collect();
        random.shuffle(&mut borrowed);
    }
    wrong.extend(borrowed);
    let question = format!("{}: what does the handbook call a reading of {shown}?", measurement.common.title);
    let right = Choice::new(&band.label, within(reading, band));
    choice(random, question, right, wrong, explanation(handbook, measurement, band, &shown))
}

/// "Which of these readings is “Low”?"
fn which_reading(handbook: &Handbook, measurement: &Measurement, band: &Band, random: &mut Random) -> Option<Variant> {
    if measurement.bands.iter().filter(|other| other.label == band.label).count() > 1 {
        return None;
    }
    let mut right_shown = String::new();
    let mut options: Vec<(f64, Choice)> = Vec::new();
    for other in &measurement.bands {
        let (reading, shown) = reading(measurement, other, random);
        if other.id == band.id {
            right_shown.clone_from(&shown);
        }
        options.push((reading, Choice::new(shown, within(reading, band))));
    }
    while options.len() > 4 {
        let out = random.below(options.len());
        if !options[out].1.proof.holds() {
            options.remove(out);
        }
    }
    options.sort_by(|one, other| one.0.total_cmp(&other.0));
    let question = format!("{}: which of these readings does the handbook call {}?", measurement.common.title, quoted(&band.label));
    let texts: Vec<Choice> = options.into_iter().map(|(_, option)| option).collect();
    let wrong: Vec<&str> = texts.iter().filter(|option| !option.proof.holds()).map(|option| option.text.as_str()).collect();
    if gives_away(&question, &right_shown, &wrong) || names_its_figure(&band.label, &right_shown) {
        return None;
    }
    ranked(question, texts, explanation(handbook, measurement, band, &right_shown))
}

/// "What does this reading ask for?"
fn how_grave(handbook: &Handbook, measurement: &Measurement, band: &Band, random: &mut Random) -> Option<Variant> {
    const ASKS: [(Severity, &str); 4] = [
        (Severity::Good, "Good: in order"),
        (Severity::Watch, "Watch: note it and find out more"),
        (Severity::Act, "Act: something has to be put right"),
        (Severity::Stop, "Stop: shut it down and leave it off"),
    ];
    let (_, shown) = reading(measurement, band, random);
    let place = |severity: Severity| ASKS.iter().position(|(known, _)| *known == severity).unwrap_or_default();
    let asks = |severity: Severity| ASKS[place(severity)].1;
    let options =
        ASKS.iter().map(|(severity, text)| Choice::new(*text, Proof::Place { at: place(*severity), right: place(band.severity) }));
    let question = format!("{}: what does a reading of {shown} ask for?", measurement.common.title);
    let because = format!("{}. {}", asks(band.severity), explanation(handbook, measurement, band, &shown));
    ranked(question, options.collect(), because)
}

fn within(reading: f64, band: &Band) -> Proof {
    Proof::Within { reading, from: band.from, to: band.to, open: band.above }
}

/// A reading well inside the band, on a step that a meter shows, and how it is written with its unit.
fn reading(measurement: &Measurement, band: &Band, random: &mut Random) -> (f64, String) {
    let width = band.to - band.from;
    let (low, high) = (band.from + 0.2 * width, band.to - 0.2 * width);
    let (step, decimals) = step(width / 12.0);
    let (first, last) = ((low / step).ceil(), (high / step).floor());
    let ticks = (last - first).max(0.0) as usize + 1;
    let text = format!("{:.decimals$}", (first + random.below(ticks) as f64) * step);
    // What is written is what is asked: the number is read back from the text.
    let value: f64 = text.parse().unwrap_or(low);
    (value, with_unit(&measurement.unit, &fixed(value, decimals)))
}

/// The largest of 1, 2 or 5 times a power of ten that is not above `most`, and the decimals that it needs.
pub(super) fn step(most: f64) -> (f64, usize) {
    let power = most.log10().floor();
    let factor = [5.0, 2.0, 1.0].into_iter().find(|factor| factor * 10f64.powf(power) <= most * 1.000_001).unwrap_or(1.0);
    (factor * 10f64.powf(power), (-power).max(0.0) as usize)
}

fn explanation(handbook: &Handbook, measurement: &Measurement, band: &Band, shown: &str) -> String {
    let reach = if band.above {
        format!("{} and everything above it", with_unit(&measurement.unit, &number(band.from)))
    } else {
        format!("from {} to {}", number(band.from), with_unit(&measurement.unit, &number(band.to)))
    };
    let means = handbook.plain(&band.means);
    format!("{shown} lies in the band {}: {} {}", quoted(&band.label), sentence(&reach), sentence(opening(&means, 420)))
}

/// Whether a label such as "Around the usual 3.5" writes a figure of its own.
fn names_its_figure(label: &str, shown: &str) -> bool {
    label.split(' ').any(|word| word.parse::<f64>().is_ok() && shown.split('\u{a0}').next() == Some(word))
}
