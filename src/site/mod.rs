//! The finished files, and the only code that writes the output.
//!
//! A site is written into a fresh folder beside the target and swapped in as a whole, so that a full disk, a pulled plug
//! or a crash leaves the old site as it was. Files go there while others are still being drawn. Unchanged files are linked over
//! instead of being written again.

mod manifest;
mod target;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::Write;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError, RwLock};

use tempfile::TempDir;

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
            Refusal::Machine { doing, error } => write!(formatter, "cannot {doing}: {error}"),
        }
    }
}

/// A site on its way into a fresh folder beside the target. Nothing of it is seen until [`Site::finish`]; if it is dropped before,
/// the fresh folder goes and the target is as it was.
pub struct Site {
    target: Target,
    old: Manifest,
    fresh: TempDir,
    /// Folders that exist in the fresh one.
    folders: RwLock<BTreeSet<String>>,
    done: Mutex<Done>,
}

/// What has been put so far.
#[derive(Default)]
struct Done {
    manifest: Manifest,
    written: Written,
    /// Paths whose bytes are the same as in the target.
    same: BTreeSet<String>,
    /// What failed, by path.
    failed: BTreeMap<String, Refusal>,
}

impl Site {
    /// Looks at the target and makes the fresh folder.
    ///
    /// `book` is the handbook's folder: a target that is inside it, or that holds it, is refused.
    ///
    /// # Errors
    /// [`Refusal::NotOurs`] when the target holds files that no press wrote, [`Refusal::Machine`] when it cannot be read or the
    /// fresh folder cannot be made.
    pub fn begin(folder: &Path, book: &Path) -> Result<Self, Refusal> {
        let target = Target::open(folder, book)?;
        let old = target.manifest()?;
        target.refuse_strays(&old)?;
        let fresh = target.fresh()?;
        Ok(Self { target, old, fresh, folders: RwLock::default(), done: Mutex::default() })
    }

    /// Puts one file into the fresh folder; several threads may do so at once. What fails is told by [`Site::finish`].
    pub fn put(&self, file: File) {
        let digest = digest(&file.bytes);
        let placed = self.place(&file);
        let mut done = locked(&self.done);
        match placed {
            Ok(same) => {
                done.written.files += 1;
                done.written.bytes += file.bytes.len() as u64;
                if same {
                    done.written.unchanged += 1;
                    done.same.insert(file.path.clone());
                }
                done.manifest.add(file.path, digest);
            }
            Err(refusal) => drop(done.failed.insert(file.path, refusal)),
        }
    }

    /// Links the file over from the target if it has the same bytes there, or else writes it; gives whether they are the same.
    fn place(&self, file: &File) -> Result<bool, Refusal> {
        let to = self.fresh.path().join(&file.path);
        if let Some((folder, _)) = file.path.rsplit_once('/') {
            self.make_folder(folder)?;
        }
        let from = self.target.join(&file.path);
        let same = self.old.has(&file.path)
            && match fs::read(&from) {
                Ok(bytes) => bytes == file.bytes,
                Err(error) if error.kind() == std::io::ErrorKind::NotFound => false,
                Err(error) => return Err(machine("read", &from, error)),
            };
        if !(same && fs::hard_link(&from, &to).is_ok()) {
            // Never over a file that is there: it may be a link to one of the old site.
            fs::File::create_new(&to).and_then(|mut new| new.write_all(&file.bytes)).map_err(|error| machine("write", &to, error))?;
        }
        Ok(same)
    }

    fn make_folder(&self, folder: &str) -> Result<(), Refusal> {
        if self.folders.read().unwrap_or_else(PoisonError::into_inner).contains(folder) {
            return Ok(());
        }
        let path = self.fresh.path().join(folder);
        fs::create_dir_all(&path).map_err(|error| machine("make a folder in the new site", &path, error))?;
        self.folders.write().unwrap_or_else(PoisonError::into_inner).insert(folder.to_owned());
        Ok(())
    }

    /// Adds the manifest (a SHA-256 of every file) and puts the fresh folder in the target's place, in one step where the system
    /// can do that.
    ///
    /// # Errors
    /// [`Refusal::Machine`] when a file could not be written, [`Refusal::NotOurs`] when files in the target that would now be lost
    /// were changed since they were pressed.
    pub fn finish(self) -> Result<Written, Refusal> {
        let done = self.done.into_inner().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, refusal)) = done.failed.into_iter().next() {
            return Err(refusal);
        }
        self.target.refuse_changed(&self.old, &done.same)?;
        let path = self.fresh.path().join(MANIFEST);
        fs::write(&path, done.manifest.text()).map_err(|error| machine("write", &path, error))?;
        self.target.keep_markers(self.fresh.path())?;
        settle(self.fresh.path())?;
        swap(self.fresh, &self.target)?;
        Ok(Written { files: done.written.files + 1, ..done.written })
    }
}

/// Waits until the new files are on the disk, so that a power cut or a pulled stick after the swap finds them whole. One call
/// for the whole file system: to sync the files one by one takes far longer.
#[cfg(target_os = "linux")]
fn settle(fresh: &Path) -> Result<(), Refusal> {
    let synced = fs::File::open(fresh).and_then(|folder| Ok(rustix::fs::syncfs(folder)?));
    synced.map_err(|error| machine("write to the disk of", fresh, error))
}

#[cfg(not(target_os = "linux"))]
fn settle(_: &Path) -> Result<(), Refusal> {
    Ok(())
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
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
