//! Generated handbooks: a realistic mix of kinds, about 2 kB an entry, valid, the same on every machine. The words and how
//! often they come are those of the demo handbook, so that search and drawing have something like real text to do.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::fs;
use std::path::Path;

/// Entries of each kind in a hundred.
const SYMPTOMS: usize = 8;
const FAULTS: usize = 12;
const CHECKS: usize = 16;
const MEASUREMENTS: usize = 8;
const SAFETY: usize = 5;
const TASKS: usize = 8;
const TABLES: usize = 5;
const CALCULATORS: usize = 2;
const TERMS: usize = 33;
const SOURCES: usize = 2;
const STAGES: [&str; 4] = ["pre-purge", "igniter-warm-up", "trial-for-ignition", "run"];

/// Words with their frequency, drawn with a generator whose whole state is a number.
pub struct Words {
    /// In the order of their spelling, each with the running sum of the counts up to it.
    words: Vec<(String, u64)>,
}

impl Words {
    /// The words of all prose of a handbook.
    pub fn of(book: &Path) -> std::io::Result<Self> {
        let mut counts: BTreeMap<String, u64> = BTreeMap::new();
        for entry in walkdir::WalkDir::new(book).sort_by_file_name() {
            let entry = entry.map_err(std::io::Error::from)?;
            if entry.file_type().is_file() {
                let text = fs::read_to_string(entry.path())?;
                for word in text.split(|letter: char| !letter.is_ascii_alphabetic()).filter(|word| word.len() > 1) {
                    *counts.entry(word.to_lowercase()).or_default() += 1;
                }
            }
        }
        let mut sum = 0;
        let words = counts.into_iter().map(|(word, count)| {
            sum += count;
            (word, sum)
        });
        Ok(Self { words: words.collect() })
    }

    fn draw(&self, random: &mut Random) -> &str {
        let total = self.words.last().map_or(1, |(_, sum)| *sum);
        let at = random.below(total);
        let index = self.words.partition_point(|(_, sum)| *sum <= at);
        self.words.get(index).map_or("gas", |(word, _)| word)
    }
}

/// SplitMix64.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    fn below(&mut self, limit: u64) -> u64 {
        self.next() % limit.max(1)
    }
}

/// Writes one entry after another.
struct Author<'a> {
    folder: &'a Path,
    words: &'a Words,
    random: Random,
    entries: usize,
    bytes: usize,
}

impl Author<'_> {
    fn sentence(&mut self, n_words: usize) -> String {
        let words: Vec<&str> = (0..n_words).map(|_| self.words.draw(&mut self.random)).collect();
        let mut text = words.join(" ");
        if let Some(first) = text.get_mut(0..1) {
            first.make_ascii_uppercase();
        }
        text
    }

    /// Markdown paragraphs of about this many letters, indented for a block of YAML, with links and a list.
    fn prose(&mut self, letters: usize, links: &[String]) -> String {
        let mut text = String::new();
        let mut links = links.iter();
        while text.len() < letters {
            let n_words = 8 + self.random.below(9) as usize;
            let sentence = self.sentence(n_words);
            match self.random.below(5) {
                0 => drop(writeln!(text, "  - {sentence}.")),
                1 => drop(writeln!(text, "\n  **{sentence}.** See [the entry]({}).\n", links.next().map_or("check:prove-dead", String::as_str))),
                _ => drop(writeln!(text, "  {sentence}.")),
            }
        }
        text
    }

    fn entry(&mut self, folder: &str, id: &str, text: &str) -> std::io::Result<()> {
        let path = self.folder.join(folder);
        if self.entries == 0 || !path.is_dir() {
            fs::create_dir_all(&path)?;
        }
        self.entries += 1;
        self.bytes += text.len();
        fs::write(path.join(format!("{id}.yaml")), text)
    }

    /// Title, summary and other names; the number makes the title the only one of its kind.
    fn head(&mut self, word: &str, number: usize) -> String {
        let (title, summary) = (self.sentence(3), self.sentence(14));
        let (one, two) = (self.sentence(2).to_lowercase(), self.sentence(2).to_lowercase());
        format!("title: '{word} {number} {}'\nsummary: '{summary}.'\nalso: ['{one} {number}', '{two} {number}']\n", title.to_lowercase())
    }
}

