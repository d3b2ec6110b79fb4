//! Which files a handbook's folder has, what each one is, and which cannot be part of it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::FileType;
use std::io;
use std::path::{Path, PathBuf};

use walkdir::WalkDir;

use crate::diagnostic::{Code, Diagnostic, nearest};
use crate::source::{SourceId, Span};

use super::kind::Kind;
use super::value::is_id;

/// One file or folder of the handbook.
#[derive(Debug)]
pub struct Listed {
    /// From the handbook's folder on, `/` between folders, control characters escaped.
    pub path: String,
    pub role: Role,
    /// The entries that a refused file or folder would hold, as far as names tell: links to them are not wrong as well.
    pub unread: Vec<(Kind, String)>,
}

/// What is to be done with a file.
#[derive(Debug, PartialEq, Eq)]
pub enum Role {
    Handbook,
    /// A record of calls beside `handbook.yaml`, which must name it.
    Record,
    /// An entry or a page of the guide, with its id; a page's number orders it.
    Entry {
        kind: Kind,
        id: String,
        number: Option<u32>,
    },
    /// Not read; the problem to tell.
    Refused(Box<Refusal>),
}

/// Why a file is not read.
#[derive(Debug, PartialEq, Eq)]
pub struct Refusal {
    pub code: Code,
    pub message: String,
    pub hint: String,
    /// The path of another file that has to do with it, and the words there.
    pub also: Option<(String, String)>,
    /// A name that would do, if no other file has it: stem and ending.
    rename: Option<(String, &'static str)>,
}

impl Refusal {
    fn role(code: Code, message: impl Into<String>, hint: impl Into<String>) -> Option<Role> {
        Some(Role::Refused(Box::new(Self { code, message: message.into(), hint: hint.into(), also: None, rename: None })))
    }

    fn rename(code: Code, message: impl Into<String>, stem: String, ending: &'static str) -> Option<Role> {
        Some(Role::Refused(Box::new(Self { code, message: message.into(), hint: String::new(), also: None, rename: Some((stem, ending)) })))
    }

