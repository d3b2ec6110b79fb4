//! The theme: page templates and what they need. A built-in one, and a shop's own folder over it, file by file.
//!
//! A theme has `templates/` (Tera, named by their path below it) and `assets/` (copied to the site as they are).

use std::collections::BTreeMap;
use std::path::Path;

use crate::diagnostic::{Code, Diagnostic};
use crate::source::{Source, Sources, Span};

/// One file of a theme.
#[derive(Debug, Clone)]
struct ThemeFile {
    /// The path shown to the author.
    shown: String,
    bytes: Vec<u8>,
}

/// The files of a theme by their path in it.
#[derive(Debug, Clone)]
pub struct Theme(BTreeMap<String, ThemeFile>);

/// What is wrong with a template, and where.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ThemeProblem {
    /// The path shown to the author.
    pub file: String,
    /// From 1; both are 1 if the problem concerns the whole file.
    pub line: usize,
    /// In characters, from 1.
    pub column: usize,
    pub message: String,
    /// The file's text, for an excerpt.
    pub text: String,
}

macro_rules! built_in {
    ($($path:literal)*) => { [$(($path, include_str!(concat!("../themes/bluecone/", $path)))),*] };
}

impl Default for Theme {
    fn default() -> Self {
        Self::built_in()
    }
}

impl Theme {
    /// The theme inside the program.
    pub fn built_in() -> Self {
        let files = built_in![
            "assets/10-paper.css"
            "assets/20-frame.css"
            "assets/25-search.css"
            "assets/30-entry.css"
            "assets/40-hazard.css"
            "assets/50-gauge.css"
            "assets/60-lists.css"
            "assets/65-diagnosis.css"
            "assets/67-walk.css"
            "assets/70-sum.css"
            "assets/75-quiz.css"
            "assets/90-print.css"
            "templates/a-z.html"
            "templates/base.html"
            "templates/calculator.html"
            "templates/check.html"
            "templates/course.html"
            "templates/diagnosis.html"
            "templates/fault.html"
            "templates/figures.html"
            "templates/glossary.html"
            "templates/guide.html"
            "templates/home.html"
            "templates/list.html"
            "templates/measurement.html"
            "templates/parts.html"
            "templates/quiz.html"
            "templates/quizzes.html"
            "templates/safety.html"
            "templates/source.html"
            "templates/sum-rows.html"
            "templates/sum.html"
            "templates/symptom.html"
            "templates/table.html"
            "templates/task.html"
            "templates/term.html"
            "templates/ways.html"
        ];
        let file = |(path, text): (&str, &str)| {
            let shown = format!("themes/bluecone/{path}");
            (path.to_owned(), ThemeFile { shown, bytes: text.as_bytes().to_vec() })
        };
        Self(files.into_iter().map(file).collect())
    }

    /// Lays one file over the theme; `path` is its path in the theme, `shown` is what messages call it.
    pub fn lay(&mut self, path: impl Into<String>, shown: impl Into<String>, bytes: Vec<u8>) {
        self.0.insert(path.into(), ThemeFile { shown: shown.into(), bytes });
    }

    /// Lays a folder's `templates/` and `assets/` over the theme. Other files in the folder are not taken, nor are links
    /// on the disk followed.
    ///
    /// # Errors
    /// If the folder or a file in it cannot be read.
    pub fn lay_folder(&mut self, folder: &Path) -> std::io::Result<()> {
        for part in ["templates", "assets"] {
            let start = folder.join(part);
            if !start.is_dir() {
                continue;
            }
            for item in walkdir::WalkDir::new(&start).sort_by_file_name() {
                let item = item.map_err(std::io::Error::from)?;
                if !item.file_type().is_file() {
                    continue;
                }
                let below = item.path().strip_prefix(&start).unwrap_or(item.path());
                let below: Vec<_> = below.iter().map(|part| part.to_string_lossy()).collect();
                let bytes = std::fs::read(item.path())?;
                self.lay(format!("{part}/{}", below.join("/")), item.path().display().to_string(), bytes);
            }
        }
        Ok(())
    }

    /// The files to copy to the site, by their path among the assets; style sheets are not among them.
    pub fn assets(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.in_assets().filter(|(path, _)| !path.ends_with(".css"))
    }

