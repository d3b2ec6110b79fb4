//! Draw: a handbook and a theme become the files of the site. Pure: the same handbook gives the same bytes.
//!
//! Each kind has a file here that turns its entries into what its template is given; the templates decide how it looks.
//! What other stages derive comes in through [`Extras`].

mod address;
mod backlinks;
mod calculator;
mod check;
mod course;
mod diagnosis;
mod drawn_steps;
mod entry;
mod fault;
mod frame;
mod front;
mod gauge;
mod hazard;
mod highlight;
mod lanes;
mod list;
mod markdown;
mod measurement;
mod pen;
mod plot;
mod quiz;
mod rows;
mod source_entry;
mod sum;
mod symptom;
mod table;
mod task;
mod terminal;
mod walk;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};

use rayon::prelude::*;

use self::backlinks::Backlinks;
use self::entry::Entries;
use self::frame::Frame;
use self::source_entry::Takings;
use crate::diagnosis::Diagnosis;
use crate::formula::{self, Program, Table};
use crate::handbook::{Calculator, Handbook, Name};
use crate::practice::Topic;
use crate::theme::{Theme, ThemeProblem};

pub use address::Address;
pub use gauge::range as band_range;
pub use lanes::{clock, svg as lane_chart};
pub use pen::percent;
pub use plot::svg as plot_drawing;
pub use terminal::{Measures, svg as terminal_drawing};
pub use walk::{Reading, WalkWords};

/// One file of the site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct File {
    /// From the site's root, with `/` between folders.
    pub path: String,
    pub bytes: Vec<u8>,
}

/// What other stages derive, to be put on pages.
#[derive(Debug, Clone, Default)]
pub struct Extras {
    /// Scripts for every page, beside the frame's own, in loading order.
    pub scripts: Vec<Address>,
    /// The computed orders of checks, by symptom.
    pub diagnoses: BTreeMap<Name, Diagnosis>,
    /// The derived quizzes.
    pub topics: Vec<Topic>,
    /// Links between entries that only other stages can see, such as a calculator's tables: who uses whom.
    pub uses: Vec<(Name, Name)>,
}

/// Scripts of the frame and of the gauges.
const SCRIPTS: [(&str, &str); 2] = [("menu.js", include_str!("../browser/menu.js")), ("gauge.js", include_str!("../browser/gauge.js"))];

/// Drawings that a sum redraws, what its page keeps outside itself, and the wiring.
const LANES: (&str, &str) = ("lanes.js", include_str!("../browser/lanes.js"));
const PLOT: (&str, &str) = ("plot.js", include_str!("../browser/plot.js"));
const SUM_ROWS: (&str, &str) = ("sum-rows.js", include_str!("../browser/sum-rows.js"));
const SUM_RESULT: (&str, &str) = ("sum-result.js", include_str!("../browser/sum-result.js"));
const TERMINAL: (&str, &str) = ("terminal.js", include_str!("../browser/terminal.js"));
const SUM_PAGE: [(&str, &str); 2] =
    [("sum-link.js", include_str!("../browser/sum-link.js")), ("calculator.js", include_str!("../browser/calculator.js"))];

/// Draws every page; the files are in the order of their paths.
///
/// # Errors
/// As [`draw_each`].
pub fn draw(handbook: &Handbook, theme: &Theme, extras: &Extras) -> Result<Vec<File>, Vec<ThemeProblem>> {
    let files = Mutex::new(Vec::new());
    draw_each(handbook, theme, extras, &|file| files.lock().unwrap_or_else(PoisonError::into_inner).push(file))?;
    let mut files = files.into_inner().unwrap_or_else(PoisonError::into_inner);
    files.sort_by(|a: &File, b: &File| a.path.cmp(&b.path));
    Ok(files)
}