    /// The problem to tell; `place_of` gives the source of another path.
    pub fn diagnostic(&self, source: SourceId, place_of: impl Fn(&str) -> Option<SourceId>) -> Diagnostic {
        let mut diagnostic = Diagnostic::new(self.code, Span::new(source, 0, 0), self.message.clone());
        if !self.hint.is_empty() {
            diagnostic = diagnostic.hint(self.hint.clone());
        }
        if let Some((path, words)) = &self.also
            && let Some(other) = place_of(path)
        {
            diagnostic = diagnostic.also(Span::new(other, 0, 0), words.clone());
        }
        diagnostic
    }
}

/// Everything in a folder that a handbook's author must know of, in order of paths, with the path to open each file by.
///
/// Links are not followed; hidden files (`.name`), `README` and what desktops and editors lay down are passed over; unknown folders are not entered.
pub fn list(folder: &Path) -> io::Result<Vec<(Listed, PathBuf)>> {
    let named = |error: io::Error| io::Error::new(error.kind(), format!("{}: {error}", folder.display()));
    let root = folder.canonicalize().map_err(named)?;
    if !root.is_dir() {
        return Err(named(io::Error::new(io::ErrorKind::NotADirectory, "not a folder")));
    }
    let mut found = Vec::new();
    let mut walk = WalkDir::new(folder).min_depth(1).sort_by_file_name().into_iter();
    while let Some(item) = walk.next() {
        let item = item.map_err(io::Error::from)?;
        let Ok(relative) = item.path().strip_prefix(folder) else { continue };
        let names: Vec<String> = relative.components().map(|part| part.as_os_str().to_string_lossy().into_owned()).collect();
        let name = names.last().map_or("", String::as_str);
        let kind = item.file_type();
        if passed_over(name) {
            if kind.is_dir() {
                walk.skip_current_dir();
            }
            continue;
        }
        let role = match unusual(kind, item.path(), &root) {
            Some(role) => Some(role),
            None if kind.is_dir() => {
                let role = folder_role(&names);
                if role.is_some() {
                    walk.skip_current_dir();
                }
                role
            }
            None => file_role(&names),
        };
        if let Some(role) = role {
            let unread = match &role {
                Role::Refused(_) if item.path().is_dir() => inside(&names, item.path()),
                Role::Refused(_) => would_be(&names).into_iter().collect(),
                _ => Vec::new(),
            };
            found.push((Listed { path: shown(&names), role, unread }, item.into_path()));
        }
    }
    found.sort_by(|(a, _), (b, _)| a.path.cmp(&b.path));
    refuse_twins(found.iter_mut().map(|(listed, _)| listed));
    offer_free_names(found.iter_mut().map(|(listed, _)| listed));
    refuse_entries_left_out(found.iter_mut().map(|(listed, _)| listed));
    Ok(found)
}

/// The same for files in memory, whose paths are written with `/`.
pub fn list_texts<T>(files: impl Iterator<Item = (String, T)>) -> Vec<(Listed, T)> {
    let mut found: Vec<(Listed, T)> = files
        .filter_map(|(path, text)| {
            let names: Vec<String> = path.split('/').map(str::to_owned).collect();
            if names.iter().any(|name| passed_over(name)) {
                return None;
            }
            if names.iter().any(|name| name == ".." || name.is_empty()) {
                let message = "expected a path inside the handbook, without `..` and empty names";
                let role = Refusal::role(Code::BadId, message, "")?;
                return Some((Listed { path: shown(&names), role, unread: Vec::new() }, text));
            }
            // As on a disk, a folder that is not read is told of once.
            let stray = (1..names.len()).find_map(|depth| Some((folder_role(&names[..depth])?, depth)));
            let (role, depth) = stray.or_else(|| Some((file_role(&names)?, names.len())))?;
            let unread = if matches!(role, Role::Refused(_)) { would_be(&names).into_iter().collect() } else { Vec::new() };
            Some((Listed { path: shown(&names[..depth]), role, unread }, text))
        })
        .collect();
    found.sort_by(|(a, _), (b, _)| a.path.cmp(&b.path));
    found.dedup_by(|(a, _), (b, _)| {
        let again = a.path == b.path && matches!(a.role, Role::Refused(_));
        if again {
            b.unread.append(&mut a.unread);
        }
        again
    });
    refuse_twins(found.iter_mut().map(|(listed, _)| listed));
    offer_free_names(found.iter_mut().map(|(listed, _)| listed));
    refuse_entries_left_out(found.iter_mut().map(|(listed, _)| listed));
    found
}

/// The entry that a file outside its place would be: its folder's name is nearly that of a kind, its own nearly an id.
fn would_be(names: &[String]) -> Option<(Kind, String)> {
    let [folder, .., name] = names else { return None };
    let kind = Kind::of_folder(nearest(folder, Kind::ALL.iter().map(|kind| kind.folder()))?)?;
    let stem = endings(kind).iter().find_map(|ending| strip_ending(name, ending))?;
    let id = mended(if kind == Kind::Guide { numbered(stem).1 } else { stem });
    is_id(&id).then_some((kind, id))
}

/// The entries that a folder would hold which is not read.
fn inside(names: &[String], folder: &Path) -> Vec<(Kind, String)> {
    let near = names.first().filter(|name| nearest(name, Kind::ALL.iter().map(|kind| kind.folder())).is_some());
    let Some(near) = near else { return Vec::new() };
    let files = WalkDir::new(folder).min_depth(1).max_depth(2).sort_by_file_name().into_iter().flatten();
    let name = |item: walkdir::DirEntry| item.file_name().to_string_lossy().into_owned();
    files.filter(|item| item.file_type().is_file()).filter_map(|item| would_be(&[near.clone(), name(item)])).collect()
}

/// What is not read and would hold entries is an error; anything else beside the entries is not.
fn refuse_entries_left_out<'a>(files: impl Iterator<Item = &'a mut Listed>) {
    for file in files.filter(|file| !file.unread.is_empty()) {
        match &mut file.role {
            Role::Refused(refusal) if refusal.code == Code::StrayFile => refusal.code = Code::UnreadEntry,
            _ => {}
        }
    }
}

fn passed_over(name: &str) -> bool {
    let lower = name.to_lowercase();
    let hidden = name.starts_with('.') && !name.starts_with("..");
    // What desktops and editors lay down beside the files that a person opens.
    let litter = ["thumbs.db", "desktop.ini"].contains(&lower.as_str()) || name.ends_with('~') || name.starts_with("~$");
    hidden || litter || ["readme.md", "readme.txt", "readme"].contains(&lower.as_str())
}

