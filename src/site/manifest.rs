//! The list of what a press wrote: a SHA-256 for every file.

use std::collections::BTreeMap;
use std::fmt::Write;

use sha2::{Digest, Sha256};

/// The manifest's own name in the site.
pub const MANIFEST: &str = "manifest.sha256";

/// Digests by path. The text form is one `digest  path` a line, the form that checksum programs read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Manifest(BTreeMap<String, String>);

impl Manifest {
    pub fn add(&mut self, path: String, digest: String) {
        self.0.insert(path, digest);
    }

    /// Reads the text form; lines that are not of it are passed over, so that what they named counts as not ours.
    pub fn read(text: &str) -> Self {
        let entry = |line: &str| line.split_once("  ").map(|(digest, path)| (path.to_owned(), digest.to_owned()));
        Self(text.lines().filter_map(entry).collect())
    }

    pub fn text(&self) -> String {
        let mut text = String::new();
        for (path, digest) in &self.0 {
            let _ = writeln!(text, "{digest}  {path}");
        }
        text
    }

    pub fn has(&self, path: &str) -> bool {
        self.0.contains_key(path)
    }

    /// Path and digest, by path.
    pub fn entries(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(path, digest)| (path.as_str(), digest.as_str()))
    }
}

/// SHA-256 in small hexadecimal letters.
pub fn digest(bytes: &[u8]) -> String {
    const DIGITS: [char; 16] = ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f'];
    Sha256::digest(bytes).iter().flat_map(|byte| [DIGITS[usize::from(byte >> 4)], DIGITS[usize::from(byte & 15)]]).collect()
}