/// Writes a handbook of about `size` entries; gives their number and bytes.
pub fn write(folder: &Path, size: usize, words: &Words) -> std::io::Result<(usize, usize)> {
    fs::create_dir_all(folder)?;
    fs::write(folder.join("handbook.yaml"), HANDBOOK)?;
    let mut author = Author { folder, words, random: Random(size as u64), entries: 0, bytes: 0 };
    author.entry("sources", "common-practice", "title: Common practice\nsummary: What the trade does everywhere.\nkind: common-practice\n")?;
    author.entry("safety", "prove-dead-first", PROVE_DEAD_FIRST)?;
    author.entry("checks", "prove-dead", PROVE_DEAD)?;
    for cluster in 0..size.div_ceil(100) {
        hundred(&mut author, cluster)?;
    }
    Ok((author.entries, author.bytes))
}

/// A hundred entries that refer to one another, as the entries for one appliance would.
fn hundred(author: &mut Author, cluster: usize) -> std::io::Result<()> {
    let id = |kind: &str, number: usize| format!("{kind}-{cluster}-{number}");
    let name = |kind: &str, number: usize| format!("{kind}:{kind}-{cluster}-{number}");
    let links = |number: usize| -> Vec<String> { (0..6).map(|step| name("term", (number * 5 + step * 7) % TERMS)).collect() };
    let number_of = |number: usize| cluster * 100 + number;

    for number in 0..SYMPTOMS {
        let head = author.head("Symptom", number_of(number));
        let suspects: Vec<usize> = (0..4).map(|step| (number + step * 3) % FAULTS).collect();
        let mut text = format!("{head}stage: {}\nseen: |\n{}faults:\n", STAGES[number % STAGES.len()], author.prose(500, &links(number)));
        for (at, fault) in suspects.iter().enumerate() {
            let _ = writeln!(text, "  - {{fault: {}, weight: {}, basis: judgement}}", name("fault", *fault), 40 - at * 10);
        }
        let checks: Vec<String> = suspects.iter().map(|fault| name("check", *fault)).collect();
        let _ = write!(text, "checks: [check:prove-dead, {}]\nsafety: [safety:prove-dead-first]\nbody: |\n{}", checks.join(", "), author.prose(700, &links(number + 1)));
        author.entry("symptoms", &id("symptom", number), &text)?;
    }
    for number in 0..FAULTS {
        let head = author.head("Fault", number_of(number));
        let (cause, signs, body) = (author.prose(500, &links(number)), author.prose(500, &links(number + 2)), author.prose(400, &links(number + 3)));
        let (mend, check) = (name("task", number % TASKS), name("check", number));
        author.entry("faults", &id("fault", number), &format!("{head}part: Igniter\ncause: |\n{cause}signs: |\n{signs}mend: {mend}\nproved-by: {check}\nbody: |\n{body}"))?;
    }
    for number in 0..CHECKS {
        check(author, cluster, number)?;
    }
    for number in 0..MEASUREMENTS {
        let head = author.head("Measurement", number_of(number));
        let (place, how, meter) = (author.prose(300, &links(number)), author.prose(300, &[]), author.prose(250, &[]));
        let means: Vec<String> = (0..3).map(|_| author.sentence(18)).collect();
        let text = format!(
            "{head}quantity: resistance\nunit: Ohm\nscale: {{from: 0, to: 400}}\nstate: {}\ntouches: [line-voltage]\nsafety: [safety:prove-dead-first]\nwhere: |\n{place}how: |\n{how}meter: |\n{meter}bands:\n  \
             - {{id: low, from: 0, to: 40, label: Too low, severity: act, means: '{}.'}}\n  - {{id: normal, from: 40, to: 90, label: Usual, severity: good, means: '{}.'}}\n  \
             - {{id: high, from: 90, to: 400, above: true, label: Too high, severity: act, means: '{}.'}}\nsources: [{{from: source:common-practice}}]\n",
            state(number), means[0], means[1], means[2]
        );
        author.entry("measurements", &id("measurement", number), &text)?;
    }
    for number in 0..SAFETY {
        let head = author.head("Note", number_of(number));
        let (hazard, when) = (author.prose(500, &links(number)), author.prose(300, &[]));
        let controls: String = (0..6).map(|_| format!("  - '{}.'\n", author.sentence(16))).collect();
        author.entry("safety", &id("safety", number), &format!("{head}signal: warning\nhazard: |\n{hazard}controls:\n{controls}when: |\n{when}sources: [{{from: source:common-practice}}]\n"))?;
    }
    for number in 0..TASKS {
        let head = author.head("Task", number_of(number));
        let steps: String = (0..9).map(|_| format!("  - do: |\n{}", deeper(&author.prose(130, &links(number))))).collect();
        let safety = name("safety", number % SAFETY);
        author.entry(
            "tasks",
            &id("task", number),
            &format!(
                "{head}state: isolated\ntouches: [line-voltage]\nminutes: 25\ntools: [Multimeter, Nut driver]\nsafety: [safety:prove-dead-first, {safety}]\nsteps:\n  - {{do: Prove dead., use: [check:prove-dead]}}\n{steps}closing: [{}]\nsources: [{{from: source:common-practice}}]\n",
                name("check", number)
            ),
        )?;
    }
    for number in 0..TABLES {
        let head = author.head("Table", number_of(number));
        let rows: String = (0..24).map(|row| format!("  - ['{row} AWG', {}, {}, {}]\n", row * 100 + 50, row + 2, row * 3 + 1)).collect();
        let notes = author.prose(500, &links(number));
        author.entry(
            "tables",
            &id("table", number),
            &format!(
                "{head}key: size\ncolumns:\n  - {{id: size, title: Size, kind: text}}\n  - {{id: area, title: Area}}\n  - {{id: amps, title: Current, unit: A}}\n  - {{id: drop, title: Drop, unit: V}}\norder: area\nrows:\n{rows}notes: |\n{notes}see: [{}]\nsources: [{{from: {}}}]\n",
                name("table", (number + 1) % TABLES),
                name("source", number % SOURCES)
            ),
        )?;
    }
    for number in 0..CALCULATORS {
        let head = author.head("Sum", number_of(number));
        let body = author.prose(300, &links(number));
        author.entry("calculators", &id("calculator", number), &format!("{head}{CALCULATOR}body: |\n{body}next: [{}]\nsources: [{{from: source:common-practice}}]\n", name("check", number)))?;
    }
    for number in 0..TERMS {
        let head = author.head("Word", number_of(number));
        let body = author.prose(1_700, &links(number + 1));
        author.entry("terms", &id("term", number), &format!("{head}body: |\n{body}"))?;
    }
    for number in 0..SOURCES {
        let head = author.head("Source", number_of(number));
        let note = author.prose(900, &[]);
        author.entry("sources", &id("source", number), &format!("{head}kind: recalled\nnote: |\n{note}"))?;
    }
    let head = author.head("Course", number_of(0));
    let lessons: Vec<String> = (0..SYMPTOMS).map(|at| name("symptom", at)).chain((0..SAFETY).map(|at| name("safety", at))).chain((0..CHECKS).map(|at| name("check", at))).collect();
    let goal = author.sentence(14);
    author.entry(
        "courses",
        &id("course", 0),
        &format!("{head}modules:\n  - title: All of it\n    goal: '{goal}.'\n    lessons: [{}]\n    quiz: {{items: 8, topics: [bands, terms]}}\n    sign-off: [Does it alone.]\n", lessons.join(", ")),
    )
}

