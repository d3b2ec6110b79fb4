//! A temporary folder with the small handbook in it, and the program run there.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use tempfile::TempDir;

/// The program under test.
pub const PROGRAM: &str = env!("CARGO_BIN_EXE_bluecone");

/// A temporary folder with the small handbook as `content`; gone when dropped.
pub struct Shop {
    folder: TempDir,
}

/// How a run ended.
#[derive(Debug)]
pub struct Run {
    /// The exit status; −1 if a signal ended it.
    pub status: i32,
    pub out: String,
    pub error: String,
}

impl Shop {
    pub fn new() -> Self {
        let shop = Self { folder: tempfile::tempdir().expect("a temporary folder") };
        copy(&small_book(), &shop.path("content"));
        shop
    }

    pub fn path(&self, below: &str) -> PathBuf {
        self.folder.path().join(below)
    }

    /// Writes a file, making its folder.
    pub fn write(&self, below: &str, text: impl AsRef<[u8]>) {
        let path = self.path(below);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a new folder");
        fs::write(path, text).expect("a written file");
    }

    /// Replaces a piece of a file that must be there.
    pub fn edit(&self, below: &str, from: &str, to: &str) {
        let text = fs::read_to_string(self.path(below)).expect("a file to edit");
        assert!(text.contains(from), "{below} does not hold {from:?}");
        self.write(below, text.replace(from, to));
    }

    /// Adds this many terms, so that a press has something to do.
    pub fn grow(&self, n_terms: usize) {
        for number in 0..n_terms {
            let text = format!("title: Word {number}\nsummary: The meaning of word {number}.\nbody: |\n  {}\n", "Plain prose. ".repeat(60));
            self.write(&format!("content/terms/word-{number}.yaml"), text);
        }
    }

    /// The program with these arguments in the temporary folder, ready to start.
    pub fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(PROGRAM);
        command.args(arguments).current_dir(self.folder.path()).stdin(Stdio::null()).env_remove("NO_COLOR").env("TERM", "xterm-256color");
        command
    }

    pub fn run(&self, arguments: &[&str]) -> Run {
        finish(&mut self.command(arguments))
    }

    /// Runs a script of the shell in the temporary folder; the program is `$BLUECONE` there.
    pub fn shell(&self, script: &str) -> Run {
        let mut command = Command::new("sh");
        finish(command.args(["-c", script]).current_dir(self.folder.path()).env("BLUECONE", PROGRAM).stdin(Stdio::null()))
    }

    /// Presses into `site`, which must succeed.
    pub fn press(&self) -> Run {
        let run = self.run(&["press"]);
        assert_eq!(run.status, 0, "{run:?}");
        run
    }

    /// The names in a folder, hidden ones too.
    pub fn names(&self, below: &str) -> Vec<String> {
        let entries = fs::read_dir(self.path(below)).expect("a folder");
        let mut names: Vec<String> = entries.map(|entry| entry.expect("an entry").file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    /// Every file below a folder with its bytes.
    pub fn bytes(&self, below: &str) -> BTreeMap<String, Vec<u8>> {
        self.files(below).map(|(name, path)| (name, fs::read(path).expect("a readable file"))).collect()
    }

    /// Inode and time of change of every file below a folder.
    pub fn marks(&self, below: &str) -> BTreeMap<String, (u64, i64, i64)> {
        self.files(below)
            .map(|(name, path)| {
                let data = fs::metadata(path).expect("metadata");
                (name, (data.ino(), data.mtime(), data.mtime_nsec()))
            })
            .collect()
    }

    fn files(&self, below: &str) -> impl Iterator<Item = (String, PathBuf)> {
        let root = self.path(below);
        walkdir::WalkDir::new(root.clone()).sort_by_file_name().into_iter().map(|entry| entry.expect("an entry")).filter_map(move |entry| {
            let name = entry.path().strip_prefix(&root).expect("a path below").to_string_lossy().into_owned();
            entry.file_type().is_file().then(|| (name, entry.into_path()))
        })
    }

    /// Fails unless the site in this folder is exactly what its manifest lists.
    pub fn assert_whole(&self, site: &str) {
        let run = self.shell(&format!("cd {site} && sha256sum --check --strict --quiet manifest.sha256"));
        assert_eq!(run.status, 0, "{run:?}");
        let manifest = fs::read_to_string(self.path(site).join("manifest.sha256")).expect("a manifest");
        let listed = manifest.lines().count();
        assert!(listed > 10, "{listed} files listed");
        assert_eq!(self.files(site).count(), listed + 1, "files beside those that the manifest lists");
    }
}

pub fn finish(command: &mut Command) -> Run {
    let output = command.output().expect("a program that starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8 output");
    Run { status: output.status.code().unwrap_or(-1), out: text(output.stdout), error: text(output.stderr) }
}

pub fn small_book() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/command/book")
}

/// Copies a folder with what is below it.
pub fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a new folder");
    for entry in fs::read_dir(from).expect("a folder") {
        let entry = entry.expect("an entry");
        let target = to.join(entry.file_name());
        if entry.file_type().expect("a type").is_dir() {
            copy(&entry.path(), &target);
        } else {
            fs::copy(entry.path(), target).expect("a copied file");
        }
    }
}
