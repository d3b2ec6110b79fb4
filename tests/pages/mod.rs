//! Pages: that they say what the handbook says, that links lead somewhere, that nothing slips through unescaped.

mod charts;
mod fixture;
mod markdown;
mod structure;
mod theme;

use bluecone::handbook::Handbook;
use bluecone::pages::{Extras, File, draw};
use bluecone::theme::Theme;

/// The whole site of a handbook in the built-in theme.
pub fn site(handbook: &Handbook) -> Vec<File> {
    draw(handbook, &Theme::built_in(), &Extras::default()).unwrap_or_else(|problems| panic!("the theme does not draw: {problems:#?}"))
}

/// One page's text.
pub fn page<'a>(files: &'a [File], path: &str) -> &'a str {
    let file = files.iter().find(|file| file.path == path).unwrap_or_else(|| panic!("no page {path}"));
    std::str::from_utf8(&file.bytes).expect("pages are text")
}

/// Writes the fixture's site where `BLUECONE_DRAW_TO` says, for looking at it and for outside validators.
#[test]
fn draws_to_a_folder_when_asked() {
    let files = site(&fixture::handbook());
    assert!(files.iter().filter(|file| file.path.ends_with(".html")).count() > 30);
    let Ok(folder) = std::env::var("BLUECONE_DRAW_TO") else { return };
    for file in &files {
        let path = std::path::Path::new(&folder).join(&file.path);
        std::fs::create_dir_all(path.parent().expect("a file lies in a folder")).expect("the folder can be made");
        std::fs::write(path, &file.bytes).expect("the file can be written");
    }
}
