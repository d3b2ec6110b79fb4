//! The theme: page templates and what they need. A built-in one, and a shop's own folder over it, file by file.
//!
//! A theme has `templates/` (Tera, named by their path below it) and `assets/` (copied to the site as they are).

use std::collections::BTreeMap;
use std::path::Path;

use crate::diagnostic::{Code, Diagnostic, nearest};
use crate::source::{Source, Sources, Span};

/// One file of a theme.
#[derive(Debug, Clone)]
struct ThemeFile {
    /// The path shown to the author.
    shown: String,
    bytes: Vec<u8>,
}

/// The folders of a theme that are read.
const PARTS: [&str; 2] = ["assets", "templates"];

/// The files of a theme by their path in it.
#[derive(Debug, Clone)]
pub struct Theme(BTreeMap<String, ThemeFile>);

/// What is wrong with a file of a theme, and where.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct ThemeProblem {
    pub code: Code,
    /// The path shown to the author.
    pub file: String,
    /// From 1; both are 1 if the problem concerns the whole file.
    pub line: usize,
    /// In characters, from 1.
    pub column: usize,
    pub message: String,
    /// What to do; empty if the message says it.
    pub hint: String,
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
            "templates/sum-result.html"
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
    /// on the disk followed. Gives what will hardly be meant: templates that nothing uses, new files whose names are nearly those of
    /// built-in ones, folders whose names are nearly `templates` or `assets`, and a folder without either.
    ///
    /// # Errors
    /// If the folder or a file in it cannot be read.
    pub fn lay_folder(&mut self, folder: &Path) -> std::io::Result<Vec<ThemeProblem>> {
        let known: Vec<String> = self.0.keys().cloned().collect();
        self.lay_files(folder)?;
        let mut strange = strange_folders(folder)?;
        let new = self.0.iter().filter(|(path, _)| known.binary_search(path).is_err());
        strange.extend(new.filter_map(|(path, file)| self.strange_file(path, file, &known)));
        Ok(strange)
    }

    /// What is odd about a file that no built-in one has the path of.
    fn strange_file(&self, path: &str, file: &ThemeFile, known: &[String]) -> Option<ThemeProblem> {
        let (part, name) = path.split_once('/')?;
        let elsewhere = known.iter().find(|known| known.split_once('/').is_some_and(|(other, known)| other != part && known == name));
        let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
        let stems = known.iter().filter_map(|known| known.strip_prefix(part)?.strip_prefix('/')?.strip_suffix(ending)?.strip_suffix('.'));
        let near = match elsewhere {
            Some(elsewhere) => Some(elsewhere.clone()),
            None => nearest(stem, stems.filter(|known| like(known, stem))).map(|near| format!("{part}/{near}.{ending}")),
        };
        let hint = near.as_ref().map_or(String::new(), |near| format!("did you mean `{near}`?"));
        let message = match part {
            "templates" if !self.is_named(name) => format!("no page and no template uses `{path}`"),
            "assets" if near.is_some() => format!("`{path}` stands in for no file of the built-in theme and is added"),
            _ => return None,
        };
        Some(ThemeProblem { code: Code::ThemeFile, file: file.shown.clone(), line: 1, column: 1, message, hint, text: String::new() })
    }

    /// Whether a template other than itself names this one, to include it, build on it or import from it.
    fn is_named(&self, template: &str) -> bool {
        let quoted = [format!("\"{template}\""), format!("'{template}'"), format!("`{template}`")];
        let mut others = self.0.iter().filter(|(path, _)| path.strip_prefix("templates/").is_some_and(|name| name != template));
        others.any(|(_, file)| {
            let text = String::from_utf8_lossy(&file.bytes);
            quoted.iter().any(|name| text.contains(name))
        })
    }

    fn lay_files(&mut self, folder: &Path) -> std::io::Result<()> {
        for part in PARTS {
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
        let message = lower_first(message.trim_end_matches('.'));
        ThemeProblem { code: Code::ThemeTemplate, file: shown, line, column, message, hint: String::new(), text }
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
        let problem = Diagnostic::new(self.code, Span::new(source, start, end), self.message);
        if self.hint.is_empty() { problem } else { problem.hint(self.hint) }
    }
}

/// Whether two names may be one, once misspelt: style sheets that differ in their number stand in another place on purpose.
fn like(a: &str, b: &str) -> bool {
    let number = |name: &str| name.chars().take_while(char::is_ascii_digit).collect::<String>();
    number(a).is_empty() || number(b).is_empty() || number(a) == number(b)
}

/// Folders beside `templates` and `assets` that are not read and whose names are nearly theirs; or that neither is there.
fn strange_folders(folder: &Path) -> std::io::Result<Vec<ThemeProblem>> {
    let problem = |file: String, message: &str, hint: String| ThemeProblem {
        code: Code::ThemeFile,
        file,
        line: 1,
        column: 1,
        message: message.to_owned(),
        hint,
        text: String::new(),
    };
    let mut names = Vec::new();
    for item in std::fs::read_dir(folder)? {
        let item = item?;
        if item.path().is_dir() {
            names.push(item.file_name().to_string_lossy().into_owned());
        }
    }
    names.sort();
    let mut strange: Vec<ThemeProblem> = Vec::new();
    for name in names.iter().filter(|name| !PARTS.contains(&name.as_str())) {
        if let Some(near) = nearest(name, PARTS) {
            let message = "a theme's files stand in `templates` and `assets`; this folder is not read";
            strange.push(problem(folder.join(name).display().to_string(), message, format!("did you mean `{near}`?")));
        }
    }
    if strange.is_empty() && !names.iter().any(|name| PARTS.contains(&name.as_str())) {
        let message = "the folder has neither `templates` nor `assets`, so nothing of it is used";
        strange.push(problem(folder.display().to_string(), message, "give the folder in which they stand".to_owned()));
    }
    Ok(strange)
}

fn lower_first(message: &str) -> String {
    let mut letters = message.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
