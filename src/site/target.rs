//! The folder that a site is written to: whose it is, and how it is replaced in one step.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use tempfile::TempDir;
use walkdir::WalkDir;

use super::manifest::{MANIFEST, Manifest};
use super::{Refusal, has_digest, machine};

/// Files that version control keeps in an otherwise empty folder; they stay, and do not make the folder somebody's.
const MARKERS: [&str; 2] = [".gitkeep", ".gitignore"];

pub struct Target {
    folder: PathBuf,
    exists: bool,
}

impl Target {
    /// Looks at the target without changing anything.
    pub fn open(folder: &Path, book: &Path) -> Result<Self, Refusal> {
        let folder = whole(folder)?;
        let book = book.canonicalize().map_err(|error| machine("read", book, error))?;
        if folder.starts_with(&book) || book.starts_with(&folder) {
            let words = format!(
                "the site cannot go to {}: that folder and the handbook's must be apart; choose another with --to",
                folder.display()
            );
            return Err(Refusal::NotOurs(words));
        }
        match fs::metadata(&folder) {
            Ok(found) if !found.is_dir() => {
                Err(Refusal::NotOurs(format!("the site cannot go to {}: a file stands there; choose a folder with --to", folder.display())))
            }
            Ok(found) if found.permissions().readonly() => Err(machine("write to", &folder, std::io::ErrorKind::PermissionDenied.into())),
            Ok(_) => Ok(Self { folder, exists: true }),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(Self { folder, exists: false }),
            Err(error) => Err(machine("read", &folder, error)),
        }
    }

    pub fn join(&self, path: &str) -> PathBuf {
        self.folder.join(path)
    }

    /// What the last press wrote here; empty if there was none.
    pub fn manifest(&self) -> Result<Manifest, Refusal> {
        let path = self.join(MANIFEST);
        match fs::read(&path) {
            Ok(bytes) => Ok(Manifest::read(&String::from_utf8_lossy(&bytes))),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(Manifest::default()),
            Err(error) => Err(machine("read", &path, error)),
        }
    }

    /// Refuses if anything stands in the target that no press wrote.
    pub fn refuse_strays(&self, old: &Manifest) -> Result<(), Refusal> {
        if !self.exists {
            return Ok(());
        }
        let mut strays = Vec::new();
        for entry in WalkDir::new(&self.folder).min_depth(1).sort_by_file_name() {
            let entry = entry.map_err(|error| machine("read", &self.folder, error.into()))?;
            let Ok(path) = entry.path().strip_prefix(&self.folder) else { continue };
            let path = path.to_string_lossy().replace('\\', "/");
            let ours = old.has(&path) || path == MANIFEST || MARKERS.contains(&path.as_str());
            if !entry.file_type().is_dir() && !ours {
                strays.push(path);
            }
        }
        self.refuse("files that Bluecone did not write", &strays)
    }

    /// Refuses if a file that a press wrote has been changed since and would now be lost.
    pub fn refuse_changed(&self, old: &Manifest, same: &BTreeSet<String>) -> Result<(), Refusal> {
        let lost: Vec<(&str, &str)> = old.entries().filter(|(path, _)| !same.contains(*path)).collect();
        let changed: Result<Vec<Option<String>>, Refusal> =
            lost.par_iter().map(|(path, digest)| Ok((!has_digest(&self.join(path), digest)?).then(|| (*path).to_owned()))).collect();
        let changed: Vec<String> = changed?.into_iter().flatten().collect();
        self.refuse("files that were changed since they were pressed", &changed)
    }

    fn refuse(&self, what: &str, paths: &[String]) -> Result<(), Refusal> {
        if paths.is_empty() {
            return Ok(());
        }
        let mut list = paths.iter().take(5).map(String::as_str).collect::<Vec<_>>().join(", ");
        if paths.len() > 5 {
            list.push_str(&format!(" and {} more", paths.len() - 5));
        }
        let folder = self.folder.display();
        Err(Refusal::NotOurs(format!("{folder} holds {what} ({list}); move them away or choose another folder with --to")))
    }

    /// A fresh folder beside the target, gone again if the press fails.
    pub fn fresh(&self) -> Result<TempDir, Refusal> {
        let beside = self.folder.parent().unwrap_or(Path::new("/"));
        fs::create_dir_all(beside).map_err(|error| machine("make the folder", beside, error))?;
        let mut builder = tempfile::Builder::new();
        builder.prefix(".bluecone-press-");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            builder.permissions(fs::Permissions::from_mode(0o777));
        }
        builder.tempdir_in(beside).map_err(|error| machine("make a folder in", beside, error))
    }

    /// Carries version control's marker files over into the fresh folder.
    pub fn keep_markers(&self, fresh: &Path) -> Result<(), Refusal> {
        for marker in MARKERS {
            let from = self.join(marker);
            if self.exists && from.is_file() {
                fs::copy(&from, fresh.join(marker)).map_err(|error| machine("copy", &from, error))?;
            }
        }
        Ok(())
    }
}

/// Puts the fresh folder in the target's place.
///
/// Where the system can exchange two folders in one step, no moment exists at which there is no site. Elsewhere the old one
/// is moved aside first and moved back if the second move fails.
pub fn swap(fresh: TempDir, target: &Target) -> Result<(), Refusal> {
    let folder = &target.folder;
    if !target.exists {
        fs::rename(fresh.path(), folder).map_err(|error| machine("move the new site to", folder, error))?;
        let _ = fresh.keep();
        return Ok(());
    }
    #[cfg(target_os = "linux")]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        if renameat_with(CWD, fresh.path(), CWD, folder, RenameFlags::EXCHANGE).is_ok() {
            // The temporary folder's name now holds the old site and goes when `fresh` is dropped; its folders, which take longest,
            // on all cores.
            let folders: Vec<PathBuf> = fs::read_dir(fresh.path()).into_iter().flatten().flatten().map(|entry| entry.path()).collect();
            folders.par_iter().for_each(|path| drop(fs::remove_dir_all(path)));
            return Ok(());
        }
    }
    let aside = fresh.path().with_extension("old");
    fs::rename(folder, &aside).map_err(|error| machine("move aside", folder, error))?;
    if let Err(error) = fs::rename(fresh.path(), folder) {
        let _ = fs::rename(&aside, folder);
        return Err(machine("move the new site to", folder, error));
    }
    let _ = fresh.keep();
    let _ = fs::remove_dir_all(&aside);
    Ok(())
}

/// The path without links and dots, whether or not it exists yet.
fn whole(folder: &Path) -> Result<PathBuf, Refusal> {
    if let Ok(path) = folder.canonicalize() {
        return Ok(path);
    }
    let absolute = std::path::absolute(folder).map_err(|error| machine("find", folder, error))?;
    match (absolute.parent(), absolute.file_name()) {
        (Some(parent), Some(name)) if parent != absolute => Ok(whole(parent)?.join(name)),
        _ => Ok(absolute),
    }
}
