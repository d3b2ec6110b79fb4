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
mod quiz;
mod rows;
mod source_entry;
mod sum;
mod symptom;
mod table;
mod task;
mod terminal;

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use self::backlinks::Backlinks;
use self::entry::Entries;
use self::frame::Frame;
use crate::diagnosis::Diagnosis;
use crate::formula::{self, Program, Table};
use crate::handbook::{Calculator, Handbook, Name};
use crate::practice::Topic;
use crate::theme::{Theme, ThemeProblem};

pub use address::Address;
pub use lanes::svg as lane_chart;
pub use terminal::{Measures, svg as terminal_drawing};

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
const SUM_ROWS: (&str, &str) = ("sum-rows.js", include_str!("../browser/sum-rows.js"));
const TERMINAL: (&str, &str) = ("terminal.js", include_str!("../browser/terminal.js"));
const SUM_PAGE: [(&str, &str); 2] =
    [("sum-link.js", include_str!("../browser/sum-link.js")), ("calculator.js", include_str!("../browser/calculator.js"))];

/// Draws every page; pages are drawn in parallel and returned in the order of their paths.
///
/// # Errors
/// What is wrong with the theme's templates. A handbook itself cannot be wrong at this stage.
pub fn draw(handbook: &Handbook, theme: &Theme, extras: &Extras) -> Result<Vec<File>, Vec<ThemeProblem>> {
    let frame = Frame::new(handbook, theme, extras)?;
    let backlinks = Backlinks::of(handbook, &extras.uses);
    let entries = Entries::new(&frame, &backlinks, extras);
    let all: Vec<_> = handbook.entries().collect();
    let kinds = front::kinds(&frame);

    let mut drawn: Vec<Result<File, ThemeProblem>> = all.par_iter().map(|entry| entries.draw(*entry)).collect();
    drawn.par_extend(handbook.guide.par_iter().map(|page| entries.draw_guide(page)));
    drawn.par_extend(kinds.par_iter().map(|(kind, _)| front::list(&frame, *kind)));
    drawn.par_extend(extras.topics.par_iter().map(|topic| quiz::page(&frame, topic)));
    if !extras.topics.is_empty() {
        drawn.push(quiz::list(&frame, &extras.topics));
    }
    drawn.extend([front::home(&frame), front::a_to_z(&frame), front::figures(&frame)]);

    let (files, problems): (Vec<_>, Vec<_>) = drawn.into_iter().partition(Result::is_ok);
    let mut problems: Vec<ThemeProblem> = problems.into_iter().filter_map(Result::err).collect();
    if !problems.is_empty() {
        // A template that is wrong is wrong on each of its pages; it is told once.
        problems.sort();
        problems.dedup();
        return Err(problems);
    }
    let mut files: Vec<File> = files.into_iter().filter_map(Result::ok).collect();
    files.extend(theme.assets().map(|(path, bytes)| File::new(&Address::theme(path), bytes)));
    files.push(File::new(&Address::style(), theme.style()));
    files.extend(SCRIPTS.map(|(name, text)| File::new(&Address::script(name), text)));
    if !extras.topics.is_empty() {
        files.extend(quiz::scripts(&extras.topics));
        files.push(File::new(&Address::script("quiz-judge.js"), include_str!("../browser/quiz-judge.js")));
        files.push(File::new(&Address::script("quiz.js"), include_str!("../browser/quiz.js")));
    }
    files.extend(sum_files(handbook));
    files.sort_by(|a, b| a.path.cmp(&b.path));
    Ok(files)
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
    let drawings = [(program.timeline.is_some(), LANES), (program.drawing.is_some(), TERMINAL), (!program.lists.is_empty(), SUM_ROWS)];
    drawings.into_iter().filter_map(|(needed, file)| needed.then_some(file)).collect()
}

impl File {
    pub fn new(address: &Address, bytes: impl Into<Vec<u8>>) -> Self {
        Self { path: address.path().to_owned(), bytes: bytes.into() }
    }
}
