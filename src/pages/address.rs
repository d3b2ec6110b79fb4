//! Where every file of the site lies. Addresses are made here and nowhere else, so that a page is never linked at a place
//! where it was not written.
//!
//! All addresses are relative: the site must open from a folder on a disk, from any path of a web server, and offline.

use crate::handbook::{Kind, Name};

/// The path of one file from the site's root, with `/` between folders, such as `checks/prove-dead.html`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Address(String);

impl Address {
    pub fn home() -> Self {
        Self("index.html".into())
    }

    /// The A–Z of every title and every other name; also where the find box leads when there is no script.
    pub fn a_to_z() -> Self {
        Self("index-a-z.html".into())
    }

    /// The page of every figure's source.
    pub fn figures() -> Self {
        Self("figures.html".into())
    }

    /// The list of a kind's entries.
    pub fn list(kind: Kind) -> Self {
        // Beside the folder and not in it: an entry may well have the id `index`.
        Self(format!("{}.html", kind.folder()))
    }

    /// The page of an entry or of a guide page.
    pub fn entry(name: &Name) -> Self {
        Self(format!("{}/{}.html", name.kind.folder(), name.id))
    }

    /// The list of the quizzes.
    pub fn quizzes() -> Self {
        Self("quizzes.html".into())
    }

    /// The quiz of a topic.
    pub fn quiz(topic: &str) -> Self {
        Self(format!("quiz/{topic}.html"))
    }

    /// The script with a topic's questions.
    pub fn quiz_script(topic: &str) -> Self {
        Self(format!("quiz/{topic}.js"))
    }

    /// The script with a symptom's numbers for the walk.
    pub fn walk_script(symptom: &str) -> Self {
        Self(format!("walk/symptoms/{symptom}.js"))
    }

    /// The script with what a walk shows at a check.
    pub fn walk_check_script(check: &str) -> Self {
        Self(format!("walk/checks/{check}.js"))
    }

    /// A script of the site, by its file name.
    pub fn script(file: &str) -> Self {
        Self(format!("scripts/{file}"))
    }

    /// The script of a calculator's own sum.
    pub fn sum_script(id: &str) -> Self {
        Self(format!("{}/{id}.js", Kind::Calculator.folder()))
    }

    /// The script with a table's figures, for the sums that pick from it.
    pub fn table_script(id: &str) -> Self {
        Self(format!("{}/{id}.js", Kind::Table.folder()))
    }

    /// The theme's style sheet.
    pub fn style() -> Self {
        Self::theme("theme.css")
    }

    /// A file of the theme, by its path among the theme's assets.
    pub fn theme(path: &str) -> Self {
        Self(format!("theme/{path}"))
    }

    /// A file that another stage adds, such as `schemas/check.schema.json`; `path` has no leading slash and no `..`.
    pub fn at(path: impl Into<String>) -> Self {
        Self(path.into())
    }

    /// The path from the site's root.
    pub fn path(&self) -> &str {
        &self.0
    }

    /// What a page at `here` writes to reach this file; the name alone within one folder.
    pub fn from(&self, here: &Address) -> String {
        let (mut target, mut start) = (self.0.as_str(), here.0.as_str());
        while let (Some((folder, rest)), Some((other, there))) = (target.split_once('/'), start.split_once('/')) {
            if folder != other {
                break;
            }
            (target, start) = (rest, there);
        }
        let up = start.matches('/').count();
        let mut link = String::with_capacity(3 * up + target.len());
        (0..up).for_each(|_| link.push_str("../"));
        link.push_str(target);
        link
    }

    /// What stands before a path from the site's root in a page at this address: empty, or `../` a number of times.
    pub fn root(&self) -> String {
        "../".repeat(self.0.matches('/').count())
    }
}
