//! Presses generated handbooks of several sizes with the real program and holds the time against a floor measured in the same run.
//!
//! usage: bluecone-bench PROGRAM DEMO-BOOK [SIZE...]        sizes are entries, 1000 and 10000 if none is given
//!        bluecone-bench write FOLDER DEMO-BOOK SIZE        only the handbook, for a profiler

mod book;
mod floor;
mod measure;

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use measure::{Spread, run};

const RUNS: usize = 3;

fn main() -> ExitCode {
    let given: Vec<String> = std::env::args().skip(1).collect();
    if let [write, folder, demo, size] = given.as_slice()
        && write == "write"
    {
        let written = book::Words::of(Path::new(demo)).and_then(|words| book::write(Path::new(folder), size.parse().unwrap_or(1_000), &words));
        return match written {
            Ok((entries, bytes)) => {
                println!("{entries} entries, {bytes} bytes");
                ExitCode::SUCCESS
            }
            Err(error) => {
                eprintln!("bluecone-bench: {error}");
                ExitCode::FAILURE
            }
        };
    }
    let mut arguments = given.into_iter();
    let (Some(program), Some(demo)) = (arguments.next(), arguments.next()) else {
        eprintln!("usage: bluecone-bench PROGRAM DEMO-BOOK [SIZE...]");
        return ExitCode::from(2);
    };
    let mut sizes: Vec<usize> = arguments.filter_map(|size| size.parse().ok()).collect();
    if sizes.is_empty() {
        sizes = vec![1_000, 10_000];
    }
    match bench(Path::new(&program), Path::new(&demo), &sizes) {
        Ok(()) => ExitCode::SUCCESS,
        Err(words) => {
            eprintln!("bluecone-bench: {words}");
            ExitCode::FAILURE
        }
    }
}

fn bench(program: &Path, demo: &Path, sizes: &[usize]) -> Result<(), String> {
    println!("{} cores, load {}, {RUNS} runs each: median (least to most)", rayon::current_num_threads(), load());
    let work = std::env::temp_dir().join(format!("bluecone-bench-{}", std::process::id()));
    let result = (|| {
        let n_demo = walkdir::WalkDir::new(demo).into_iter().flatten().filter(|entry| entry.file_type().is_file()).count();
        println!("\nDemo handbook, {n_demo} files");
        one(program, demo, &work.join("demo"), n_demo)?;
        let words = book::Words::of(demo).map_err(|error| format!("cannot read {}: {error}", demo.display()))?;
        let mut per_entry: Vec<(usize, f64)> = Vec::new();
        for &size in sizes {
            let folder = work.join(format!("book-{size}"));
            let (entries, bytes) = book::write(&folder, size, &words).map_err(|error| format!("cannot write {}: {error}", folder.display()))?;
            println!("\n{entries} entries, {:.2} kB each", bytes as f64 / entries as f64 / 1e3);
            let seconds = one(program, &folder, &work.join(format!("size-{size}")), entries)?;
            per_entry.push((entries, seconds / entries as f64));
        }
        if let [(few, small), .., (many, large)] = per_entry[..] {
            println!("\nGrowth from {few} to {many} entries: an entry costs {:.2} times as much (1 is linear)", large / small);
        }
        Ok(())
    })();
    let _ = std::fs::remove_dir_all(&work);
    result
}

/// Measures one handbook and prints it; gives the median seconds of a press into a fresh folder.
fn one(program: &Path, book: &Path, work: &Path, entries: usize) -> Result<f64, String> {
    std::fs::create_dir_all(work).map_err(|error| error.to_string())?;
    let text = |path: &Path| path.to_string_lossy().into_owned();
    let book_text = text(book);
    let mut memory = 0;
    let mut measured = |arguments: &dyn Fn(usize) -> Vec<String>| -> Result<Spread, String> {
        let mut seconds = Vec::new();
        for number in 0..RUNS {
            let ran = run(program, &arguments(number))?;
            seconds.push(ran.seconds);
            memory = memory.max(ran.peak_kilobytes);
        }
        Ok(Spread::of(seconds))
    };
    // Nothing is removed before the end: some file systems take several times as long to make files after many were removed.
    let site = |number: usize| work.join(format!("site-{number}"));
    let press_to = |number| ["press", &book_text, "--to", &text(&site(number))].map(str::to_owned).to_vec();
    let press = measured(&press_to)?;
    println!("  press, fresh folder   {press}   {:.3} ms an entry", press.median * 1e3 / entries as f64);
    let again = measured(&|_| press_to(0))?;
    println!("  press, nothing new    {again}");
    let proof = measured(&|_| ["proof", &book_text].map(str::to_owned).to_vec())?;
    println!("  proof only            {proof}");
    println!("  peak memory           {:.0} MB", memory as f64 / 1e3);

    let finished = floor::finished(&site(0)).map_err(|error| error.to_string())?;
    let bytes: usize = finished.iter().map(|(_, bytes)| bytes.len()).sum();
    let mut floors = Vec::new();
    for (name, cores) in [("one core", 1), ("both cores", rayon::current_num_threads())] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(cores).build().map_err(|error| error.to_string())?;
        let mut totals = Vec::new();
        let mut parts = floor::Parts::default();
        for number in 0..RUNS {
            let to: PathBuf = work.join(format!("floor-{cores}-{number}"));
            parts = pool.install(|| floor::run(book, &finished, &to))?;
            totals.push(parts.total());
        }
        let floor = Spread::of(totals);
        println!("  floor, {name:<14} {floor}   last run: read and parse {:.3}, Markdown {:.3}, write {:.3} s", parts.parse, parts.render, parts.write);
        floors.push((name, floor.median));
    }
    println!("  site                  {} files, {:.1} MB", finished.len(), bytes as f64 / 1e6);
    for (name, floor) in floors {
        println!("  press / floor         {:.2} ({name})", press.median / floor);
    }
    let _ = std::fs::remove_dir_all(work);
    Ok(press.median)
}

/// The machine's load over the last minute, for whoever compares figures.
fn load() -> String {
    std::fs::read_to_string("/proc/loadavg").ok().and_then(|text| text.split(' ').next().map(str::to_owned)).unwrap_or_else(|| "unknown".to_owned())
}
