//! Themes: a shop's own files lie over the built-in ones, and what is wrong in them is placed.

use super::fixture;
use bluecone::diagnostic::Severity;
use bluecone::pages::{Extras, draw};
use bluecone::source::Sources;
use bluecone::theme::{Theme, ThemeProblem};

fn problems(template: &str, text: &str) -> Vec<ThemeProblem> {
    let mut theme = Theme::built_in();
    theme.lay(format!("templates/{template}"), format!("my-theme/templates/{template}"), text.as_bytes().to_vec());
    draw(&fixture::handbook(), &theme, &Extras::default()).expect_err("the template is wrong")
}

#[test]
fn a_tag_that_is_not_closed_is_placed() {
    let problems = problems("term.html", "{% extends \"base.html\" %}\n{% block main %}\n  {{ entry.title \n{% endblock main %}");
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0].file, "my-theme/templates/term.html");
    assert_eq!(problems[0].line, 4, "{problems:?}");
}

#[test]
fn an_unknown_variable_is_told_once_with_its_place() {
    let text = "{% extends \"base.html\" %}\n{% block main %}<h1>{{ entry.titel.x }}</h1>{% endblock main %}";
    let found = problems("term.html", text);
    assert_eq!(found.len(), 1, "two terms, one problem: {found:?}");
    assert_eq!((found[0].file.as_str(), found[0].line), ("my-theme/templates/term.html", 2));
    let mut sources = Sources::default();
    let diagnostic = found[0].clone().diagnostic(&mut sources);
    let source = sources.get(diagnostic.span.source).expect("the text is there");
    assert_eq!(source.line_column(diagnostic.span.start).0, 2);
    assert_eq!(diagnostic.code.name(), "theme-template");
}

#[test]
fn an_unknown_filter_and_a_lost_parent_are_errors() {
    let found = problems("term.html", "{% extends \"base.html\" %}\n\n{% block main %}{{ entry.title | shiny }}{% endblock main %}");
    assert_eq!((found[0].file.as_str(), found[0].line), ("my-theme/templates/term.html", 3), "{found:?}");
    let found = problems("term.html", "{% extends \"bass.html\" %}");
    assert!(found[0].message.contains("bass.html"), "{found:?}");
    assert!(problems("term.html", "{{ 1 / 0 }}{% if %}").len() == 1);
}

#[test]
fn text_that_is_not_utf8_is_an_error() {
    let mut theme = Theme::built_in();
    theme.lay("templates/base.html", "my-theme/templates/base.html", vec![0xff, 0xfe]);
    let found = draw(&fixture::handbook(), &theme, &Extras::default()).expect_err("not text");
    assert!(found[0].message.contains("UTF-8"), "{found:?}");
}

#[test]
fn a_folder_lies_over_the_built_in_theme_file_by_file() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    std::fs::create_dir_all(folder.path().join("templates")).expect("made");
    std::fs::create_dir_all(folder.path().join("assets/pictures")).expect("made");
    std::fs::write(
        folder.path().join("templates/term.html"),
        "{% extends \"base.html\" %}{% block main %}<h1>Word: {{ entry.title }}</h1>{% endblock main %}",
    )
    .expect("written");
    std::fs::write(folder.path().join("assets/pictures/mark.svg"), "<svg/>").expect("written");
    std::fs::write(folder.path().join("notes.txt"), "not taken").expect("written");
    let mut theme = Theme::built_in();
    theme.lay_folder(folder.path()).expect("the folder can be read");
    let files = draw(&fixture::handbook(), &theme, &Extras::default()).expect("the theme draws");
    assert!(super::page(&files, "terms/flame-rod.html").contains("<h1>Word: Flame rod</h1>"));
    assert!(super::page(&files, "checks/prove-dead.html").contains("Hazards first"));
    assert_eq!(super::page(&files, "theme/pictures/mark.svg"), "<svg/>");
    assert!(!files.iter().any(|file| file.path.contains("notes")));
}

/// What laying a folder with these files over the built-in theme finds odd: file in the folder, message, hint.
fn odd(files: &[(&str, &str)]) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    for (path, text) in files {
        let path = folder.path().join(path);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, text).expect("written");
    }
    let found = Theme::built_in().lay_folder(folder.path()).expect("the folder can be read");
    let mut sources = Sources::default();
    found
        .into_iter()
        .map(|problem| {
            let diagnostic = problem.diagnostic(&mut sources);
            assert_eq!(diagnostic.severity(), Severity::Warning);
            let path = sources.get(diagnostic.span.source).expect("the path is there").path.replace('\\', "/");
            let below = path.strip_prefix(&folder.path().display().to_string()).expect("a path in the folder").to_owned();
            format!("{below} {} {} {:?}", diagnostic.code.name(), diagnostic.message, diagnostic.hints)
        })
        .collect()
}

#[test]
fn a_file_that_changes_nothing_is_told_with_the_nearest_known_name() {
    let found = odd(&[("templates/chekc.html", "x"), ("assets/30-entri.css", "x"), ("asset/z.css", "x"), ("assets/term.html", "x")]);
    assert_eq!(
        found,
        [
            "/asset theme-file a theme's files stand in `templates` and `assets`; this folder is not read [\"did you mean `assets`?\"]",
            "/assets/30-entri.css theme-file `assets/30-entri.css` stands in for no file of the built-in theme and is added \
             [\"did you mean `assets/30-entry.css`?\"]",
            "/assets/term.html theme-file `assets/term.html` stands in for no file of the built-in theme and is added \
             [\"did you mean `templates/term.html`?\"]",
            "/templates/chekc.html theme-file no page and no template uses `templates/chekc.html` [\"did you mean `templates/check.html`?\"]",
        ]
    );
    assert_eq!(odd(&[("term.html", "x")]).len(), 1, "a folder of which nothing is used");
    assert_eq!(odd(&[("templates/shop.html", "{% include \"shop.html\" %}")]).len(), 1, "only itself names it");
}

#[test]
fn files_of_the_shops_own_are_not_odd() {
    let found = odd(&[
        ("templates/term.html", "{% extends \"base.html\" %}{% block main %}{% include \"terms.html\" %}{% endblock main %}"),
        ("templates/terms.html", "<p>Ours</p>"),
        ("assets/z-shop.css", "h1 { margin: 0 }"),
        ("assets/91-print.css", "h1 { margin: 0 }"),
        ("assets/pictures/mark.svg", "<svg/>"),
        ("notes.txt", "not taken"),
        ("drafts/term.html", "not taken"),
    ]);
    assert!(found.is_empty(), "{found:?}");
}