/// Prose for a block of YAML that lies in a list.
fn deeper(prose: &str) -> String {
    prose.lines().map(|line| if line.is_empty() { "\n".to_owned() } else { format!("    {line}\n") }).collect()
}

/// Of a check, and of the measurement that it takes.
fn state(number: usize) -> &'static str {
    if number % 3 == 0 { "powered" } else { "isolated" }
}

/// The first eight take a reading; each tells the fault of its own number from the others.
fn check(author: &mut Author, cluster: usize, number: usize) -> std::io::Result<()> {
    let name = |kind: &str, number: usize| format!("{kind}:{kind}-{cluster}-{number}");
    let head = author.head("Check", cluster * 100 + number);
    let state = state(number);
    let after = if state == "powered" { "" } else { "after: [check:prove-dead]\n" };
    let steps: String = (0..6).map(|_| format!("  - '{}.'\n", author.sentence(18))).collect();
    let means: Vec<String> = (0..3).map(|_| author.sentence(16)).collect();
    let fault = name("fault", number % FAULTS);
    let outcomes = if number < MEASUREMENTS {
        format!(
            "measures: {}\nsteps:\n{steps}outcomes:\n  - {{id: low, band: low, means: '{}.', keeps: [{fault}]}}\n  - {{id: normal, band: normal, means: '{}.', drops: [{fault}]}}\n  - {{id: high, band: high, means: '{}.', keeps: [{fault}]}}\n",
            name("measurement", number),
            means[0],
            means[1],
            means[2]
        )
    } else {
        format!("steps:\n{steps}outcomes:\n  - {{id: found, seen: It is there, means: '{}.', keeps: [{fault}]}}\n  - {{id: none, seen: It is not there, means: '{}.', drops: [{fault}]}}\n", means[0], means[1])
    };
    let body = author.prose(350, &[name("term", number)]);
    author.entry(
        "checks",
        &format!("check-{cluster}-{number}"),
        &format!(
            "{head}state: {state}\ntouches: [line-voltage]\nminutes: {}\ntools: [Multimeter]\n{after}safety: [safety:prove-dead-first, {}]\n{outcomes}body: |\n{body}see: [{}]\nsources: [{{from: source:common-practice}}]\n",
            3 + number % 9,
            name("safety", number % SAFETY),
            name("table", number % TABLES)
        ),
    )
}