/// Links and what is neither file nor folder.
fn unusual(kind: FileType, path: &Path, root: &Path) -> Option<Role> {
    if kind.is_symlink() {
        return match path.canonicalize() {
            Ok(target) if target.starts_with(root) => {
                Refusal::role(Code::StrayFile, "a link on the disk is not read", "copy the file in place of the link")
            }
            Ok(_) => Refusal::role(Code::OutsideBook, "the link leads out of the handbook's folder", "copy the file in place of the link"),
            Err(_) => Refusal::role(Code::OutsideBook, "the link leads nowhere", "take the link out"),
        };
    }
    if kind.is_dir() || kind.is_file() {
        return None;
    }
    Refusal::role(Code::StrayFile, "this is neither a file nor a folder", "take it out of the handbook's folder")
}

/// `None` for a kind's folder; every other folder is refused as a whole.
fn folder_role(names: &[String]) -> Option<Role> {
    let [name] = names else {
        return Refusal::role(Code::StrayFile, "folders inside a kind's folder are not read", "move the entries up into the kind's folder");
    };
    if Kind::of_folder(name).is_some() {
        return None;
    }
    let folders: Vec<&str> = Kind::ALL.iter().map(|kind| kind.folder()).collect();
    let hint = match nearest(name, folders.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("entries stand in {}", folders.join(", ")),
    };
    Refusal::role(Code::StrayFile, format!("the folder `{}` holds no kind of entry and is not read", escaped(name)), hint)
}

fn file_role(names: &[String]) -> Option<Role> {
    let (folder, name) = match names {
        [name] if name == "handbook.yaml" => return Some(Role::Handbook),
        [name] if name.ends_with(".csv") => return Some(Role::Record),
        [name] if nearest(name, ["handbook.yaml"]).is_some() => {
            return Refusal::rename(Code::StrayFile, "only `handbook.yaml` stands here", "handbook".to_owned(), ".yaml");
        }
        [_] => return Refusal::role(Code::StrayFile, "only `handbook.yaml` stands here", "entries stand in the folder of their kind"),
        [folder, name] => (folder, name),
        _ => return folder_role(&names[..names.len() - 1]),
    };
    let kind = Kind::of_folder(folder)?;
    let endings = endings(kind);
    let ending = endings[0];
    let Some(stem) = name.strip_suffix(ending) else {
        let message = "a file with this ending is not read";
        let stem = endings.iter().find_map(|ending| strip_ending(name, ending));
        return match stem.map(mended).filter(|stem| is_id(stem)) {
            Some(stem) => Refusal::rename(Code::StrayFile, message, stem, ending),
            None => Refusal::role(Code::StrayFile, message, format!("files here end in `{ending}`")),
        };
    };
    let (number, id) = if kind == Kind::Guide { numbered(stem) } else { (None, stem) };
    if is_id(id) { Some(Role::Entry { kind, id: id.to_owned(), number }) } else { bad_id(names) }
}

/// The ending of a kind's files, and those that stand for it by mistake; some editors add their own after it.
fn endings(kind: Kind) -> &'static [&'static str] {
    if kind == Kind::Guide { &[".md", ".markdown", ".md.txt"] } else { &[".yaml", ".yml", ".yaml.txt", ".yml.txt"] }
}

fn strip_ending<'a>(name: &'a str, ending: &str) -> Option<&'a str> {
    let at = name.len().checked_sub(ending.len())?;
    let (stem, found) = name.split_at_checked(at)?;
    found.eq_ignore_ascii_case(ending).then_some(stem)
}

/// The number and the rest of a guide page's name, `NN-name`.
fn numbered(stem: &str) -> (Option<u32>, &str) {
    match stem.split_once('-') {
        Some((digits, rest)) if digits.len() <= 4 && digits.bytes().all(|byte| byte.is_ascii_digit()) => {
            digits.parse().map_or((None, stem), |number| (Some(number), rest))
        }
        _ => (None, stem),
    }
}