/// Draws every page and gives each file to `take` as soon as it is done, on all cores and in no order.
///
/// # Errors
/// What is wrong with the theme's templates. A handbook itself cannot be wrong at this stage.
pub fn draw_each(handbook: &Handbook, theme: &Theme, extras: &Extras, take: &(dyn Fn(File) + Sync)) -> Result<(), Vec<ThemeProblem>> {
    let frame = Frame::new(handbook, theme, extras)?;
    let backlinks = Backlinks::of(handbook, &extras.uses);
    let takings = Takings::of(handbook);
    let entries = Entries::new(&frame, &backlinks, &takings, extras);
    let all: Vec<_> = handbook.entries().collect();
    let kinds = front::kinds(&frame);

    let problems = Mutex::new(BTreeSet::new());
    let draw = |drawn: Result<File, ThemeProblem>| match drawn {
        Ok(file) => take(file),
        // A template that is wrong is wrong on each of its pages; it is told once.
        Err(problem) => drop(problems.lock().unwrap_or_else(PoisonError::into_inner).insert(problem)),
    };
    // A core takes the newest of its own tasks and, when it has none, the oldest of another's. So the longest pages begin first, and the
    // short ones, which all cores can share, are left for the end.
    rayon::scope(|scope| {
        scope.spawn(|_| all.par_iter().for_each(|entry| draw(entries.draw(*entry))));
        scope.spawn(|_| walk::each(handbook, &extras.diagnoses, take));
        scope.spawn(|_| handbook.guide.par_iter().for_each(|page| draw(entries.draw_guide(page))));
        scope.spawn(|_| fixed_files(handbook, theme, extras).into_iter().for_each(take));
        if !extras.topics.is_empty() {
            scope.spawn(|_| draw(quiz::list(&frame, &extras.topics)));
        }
        for topic in &extras.topics {
            scope.spawn(|_| take(quiz::script_file(topic)));
            scope.spawn(|_| draw(quiz::page(&frame, topic)));
        }
        for (kind, _) in &kinds {
            scope.spawn(|_| draw(front::list(&frame, *kind)));
        }
        scope.spawn(|_| draw(front::home(&frame)));
        scope.spawn(|_| draw(front::figures(&frame, &takings)));
        scope.spawn(|_| draw(front::a_to_z(&frame)));
    });
    let problems = problems.into_inner().unwrap_or_else(PoisonError::into_inner);
    if problems.is_empty() { Ok(()) } else { Err(problems.into_iter().collect()) }
}

/// The files that no template draws.
fn fixed_files(handbook: &Handbook, theme: &Theme, extras: &Extras) -> Vec<File> {
    let mut files: Vec<File> = theme.assets().map(|(path, bytes)| File::new(&Address::theme(path), bytes)).collect();
    files.push(File::new(&Address::style(), theme.style()));
    files.extend(SCRIPTS.map(|(name, text)| File::new(&Address::script(name), text)));
    if !extras.topics.is_empty() {
        files.push(File::new(&Address::script("quiz-judge.js"), include_str!("../browser/quiz-judge.js")));
        files.push(File::new(&Address::script("quiz.js"), include_str!("../browser/quiz.js")));
    }
    files.extend(sum_files(handbook));
    files
}

/// The scripts of all calculators and of the tables that they pick from; shared ones once.
fn sum_files(handbook: &Handbook) -> Vec<File> {
    let mut shared: BTreeMap<&str, &str> = BTreeMap::new();
    let mut tables: BTreeMap<&str, (&Table, BTreeSet<usize>)> = BTreeMap::new();
    let mut files = Vec::new();
    for calculator in &handbook.calculators {
        let (id, program) = (&calculator.common.id, &calculator.program);
        shared.extend(formula::run_time(program).into_iter().map(|part| (part.file, part.text)));
        shared.extend(sum_drawings(program));
        shared.extend(SUM_PAGE);
        for (table, columns) in formula::table_columns(program) {
            if let Some(found) = program.tables.get(table) {
                tables.entry(table).or_insert_with(|| (found, BTreeSet::new())).1.extend(columns);
            }
        }
        files.push(File::new(&Address::sum_script(id), formula::javascript(id, program)));
    }
    files.extend(shared.into_iter().map(|(name, text)| File::new(&Address::script(name), text)));
    files.extend(tables.into_values().map(|(table, columns)| {
        let script = formula::table_javascript(table, &columns);
        File::new(&Address::table_script(&table.id), script)
    }));
    files
}

/// What a calculator's page loads, in this order: the run-time, tables, the calculator's own script, the wiring last.
fn sum_scripts(calculator: &Calculator) -> Vec<Address> {
    let program = &calculator.program;
    let mut scripts: Vec<Address> = formula::run_time(program).into_iter().map(|part| Address::script(part.file)).collect();
    scripts.extend(formula::table_columns(program).into_keys().map(Address::table_script));
    scripts.push(Address::sum_script(&calculator.common.id));
    scripts.extend(sum_drawings(program).into_iter().map(|(name, _)| Address::script(name)));
    scripts.extend(SUM_PAGE.map(|(name, _)| Address::script(name)));
    scripts
}

fn sum_drawings(program: &Program) -> Vec<(&'static str, &'static str)> {
    let drawings = [
        (program.timeline.is_some(), LANES),
        (program.plot.is_some(), PLOT),
        (program.drawing.is_some(), TERMINAL),
        (!program.lists.is_empty(), SUM_ROWS),
        (!program.result.is_empty(), SUM_RESULT),
    ];
    drawings.into_iter().filter_map(|(needed, file)| needed.then_some(file)).collect()
}

impl File {
    pub fn new(address: &Address, bytes: impl Into<Vec<u8>>) -> Self {
        Self { path: address.path().to_owned(), bytes: bytes.into() }
    }
}
