//! From a folder, or from texts in memory, to a manuscript and the problems found on the way.

use std::io;
use std::path::Path;

use rayon::prelude::*;

use crate::diagnostic::{Code, Diagnostic, Problems};
use crate::source::{Inset, Placed, Source, SourceId, Span};

use super::decode::{Fields, is_key_of};
use super::entry::{Common, Entry};
use super::file::{self, Opened};
use super::folder::{self, Listed, Role};
use super::guide::{self, GuidePage};
use super::handbook::HandbookFile;
use super::kind::Kind;
use super::node::{Node, NodeKind};
use super::record::Record;
use super::schema::has_field;
use super::{Calculator, Check, Course, Fault, Measurement, Safety, SourceEntry, Symptom, Table, Task, Term};
use super::{Manuscript, yaml};

/// How many problems of one file are told.
const MOST_PROBLEMS: usize = 100;

/// What reading gives. With errors among the problems the manuscript lacks the entries that have them.
#[derive(Debug, Clone, Default)]
pub struct Book {
    pub manuscript: Manuscript,
    pub problems: Problems,
}

/// Reads a handbook's folder.
///
/// Paths in [`Source::path`] start at the folder. All problems of all files are told, not only the first.
///
/// # Errors
/// The folder or a file in it cannot be read from the disk. Whatever is wrong with what the files hold is not an error
/// but stands in [`Book::problems`].
pub fn read(folder: &Path) -> io::Result<Book> {
    let files = folder::list(folder)?;
    let paths = paths(files.iter().map(|(listed, _)| listed));
    let read: Vec<io::Result<File>> = files
        .par_iter()
        .enumerate()
        .map(|(at, (listed, path))| {
            let source = SourceId(at as u32);
            let opened = match listed.role {
                Role::Refused(_) => Opened { text: String::new(), problem: None },
                _ => file::open(source, path)?,
            };
            Ok(File::read(source, listed, opened, &paths))
        })
        .collect();
    Ok(gather(read.into_iter().collect::<io::Result<_>>()?))
}

/// Reads a handbook from texts in memory, each with its path from the handbook's folder on.
pub fn read_texts<P: Into<String>, T: Into<Vec<u8>>>(files: impl IntoIterator<Item = (P, T)>) -> Book {
    let files = folder::list_texts(files.into_iter().map(|(path, text)| (path.into(), text.into())));
    let paths = paths(files.iter().map(|(listed, _)| listed));
    let read = files
        .into_iter()
        .enumerate()
        .map(|(at, (listed, bytes))| {
            let source = SourceId(at as u32);
            let opened = match listed.role {
                Role::Refused(_) => Opened { text: String::new(), problem: None },
                _ => file::text(source, bytes),
            };
            File::read(source, &listed, opened, &paths)
        })
        .collect();
    gather(read)
}

fn paths<'a>(files: impl Iterator<Item = &'a Listed>) -> Vec<String> {
    files.map(|listed| listed.path.clone()).collect()
}

/// What one file gave.
struct File {
    source: Source,
    problems: Problems,
    /// Kind and id of the entry that the file is, or of those that it would be if it stood in its place.
    entries: Vec<(Kind, String)>,
    part: Option<Part>,
}

enum Part {
    Handbook(Box<HandbookFile>),
    Record,
    Symptom(Box<Entry<Symptom>>),
    Fault(Box<Entry<Fault>>),
    Check(Box<Entry<Check>>),
    Measurement(Box<Entry<Measurement>>),
    Safety(Box<Entry<Safety>>),
    Task(Box<Entry<Task>>),
    Table(Box<Entry<Table>>),
    Calculator(Box<Entry<Calculator>>),
    Term(Box<Entry<Term>>),
    Source(Box<Entry<SourceEntry>>),
    Course(Box<Entry<Course>>),
    Guide(GuidePage),
}