fn bad_id(names: &[String]) -> Option<Role> {
    let name = names.last().map_or("", String::as_str);
    let stem = [".yaml", ".md"].iter().find_map(|ending| name.strip_suffix(ending)).unwrap_or(name);
    let letters = stem.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    let message = if stem.len() > 64 && letters {
        format!("expected an id of at most 64 characters, found {}", stem.len())
    } else {
        format!("expected small letters a to z, digits and single `-` as an id, found `{}`", escaped(stem))
    };
    let mended = mended(stem);
    if stem.is_ascii() && is_id(&mended) {
        Refusal::rename(Code::BadId, message, mended, "")
    } else {
        Refusal::role(Code::BadId, message, "")
    }
}

/// Offers each file with a wrong name one that no other file of its folder has or is offered.
fn offer_free_names<'a>(files: impl Iterator<Item = &'a mut Listed>) {
    let mut files: Vec<&mut Listed> = files.collect();
    let key = |path: &str| {
        let (folder, name) = path.split_once('/').unwrap_or(("", path));
        let stem = [".yaml", ".yml", ".markdown", ".md"].iter().find_map(|ending| name.strip_suffix(ending)).unwrap_or(name);
        format!("{folder}/{}", if Kind::of_folder(folder) == Some(Kind::Guide) { numbered(stem).1 } else { stem })
    };
    let mut taken: BTreeSet<String> =
        files.iter().filter(|file| !matches!(file.role, Role::Refused(_))).map(|file| key(&file.path)).collect();
    for file in &mut files {
        let folder = file.path.split_once('/').map_or(String::new(), |(folder, _)| format!("{folder}/"));
        let Role::Refused(refusal) = &mut file.role else { continue };
        let Some((stem, ending)) = refusal.rename.take() else { continue };
        if taken.insert(key(&format!("{folder}{stem}"))) {
            refusal.hint = format!("name it `{stem}{ending}`");
        } else if folder.is_empty() {
            refusal.hint = format!("`{stem}{ending}` stands here already; take this file out");
        } else {
            refusal.hint = format!("`{stem}` is taken; give it another name");
        }
    }
}

/// The nearest id to a name: small letters, everything else a hyphen.
fn mended(stem: &str) -> String {
    let lower = stem.to_lowercase();
    let words = lower.split(|c: char| !c.is_ascii_lowercase() && !c.is_ascii_digit()).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-").chars().take(64).collect::<String>().trim_end_matches('-').to_owned()
}

/// Refuses files whose id another file has already, but for case or ending. The file with the proper name keeps it.
fn refuse_twins<'a>(files: impl Iterator<Item = &'a mut Listed>) {
    let mut files: Vec<&mut Listed> = files.collect();
    let mut owners: BTreeMap<String, String> = BTreeMap::new();
    files.sort_by_key(|file| matches!(file.role, Role::Refused(_))); // stable: proper names first, each group in path order
    for file in files {
        let Some((folder, name)) = file.path.split_once('/') else { continue };
        let Some(kind) = Kind::of_folder(folder).filter(|_| !name.contains('/')) else { continue };
        let lower = name.to_lowercase();
        let endings: &[&str] = if kind == Kind::Guide { &[".md", ".markdown"] } else { &[".yaml", ".yml"] };
        let Some(stem) = endings.iter().find_map(|ending| lower.strip_suffix(ending)) else { continue };
        let id = if kind == Kind::Guide { numbered(stem).1 } else { stem };
        let key = format!("{folder}/{id}");
        match owners.get(&key) {
            None => {
                owners.insert(key, file.path.clone());
            }
            Some(owner) => {
                file.role = Role::Refused(Box::new(Refusal {
                    code: Code::DuplicateId,
                    message: format!("`{owner}` has the same id, `{id}`"),
                    hint: "rename or delete one of the two files".to_owned(),
                    also: Some((owner.clone(), "the other file".to_owned())),
                    rename: None,
                }));
            }
        }
    }
}

fn shown(names: &[String]) -> String {
    names.iter().map(|name| escaped(name)).collect::<Vec<_>>().join("/")
}

/// A name with control characters as escapes, so that it cannot steer a terminal.
fn escaped(name: &str) -> String {
    let mut shown = String::with_capacity(name.len());
    for c in name.chars() {
        if c.is_control() {
            shown.extend(c.escape_default());
        } else {
            shown.push(c);
        }
    }
    shown
}
