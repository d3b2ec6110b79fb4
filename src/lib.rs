//! Bluecone turns one folder of entries into an offline handbook.
//!
//! `read → check → link → derive → draw → write`; each stage is a folder here and takes the value that the one before made.

pub mod command;
pub mod diagnosis;
pub mod diagnostic;
pub mod formula;
pub mod handbook;
pub mod manuscript;
pub mod pages;
pub mod practice;
pub mod proof;
pub mod search;
pub mod site;
pub mod source;
pub mod theme;

use std::io;
use std::path::Path;

use rayon::prelude::*;

use diagnostic::Diagnostic;
use handbook::{Calculator, Handbook, Kind, Name};
use pages::{Address, Extras, File};
use search::{Document, Found};
use source::Sources;
use theme::{Theme, ThemeProblem};

/// What reading and checking a handbook gave.
#[derive(Debug)]
pub struct Proofed {
    /// The texts that the diagnostics point into.
    pub sources: Sources,
    /// Sorted by file and place.
    pub diagnostics: Vec<Diagnostic>,
    /// `None` if there is an error among the diagnostics.
    pub handbook: Option<Handbook>,
}

/// Reads and checks the handbook in a folder.
///
/// # Errors
/// The machine cannot read the folder or a file in it. Whatever is wrong with the entries is among the diagnostics.
pub fn proof(folder: &Path) -> io::Result<Proofed> {
    let book = manuscript::read(folder)?;
    let (handbook, problems) = proof::proof(&book.manuscript, book.problems);
    let mut sources = book.manuscript.sources;
    sources.lie_in(&folder.to_string_lossy());
    Ok(Proofed { sources, diagnostics: problems.sorted(), handbook })
}

/// Turns a whole handbook into the files of its site and gives each to `take` as soon as it is done, on all cores and in no order.
///
/// # Errors
/// What is wrong with the theme's templates.
pub fn press(handbook: &Handbook, theme: &Theme, take: &(dyn Fn(File) + Sync)) -> Result<(), Vec<ThemeProblem>> {
    // The index needs nothing of the pages, so each takes a core.
    let rest = || {
        index(handbook).into_par_iter().for_each(take);
        schemas().for_each(take);
    };
    rayon::join(|| draw(handbook, theme, take), rest).0
}

fn draw(handbook: &Handbook, theme: &Theme, take: &(dyn Fn(File) + Sync)) -> Result<(), Vec<ThemeProblem>> {
    // Only the program knows which tables its steps read.
    let reads = |calculator: &Calculator| {
        let user = Name::new(Kind::Calculator, &calculator.common.id);
        calculator.program.tables.keys().map(|table| (user.clone(), Name::new(Kind::Table, table))).collect::<Vec<_>>()
    };
    let extras = Extras {
        diagnoses: diagnosis::diagnoses(handbook, &diagnosis::Limits::default()),
        topics: practice::topics(handbook),
        uses: handbook.calculators.iter().flat_map(reads).collect(),
        scripts: vec![Address::script("search.js")],
    };
    pages::draw_each(handbook, theme, &extras, take)
}

/// What the browser's search loads.
fn index(handbook: &Handbook) -> Vec<File> {
    let (documents, synonyms) = findable(handbook);
    let index = search::Index::build(documents, &synonyms);
    let index = search::files_of(&index);
    let mut files: Vec<File> = index.into_iter().map(|(path, bytes)| File { path, bytes }).collect();
    files.push(File::new(&Address::script("search.js"), search::script()));
    files
}

/// The JSON Schemas of the kinds' files and of `handbook.yaml`, for editors that complete and check entries.
fn schemas() -> impl Iterator<Item = File> {
    let kinds = manuscript::Kind::ALL.iter().filter_map(|kind| Some((kind.name(), manuscript::schema(*kind)?)));
    kinds
        .chain([("handbook", manuscript::handbook_schema())])
        .map(|(name, schema)| File::new(&Address::at(format!("schemas/{name}.schema.json")), format!("{schema:#}\n")))
}

/// Looks words up in a handbook, in the same order as the site's own search.
///
/// # Errors
/// The search engine failed.
pub fn find(handbook: &Handbook, query: &str, limit: usize) -> tantivy::Result<Found> {
    let (documents, synonyms) = findable(handbook);
    search::find(&documents, &synonyms, query, limit)
}

fn findable(handbook: &Handbook) -> (Vec<Document>, Vec<Vec<String>>) {
    let address = |name: &Name| Address::entry(name).path().to_owned();
    (search::documents(handbook, &address), search::synonyms(handbook))
}