impl File {
    /// Reads one file; depends on nothing but the file, so files can be read in any order.
    fn read(id: SourceId, listed: &Listed, opened: Opened, paths: &[String]) -> Self {
        let mut problems = Problems::default();
        let mut entries = match &listed.role {
            Role::Entry { kind, id, .. } => vec![(*kind, id.clone())],
            _ => listed.unread.clone(),
        };
        let mut part = None;
        if let Some(mut problem) = opened.problem {
            problem.hints.extend(how_it_begins(&listed.role).filter(|_| problem.code == Code::EmptyFile));
            problems.add(problem);
        } else {
            part = match &listed.role {
                Role::Refused(refusal) => {
                    let place_of = |path: &str| paths.binary_search_by(|known| known.as_str().cmp(path)).ok();
                    problems.add(refusal.diagnostic(id, |path| place_of(path).map(|at| SourceId(at as u32))));
                    None
                }
                Role::Handbook => fields(id, listed, &opened.text, &mut problems)
                    .and_then(|node| decode_handbook(node, &mut problems))
                    .map(|handbook| Part::Handbook(Box::new(handbook))),
                Role::Record => Some(Part::Record),
                Role::Entry { kind: Kind::Guide, id: name, number } => {
                    let name = Placed::new(name.clone(), Span::new(id, 0, 0));
                    guide::page(name, *number, Inset::plain(id, opened.text.clone(), 0), &mut problems).map(Part::Guide)
                }
                Role::Entry { kind, id: name, .. } => {
                    let name = Placed::new(name.clone(), Span::new(id, 0, 0));
                    fields(id, listed, &opened.text, &mut problems).and_then(|node| match kind_of_fields(*kind, &node) {
                        Some(other) => {
                            let message = format!("these are the fields of a {}, but the file stands in `{}`", other.name(), kind.folder());
                            let hint = format!("move the file to the folder `{}`", other.folder());
                            problems.add(Diagnostic::new(Code::UnreadEntry, node.place(), message).hint(hint));
                            entries.push((other, name.value));
                            None
                        }
                        None => decode(*kind, name, node, &mut problems),
                    })
                }
            };
        }
        let problems = at_most(MOST_PROBLEMS, problems);
        Self { source: Source::new(listed.path.clone(), opened.text), problems, entries, part }
    }
}

/// A file's YAML, if it is a map of fields; tells how such a file begins if it holds something else or nothing.
fn fields(id: SourceId, listed: &Listed, text: &str, problems: &mut Problems) -> Option<Node> {
    let mut found = Problems::default();
    let node = yaml::parse(id, text, &mut found);
    for mut problem in found.sorted() {
        problem.hints.extend(how_it_begins(&listed.role).filter(|_| problem.code == Code::EmptyFile));
        problems.add(problem);
    }
    let node = node?;
    if matches!(node.kind, NodeKind::Map(_)) {
        return Some(node);
    }
    let mut problem = Diagnostic::new(Code::WrongType, node.place(), format!("expected a map of fields, found {}", node.found()));
    if let NodeKind::List(items) = &node.kind
        && let [Node { kind: NodeKind::Map(_), .. }, others @ ..] = items.as_slice()
    {
        problem = problem.hint(match (&listed.role, others) {
            (Role::Handbook, _) | (_, []) => "take the `- ` out, and put all fields below one another",
            _ => "one file is one entry: take the `- ` out, and give each further entry a file of its own",
        });
    }
    if problem.hints.is_empty() {
        problem.hints.extend(how_it_begins(&listed.role));
    }
    problems.add(problem);
    None
}

/// The one other kind that knows every field of an entry of which its own kind does not know most.
fn kind_of_fields(kind: Kind, node: &Node) -> Option<Kind> {
    const MANY: usize = 3;
    let NodeKind::Map(entries) = &node.kind else { return None };
    let keys = entries.iter().map(|(key, _)| key.value.as_str());
    let is_key_of_all = |key: &str| Common::fields().iter().any(|field| is_key_of(field.name, key));
    let own: Vec<&str> = keys.filter(|key| !is_key_of_all(key)).collect();
    let unknown = |kind: Kind| own.iter().filter(|key| !has_field(kind, key)).count();
    if own.len() < MANY || 2 * unknown(kind) <= own.len() {
        return None;
    }
    let mut others = Kind::entries().filter(|other| *other != kind && unknown(*other) == 0);
    let other = others.next()?;
    others.next().is_none().then_some(other)
}

/// What the first line of a file is, and where the guide shows the rest.
fn how_it_begins(role: &Role) -> Option<String> {
    let about = match role {
        Role::Handbook => "the handbook file",
        Role::Entry { kind: Kind::Guide, .. } => return Some("begin with a heading such as `# Title`".to_owned()),
        Role::Entry { kind, .. } => kind.folder(),
        Role::Record | Role::Refused(_) => return None,
    };
    Some(format!("begin with `title: …`, one field a line; the guide's page on {about} shows all fields and an example"))
}

/// The first problems of a file that has more than anyone would read, and a word on the rest.
fn at_most(limit: usize, problems: Problems) -> Problems {
    if problems.len() <= limit {
        return problems;
    }
    let mut first = Problems::default();
    let sorted = problems.sorted();
    let left = sorted.len().saturating_sub(limit);
    for (at, mut problem) in sorted.into_iter().take(limit).enumerate() {
        if at + 1 == limit && left > 0 {
            problem = problem.hint(format!("the file has {left} more problems"));
        }
        first.add(problem);
    }
    first
}

fn decode_handbook(node: Node, problems: &mut Problems) -> Option<HandbookFile> {
    super::decode::Decode::decode(node, problems)
}

