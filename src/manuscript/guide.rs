//! Pages of plain Markdown: `guide/NN-name.md`.

use crate::source::{Inset, Placed};

/// One page of the handbook's guide.
#[derive(Debug, Clone)]
pub struct GuidePage {
    /// The file's name without number and ending; the place is the start of the file.
    pub id: Placed<String>,
    /// The number before the name, which orders the pages; pages without one stand last.
    pub number: Option<u32>,
    /// The first `# ` heading.
    pub title: Placed<String>,
    /// The whole file, heading included.
    pub body: Inset,
}
