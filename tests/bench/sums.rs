//! How long a thousand calculators take: parsed as YAML and nothing else, read with their places, typed and compiled with their
//! examples worked, and written as scripts. They are the demo's own, each again and again under other ids.
//!
//! usage: cargo bench --bench sums [-- COUNT]

use std::path::Path;
use std::time::Instant;

use bluecone::formula::javascript;
use bluecone::{manuscript, proof};

/// The program's own allocator, as in main.rs.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const RUNS: usize = 7;

type Text = (String, String);

fn main() {
    let count = std::env::args().skip(1).find_map(|given| given.parse().ok()).unwrap_or(1_000);
    match bench(Path::new(env!("CARGO_MANIFEST_DIR")).join("content").as_path(), count) {
        Ok(()) => {}
        Err(words) => {
            eprintln!("sums: {words}");
            std::process::exit(1);
        }
    }
}

fn bench(demo: &Path, count: usize) -> Result<(), String> {
    let (others, own) = texts(demo)?;
    let sums: Vec<Text> = (0..count).map(|at| again(&own[at % own.len()], at / own.len())).collect();
    let bytes: usize = sums.iter().map(|(_, text)| text.len()).sum();
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    println!(
        "{count} calculators out of {}, {:.2} MB; load {}; {RUNS} runs: median (least to most)",
        own.len(),
        bytes as f64 / 1e6,
        load.trim()
    );

    let floor = measured(|| sums.iter().filter(|(_, text)| serde_yaml::from_str::<serde_json::Value>(text).is_ok()).count(), count)?;
    let floor = told("YAML parsed, nothing else", floor, None);

    let without: Vec<Text> = others;
    let short = without.clone();
    let with: Vec<Text> = without.iter().cloned().chain(sums.iter().cloned()).collect();
    let read = measured(|| manuscript::read_texts(sums.iter().cloned()).manuscript.calculators.len(), count)?;
    told("read, with every place", read, Some(floor));

    // What checking the other entries costs is taken off: they are needed, since calculators point at them.
    let (book, rest) = (manuscript::read_texts(with), manuscript::read_texts(without));
    let check = |book: &manuscript::Book| proof::proof(&book.manuscript, book.problems.clone());
    let (handbook, problems) = check(&book);
    let Some(handbook) = handbook else { return Err(format!("the handbook has {} problems", problems.iter().count())) };
    if handbook.calculators.len() != count {
        return Err(format!("{} calculators came out", handbook.calculators.len()));
    }
    let whole = measured(|| check(&book).0.map_or(0, |handbook| handbook.calculators.len()), count)?;
    let base = measured(|| check(&rest).0.map_or(0, |handbook| handbook.calculators.len()), 0)?;
    let without_rest = |all: Vec<f64>| all.iter().zip(&base).map(|(all, base)| all - base).collect();
    told("checked: typed, compiled, all examples", without_rest(whole), Some(floor));
    let few = short.iter().cloned().chain(sums.iter().map(|(path, text)| (path.clone(), one_example(text))));
    let few = manuscript::read_texts(few);
    let whole = measured(|| check(&few).0.map_or(0, |handbook| handbook.calculators.len()), count)?;
    told("checked: typed, compiled, one example each", without_rest(whole), Some(floor));

    let scripts =
        measured(|| handbook.calculators.iter().filter(|sum| !javascript(&sum.common.id, &sum.program).is_empty()).count(), count)?;
    told("written as scripts", scripts, Some(floor));
    Ok(())
}

/// The demo's texts: what is no calculator, and the calculators.
fn texts(demo: &Path) -> Result<(Vec<Text>, Vec<Text>), String> {
    let mut found = Vec::new();
    for entry in walkdir::WalkDir::new(demo).sort_by_file_name().into_iter().flatten().filter(|entry| entry.file_type().is_file()) {
        let path = entry.path().strip_prefix(demo).unwrap_or(entry.path()).to_string_lossy().replace('\\', "/");
        let text = std::fs::read_to_string(entry.path()).map_err(|error| format!("{path}: {error}"))?;
        found.push((path, text));
    }
    // The guide points at the demo's calculators by name; those of the first round keep theirs.
    Ok(found.into_iter().partition(|(path, _)| !path.starts_with("calculators/")))
}

/// The same calculator under another id and title.
fn again((path, text): &Text, round: usize) -> Text {
    if round == 0 {
        return (path.clone(), text.clone());
    }
    let path = path.replace(".yaml", &format!("-{round}.yaml"));
    let text = match text.split_once('\n') {
        Some((title, rest)) if title.starts_with("title: ") => format!("{title} ({round})\n{rest}"),
        _ => text.clone(),
    };
    (path, text)
}

/// The same calculator with its first example only.
fn one_example(text: &str) -> String {
    let (mut kept, mut inside, mut items) = (String::new(), false, 0);
    for line in text.lines() {
        if line.starts_with(|sign: char| sign.is_ascii_lowercase()) {
            (inside, items) = (line == "examples:", 0);
        }
        items += usize::from(inside && line.starts_with("  - "));
        if !inside || items < 2 {
            kept += line;
            kept.push('\n');
        }
    }
    kept
}

/// Seconds of each run; `expected` is what the work must give.
fn measured(work: impl Fn() -> usize, expected: usize) -> Result<Vec<f64>, String> {
    let run = || {
        let start = Instant::now();
        let came = work();
        let seconds = start.elapsed().as_secs_f64();
        if came == expected { Ok(seconds) } else { Err(format!("{came} came out, not {expected}")) }
    };
    run()?;
    (0..RUNS).map(|_| run()).collect()
}

/// Prints one line and gives the median.
fn told(what: &str, mut seconds: Vec<f64>, floor: Option<f64>) -> f64 {
    seconds.sort_by(f64::total_cmp);
    let (median, least, most) = (seconds[seconds.len() / 2] * 1e3, seconds[0] * 1e3, seconds[seconds.len() - 1] * 1e3);
    let ratio = floor.map_or_else(String::new, |floor| format!("  {:.2} of parsing", median / floor / 1e3));
    println!("{what:44} {median:8.1} ms ({least:.1} to {most:.1}){ratio}");
    median / 1e3
}