    /// All style sheets as one, in the order of their names: a page opens faster with one file, a shop replaces only the
    /// part that it wants otherwise.
    pub fn style(&self) -> Vec<u8> {
        let sheets: Vec<&[u8]> = self.in_assets().filter(|(path, _)| path.ends_with(".css")).map(|(_, bytes)| bytes).collect();
        sheets.join(&b'\n')
    }

    fn in_assets(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.0.iter().filter_map(|(path, file)| Some((path.strip_prefix("assets/")?, file.bytes.as_slice())))
    }

    /// Compiles all templates.
    ///
    /// # Errors
    /// Every template that cannot be read; or, if each can be read alone, what keeps them from working together.
    pub fn compile(&self) -> Result<tera::Tera, Vec<ThemeProblem>> {
        let mut templates = Vec::new();
        let mut problems = Vec::new();
        for (path, file) in &self.0 {
            let Some(name) = path.strip_prefix("templates/") else { continue };
            let Ok(text) = std::str::from_utf8(&file.bytes) else {
                problems.push(self.problem(name, 1, 1, "the template is not UTF-8 text".into()));
                continue;
            };
            // Alone, a template lacks its parent: only what is wrong with the text itself counts here.
            let alone = tera::Tera::default().add_raw_template(name, text);
            if let Err(error) = alone
                && matches!(error.kind(), tera::ErrorKind::SyntaxError(_))
            {
                problems.push(self.explain(name, &error));
            }
            templates.push((name, text));
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        let mut tera = tera::Tera::default();
        tera.add_raw_templates(templates).map_err(|error| vec![self.explain("base.html", &error)])?;
        Ok(tera)
    }

    /// Places an error of the template engine; `name` is the template that was asked for.
    pub fn explain(&self, name: &str, error: &tera::Error) -> ThemeProblem {
        match error.kind() {
            tera::ErrorKind::SyntaxError(report) | tera::ErrorKind::RenderingError(report) => {
                let span = report.span();
                self.problem(report.filename(), span.start_line, span.start_col + 1, report.message().to_owned())
            }
            _ => {
                // What is found only when templates are put together comes as drawn text with the place in it.
                let words = error.to_string();
                let message =
                    words.lines().find_map(|line| line.strip_prefix("error: ")).unwrap_or_else(|| words.lines().next().unwrap_or(""));
                let place = words.lines().find_map(|line| line.trim_start().strip_prefix("--> "));
                let mut parts = place.unwrap_or("").rsplitn(3, ':');
                let column = parts.next().and_then(|part| part.parse().ok());
                let line = parts.next().and_then(|part| part.parse().ok());
                let file = parts.next().unwrap_or(name);
                self.problem(file, line.unwrap_or(1), column.unwrap_or(1), message.to_owned())
            }
        }
    }

    fn problem(&self, name: &str, line: usize, column: usize, message: String) -> ThemeProblem {
        let file = self.0.get(&format!("templates/{name}"));
        let text = file.map(|file| String::from_utf8_lossy(&file.bytes).into_owned()).unwrap_or_default();
        let shown = file.map_or_else(|| format!("templates/{name}"), |file| file.shown.clone());
        ThemeProblem { file: shown, line, column, message: lower_first(message.trim_end_matches('.')), text }
    }
}

impl ThemeProblem {
    /// The problem as the author sees all problems; its text is added to `sources`.
    pub fn diagnostic(self, sources: &mut Sources) -> Diagnostic {
        let line_start: usize = self.text.split_inclusive('\n').take(self.line.saturating_sub(1)).map(str::len).sum();
        let rest = self.text.get(line_start..).unwrap_or("");
        let before: usize = rest.chars().take(self.column.saturating_sub(1)).map(char::len_utf8).sum();
        let start = line_start + before;
        let end = start + self.text.get(start..).and_then(|rest| rest.chars().next()).map_or(0, char::len_utf8);
        let source = sources.add(Source::new(self.file, self.text));
        Diagnostic::new(Code::ThemeTemplate, Span::new(source, start, end), self.message)
    }
}

fn lower_first(message: &str) -> String {
    let mut letters = message.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
