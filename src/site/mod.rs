//! The finished files, and the only code that writes the output.
//!
//! A site is written into a fresh folder beside the target and swapped in as a whole, so that a full disk, a pulled plug
//! or a crash leaves the old site as it was. Unchanged files are linked over instead of being written again: on a large
//! handbook that is most of the time.

mod manifest;
mod target;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use rayon::prelude::*;

pub use manifest::MANIFEST;
use manifest::{Manifest, digest};
use target::{Target, swap};

use crate::pages::File;

/// What a press did to the target.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Written {
    pub files: usize,
    pub bytes: u64,
    /// Files that were already there with the same bytes.
    pub unchanged: usize,
}

/// Why nothing was written. The old site, if there is one, is whole in every case.
#[derive(Debug)]
pub enum Refusal {
    /// The target is not ours to replace; the words say why and what to do.
    NotOurs(String),
    /// The machine failed at this path.
    Machine { doing: String, error: std::io::Error },
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Refusal::NotOurs(words) => formatter.write_str(words),
            Refusal::Machine { doing, error } => write!(formatter, "cannot {doing}: {error}; the old site is as it was"),
        }
    }
}

/// Writes a whole site into `folder`, replacing the site that an earlier press wrote there.
///
/// `book` is the handbook's folder: a target that is inside it, or that holds it, is refused. The manifest (a SHA-256 of
/// every file) is added as one more file.
///
/// # Errors
/// [`Refusal::NotOurs`] when the target holds files that no press wrote or that were changed since, [`Refusal::Machine`]
/// when a folder cannot be made, read or written.
pub fn write(files: &[File], folder: &Path, book: &Path) -> Result<Written, Refusal> {
    let target = Target::open(folder, book)?;
    let old = target.manifest()?;
    let manifest = Manifest::of(files);
    let plan = plan(files, &target, &old)?;
    target.refuse_strays(&old)?;
    target.refuse_changed(&old, &plan)?;
    let fresh = target.fresh()?;
    let mut folders: Vec<&str> = files.iter().filter_map(|file| file.path.rsplit_once('/').map(|(folder, _)| folder)).collect();
    folders.sort_unstable();
    folders.dedup();
    for folder in folders {
        let path = fresh.path().join(folder);
        fs::create_dir_all(&path).map_err(|error| machine("make a folder in the new site", &path, error))?;
    }
    files.par_iter().try_for_each(|file| {
        let to = fresh.path().join(&file.path);
        let linked = plan.get(file.path.as_str()).copied().unwrap_or(false) && fs::hard_link(target.join(&file.path), &to).is_ok();
        if linked { Ok(()) } else { fs::write(&to, &file.bytes).map_err(|error| machine("write", &to, error)) }
    })?;
    let path = fresh.path().join(MANIFEST);
    fs::write(&path, manifest.text()).map_err(|error| machine("write", &path, error))?;
    target.keep_markers(fresh.path())?;
    swap(fresh, &target)?;
    Ok(Written {
        files: files.len() + 1,
        bytes: files.iter().map(|file| file.bytes.len() as u64).sum(),
        unchanged: plan.values().filter(|same| **same).count(),
    })
}

/// For each file that already stands in the target: whether its bytes are the same.
fn plan<'a>(files: &'a [File], target: &Target, old: &Manifest) -> Result<BTreeMap<&'a str, bool>, Refusal> {
    let compared: Result<Vec<_>, Refusal> = files
        .par_iter()
        .filter(|file| old.has(&file.path))
        .map(|file| match fs::read(target.join(&file.path)) {
            Ok(bytes) => Ok(Some((file.path.as_str(), bytes == file.bytes))),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(machine("read", &target.join(&file.path), error)),
        })
        .collect();
    Ok(compared?.into_iter().flatten().collect())
}

fn machine(doing: &str, path: &Path, error: std::io::Error) -> Refusal {
    Refusal::Machine { doing: format!("{doing} {}", path.display()), error }
}

/// Whether the bytes at a path have the digest; a missing file counts as unchanged, for there is nothing to lose.
fn has_digest(path: &Path, wanted: &str) -> Result<bool, Refusal> {
    match fs::read(path) {
        Ok(bytes) => Ok(digest(&bytes) == wanted),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(true),
        Err(error) => Err(machine("read", path, error)),
    }
}
