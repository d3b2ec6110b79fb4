//! Prose: Markdown to HTML.

use super::Address;
use crate::handbook::Handbook;

/// Where a piece of prose stands.
pub(super) struct Setting<'a> {
    pub handbook: &'a Handbook,
    pub here: &'a Address,
    /// The level that the prose's highest headings get.
    pub level: u8,
    /// The field's name; headings' ids begin with it. Empty where authors link to headings themselves.
    pub part: &'a str,
}

pub(super) fn html(markdown: &str, setting: &Setting) -> String {
    let _ = setting;
    markdown.to_owned()
}