fn decode(kind: Kind, id: Placed<String>, node: Node, problems: &mut Problems) -> Option<Part> {
    match kind {
        Kind::Symptom => entry(kind, id, node, problems).map(Part::Symptom),
        Kind::Fault => entry(kind, id, node, problems).map(Part::Fault),
        Kind::Check => entry(kind, id, node, problems).map(Part::Check),
        Kind::Measurement => entry(kind, id, node, problems).map(Part::Measurement),
        Kind::Safety => entry(kind, id, node, problems).map(Part::Safety),
        Kind::Task => entry(kind, id, node, problems).map(Part::Task),
        Kind::Table => entry(kind, id, node, problems).map(Part::Table),
        Kind::Calculator => entry(kind, id, node, problems).map(Part::Calculator),
        Kind::Term => entry(kind, id, node, problems).map(Part::Term),
        Kind::Source => entry(kind, id, node, problems).map(Part::Source),
        Kind::Course => entry(kind, id, node, problems).map(Part::Course),
        Kind::Guide => None,
    }
}

/// One entry: the common fields and the kind's own stand in one map.
fn entry<T: Record>(kind: Kind, id: Placed<String>, node: Node, problems: &mut Problems) -> Option<Box<Entry<T>>> {
    let mut fields = Fields::open(node, "a map of fields", problems)?;
    fields.mend(&Common::fields().into_iter().chain(T::fields()).collect::<Vec<_>>(), problems);
    let sources = fields.place_of("sources");
    let place = fields.place;
    let common = Common::take(&mut fields, problems);
    let written = T::take(&mut fields, problems);
    fields.close(problems);
    if kind.needs_sources() && (sources.is_none() || common.as_ref().is_some_and(|common| common.sources.is_empty())) {
        problems.add(
            Diagnostic::new(
                Code::MissingSource,
                sources.unwrap_or(place),
                "expected at least one source for the figures of this entry, found none",
            )
            .hint("add `sources:` with `- {from: source:…}`"),
        );
        return None;
    }
    Some(Box::new(Entry { id, common: common?, written: written? }))
}

/// Room for all entries: lists that grow would be copied again and again, and leave gaps in memory behind.
fn make_room(manuscript: &mut Manuscript, files: &[File]) {
    let count = |kind: Kind| files.iter().flat_map(|file| &file.entries).filter(|entry| entry.0 == kind).count();
    manuscript.symptoms.reserve_exact(count(Kind::Symptom));
    manuscript.faults.reserve_exact(count(Kind::Fault));
    manuscript.checks.reserve_exact(count(Kind::Check));
    manuscript.measurements.reserve_exact(count(Kind::Measurement));
    manuscript.safety.reserve_exact(count(Kind::Safety));
    manuscript.tasks.reserve_exact(count(Kind::Task));
    manuscript.tables.reserve_exact(count(Kind::Table));
    manuscript.calculators.reserve_exact(count(Kind::Calculator));
    manuscript.terms.reserve_exact(count(Kind::Term));
    manuscript.source_entries.reserve_exact(count(Kind::Source));
    manuscript.courses.reserve_exact(count(Kind::Course));
}

fn gather(files: Vec<File>) -> Book {
    let mut book = Book::default();
    let mut handbook_seen = false;
    make_room(&mut book.manuscript, &files);
    for file in files {
        let source = book.manuscript.sources.add(file.source);
        handbook_seen |= book.manuscript.sources.get(source).is_some_and(|source| source.path == "handbook.yaml");
        book.problems.append(file.problems);
        let manuscript = &mut book.manuscript;
        match file.part {
            Some(Part::Handbook(handbook)) => manuscript.handbook = Some(*handbook),
            Some(Part::Record) => manuscript.records.push(source),
            Some(Part::Symptom(entry)) => manuscript.symptoms.push(*entry),
            Some(Part::Fault(entry)) => manuscript.faults.push(*entry),
            Some(Part::Check(entry)) => manuscript.checks.push(*entry),
            Some(Part::Measurement(entry)) => manuscript.measurements.push(*entry),
            Some(Part::Safety(entry)) => manuscript.safety.push(*entry),
            Some(Part::Task(entry)) => manuscript.tasks.push(*entry),
            Some(Part::Table(entry)) => manuscript.tables.push(*entry),
            Some(Part::Calculator(entry)) => manuscript.calculators.push(*entry),
            Some(Part::Term(entry)) => manuscript.terms.push(*entry),
            Some(Part::Source(entry)) => manuscript.source_entries.push(*entry),
            Some(Part::Course(entry)) => manuscript.courses.push(*entry),
            Some(Part::Guide(page)) => manuscript.guide.push(page),
            None => manuscript.unread.extend(file.entries),
        }
    }
    if !handbook_seen {
        let source = book.manuscript.sources.add(Source::new("handbook.yaml", ""));
        book.problems.add(
            Diagnostic::new(Code::NoHandbook, Span::new(source, 0, 0), "there is no `handbook.yaml` in this folder")
                .hint("give the folder that holds `handbook.yaml`"),
        );
    }
    let number = |page: &GuidePage| page.number.unwrap_or(u32::MAX);
    book.manuscript.guide.sort_by(|a, b| (number(a), &a.id.value).cmp(&(number(b), &b.id.value)));
    book.manuscript.in_order_of_ids();
    book
}
