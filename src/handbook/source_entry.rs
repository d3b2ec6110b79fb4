//! Where figures come from.

use super::{Common, Prose};

#[derive(Debug, Clone)]
pub struct SourceEntry {
    pub common: Common,
    pub kind: SourceKind,
    pub publisher: Option<String>,
    pub edition: Option<String>,
    pub note: Option<Prose>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum SourceKind {
    Standard,
    Handbook,
    CommonPractice,
    Recalled,
}

impl SourceKind {
    pub fn words(self) -> &'static str {
        match self {
            SourceKind::Standard => "standard",
            SourceKind::Handbook => "handbook",
            SourceKind::CommonPractice => "common practice",
            SourceKind::Recalled => "recalled",
        }
    }
}