const HANDBOOK: &str = "\
title: Generated handbook
shop: Quarry Lane Heating
edition: For measuring
book-id: generated-handbook
language: en
units: us
invented: true
notice: Quarry Lane Heating is an invented shop, and this text is made of words drawn by chance.
caution: Gas, line voltage and flue gas can kill. This text is not advice.
stages:
  - {id: pre-purge, title: Pre-purge, normal: Air washes leftover gas out.}
  - {id: igniter-warm-up, title: Igniter warm-up, normal: The igniter glows.}
  - {id: trial-for-ignition, title: Trial for ignition, normal: Gas lights softly.}
  - {id: run, title: Run, normal: The flame burns steady.}
state-changes:
  - {from: isolated, to: powered, minutes: 3}
  - {from: powered, to: isolated, minutes: 4}
safety-rules:
  - id: line-voltage-proved-dead
    title: Isolated work near line voltage is proved dead first
    applies-to: [check, task]
    touches: line-voltage
    states: [isolated]
    needs-safety: [safety:prove-dead-first]
    needs-before: [check:prove-dead]
    why: A switch in the off position is only a belief.
";

const PROVE_DEAD_FIRST: &str = "\
title: Prove it dead before you touch
summary: Lock the power off, then show that every conductor is dead.
signal: danger
hazard: A switch can be mislabelled.
controls: [Lock it off., Prove it dead.]
when: Before any hands-on work near line-voltage parts.
sources: [{from: source:common-practice}]
";

const PROVE_DEAD: &str = "\
title: Prove the circuit dead
summary: Isolate, lock, then test with a proven meter.
state: isolated
touches: [line-voltage]
minutes: 6
safety: [safety:prove-dead-first]
steps: [Read a live source., Read the circuit., Read the live source again.]
outcomes:
  - {id: dead, seen: Every point reads zero, means: Work may begin.}
  - {id: live, seen: A point still shows a voltage, means: Stop.}
sources: [{from: source:common-practice}]
";

const CALCULATOR: &str = "\
inputs:
  - {id: current, title: Current, unit: A, from: 0, to: 30, start: 4}
  - {id: resistance, title: Resistance of one wire, unit: Ohm, from: 0, to: 10, start: 0.5}
  - {id: supply, title: Supply, unit: V, from: 10, to: 300, start: 24}
steps:
  - {id: drop, title: Voltage drop, unit: V, formula: 2 * current * resistance}
  - {id: share, title: Share of the supply, unit: '%', formula: drop / supply}
  - {id: left, title: Volts left, unit: V, formula: 'max(0 [V], supply - drop)'}
verdicts:
  - on: share
    title: Drop
    bands:
      - {to: '5 [%]', severity: good, says: Little is lost.}
      - {from: '5 [%]', severity: act, says: Too much is lost.}
examples:
  - title: Four amperes through half an ohm each way
    given: {current: 4 A, resistance: 0.5 Ohm, supply: 40 V}
    expect: {drop: 4 V, share: 10 %, left: 36 V}
    source: {from: source:common-practice}
";
